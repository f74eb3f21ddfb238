"""Workbook: all tables as sheets of one workbook, after a sheet that names them and one that describes their columns.

Every text is stored as text, never as a formula, and stays text when its cell is edited. The same package makes the
same bytes with the same version of the library that writes it. A workbook saved by any other program has another time
of change, and is no longer ours to replace.
"""

from __future__ import annotations

import datetime
import io
import re
import zipfile
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from stillroom import screen
from stillroom.errors import BadPackage
from stillroom.export import sql
from stillroom.export.typed import Content, Value

if TYPE_CHECKING:
    from xlsxwriter.format import Format
    from xlsxwriter.workbook import Workbook

CREATOR = "stillroom export"
_MADE = datetime.datetime(1980, 1, 1)
_CORE, _LARGEST_CORE = "docProps/core.xml", 2**14
_STAMP = r">1980-01-01T00:00:00Z</dcterms:"
_OURS = re.compile(rf"<dc:creator>{CREATOR}</dc:creator>.*{_STAMP}created>.*{_STAMP}modified>", re.DOTALL)
_WIDEST = 60
"""Characters of the widest column."""


def written(content: Content) -> bytes:
    """Write the workbook.

    Parameters
    ----------
    content : Content

    Raises
    ------
    BadPackage
        A text is longer than a cell can hold.
    """
    import xlsxwriter

    out = io.BytesIO()
    book = xlsxwriter.Workbook(out, {"in_memory": True})
    book.set_properties({"title": str(content.about.get("title", "")), "author": CREATOR, "created": _MADE})
    head, guarded = book.add_format({"bold": True}), book.add_format({"quote_prefix": True})
    sheets: list[tuple[str, Sequence[str], Iterable[Sequence[Value]]]] = [
        (
            "tables",
            sql.ABOUT_TABLES,
            ((*row[:-1], int(row[-1] or 0)) for row in sql.about_tables(content.tables, False)),
        ),
        ("columns", sql.ABOUT, sql.about(content.tables, False)),
        *((table.name, [field.name for field in table.fields], table.rows) for table in content.tables),
    ]
    for name, columns, rows in sheets:
        _sheet(book, name, columns, list(rows), head, guarded)
    book.close()
    return out.getvalue()


def _sheet(
    book: Workbook, name: str, columns: Sequence[str], rows: list[Sequence[Value]], head: Format, guarded: Format
) -> None:
    sheet = book.add_worksheet(name)
    for place, column in enumerate(columns):
        sheet.write_string(0, place, column, head)
        widest = max((len(str(row[place])) for row in rows if row[place] is not None), default=0)
        sheet.set_column(place, place, min(max(widest, len(column)) + 2, _WIDEST))
    sheet.freeze_panes(1, 0)
    sheet.autofilter(0, 0, len(rows), len(columns) - 1)
    for line, row in enumerate(rows, 1):
        for place, value in enumerate(row):
            if isinstance(value, str):
                kept = sheet.write_string(line, place, value, guarded if screen.cell(value) != value else None)
                if kept != 0:
                    raise BadPackage(f"{name}, row {line}: {columns[place]} is too long for a cell of a workbook")
            elif value is not None:
                sheet.write_number(line, place, value)


def ours(file: bytes) -> bool:
    """Tell whether a workbook was written here and saved by nobody since."""
    try:
        with zipfile.ZipFile(io.BytesIO(file)) as book, book.open(_CORE) as core:
            return _OURS.search(core.read(_LARGEST_CORE).decode("utf-8")) is not None
    except (zipfile.BadZipFile, KeyError, ValueError, NotImplementedError, RuntimeError, OSError, EOFError):
        return False
