"""Season sheet: the season's jars as text for people and as a chart."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from stillroom.answers import wording
from stillroom.answers.shelf import Shelf
from stillroom.errors import BadInput
from stillroom.run.season import CHECKED, NOT_CHECKED, NOT_SAFE, Entry
from stillroom.sheets import drawing, page
from stillroom.sheets.page import WIDTH

MOST_BARS = 60
"""Foods that have a bar of their own in the chart, those with the most jars; the others share one."""
_LONGEST_TITLE = 48
_DID_NOT_SEAL = "did not seal"
_COLORS = {"sealed": "#2e8b57", NOT_CHECKED: "#c9a227", _DID_NOT_SEAL: "#8a8a8a", NOT_SAFE: "#d1495b"}


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
    lines = [*_set(_by_food(entries), 0), "", *_set(_by_load(entries), 1), ""]
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
            f"{NOT_CHECKED.capitalize()}: test each seal (page {tested}), write it into the record, and save again."
        )
    within, printed = wording.years(rules.whole("use-within")), rules.rule("use-within").page
    lines += page.wrapped(f"Use within {within} (page {printed}). Caution: {shelf.standing.text}")
    return page.text(lines)


def _by_food(entries: Sequence[Entry]) -> list[tuple[str, ...]]:
    table: list[tuple[str, ...]] = [
        ("on the shelf", "", "", "seals not", "did not", "not safe", "first"),
        ("", "jar", "keep", "checked", "seal", "to keep", "best by"),
    ]
    for title, jar in sorted({(entry.title, entry.jar) for entry in entries}):
        loads = [entry for entry in entries if (entry.title, entry.jar) == (title, jar)]
        first = [str(load.best_by) for load in loads if load.on_shelf or load.unchecked]
        table.append((title, jar, *(str(_jars(what, loads)) for what in _COLORS), min(first, default="-")))
    return table


def _by_load(entries: Sequence[Entry]) -> list[tuple[str, ...]]:
    table: list[tuple[str, ...]] = [("day", "load", "jar", "jars", "verdict", "")]
    for load in entries:
        said = load.standing
        if said == CHECKED:
            said = f"{load.sealed or 0} sealed" + (f", {load.failed} not" if load.failed else "")
        table.append((str(load.date), load.title, load.jar, str(load.jars), load.verdict, said))
    return table


def _jars(what: str, loads: Iterable[Entry]) -> int:
    """Add up jars: each jar of a load stands under one head."""
    heads: dict[str, Callable[[Entry], int]] = {
        "sealed": lambda load: load.on_shelf,
        NOT_CHECKED: lambda load: load.unchecked,
        _DID_NOT_SEAL: lambda load: 0 if load.standing == NOT_SAFE else load.failed or 0,
        NOT_SAFE: lambda load: load.jars if load.standing == NOT_SAFE else 0,
    }
    return sum(heads[what](load) for load in loads)


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


def plot(entries: Sequence[Entry], path: str) -> None:
    """Draw jars by food and by what is known of them.

    Parameters
    ----------
    entries : sequence of Entry
    path : str
        File to write, ending in .svg or .png.

    Raises
    ------
    BadInput
        Another ending, nothing to draw, or a file that cannot be written or is not ours.
    """
    drawing.ending(path, "plot")
    if not entries:
        raise BadInput("the season log is empty: there is nothing to plot")
    from matplotlib.ticker import MaxNLocator

    bars = _bars(entries)
    with drawing.sheet(path, "plot", (8, 1.6 + 0.42 * len(bars))) as figure:
        axes = figure.subplots()
        at = range(len(bars))
        left = [0] * len(bars)
        for what, color in _COLORS.items():
            counts = [_jars(what, loads) for _, loads in bars]
            if any(counts):
                axes.barh(at, counts, left=left, color=color, label=what, height=0.62)
                left = [a + b for a, b in zip(left, counts, strict=True)]
        axes.set_yticks(at, [title for title, _ in bars])
        axes.set_xlabel("jars")
        axes.set_title(f"Jars put up, {entries[0].date} to {entries[-1].date}", loc="left", fontweight="bold")
        axes.xaxis.set_major_locator(MaxNLocator(integer=True))
        axes.spines[["top", "right"]].set_visible(False)
        figure.legend(loc="outside lower center", ncols=4, frameon=False, fontsize=9)


def _bars(entries: Sequence[Entry]) -> list[tuple[str, list[Entry]]]:
    """Group the loads by food, lowest bar first."""
    foods: dict[str, list[Entry]] = {}
    for entry in entries:
        foods.setdefault(entry.title, []).append(entry)
    most = sorted(foods, key=lambda title: (-sum(load.jars for load in foods[title]), title))
    own, others = most[:MOST_BARS], [load for title in most[MOST_BARS:] for load in foods[title]]
    bars = [(_short(title), foods[title]) for title in sorted(own, reverse=True)]
    return [(f"{len(most) - len(own)} other foods", others), *bars] if others else bars


def _short(title: str) -> str:
    return title if len(title) <= _LONGEST_TITLE else title[: _LONGEST_TITLE - 3] + "..."
