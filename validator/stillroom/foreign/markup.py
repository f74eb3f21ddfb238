"""Markup: the tables of an HTML page, laid out as a browser would, and the text around them.

Rows and columns are formed as the HTML Living Standard says (4.9.12 Processing model, "forming a table"), with its
bounds for spans.
"""

from __future__ import annotations

import re
from html.parser import HTMLParser
from itertools import accumulate, takewhile
from typing import NamedTuple

from stillroom.errors import BadInput
from stillroom.foreign import inline
from stillroom.foreign.grid import Grid, Said
from stillroom.foreign.gridding import LOST, bound, folded, gridded, named

MOST_NESTED = 100
"""Most tables within each other."""
_MOST_COLSPAN, _MOST_ROWSPAN = 1_000, 65_534
"""HTML Living Standard, 4.9.11: attributes common to td and th elements."""
_QUIET = re.compile(r"<!|<\?|<(?=(script|style|template|noscript|svg|math|title|textarea|iframe)[\s/>])", re.IGNORECASE)
_BREAKS = frozenset(
    ("address", "article", "aside", "blockquote", "br", "center", "dd", "details", "div", "dl", "dt", "fieldset",
     "figcaption", "figure", "footer", "form", "h1", "h2", "h3", "h4", "h5", "h6", "header", "hr", "li", "main", "nav",
     "ol", "p", "pre", "section", "summary", "ul")
)  # fmt: skip
_VOID = frozenset(
    ("area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr")
)  # fmt: skip
_GROUPS = ("thead", "tbody", "tfoot")
_STRUCK = ("s", "del", "strike")
_UNSHOWN = re.compile(r"display\s*:\s*none|visibility\s*:\s*(?:hidden|collapse)", re.IGNORECASE)
_LINE_THROUGH = re.compile(r"text-decoration[\w-]*\s*:[^;]*line-through", re.IGNORECASE)
_UP, _UP_END, _DOWN, _DOWN_END, _STRIKE, _BREAK = "\ue000\ue001\ue002\ue003\ue004\ue005"
_OWN = re.compile(f"[{_UP}-{_BREAK}]")
_SIGNS = re.compile(f"[{_UP}-{_STRIKE}]")
_FRACTION = re.compile(f"{_UP}\\s*([0-9]+)\\s*{_UP_END}\\s*[/\u2044\u2215]\\s*{_DOWN}?\\s*([0-9]+)\\s*{_DOWN_END}?")
_MARK = re.compile(f"\\s*[{_UP}{_DOWN}]([^{_UP}-{_DOWN_END}]*)(?:[{_UP_END}{_DOWN_END}]|$)")
_NEXT = re.compile(r"(?<=\])(?=\w)")


class _Cell(NamedTuple):
    text: str
    is_head: bool
    columns: int
    rows: int


class _Row(NamedTuple):
    line: int
    group: int
    in_head: bool
    cells: list[_Cell]


class _Table:
    """A table that is being read: its rows so far, and what is open in it."""

    def __init__(self, number: int) -> None:
        self.number = number
        self.rows: list[_Row] = []
        self.row: _Row | None = None
        self.cell: _Cell | None = None
        self.words: list[str] = []
        self.group, self.in_head = 0, False
        self.struck_row = self.unshown_row = False


def marked(text: str, shown: str, first_line: int = 1) -> tuple[tuple[Grid, ...], tuple[Said, ...]]:
    """Read the tables of a page, and the text around them.

    Parameters
    ----------
    text : str
    shown : str
        Name of the file for messages.
    first_line : int
        Line of the file on which the text begins.

    Returns
    -------
    grids : tuple of Grid
        In the order in which they begin; a table within a cell is one of its own.
    said : tuple of Said
        Captions, and each block of text; what is struck out as a whole cell.

    Raises
    ------
    BadInput
        A comment or script never ends, tables are nested too deep, or it has too many cells.
    """
    page = _Page(shown, first_line)
    page.feed(_loud(re.sub("\r\n?", "\n", text), shown, first_line))
    page.close()
    return page.done()


def _loud(text: str, shown: str, first_line: int) -> str:
    """Leave out comments, declarations and what is never shown; each line stays where it is."""
    parts, at = [], 0
    while found := _QUIET.search(text, at):
        parts.append(text[at : found.start()])
        end = _end(text, found)
        if end < 0:
            line = text.count("\n", 0, found.start()) + first_line
            raise BadInput(f"{shown}:{line}: {found[1] or 'a comment'} is opened here and never closed: close it")
        parts.append("\n" * text.count("\n", found.start(), end))
        at = end
    parts.append(text[at:])
    last = text.rfind(">") + 1
    if last <= at:
        parts[-1] = parts[-1].replace("<", "&lt;")
    else:
        parts[-1:] = [text[at:last], text[last:].replace("<", "&lt;")]
    return "".join(parts)


def _end(text: str, found: re.Match[str]) -> int:
    if found[1]:
        closing = re.compile(rf"</{found[1]}\s*>", re.IGNORECASE).search(text, found.end())
        return closing.end() if closing else -1
    if text.startswith("<!--", found.start()):
        end = text.find("-->", found.start() + 2)
        return end + 3 if end >= 0 else -1
    return text.find(">", found.start()) + 1 or -1


class _Page(HTMLParser):
    def __init__(self, shown: str, first_line: int) -> None:
        super().__init__(convert_charrefs=True)
        self.shown, self.first_line = shown, first_line
        self.open: list[_Table] = []
        self.tables: list[_Table] = []
        self.said: list[Said] = []
        self.words: list[str] = []
        self.words_line = 0
        self.unshown, self.depth = "", 0
        self.spans: list[bool] = []
        self.cells = 0

    # what the parser tells

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if self.unshown:
            self.depth += tag == self.unshown
            return
        about = dict(reversed(attrs))
        if tag not in ("td", "th", "tr", *_VOID) and _is_unshown(about):
            self.unshown, self.depth = tag, 1
        elif tag == "table":
            self._table()
        elif tag in ("td", "th", "tr", "caption", *_GROUPS):
            if self.open:
                self._part(tag, about)
        else:
            self._within(tag, about)

    def handle_endtag(self, tag: str) -> None:
        if self.unshown:
            self.depth -= tag == self.unshown
            if self.depth and tag not in ("td", "th", "tr", "table", "body"):
                return
            ended, self.unshown, self.depth = self.unshown, "", 0
            if ended == tag:
                return
        if tag == "table":
            if self.open:
                self._end_table()
        elif tag in ("td", "th", "caption"):
            self._end_cell() if tag != "caption" else self._flush()
        elif tag == "tr" or tag in _GROUPS:
            self._end_row()
            if tag in _GROUPS and self.open:
                self.open[-1].group += 1
                self.open[-1].in_head = False
        elif tag in _BREAKS:
            self._break()
        else:
            self._end_within(tag)

    def handle_data(self, data: str) -> None:
        if self.unshown:
            return
        words = _OWN.sub(LOST, data)
        if self.open and self.open[-1].cell is not None:
            self.open[-1].words.append(words)
        else:
            if not self.words_line and words.strip():
                before = len(words) - len(words.lstrip())
                self.words_line = self._line() + words.count("\n", 0, before)
            self.words.append(words)

    # tables

    def _line(self) -> int:
        return self.getpos()[0] + self.first_line - 1

    def _table(self) -> None:
        self._flush()
        if len(self.open) == MOST_NESTED:
            raise BadInput(f"{self.shown}:{self._line()}: more than {MOST_NESTED} tables stand within each other")
        if self.open and self.open[-1].cell is not None:
            self.open[-1].words.append(_BREAK)
        self.open.append(_Table(len(self.tables)))
        self.tables.append(self.open[-1])

    def _end_table(self) -> None:
        self._end_row()
        self.open.pop()

    def _part(self, tag: str, about: dict[str, str | None]) -> None:
        table = self.open[-1]
        self._flush()
        if tag in ("td", "th"):
            self._cell(tag == "th", about)
            return
        self._end_row()
        if tag == "tr":
            self._row()
            table.struck_row, table.unshown_row = _is_struck(about), _is_unshown(about)
        elif tag != "caption":
            table.group += 1
            table.in_head = tag == "thead"

    def _row(self) -> _Row:
        table = self.open[-1]
        table.row = _Row(self._line(), table.group, table.in_head, [])
        table.struck_row = table.unshown_row = False
        return table.row

    def _end_row(self) -> None:
        if not self.open:
            return
        self._end_cell()
        table = self.open[-1]
        if table.row is not None and not table.unshown_row:
            table.rows.append(table.row)
        table.row = None

    def _cell(self, is_head: bool, about: dict[str, str | None]) -> None:
        self._end_cell()
        table = self.open[-1]
        if table.row is None:
            self._row()
        unshown = _is_unshown(about)
        columns = min(_number(about.get("colspan")) or 1, _MOST_COLSPAN)
        rows = min(_number(about.get("rowspan"), 1), _MOST_ROWSPAN)
        table.cell = _Cell("", is_head, 0 if unshown else columns, rows)
        table.words = [_STRIKE] if _is_struck(about) or table.struck_row else []
        self.spans = []
        self.cells += 1
        bound(self.shown, self.cells, 1)

    def _end_cell(self) -> None:
        table = self.open[-1] if self.open else None
        if table is None or table.cell is None or table.row is None:
            return
        if table.cell.columns:
            text, struck = _written(table.words)
            table.row.cells.append(table.cell._replace(text=text))
            if struck and not table.unshown_row:
                column = len(table.row.cells)
                self.said.append(Said(table.row.line, f"struck out in cell {column} of its row: {text}", table.number))
        table.cell, table.words = None, []

    # text

    def _within(self, tag: str, about: dict[str, str | None]) -> None:
        if tag in _BREAKS:
            self._break()
        elif tag in ("sup", "sub"):
            self._add(_UP if tag == "sup" else _DOWN)
        elif tag in _STRUCK:
            self._add(_STRIKE)
        elif tag == "span" and len(self.spans) < MOST_NESTED:
            self.spans.append(_is_struck(about))
            if self.spans[-1]:
                self._add(_STRIKE)

    def _end_within(self, tag: str) -> None:
        if tag in ("sup", "sub"):
            self._add(_UP_END if tag == "sup" else _DOWN_END)
        elif tag in _STRUCK or (tag == "span" and self.spans and self.spans.pop()):
            self._add(_STRIKE)

    def _add(self, sign: str) -> None:
        if self.open and self.open[-1].cell is not None:
            self.open[-1].words.append(sign)
        else:
            self.words.append(sign)

    def _break(self) -> None:
        if self.open and self.open[-1].cell is not None:
            self.open[-1].words.append(_BREAK)
        else:
            self._flush()

    def _flush(self) -> None:
        text, struck = _written(self.words)
        if text:
            self.said.append(Said(self.words_line, f"~~{text}~~" if struck else text, len(self.tables)))
        self.words, self.words_line = [], 0

    # the end

    def done(self) -> tuple[tuple[Grid, ...], tuple[Said, ...]]:
        while self.open:
            self._end_table()
        self._flush()
        grids: list[Grid | None] = []
        kept: list[bool] = []
        cells = 0
        for table in self.tables:
            grid = _laid(table, self.shown)
            if grid is not None and len({cell.first for row in grid.rows for cell in row.cells}) < 2:
                self.said.append(Said(grid.rows[0].line, grid.rows[0].cells[0].text, table.number))  # a frame for looks
                grid = None
            if grid is not None:
                cells += len(grid.rows) * len(grid.rows[0].cells)
                bound(self.shown, cells, 1)
            grids.append(grid)
            kept.append(grid is not None)
        before = list(accumulate(kept, initial=0))
        said = sorted(self.said, key=lambda words: words.line)
        return named(grids), tuple(words._replace(before=before[words.before]) for words in said)


def _is_unshown(about: dict[str, str | None]) -> bool:
    return "hidden" in about or bool(_UNSHOWN.search(about.get("style") or ""))


def _is_struck(about: dict[str, str | None]) -> bool:
    return bool(_LINE_THROUGH.search(about.get("style") or ""))


def _number(text: str | None, otherwise: int = 0) -> int:
    found = re.match(r"\s*\+?([0-9]{1,9})", text or "")
    return int(found[1]) if found else otherwise


def _written(words: list[str]) -> tuple[str, bool]:
    """Text of a cell or block, and whether all of it is struck out."""
    text = "".join(words)
    if text.count(_STRIKE) % 2:
        text += _STRIKE
    text = " ".join(text.split()).replace(_BREAK, "\n")
    if not _SIGNS.search(text):
        return folded(text), False
    text = _FRACTION.sub(r" \1/\2", text)
    text = _MARK.sub(lambda found: f" [{mark}]" if (mark := found[1].strip(" []()")) else "", text)
    text = folded(_NEXT.sub(" ", _OWN.sub(lambda sign: "~~" if sign[0] == _STRIKE else " ", text)))
    text = text.replace("~~~~", "")
    whole = inline.struck(text)
    return (text, False) if whole is None else (folded(whole), True)


def _laid(table: _Table, shown: str) -> Grid | None:
    """Give each cell its columns and rows."""
    rows: list[tuple[int, list[str]]] = []
    merged: dict[tuple[int, int], tuple[int, int]] = {}
    below: dict[int, tuple[int, tuple[int, int]]] = {}
    ends = {row.group: number for number, row in enumerate(table.rows)}
    taken = 0
    for number, row in enumerate(table.rows):
        texts: list[str] = []
        below = {column: (last, first) for column, (last, first) in below.items() if last >= number}
        merged.update({(number, column): first for column, (_, first) in below.items()})
        column = 0
        for cell in row.cells:
            while column in below:
                column += 1
            texts.extend([""] * (column - len(texts)))
            texts.append(cell.text)
            last = ends[row.group] if not cell.rows else min(number + cell.rows - 1, ends[row.group])
            for part in range(column, column + cell.columns):
                if part in below:
                    break
                if part > column:
                    merged[number, part] = (number, column)
                if last > number:
                    below[part] = (last, (number, column))
            column += max(cell.columns, 1)
            taken += cell.columns
            bound(shown, taken + len(merged), 1)
        rows.append((row.line, texts))
    return gridded(shown, rows, heads=_heads(table.rows), merged=merged)


def _heads(rows: list[_Row]) -> int:
    """Count the first rows that are marked as heads: those of a thead, or those with head cells only."""
    return len(list(takewhile(lambda row: row.in_head or (row.cells and all(c.is_head for c in row.cells)), rows)))
