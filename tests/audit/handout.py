"""A handout as cells that know what they say, and how it is written: CSV, Markdown, HTML, columns of text, sheets."""

from __future__ import annotations

import csv
import html
import io
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from tests.audit.published import Fact

Place = tuple[int, int, int]
"""Table, row and column, from zero."""


@dataclass(frozen=True)
class Cell:
    """A cell: its text, what kind of thing it says, and the processes that are false if it is."""

    text: str
    kind: str = ""
    facts: tuple[Fact, ...] = ()
    rows: int = 1
    columns: int = 1


COVERED = Cell("", "covered")
"""A place under a merged cell."""


@dataclass(frozen=True)
class Table:
    """Rows of cells; the first ``heads`` of them are heads."""

    rows: tuple[tuple[Cell, ...], ...]
    heads: int = 1


@dataclass(frozen=True)
class Handout:
    """A file: lines of text and tables, in their order; ``form`` names one of :data:`WRITERS`."""

    name: str
    form: str
    parts: tuple[str | Table, ...]
    asked: dict[str, str] = field(default_factory=dict)
    stronger: bool = False

    @property
    def tables(self) -> list[Table]:
        return [part for part in self.parts if isinstance(part, Table)]

    def at(self, place: Place) -> Cell:
        """Give a cell."""
        return self.tables[place[0]].rows[place[1]][place[2]]

    def places(self, *kinds: str) -> list[Place]:
        """Give the places of the cells of some kinds, without heads."""
        return [
            (t, r, c)
            for t, table in enumerate(self.tables)
            for r, row in enumerate(table.rows)
            if r >= table.heads
            for c, cell in enumerate(row)
            if cell.kind in kinds
        ]

    def beside(self, place: Place, kind: str) -> Place | None:
        """Give the first cell of a kind in the same row."""
        row = self.tables[place[0]].rows[place[1]]
        return next(((*place[:2], c) for c, cell in enumerate(row) if cell.kind == kind), None)

    def put(self, changes: dict[Place, Cell]) -> Handout:
        """Give the same handout with other cells."""
        number, parts = -1, list[str | Table]()
        for part in self.parts:
            if isinstance(part, Table):
                number += 1
                part = _with(number, part, changes)
            parts.append(part)
        return Handout(self.name, self.form, tuple(parts), self.asked, self.stronger)

    def add(self, table: int, row: tuple[Cell, ...]) -> Handout:
        """Give the same handout with a row at the end of a table."""
        number, parts = -1, list[str | Table]()
        for part in self.parts:
            if isinstance(part, Table):
                number += 1
                part = Table((*part.rows, row), part.heads) if number == table else part
            parts.append(part)
        return Handout(self.name, self.form, tuple(parts), self.asked, self.stronger)


def _changed(table: int, number: int, row: tuple[Cell, ...], changes: dict[Place, Cell]) -> tuple[Cell, ...]:
    return tuple(changes.get((table, number, c), cell) for c, cell in enumerate(row))


def _with(number: int, table: Table, changes: dict[Place, Cell]) -> Table:
    changed = {place[1] for place in changes if place[0] == number}
    if not changed:
        return table
    rows = [_changed(number, r, row, changes) if r in changed else row for r, row in enumerate(table.rows)]
    return Table(tuple(rows), table.heads)


Lines = dict[tuple[int, int], int]
"""Line of the file, or row of the sheet, of each row of each table."""


def write(handout: Handout, folder: Path) -> tuple[Path, Lines]:
    """Write a handout into a folder; give its path, and where its rows stand."""
    path = folder / handout.name
    if handout.form in ("openpyxl", "xlsxwriter"):
        return path, {"openpyxl": _openpyxl, "xlsxwriter": _xlsxwriter}[handout.form](handout, path)
    data, lines = text_of(handout)
    path.write_bytes(data)
    return path, lines


def text_of(handout: Handout) -> tuple[bytes, Lines]:
    """Write a handout that is text."""
    written: list[str] = []
    lines: Lines = {}
    number = -1
    writer, encoding = WRITERS[handout.form]
    for part in handout.parts:
        if isinstance(part, str):
            written.append(_said(part, handout.form))
            continue
        number += 1
        for text, row in writer(part):
            if row is not None:
                lines[number, row] = sum(one.count("\n") + 1 for one in written) + 1
            written.append(text)
    return ("\n".join(written) + "\n").encode(encoding), lines


def _said(line: str, form: str) -> str:
    if form == "html":
        return f"<p>{_html(line)}</p>" if line else ""
    return line if form in ("md", "txt") else _delimited(form)([line]) if line else ""


def _delimited(form: str) -> Callable[[list[str]], str]:
    mark = {"tsv": "\t", "semicolon": ";"}.get(form, ",")

    def line(cells: list[str]) -> str:
        out = io.StringIO()
        csv.writer(out, delimiter=mark, lineterminator="").writerow([cell.replace("^", "") for cell in cells])
        return out.getvalue()

    return line


Written = list[tuple[str, int | None]]
"""Lines with the number of the row of the table that each is, if it is one."""


def _csv(form: str) -> Callable[[Table], Written]:
    line = _delimited(form)
    return lambda table: [(line([cell.text for cell in row]), r) for r, row in enumerate(table.rows)]


def _markdown(table: Table) -> Written:
    rows = [
        ("| " + " | ".join(cell.text.replace("^", "") for cell in row) + " |", r) for r, row in enumerate(table.rows)
    ]
    return [rows[0], ("|" + "---|" * len(table.rows[0]), None), *rows[1:], ("", None)]


def _columns(table: Table) -> Written:
    width = [max(len(row[c].text) for row in table.rows) for c in range(len(table.rows[0]))]
    lines: Written = []
    for r, row in enumerate(table.rows):
        cells = [cell.text.ljust(wide) for cell, wide in zip(row, width, strict=True)]
        lines.append(("   ".join(cells).rstrip(), r))
        if r == table.heads - 1:
            lines.append(("-" * (sum(width) + 3 * len(width) - 3), None))
    return lines


def _html(text: str) -> str:
    return re.sub(r"\^(\S+)", r"<sup>\1</sup>", html.escape(text))


def _markup(table: Table) -> Written:
    lines: Written = [("<table>", None)]
    for r, row in enumerate(table.rows):
        tag = "th" if r < table.heads else "td"
        cells = [f"<{tag}{_span(cell)}>{_html(cell.text)}</{tag}>" for cell in row if cell is not COVERED]
        lines.append(("<tr>" + "".join(cells) + "</tr>", r))
    return [*lines, ("</table>", None)]


def _span(cell: Cell) -> str:
    down = f' rowspan="{cell.rows}"' if cell.rows > 1 else ""
    return down + (f' colspan="{cell.columns}"' if cell.columns > 1 else "")


WRITERS: dict[str, tuple[Callable[[Table], Written], str]] = {
    "csv": (_csv("csv"), "utf-8"),
    "csv-bom": (_csv("csv"), "utf-8-sig"),
    "csv-1252": (_csv("csv"), "cp1252"),
    "tsv": (_csv("tsv"), "utf-8"),
    "semicolon": (_csv("semicolon"), "utf-8"),
    "md": (_markdown, "utf-8"),
    "html": (_markup, "utf-8"),
    "txt": (_columns, "utf-8"),
}


def _laid_out(handout: Handout) -> tuple[list[tuple[int, int, Cell]], Lines]:
    """Cells of a sheet with row and column from one, and the rows of the tables."""
    cells, lines, number, line = list[tuple[int, int, Cell]](), Lines(), -1, 0
    for part in handout.parts:
        if isinstance(part, str):
            line += 1
            if part:
                cells.append((line, 1, Cell(part)))
            continue
        number += 1
        for r, row in enumerate(part.rows):
            line += 1
            lines[number, r] = line
            cells += [(line, c + 1, cell) for c, cell in enumerate(row) if cell.text]
    return cells, lines


def _value(cell: Cell) -> str | int:
    return int(cell.text) if cell.text.isdigit() else cell.text.replace("^", "")


def _openpyxl(handout: Handout, path: Path) -> Lines:
    import openpyxl

    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    cells, lines = _laid_out(handout)
    for row, column, cell in cells:
        sheet.cell(row, column, _value(cell))
        if cell.rows > 1 or cell.columns > 1:
            sheet.merge_cells(
                start_row=row, start_column=column, end_row=row + cell.rows - 1, end_column=column + cell.columns - 1
            )
    book.save(path)
    return lines


def _xlsxwriter(handout: Handout, path: Path) -> Lines:
    import xlsxwriter

    cells, lines = _laid_out(handout)
    with xlsxwriter.Workbook(path) as book:
        sheet = book.add_worksheet("Times")
        for row, column, cell in cells:
            if cell.rows > 1 or cell.columns > 1:
                last = (row + cell.rows - 2, column + cell.columns - 2)
                sheet.merge_range(row - 1, column - 1, *last, _value(cell))
            else:
                sheet.write(row - 1, column - 1, _value(cell))
    return lines
