"""Typed text: a text with tables in it, each kind found in its place, and the lines beside them."""

from __future__ import annotations

import re
from typing import NamedTuple

from stillroom.errors import BadInput
from stillroom.foreign import gutters, inline, pipes, ruled
from stillroom.foreign.grid import Grid, Said
from stillroom.foreign.gridding import bound, folded, gridded, named
from stillroom.foreign.wraps import is_figure

_LINES = re.compile("\r\n|\r|\n")
_FENCE = re.compile(r"\s*(?:```|~~~)[^`]*")
_PLAIN_FIGURE = re.compile(r"[0-9]{1,3}(?: (?:min|minutes))?")
_HEADING = re.compile(r"\s{0,3}#{1,6}\s+(.*?)(?:\s+#+)?\s*")


LONGEST_LINE = 10_000
"""Longest line of a text, in characters; a table of 100 columns needs a fifth of it."""


class Text(NamedTuple):
    """What a text holds.

    Attributes
    ----------
    form : str
        ``markdown`` where a table of it is; ``text`` otherwise.
    grids : tuple of Grid
    said : tuple of Said
    """

    form: str
    grids: tuple[Grid, ...]
    said: tuple[Said, ...]


class _Found(NamedTuple):
    """Tables so far, and lines beside them."""

    grids: list[Grid]
    said: list[Said]

    def say(self, line: int, text: str) -> None:
        if words := folded(text):
            self.said.append(Said(line, words, len(self.grids)))

    def keep(self, grid: Grid | None) -> None:
        if grid is not None:
            self.grids.append(grid)


def typed(text: str, shown: str, first_line: int = 1) -> Text:
    """Find the tables of a text: Markdown, ruled, or in columns.

    Parameters
    ----------
    text : str
    shown : str
        Name of the file for messages.
    first_line : int
        Line of the file on which the text begins.

    Returns
    -------
    Text
        What stands in no table is said; a heading and marks of Markdown are written without their signs.

    Raises
    ------
    BadInput
        It has too many cells, or a line of more than :data:`LONGEST_LINE` characters.
    """
    lines = _LINES.split(text)
    if long := next((number for number, line in enumerate(lines, first_line) if len(line) > LONGEST_LINE), None):
        raise BadInput(f"{shown}:{long}: a line of more than {LONGEST_LINE:,} characters: break it into several")
    found = _Found([], [])
    at, markdown = 0, False
    for table in pipes.tables(lines):
        markdown = True
        _between(lines, at, table.start, found, shown, first_line)
        found.keep(_piped(table, found, shown, first_line))
        at = table.stop
    _between(lines, at, len(lines), found, shown, first_line)
    return Text("markdown" if markdown else "text", named(found.grids), tuple(found.said))


def _piped(table: pipes.PipeTable, found: _Found, shown: str, first_line: int) -> Grid | None:
    rows = []
    for place, cells in table.rows:
        texts = [folded(inline.plain(cell)) for cell in cells]
        for column, cell in enumerate(texts):
            if (words := inline.struck(cell)) is not None:
                texts[column] = words
                found.say(place + first_line, f"struck out in column {column + 1}: {words}")
        rows.append((place + first_line, texts))
    bound(shown, len(rows), max(len(cells) for _, cells in rows))
    return gridded(shown, rows, heads=1)


def _between(lines: list[str], start: int, stop: int, found: _Found, shown: str, first_line: int) -> None:
    """Read what stands between Markdown tables."""
    paragraphs = _paragraphs(lines, start, stop)
    waiting: list[tuple[int, str]] = []
    for paragraph in paragraphs:
        before, table, after = _parted(paragraph)
        if len(before) == 1 and waiting and table and not _begins_anew(waiting, table):
            before, table = [], [*before, *table]  # a heading between rows
        elif waiting and (before or not table or _begins_anew(waiting, table)):
            _columns(waiting, found, shown, first_line)
            waiting = []
        _say_all(before, found, first_line)
        waiting.extend(table)
        if waiting and after:
            _columns(waiting, found, shown, first_line)
            waiting = []
        _say_all(after, found, first_line)
    if waiting:
        _columns(waiting, found, shown, first_line)


def _say_all(lines: list[tuple[int, str]], found: _Found, first_line: int) -> None:
    for place, line in lines:
        if ruled.is_rule(line) or _FENCE.fullmatch(line):
            continue
        heading = _HEADING.fullmatch(line)
        found.say(place + first_line, inline.plain(heading[1] if heading else line))


def _paragraphs(lines: list[str], start: int, stop: int) -> list[list[tuple[int, str]]]:
    """Runs of lines that are not blank."""
    made: list[list[tuple[int, str]]] = [[]]
    for place in range(start, stop):
        if lines[place].strip() and not _FENCE.fullmatch(lines[place]):
            made[-1].append((place, lines[place]))
        elif made[-1]:
            made.append([])
    return [paragraph for paragraph in made if paragraph]


def _is_tabular(line: str) -> bool:
    return "|" in ruled.unboxed(line) or (not ruled.is_rule(line) and len(gutters.segments(line)) > 1)


def _parted(paragraph: list[tuple[int, str]]) -> tuple[list[tuple[int, str]], ...]:
    """Cut a paragraph into the lines before its table, those of the table, and those after."""
    tabular = [number for number, (_, line) in enumerate(paragraph) if _is_tabular(line)]
    if not tabular:
        return paragraph, [], []
    start, stop = tabular[0], tabular[-1] + 1
    while stop < len(paragraph) and _is_wrapped(paragraph[stop][1], paragraph[stop - 1][1]):
        stop += 1
    while start and _belongs(paragraph[start - 1][1], paragraph[start][1]):
        start -= 1
    return paragraph[:start], paragraph[start:stop], paragraph[stop:]


def _is_wrapped(line: str, above: str) -> bool:
    """Tell a line after a table that goes on with its last row, or rules off its end."""
    if ruled.is_rule(line):
        return True
    indented = len(line) - len(line.lstrip()) > len(above) - len(above.lstrip())
    return indented and line.strip()[0].islower() and not is_figure(line.strip())


def _belongs(line: str, below: str) -> bool:
    """Tell a line above a table that is a part of it: a rule, a head, or a name that goes on in its first row."""
    if ruled.is_rule(line) or _stands_over(line, below):
        return True
    return line.rstrip().endswith((",", " or", " and")) and below.lstrip()[:1].islower()


def _stands_over(line: str, below: str) -> bool:
    """Tell a head over some of the columns: it begins where the first column has ended."""
    first = gutters.segments(below)
    found = gutters.segments(line)
    return bool(found) and len(first) > 1 and not ruled.is_rule(line) and found[0].start > first[0].end


def _begins_anew(above: list[tuple[int, str]], table: list[tuple[int, str]]) -> bool:
    """Tell whether lines below a blank one are a table of their own, and not further rows of the one above.

    They are rows where the first of them holds a plain figure, or looks like a row above but for its figures.
    """
    barred = [any("|" in ruled.unboxed(line) for _, line in lines) for lines in (above, table)]
    if barred[0] != barred[1]:
        return True
    if barred[0]:
        return ruled.is_rule(table[0][1])
    upper, lower = _rows_of(above), _rows_of(table)
    if not upper or not lower or upper[0][0] == lower[0][0]:
        return True
    if not any(_figured(row) for row in upper):
        return False  # heads, so far
    return not _figured(lower[0]) and _shape(lower[0]) not in {_shape(row) for row in upper[1:]}


def _rows_of(lines: list[tuple[int, str]]) -> list[list[str]]:
    found = (gutters.segments(line) for _, line in lines if not ruled.is_rule(line))
    return [[segment.text for segment in row] for row in found if len(row) > 1]


def _figured(row: list[str]) -> bool:
    return any(_PLAIN_FIGURE.fullmatch(text) for text in row[1:])


def _shape(row: list[str]) -> tuple[str, ...]:
    return tuple(re.sub(r"\d+", "9", text) for text in row[1:])


def _columns(lines: list[tuple[int, str]], found: _Found, shown: str, first_line: int) -> None:
    """Read the lines of one table; of a single line that is none, say it."""
    rows = [line for _, line in lines if not ruled.is_rule(line)]
    if sum(map(_is_tabular, rows)) < 2:
        _say_all(lines, found, first_line)
        return
    table = _cut(lines, rows)
    numbered = [(place + first_line, cells) for place, cells in table.rows]
    bound(shown, len(numbered), max(len(cells) for _, cells in numbered))
    heads = table.heads if isinstance(table, ruled.Ruled) else 0
    found.keep(gridded(shown, numbered, heads=heads, merged=table.merged))


def _cut(lines: list[tuple[int, str]], rows: list[str]) -> ruled.Ruled | gutters.Aligned:
    plain = [ruled.unboxed(line).strip() for line in rows]
    if sum(line.startswith("|") for line in plain) * 2 > len(rows) or all(
        "|" in line for line in plain if _is_tabular(line)
    ):
        return ruled.ruled(lines)
    if rows[0].count("\t") and len({line.count("\t") for line in rows}) == 1:
        return gutters.Aligned([(place, line.split("\t")) for place, line in lines if not ruled.is_rule(line)], {})
    return gutters.aligned(lines)
