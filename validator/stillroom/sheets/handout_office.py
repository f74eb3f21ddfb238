"""Handout for office programs: a workbook with a sheet for each canner, and a document with a table for each.

Both say who made them, at a time that no clock shows; what another program saves has another time, and is no longer
ours to replace.
"""

from __future__ import annotations

import datetime
import io
import re
import zipfile
from typing import TYPE_CHECKING, Any

from stillroom import screen
from stillroom.sheets.handout import Handout, HandoutTable, laid

if TYPE_CHECKING:
    from xlsxwriter.workbook import Workbook

CREATOR = "stillroom handout"
_MADE = datetime.datetime(1980, 1, 1)
_CORE, _LARGEST_CORE = "docProps/core.xml", 2**14
_SAYS = re.compile(rf"<dc:creator>{CREATOR}</dc:creator>")
_STAMPS = re.compile(r"<dcterms:(?:created|modified)[^>]*>1980-01-01T00:00:00Z</dcterms:(?:created|modified)>")
_WIDTHS = {"Food": 30, "Acid": 44, "Headspace": 14, "Page": 8, "Pack": 11, "Jar": 20, "Form": 16}
_OF_PROCESS = 15


def workbook(sheet: Handout) -> bytes:
    """Write it as .xlsx; every text stays text, and the heads of the altitudes stand under one merged head."""
    import xlsxwriter

    out = io.BytesIO()
    book = xlsxwriter.Workbook(out, {"in_memory": True})
    book.set_properties({"title": sheet.title, "author": CREATOR, "created": _MADE})
    for table in sheet.tables:
        _sheet(book, sheet, table)
    _notes(book, sheet)
    book.close()
    return out.getvalue()


def _sheet(book: Workbook, sheet: Handout, table: HandoutTable) -> None:
    page, own = book.add_worksheet(table.title[:31]), laid(table)
    style = {"border": 1, "text_wrap": True, "valign": "top"}
    head = book.add_format({**style, "bold": True, "bg_color": "#E6E6E6"})
    plain, strong = book.add_format(style), book.add_format({**style, "bold": True})
    guarded = book.add_format({**style, "quote_prefix": True})
    page.write_string(0, 0, sheet.title, book.add_format({"bold": True, "font_size": 14}))
    for at, text in enumerate(own.heads):
        banded = own.first <= at < len(own.heads) - own.last
        page.set_column(at, at, _OF_PROCESS if banded else _WIDTHS[text])
        if banded:
            page.write_string(2, at, text, head)
        else:
            page.merge_range(1, at, 2, at, text, head)
    last = len(own.heads) - own.last - 1
    if last > own.first:
        page.merge_range(1, own.first, 1, last, own.over, head)
    else:
        page.write_string(1, own.first, own.over, head)
    for line, row in enumerate(own.rows, 3):
        for at, text in enumerate(row):
            safe = plain if own.first <= at <= last or at else strong
            page.write_string(line, at, text, guarded if screen.cell(text) != text else safe)
    after = 4 + len(own.rows)
    below = (*table.notes, "What must hold stands on the sheet Notes.", sheet.caption, sheet.caution)
    for line, note in enumerate(below, after):
        page.write_string(line, 0, note)
    page.freeze_panes(3, 1)
    page.set_landscape()
    page.fit_to_pages(1, 0)
    page.repeat_rows(1, 2)


def _notes(book: Workbook, sheet: Handout) -> None:
    page, wrapped = book.add_worksheet("Notes"), book.add_format({"text_wrap": True, "valign": "top"})
    page.set_column(0, 0, 110)
    for line, note in enumerate((sheet.title, *sheet.notes, sheet.caption, sheet.caution)):
        page.write_string(line, 0, note, wrapped)
    page.fit_to_pages(1, 0)


def document(sheet: Handout) -> bytes:
    """Write it as .docx."""
    import docx
    from docx.enum.section import WD_ORIENT
    from docx.shared import Inches

    made = docx.Document()
    about = made.core_properties
    about.author, about.title, about.created, about.modified = CREATOR, sheet.title, _MADE, _MADE
    section = made.sections[0]
    section.orientation = WD_ORIENT.LANDSCAPE
    section.page_width, section.page_height = Inches(11), Inches(8.5)
    section.left_margin = section.right_margin = section.top_margin = section.bottom_margin = Inches(0.5)
    made.add_heading(sheet.title, 1)
    for table in sheet.tables:
        made.add_heading(table.title, 2)
        _table(made, table)
        for note in table.notes:
            made.add_paragraph(note, style="List Bullet")
    made.add_heading("Notes", 2)
    for note in sheet.notes:
        made.add_paragraph(note, style="List Bullet")
    made.add_paragraph(sheet.caption)
    made.add_paragraph().add_run(sheet.caution).bold = True
    out = io.BytesIO()
    made.save(out)
    return out.getvalue()


def _table(made: Any, table: HandoutTable) -> None:
    """Add a table with two rows of heads, which are repeated on each page."""
    from docx.oxml.ns import qn

    own = laid(table)
    set_in = made.add_table(rows=2 + len(own.rows), cols=len(own.heads))
    set_in.style = "Table Grid"
    grid = [row.cells for row in set_in.rows]
    last = len(own.heads) - own.last - 1
    for at, text in enumerate(own.heads):
        if own.first <= at <= last:
            _write(grid[1][at], text, True)
        else:
            _write(grid[0][at].merge(grid[1][at]), text, True)
    _write(grid[0][own.first].merge(grid[0][last]), own.over, True)
    for row in set_in.rows[:2]:
        row._tr.get_or_add_trPr().append(row._tr.makeelement(qn("w:tblHeader"), {}))
    for cells, texts in zip(grid[2:], own.rows, strict=True):
        for at, (cell, text) in enumerate(zip(cells, texts, strict=True)):
            _write(cell, text, at == 0)


def _write(cell: Any, text: str, strong: bool) -> None:
    from docx.shared import Pt

    run = cell.paragraphs[0].add_run(text)
    run.bold, run.font.size = strong, Pt(8.5)


def ours(file: bytes) -> bool:
    """Tell whether a workbook or a document was written here and saved by nobody since."""
    try:
        with zipfile.ZipFile(io.BytesIO(file)) as parts, parts.open(_CORE) as core:
            said = core.read(_LARGEST_CORE).decode("utf-8")
    except (zipfile.BadZipFile, KeyError, ValueError, NotImplementedError, RuntimeError, OSError, EOFError):
        return False
    return _SAYS.search(said) is not None and len(_STAMPS.findall(said)) == 2
