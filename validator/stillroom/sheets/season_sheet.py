"""Season sheet: the season's jars as text for people."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from stillroom.answers import wording
from stillroom.answers.shelf import Shelf
from stillroom.run.own_clock import COME_UP, COOL, FEWEST_LOADS, HEAT, HOLD, OwnClock
from stillroom.run.season import (
    CHECKED,
    EATEN,
    LOST,
    NOT_CHECKED,
    NOT_SAFE,
    SEALED,
    UNSEALED,
    Entry,
    Year,
    eat_first,
    jars,
)
from stillroom.sheets import day_sheet, page
from stillroom.sheets.page import WIDTH

MOST_FIRST = 5
"""Loads that are named as those to eat first."""


def season_sheet(entries: Sequence[Entry], shelf: Shelf) -> str:
    """List the jars by food, then every load.

    Parameters
    ----------
    entries : sequence of Entry
        Oldest first.
    shelf : Shelf
        For the rules of the sheet and the short caution.
    """
    if not entries:
        return "No loads here yet. Add one with: stillroom judge batch.yaml --save DIR\n"
    rules = shelf.rules
    lines = [
        *_set(_by_food(entries), 0),
        "",
        *_set(_by_load(entries), 1),
        "",
        *_eat_first(entries, shelf),
        *_to_check(entries, shelf),
    ]
    unsafe = sum(load.standing == NOT_SAFE for load in entries)
    if unsafe:
        lines += page.wrapped(
            f"{unsafe} of {len(entries)} loads are not shown to have got their schedule: those jars are {NOT_SAFE} on "
            "the shelf, whatever their seals (see stillroom judge for what to do within "
            f"{rules.rule('reprocess-within').value} hours)."
        )
    if any(load.unchecked for load in entries):
        tested = rules.rule("seal-tests").page
        lines += page.wrapped(
            f"{NOT_CHECKED.capitalize()}: test each seal (page {tested}), then say it: stillroom seals DIR/FILE "
            "--sealed JARS --failed JARS."
        )
    within, printed = wording.years(rules.whole("use-within")), rules.rule("use-within").page
    lines += page.wrapped(f"Use within {within} (page {printed}). Caution: {shelf.standing.text}")
    return page.text(lines)


def year_sheet(year: Year, shelf: Shelf) -> str:
    """Say what a year came to: jars by food, losses with their share, minutes at heat.

    Parameters
    ----------
    year : Year
    shelf : Shelf
        For the short caution.
    """
    if not year.loads:
        return f"No loads of {year.year} here.\n"
    table: list[tuple[str, ...]] = [(f"in {year.year}", "jars", "came to nothing")]
    table += [(title, str(put_up), f"{wasted}{_share(wasted, put_up)}") for title, put_up, wasted in year.by_food]
    wasted = year.failed + year.not_safe + year.lost
    table.append(("all", str(year.jars), f"{wasted}{_share(wasted, year.jars)}"))
    failed, unsafe, lost = (f"{n}{_share(n, year.jars)}" for n in (year.failed, year.not_safe, year.lost))
    told = [
        f"{wording.units(year.loads, 'load')}, {year.not_safe_loads} of them {NOT_SAFE}",
        f"{year.sealed} jars sealed, {failed} did not, {year.unchecked} not checked, {unsafe} {NOT_SAFE}",
        f"{year.eaten} eaten, {lost} lost on the shelf, {year.on_shelf} still there",
        f"{year.held_min / 60:.1f} hours at heat, in stretches that counted",
    ]
    return page.text(
        [*_set(table, 0), *page.section("In all:", told), "", *page.wrapped(f"Caution: {shelf.standing.text}")]
    )


_STAGES = {HEAT: "heat until steam or boil", COME_UP: "weight on to pressure", HOLD: "held", COOL: "cool by itself"}


def clock_sheet(clocks: Sequence[OwnClock], shelf: Shelf) -> str:
    """Say how long each canner takes by its own loads: medians with their ranges.

    Parameters
    ----------
    clocks : sequence of OwnClock
    shelf : Shelf
        For the titles of canners and jars.
    """
    if not clocks:
        return "No load here tells how long its canner took: its log needs events, like vent-start and lock-dropped.\n"
    table: list[tuple[str, ...]] = [("canner", "load", "", "minutes", "range", "loads")]
    for own in clocks:
        jars_of = (
            f"{own.jars_from} to {own.jars_to} {own.jar}" if own.jars_from < own.jars_to else f"{own.jars_to} {own.jar}"
        )
        table += [
            (own.canner, jars_of, _STAGES[name], f"{stage.median_min:.0f}", str(stage.span), str(stage.loads))
            for name, stage in own.stages.items()
        ]
    told = (
        f"From {FEWEST_LOADS} loads on a plan takes these ranges in place of the printed ones: plan --season DIR. "
        "Venting, the process and the waits stay as the publication says."
    )
    return page.text([*_set(table, 2), "", *page.wrapped(told)])


def _share(part: int, whole: int) -> str:
    return f" ({part / whole:.0%})" if part else ""


def load_line(load: Entry) -> str:
    """Say in one line what a load is, and how many of its jars are on the shelf."""
    where = f"{load.on_shelf} of {load.jars} jars on the shelf"
    if load.standing == NOT_SAFE:
        where = f"{NOT_SAFE}, whatever its seals"
    elif load.unchecked:
        where += f", {load.unchecked} with seals to check"
    return f"{load.title}, {load.jar}, {load.date}: {where}, best by {load.best_by}\n"


def _eat_first(entries: Sequence[Entry], shelf: Shelf) -> list[str]:
    """Name the loads to be used soonest, each with its file; one that is past its day says so."""
    every, today = eat_first(entries), date.today()
    past = f" (past: look at each jar before you open it, page {shelf.rules.rule('look-before-opening').page})"
    told = [
        f"{load.best_by}{past if load.best_by < today else ''}: {_jars_of(load.on_shelf, load, shelf)}"
        for load in every[:MOST_FIRST]
    ]
    if len(every) > MOST_FIRST:
        told.append(f"and {len(every) - MOST_FIRST} more later")
    return [*page.section("Eat first, by the best-by day:", told)[1:], ""] if told else []


def _to_check(entries: Sequence[Entry], shelf: Shelf) -> list[str]:
    """Name the loads whose seals are not all known, each with its file."""
    told = [f"{load.date}: {_jars_of(load.unchecked, load, shelf)}" for load in entries if load.unchecked]
    return [*page.section("Seals to check:", told)[1:], ""] if told else []


def _jars_of(number: int, load: Entry, shelf: Shelf) -> str:
    return f"{day_sheet.jars_said(number, load.jar, shelf)}, {load.title} ({load.file})"


def _by_food(entries: Sequence[Entry]) -> list[tuple[str, ...]]:
    table: list[tuple[str, ...]] = [
        ("on the shelf", "", "", "to", "did not", "not safe", "", "first"),
        ("", "jar", "keep", "check", "seal", "to keep", "taken", "best by"),
    ]
    for title, jar in sorted({(entry.title, entry.jar) for entry in entries}):
        loads = [entry for entry in entries if (entry.title, entry.jar) == (title, jar)]
        first = [str(load.best_by) for load in loads if load.on_shelf or load.unchecked]
        counted = [jars(head, loads) for head in (SEALED, NOT_CHECKED, UNSEALED, NOT_SAFE)]
        counted.append(jars(EATEN, loads) + jars(LOST, loads))
        table.append((title, jar, *map(str, counted), min(first, default="-")))
    return table


def _by_load(entries: Sequence[Entry]) -> list[tuple[str, ...]]:
    table: list[tuple[str, ...]] = [("day", "load", "jar", "jars", "verdict", "")]
    for load in entries:
        said = load.standing
        if said == CHECKED:
            said = f"{load.sealed or 0} sealed" + (f", {load.failed} not" if load.failed else "")
            said += f", {load.eaten} eaten" if load.eaten else ""
            said += f", {load.lost} lost" if load.lost else ""
        table.append((str(load.date), load.title, load.jar, str(load.jars), load.verdict, said))
    return table


def _set(table: Sequence[tuple[str, ...]], titles: int) -> list[str]:
    """Set a table in columns; words to the left, numbers to the right; long titles cut to fit 80 columns."""
    rest = sum(max(len(row[i]) for row in table) + 2 for i in range(len(table[0])) if i != titles)
    room = max(12, WIDTH - rest)
    cut = [
        tuple(c if i != titles or len(c) <= room else c[: room - 3] + "..." for i, c in enumerate(row)) for row in table
    ]
    wide = [max(len(row[i]) for row in cut) for i in range(len(cut[0]))]
    numbers = [any(row[i].isdigit() for row in cut) for i in range(len(wide))]
    return [
        "  ".join(
            c.rjust(w) if number else c.ljust(w) for c, w, number in zip(row, wide, numbers, strict=True)
        ).rstrip()
        for row in cut
    ]
