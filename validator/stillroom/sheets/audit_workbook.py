"""Audit workbook: the user's own sheet with its wrong cells marked, and what is published as a comment."""

from __future__ import annotations

import hashlib
import io
import os
import zipfile
from collections.abc import Callable, Iterable, Iterator
from typing import Any, NamedTuple

from stillroom import extras, screen
from stillroom.errors import BadInput
from stillroom.foreign.audited import Audit, AuditCell
from stillroom.foreign.grid import Foreign, Grid
from stillroom.package import files
from stillroom.sheets import audit_sheet, output

MARK = "stillroom"
"""Who wrote a workbook last, in its properties, with what it is: how one of ours is known again."""
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
_LONGEST = 30_000
"""Characters of a cell or a comment; a workbook takes 32,767 (ECMA-376, 18.4)."""


class Opened(NamedTuple):
    """A workbook to be marked or corrected.

    Attributes
    ----------
    book : Workbook
    sheets : tuple of str
        Title of the sheet of each table.
    above : tuple of int
        Lines that stand above each table, for a workbook that is made of another file; empty for the user's own.
    """

    book: Any
    sheets: tuple[str, ...]
    above: tuple[int, ...]


def not_itself(found: Audit, path: str, what: str) -> None:
    """See that a file that is to be written is not the handout.

    Raises
    ------
    BadInput
        It is, by whatever name.
    """
    try:
        same = bool(found.path) and os.path.exists(path) and os.path.samefile(found.path, path)
    except (OSError, ValueError):  # it cannot be written either, and that is said where it is tried
        return
    if same:
        raise BadInput(f'{what} "{screen.shown(path)}" is the handout itself, which is never written over')


def marked(found: Audit, path: str) -> None:
    """Write the sheet with its wrong cells marked, and a sheet more that says what was found.

    Raises
    ------
    BadInput
        Another's file, or it cannot be written.
    """
    opened = of(found)
    with extras.needed("desk"):
        from openpyxl.comments import Comment
        from openpyxl.styles import PatternFill

    about: dict[tuple[int, int, int], list[int]] = {}
    for number, one in enumerate(found.findings, 1):
        for place in one.cells:
            about.setdefault(place, []).append(number)
    for cell in found.cells:
        if cell.verdict not in _FILLS:
            continue
        there = at(opened, cell)
        color, pattern = _FILLS[cell.verdict]
        there.fill = PatternFill(pattern, fgColor="808080", bgColor=color)
        said = "\n".join(_told(found, cell, about.get((cell.grid, cell.row, cell.column), [])))
        if there.comment is not None:
            said = f"{said}\n\n{there.comment.text}"
        there.comment = Comment(said[:_LONGEST], MARK, height=160, width=320)
    explained(opened, _explained(found))
    saved(opened, path, "the report")


def _told(found: Audit, cell: AuditCell, numbers: list[int]) -> Iterator[str]:
    yield cell.verdict.upper() + (f": published {clean(cell.published)}" if cell.published else "")
    for number in numbers:
        one = found.findings[number - 1]
        yield clean(f"{number}. {' '.join(audit_sheet.sentences(one))}")


def _explained(found: Audit) -> Iterator[tuple[str, ...]]:
    from stillroom import shelf

    yield (f"Audit of {found.file}: {audit_sheet.verdict(found)}",)
    yield (audit_sheet.counted(found),)
    yield ()
    yield ("How it was read",)
    yield from ((line,) for line in (*found.reading, *found.assumed, *audit_sheet.one_height(found)))
    yield ()
    yield ("number", "verdict", "row", "what was found")
    for number, one in enumerate(found.findings, 1):
        where = f"{one.table}, {one.row}" if one.table else str(one.row)
        yield (str(number), one.verdict, where, " ".join(audit_sheet.sentences(one, where=False)))
    yield ()
    for note in found.read_yourself:
        warns = f" It names what is withheld. {note.warns}" if note.warns is not None else ""
        yield (f"Read this yourself, row {note.line}: {note.text}{warns}",)
    yield from ((f"Published, and not on this handout: {line}",) for line in found.not_here)
    yield ("Checked by ______________________   Date ______________",)
    yield (f"SHA-256 {found.sha256}. Data version {found.data_version}. {found.source.cite()}.",)
    yield (f"Caution: {shelf().standing}",)


def clean(text: str) -> str:
    """Write words of the handout so that a workbook takes them: nothing that controls, or turns a line."""
    return screen.printable(" ".join(text.split()), _LONGEST)


def explained(opened: Opened, lines: Iterator[tuple[str, ...]]) -> None:
    """Add a sheet of lines at the end."""
    from openpyxl.styles import Alignment, Font

    sheet = opened.book.create_sheet("Audit")
    for number, values in enumerate(lines, 1):
        for column, value in enumerate(values, 1):
            there = sheet.cell(number, column, screen.cell(clean(value)))
            if len(values) > 1:
                there.alignment = Alignment(wrap_text=True, vertical="top")
    sheet["A1"].font = Font(bold=True, size=14)
    for letter, width in (("A", 9), ("B", 12), ("C", 12), ("D", 100)):
        sheet.column_dimensions[letter].width = width


def of(found: Audit, beside: Callable[[Audit, int], Iterable[str]] | None = None) -> Opened:
    """Open the user's workbook, or make one of the table.

    Parameters
    ----------
    found : Audit
    beside : callable, optional
        Gives the lines above the table of a number; those of the file as they stand if not given.

    Raises
    ------
    BadInput
        The workbook is another than the one that was audited.
    """
    with extras.needed("desk"):
        import openpyxl
    foreign = found.foreign
    if foreign is not None and foreign.form == "xlsx" and found.path:
        return _own(found, foreign)
    lines = beside or (lambda found, before: said(found.foreign, before))
    book = openpyxl.Workbook()
    book.remove(book.active)
    names, above = [], []
    grids = () if foreign is None else foreign.grids
    for number, grid in enumerate(grids):
        sheet = book.create_sheet(f"table {number + 1}")
        before = list(lines(found, number))
        names.append(sheet.title)
        above.append(len(before))
        _fill(sheet, grid, len(before))
        below = list(lines(found, len(grids))) if number + 1 == len(grids) else []
        for row, line in (*enumerate(before, 1), *enumerate(below, len(before) + len(grid.rows) + 1)):
            sheet.cell(row, 1, screen.cell(clean(line)))
    return Opened(book, tuple(names), tuple(above))


def said(foreign: Foreign | None, before: int) -> list[str]:
    """Lines of a file that stand beside its tables: above the table of a number, or below the last.

    What has to be known of a sheet of a workbook (a hidden row) is no line of it, and its titles stand in its cells.
    """
    if foreign is None or foreign.form == "xlsx":
        return []
    return [one.text for one in foreign.said if one.before == before]


def _own(found: Audit, foreign: Foreign) -> Opened:
    import openpyxl

    name = screen.name(found.path)
    try:
        with files.opened(found.path) as file:
            data = file.read()
    except (OSError, files.Unread):
        raise BadInput(f"{name}: is not to be read any more: audit it again") from None
    if hashlib.sha256(data).hexdigest() != found.sha256:
        raise BadInput(f"{name}: has been changed since it was read: audit it again")
    book = openpyxl.load_workbook(io.BytesIO(data), rich_text=True)
    return Opened(book, tuple(_sheet_of(data, book, grid, name) for grid in foreign.grids), ())


def _sheet_of(data: bytes, book: Any, grid: Grid, shown: str) -> str:
    """Title of the sheet that a table was read from: the one that reads the same."""
    from stillroom.foreign import workbook

    titles = [str(sheet.title) for sheet in book.worksheets]
    if grid.name:
        titles = [title for title in titles if " ".join(title.split()) == grid.name]
    same = []
    for title in titles:
        grids, _ = workbook.workbook(data, shown, title)
        if grids and grids[0].rows == grid.rows:
            same.append(title)
    if len(same) != 1:
        listed = " and ".join(same) or "no sheet"
        raise BadInput(f"{shown}: {listed} hold the table that was judged: keep one of them and audit it again")
    return same[0]


def _fill(sheet: Any, grid: Grid, above: int) -> None:
    for number, row in enumerate(grid.rows, above + 1):
        for column, cell in enumerate(row.cells):
            if cell.first == (number - above - 1, column):
                sheet.cell(number, column + 1, value(clean(cell.text)))
    reach: dict[tuple[int, int], tuple[int, int]] = {}
    for number, row in enumerate(grid.rows):
        for column, cell in enumerate(row.cells):
            last = reach.get(cell.first, cell.first)
            reach[cell.first] = max(last[0], number), max(last[1], column)
    for first, last in reach.items():
        if first != last:
            sheet.merge_cells(
                start_row=first[0] + above + 1, start_column=first[1] + 1,
                end_row=last[0] + above + 1, end_column=last[1] + 1,
            )  # fmt: skip


def value(text: str) -> object:
    """Write a value into a cell: whole numbers as numbers, words never as a formula."""
    if text.isascii() and text.isdigit() and (text == "0" or text[0] != "0") and len(text) < 16:
        return int(text)
    return screen.cell(text) if text.strip("-+") else text


def at(opened: Opened, cell: AuditCell) -> Any:
    """Cell of the workbook that a cell of the audit is; of merged cells the one that holds their value."""
    from openpyxl.cell.cell import MergedCell

    sheet = opened.book[opened.sheets[cell.grid]]
    row = cell.row + 1 + opened.above[cell.grid] if opened.above else cell.line
    there = sheet.cell(row, cell.column + 1)
    if isinstance(there, MergedCell):
        around = next(one for one in sheet.merged_cells.ranges if there.coordinate in one)
        return sheet.cell(around.min_row, around.min_col)
    return there


def saved(opened: Opened, path: str, what: str) -> None:
    """Write a workbook; one that we did not write, or that somebody has saved since, is never replaced."""
    opened.book.properties.lastModifiedBy = f"{MARK}, {what}"
    out = io.BytesIO()
    opened.book.save(out)
    output.write(path, out.getvalue(), what, lambda content: _ours(content, what), _MOST)


def _ours(content: bytes, what: str) -> bool:
    """Tell a workbook of ours by its properties."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as book, book.open("docProps/core.xml") as properties:
            core = properties.read(4_096)
    except (zipfile.BadZipFile, KeyError, OSError, RuntimeError):
        return False
    return f"<cp:lastModifiedBy>{MARK}, {what}</cp:lastModifiedBy>".encode() in core
