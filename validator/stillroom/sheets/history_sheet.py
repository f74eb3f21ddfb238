"""History sheet: then and now side by side, as text, Markdown and CSV; every form says not to use the old figures."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator
from typing import Any

from stillroom import screen
from stillroom.answers import wording
from stillroom.answers.history import History, OldCell, TodayCell
from stillroom.answers.shelf import Shelf
from stillroom.sheets import documents, page

CANS = {"no-2-can": "No. 2 cans", "no-2-1/2-can": "No. 2 1/2 cans"}
"""Cans of the leaflets as people say them; they are no jars of the package."""
_COLUMNS = (22, 19, 37)
"""Widths of the three columns: what it was packed in, then, now."""
_CONDITIONS = "Today's figures hold with their own headspace, acid and altitude alone:"
_NOTHING = "no leaflet used here had it"


def history_sheet(found: History, shelf: Shelf) -> str:
    """Write it as text."""
    lines = page.wrapped(_title(found))
    if not found.cells:
        lines += page.wrapped(f"{wording.capital(_NOTHING)}.")
        return page.text([*lines, *_today(found), *page.foot(None, shelf.standing)])
    lines += page.wrapped(str(found.warning))
    for heading, cells in _grouped(found.cells, shelf):
        lines += ["", *page.wrapped(heading), *_line("", "then: do not use", "today")]
        for cell in cells:
            lines += _line(_packed(cell, shelf), _process(cell.minutes, cell.pressure_psi), _now(cell))
    if any(cell.today for cell in found.cells):
        lines += ["", *page.wrapped(f"{_CONDITIONS} stillroom table {found.food}")]
    lines += _today(found)
    lines += page.section("Rules of the leaflets at altitude, replaced as well:", map(str, found.rules))
    return page.text([*lines, *page.foot(None, shelf.standing, _sources(found, shelf))])


def history_markdown(found: History, shelf: Shelf) -> str:
    """Write it as Markdown."""
    lines = [f"## {_title(found)}", ""]
    lines += [f"**{found.warning}**" if found.cells else f"{wording.capital(_NOTHING)}."]
    for heading, rows in tables(found, shelf):
        lines += ["", f"### {heading}", "", "| | then: do not use | today |", "|---|---|---|"]
        lines += [f"| {' | '.join(row)} |" for row in rows]
    lines += ["", *([] if found.today is None else [f"Today: {found.today}", ""])]
    if found.rules:
        lines += [
            "**Rules of the leaflets at altitude, replaced as well**",
            "",
            *(f"- {said}" for said in found.rules),
            "",
        ]
    return "\n".join([*lines, f"Caution: {shelf.standing}"]) + "\n"


def history_csv(histories: Iterable[History]) -> str:
    """Write it as CSV: a row for each old figure and each process of today beside it, safe to open in a spreadsheet.

    The column ``use`` says of each row whether it is an old figure, which is not to be used.
    """
    out = io.StringIO()
    rows = csv.writer(out, lineterminator="\n")
    columns = ("asked", "use", "year", "altitude_ft", "form", "pack", "container", "canner", "minutes", "pressure_psi")
    rows.writerow((*columns, "since", "source", "page"))
    for found in histories:
        for cell in found.cells:
            at = (f"{found.altitude_ft:g}", cell.form, cell.pack, cell.container)
            old = ("do not use", cell.year, *at, cell.method, cell.minutes, cell.pressure_psi, cell.since)
            _write(rows, (found.food or found.withheld, *old, cell.source, cell.page))
            for now in cell.today:
                told = ("today", "", *at, now.canner, now.minutes, now.pressure_psi, "", now.source, now.page)
                _write(rows, (found.food, *told))
    return out.getvalue()


def _write(rows: Any, cells: Iterable[object]) -> None:
    rows.writerow([screen.cell("" if value is None else value) for value in cells])


def _title(found: History) -> str:
    return f"{found.title}: then and now, at {wording.height(found.altitude_ft)}"


def _grouped(cells: Iterable[OldCell], shelf: Shelf) -> Iterator[tuple[str, list[OldCell]]]:
    groups: dict[str, list[OldCell]] = {}
    for cell in cells:
        form = f", {shelf.in_words('form', cell.form)}" if cell.form else ""
        method = "boiling water" if cell.method == "boiling-water" else "pressure canner"
        source = shelf.cite(cell.page, cell.source).short
        groups.setdefault(f'{cell.year}, {method}{form}: "{cell.called}" ({source})', []).append(cell)
    jars = [*shelf.jars, *CANS]
    sizes = {jar.id: jar.volume_fl_oz for jar in shelf.jars.values()}
    for heading, own in groups.items():
        yield (
            heading,
            sorted(own, key=lambda cell: (cell.pack, sizes.get(cell.container, 1000), jars.index(cell.container))),
        )


def tables(found: History, shelf: Shelf) -> Iterator[tuple[str, tuple[tuple[str, str, str], ...]]]:
    """Give a heading for each leaflet and method, with rows of what it was packed in, then, and today."""
    for heading, cells in _grouped(found.cells, shelf):
        rows = ((_packed(cell, shelf), _process(cell.minutes, cell.pressure_psi), _now(cell)) for cell in cells)
        yield heading, tuple(rows)


def _packed(cell: OldCell, shelf: Shelf) -> str:
    container = CANS.get(cell.container) or shelf.jars[cell.container].plural
    note = f", {cell.note}" if cell.note.startswith("air ") else ""
    return f"{container}, {cell.pack}{note} ({cell.page})"


def _process(minutes: int, pressure_psi: int | None) -> str:
    return f"{minutes} min" + ("" if pressure_psi is None else f", {pressure_psi} psi")


def _now(cell: OldCell) -> str:
    """Say what is published today, canners with the same process together, and what became of the old one."""
    if not cell.today:
        return cell.since
    canners: dict[str, list[str]] = {}
    for now in cell.today:
        canners.setdefault(_process(now.minutes, now.pressure_psi), []).append(now.canner)
    named = cell.method == "pressure"
    said = (f"{', '.join(dict.fromkeys(who))}: {what}" if named else what for what, who in canners.items())
    pages = wording.listed(list(dict.fromkeys(_page(now) for now in cell.today)), "and")
    return f"{'; '.join(said)} ({pages})"


def _page(now: TodayCell) -> str:
    return now.page


def _line(packed: str, then: str, now: str) -> list[str]:
    cut = [page.column(text, width - 1) or [""] for text, width in zip((packed, then, now), _COLUMNS, strict=True)]
    rows = max(map(len, cut))
    padded = [[*lines, *[""] * (rows - len(lines))] for lines in cut]
    return [
        "".join(f"{text:<{width}}" for text, width in zip(row, _COLUMNS, strict=True)).rstrip()
        for row in zip(*padded, strict=True)
    ]


def _today(found: History) -> list[str]:
    return [] if found.today is None else ["", *page.wrapped(f"Today: {found.today}")]


def _sources(found: History, shelf: Shelf) -> list[Any]:
    ids = dict.fromkeys(cell.source for cell in found.cells)
    ids.update(dict.fromkeys(now.source for cell in found.cells for now in cell.today))
    return [shelf.cite("web", name) for name in ids]


def document(found: History) -> dict[str, Any]:
    """Lay it out as a document (schema/answer.json)."""
    return {
        "kind": "history",
        "version": documents.VERSION,
        **found._asdict(),
        "cells": [{**cell._asdict(), "today": [now._asdict() for now in cell.today]} for cell in found.cells],
        "rules": [documents.stated(said) for said in found.rules],
        "today": documents.stated(found.today),
        "warning": documents.stated(found.warning),
    }
