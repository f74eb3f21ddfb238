"""Audit workbook: the user's own sheet with its wrong cells marked, and what is published as a comment."""

from __future__ import annotations

import io
import os
from typing import Any

from stillroom import extras, screen
from stillroom.errors import BadInput
from stillroom.foreign.audited import Audit, AuditCell
from stillroom.foreign.grid import Grid
from stillroom.sheets import output

MARK = "stillroom"
"""Who made a workbook, in its properties: how one of ours is known again."""
_FILLS = {
    "withheld": ("F4B6B6", "darkUp"),
    "untested": ("F8D7B0", "darkDown"),
    "weaker": ("FCE2A8", "lightUp"),
    "missing": ("E3E3E3", "lightGrid"),
    "unread": ("DCE6F2", "lightDown"),
    "stronger": ("DDEFD9", "lightHorizontal"),
}
_MOST = 1 << 26
"""Bytes of a file by which it is told to be ours."""


def not_itself(found: Audit, path: str, what: str) -> None:
    """See that a file that is to be written is not the handout.

    Raises
    ------
    BadInput
        It is, by whatever name.
    """
    if found.path and os.path.exists(path) and os.path.samefile(found.path, path):
        raise BadInput(f'{what} "{screen.shown(path)}" is the handout itself, which is never written over')


def marked(found: Audit, path: str) -> None:
    """Write the sheet with its wrong cells marked.

    Raises
    ------
    BadInput
        Another's file, or it cannot be written.
    """
    book, places = opened(found)
    with extras.needed("desk"):
        from openpyxl.comments import Comment
        from openpyxl.styles import PatternFill

    numbers: dict[tuple[int, int, int], int] = {}
    for number, one in enumerate(found.findings, 1):
        for place in one.cells:
            numbers.setdefault(place, number)
    for cell in found.cells:
        if cell.verdict not in _FILLS:
            continue
        there = at(book, places, cell)
        color, pattern = _FILLS[cell.verdict]
        there.fill = PatternFill(pattern, fgColor="808080", bgColor=color)
        of_cell = numbers.get((cell.grid, cell.row, cell.column))
        of = () if of_cell is None else (found.findings[of_cell - 1],)
        said = cell.verdict.upper() + (f": published {cell.published}" if cell.published else "")
        for one in of:
            said += f" ({one.page})" if one.page else ""
            said += f"\n{one.why}" if one.why else ""
        there.comment = Comment(said, MARK)
    saved(book, path, "the report")


def opened(found: Audit) -> tuple[Any, list[str]]:
    """Open the user's workbook, or make one of the table; and the name of the sheet of each table."""
    with extras.needed("desk"):
        import openpyxl
    grids = () if found.foreign is None else found.foreign.grids
    if found.foreign is not None and found.foreign.form == "xlsx":
        book = openpyxl.load_workbook(found.path, rich_text=True)
        return book, [_sheet_of(book, grid) for grid in grids]
    book = openpyxl.Workbook()
    book.remove(book.active)
    names = []
    for number, grid in enumerate(grids, 1):
        sheet = book.create_sheet(f"table {number}")
        names.append(sheet.title)
        _fill(sheet, grid)
    return book, names


def _sheet_of(book: Any, grid: Grid) -> str:
    if grid.name:
        for sheet in book.worksheets:
            if " ".join(sheet.title.split()) == grid.name:
                return str(sheet.title)
    return next(str(sheet.title) for sheet in book.worksheets if sheet.max_row > 1 or sheet.max_column > 1)


def _fill(sheet: Any, grid: Grid) -> None:
    """Lay a table out in a sheet; its rows are the lines of the file where that leaves no great hole."""
    for number, row in enumerate(grid.rows):
        for column, cell in enumerate(row.cells):
            if cell.first == (number, column):
                there = sheet.cell(number + 1, column + 1)
                value = screen.cell(cell.text)
                there.value = float(cell.text) if cell.text.isascii() and cell.text.isdigit() else value
    _merge(sheet, grid)


def _merge(sheet: Any, grid: Grid) -> None:
    reach: dict[tuple[int, int], tuple[int, int]] = {}
    for number, row in enumerate(grid.rows):
        for column, cell in enumerate(row.cells):
            last = reach.get(cell.first, cell.first)
            reach[cell.first] = max(last[0], number), max(last[1], column)
    for first, last in reach.items():
        if first != last:
            sheet.merge_cells(
                start_row=first[0] + 1, start_column=first[1] + 1, end_row=last[0] + 1, end_column=last[1] + 1
            )


def at(book: Any, places: list[str], cell: AuditCell) -> Any:
    """Cell of the workbook that a cell of the audit is."""
    sheet = book[places[cell.grid]]
    row = cell.row + 1 if sheet.title.startswith("table ") and _made(book) else cell.line
    return sheet.cell(row, cell.column + 1)


def _made(book: Any) -> bool:
    return all(sheet.title == f"table {number}" for number, sheet in enumerate(book.worksheets, 1))


def saved(book: Any, path: str, what: str) -> None:
    """Write a workbook; one that we did not write is never replaced."""
    import datetime

    book.properties.creator = MARK
    book.properties.lastModifiedBy = MARK
    book.properties.created = book.properties.modified = datetime.datetime(2000, 1, 1)
    out = io.BytesIO()
    book.save(out)
    output.write(path, out.getvalue(), what, _ours, _MOST)


def _ours(content: bytes) -> bool:
    """Tell a workbook of ours by its properties."""
    import zipfile

    try:
        with zipfile.ZipFile(io.BytesIO(content)) as book:
            core = book.read("docProps/core.xml")[:4_096]
    except (zipfile.BadZipFile, KeyError, OSError, RuntimeError):
        return False
    return f"<dc:creator>{MARK}</dc:creator>".encode() in core
