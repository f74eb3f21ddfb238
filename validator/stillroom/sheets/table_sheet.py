"""Table sheet: what is printed for a food, laid out like the print: a table per canner, bands as columns.

As text for people (80 columns), as Markdown, and as CSV with a row per cell.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from stillroom import screen
from stillroom.answers import wording
from stillroom.answers.answer import Stated
from stillroom.answers.printed_table import TESTED, FoodTable, PrintedCell
from stillroom.answers.shelf import Shelf
from stillroom.sheets import answer_sheet, page

_LABEL, _GAPS = 21, (2, 1)
"""Widest a row's label may be; space between two columns, wide where there is room for it."""
Edges = tuple[int, "int | None"]
Row = tuple[str, tuple[tuple[str, ...], ...]]
"""Label of a row, and the lines of each of its cells."""


class Grid(NamedTuple):
    """One table: what it is for, its bands, its rows as a label with the lines of each cell, and the bands in feet."""

    heading: str
    bands: tuple[str, ...]
    rows: tuple[Row, ...]
    foot: str
    edges: tuple[Edges, ...]


def table_sheet(found: FoodTable, shelf: Shelf) -> str:
    """Write the table as text."""
    lines = page.wrapped(f"{found.title}: every printed cell{_at(found)}")
    lines += page.wrapped(str(found.follows)) if found.follows else []
    lines += page.section("Required for safety:", map(str, found.requires))
    for grid in grids(found, shelf):
        lines += ["", *page.wrapped(grid.heading), *_drawn(grid), *page.wrapped(grid.foot)]
    for end in found.ends:
        lines += ["", *page.wrapped(end)]
    if shelf.of_guide(found.food) and any(cell.pressure_psi is not None for cell in found.cells):
        lines += ["", *answer_sheet.vent(shelf, "a pressure canner")]
    lines += page.section("Carried by a rule, not printed as cells:", map(str, found.carried))
    return page.text([*lines, *page.foot(None, shelf.standing)])


def table_markdown(found: FoodTable, shelf: Shelf) -> str:
    """Write the table as Markdown."""
    lines = [f"## {found.title}: every printed cell{_at(found)}"]
    lines += ["", str(found.follows)] if found.follows else []
    lines += _listed("Required for safety", found.requires)
    for grid in grids(found, shelf):
        lines += ["", f"### {grid.heading}", "", f"| | {' | '.join(grid.bands)} |", f"|---|{'---|' * len(grid.bands)}"]
        lines += [f"| {label} | {' | '.join('<br>'.join(cell) for cell in cells)} |" for label, cells in grid.rows]
        lines += ["", grid.foot]
    lines += [line for end in found.ends for line in ("", end)]
    lines += _listed("Carried by a rule, not printed as cells", found.carried)
    return "\n".join([*lines, "", f"Caution: {shelf.standing}"]) + "\n"


def _listed(heading: str, said: Iterable[Stated]) -> list[str]:
    items = [f"- {stated}" for stated in said]
    return ["", f"**{heading}**", "", *items] if items else []


def table_csv(tables: Iterable[FoodTable]) -> str:
    """Write cells as CSV, one row each, safe to open in a spreadsheet."""
    out = io.StringIO()
    rows = csv.writer(out, lineterminator="\n")
    rows.writerow(("asked", *PrintedCell._fields))
    for found in tables:
        for cell in found.cells:
            rows.writerow([screen.cell("" if value is None else value) for value in (found.food, *cell)])
    return out.getvalue()


def _at(found: FoodTable) -> str:
    return "" if found.altitude_ft is None else f" at {wording.height(found.altitude_ft)}"


def grids(found: FoodTable, shelf: Shelf) -> Iterator[Grid]:
    """Lay the cells out as they are printed: a table for each canner and form, with a column for each band."""
    tables: dict[tuple[str, str], list[PrintedCell]] = {}
    for cell in found.cells:
        tables.setdefault((cell.canner, cell.form), []).append(cell)
    for (canner, form), cells in tables.items():
        bands = sorted({(cell.altitude_from_ft, cell.altitude_to_ft) for cell in cells}, key=lambda band: band[0])
        heading = shelf.canners[canner].title + (f", {shelf.in_words('form', form)}" if form else "")
        yield Grid(
            wording.capital(heading),
            tuple(_band(*band) for band in bands),
            tuple(_rows(cells, bands, shelf)),
            _foot(cells, shelf),
            tuple(bands),
        )


def _rows(cells: list[PrintedCell], bands: list[Edges], shelf: Shelf) -> Iterator[Row]:
    """Rows of one table; packs with the same cells share a row."""
    by_row: dict[tuple[str, str], list[PrintedCell]] = {}
    for cell in cells:
        by_row.setdefault((cell.pack, cell.jar), []).append(cell)
    shared: dict[Row, list[str]] = {}
    for (pack, jar), row in by_row.items():
        said = tuple(
            tuple(_said(cell) for cell in row if (cell.altitude_from_ft, cell.altitude_to_ft) == band) for band in bands
        )
        shared.setdefault((jar, said), []).append(pack)
    for (jar, said), packs in sorted(shared.items(), key=lambda item: (shelf.jars[item[0][0]].volume_fl_oz, item[1])):
        named = wording.listed([pack for pack in packs if pack])
        yield f"{shelf.jars[jar].plural}{f', {named}' if named else ''}", said


def _said(cell: PrintedCell) -> str:
    if cell.result != TESTED:
        return f"not recommended ({cell.not_recommended_minutes} min)"
    return f"{cell.minutes} min" + ("" if cell.pressure_psi is None else f", {cell.pressure_psi} psi")


def _band(low: int, high: int | None) -> str:
    return wording.span(low, high).replace(" to ", "-")


def _foot(cells: list[PrintedCell], shelf: Shelf) -> str:
    pages = dict.fromkeys((cell.caption, cell.page, cell.source) for cell in cells)
    said = [f'"{caption}", {shelf.cite(printed, source).in_brackets}' for caption, printed, source in pages]
    equal = "Several processes in one cell are equal options. " if _several(cells) else ""
    return f"{equal}Printed as {wording.listed(said, 'and')} ({shelf.cite(cells[0].page, cells[0].source).title})."


def _several(cells: list[PrintedCell]) -> bool:
    places = [cell[1:7] for cell in cells if cell.result == TESTED]
    return len(places) != len(set(places))


def _drawn(grid: Grid) -> Iterator[str]:
    """Set a table; a cell stands on one line where the page is wide enough, and never touches the next."""
    label = min(_LABEL, max(len(label) for label, _ in grid.rows) + 2)
    longest = max(map(len, (*grid.bands, *(said for _, cells in grid.rows for cell in cells for said in cell))))
    count = len(grid.bands)
    gap = next((gap for gap in _GAPS if label + count * (longest + gap) - gap <= page.WIDTH), _GAPS[-1])
    wide = min(longest, (page.WIDTH - label + gap) // count - gap)
    yield _line("", grid.bands, label, wide + gap)
    for named, cells in grid.rows:
        columns = [[part for said in cell for part in page.column(said, wide)] for cell in cells]
        labels = page.column(named, label - 2)
        for row in range(max(len(labels), *map(len, columns))):
            yield _line(_part(labels, row), [_part(column, row) for column in columns], label, wide + gap)


def _part(lines: list[str], row: int) -> str:
    return lines[row] if row < len(lines) else ""


def _line(label: str, columns: Iterable[str], first: int, others: int) -> str:
    return f"{label:<{first}}{''.join(f'{column:<{others}}' for column in columns)}".rstrip()
