"""Delimited: rows with a comma, a semicolon, a tab or a bar between their cells, by RFC 4180 and as people write."""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from collections.abc import Iterable, Iterator
from contextlib import suppress
from itertools import chain, islice, pairwise

from stillroom.errors import BadInput
from stillroom.foreign.grid import Grid
from stillroom.foreign.gridding import bound, gridded

DELIMITERS = "\t;|,"
"""Which stands between the cells, the rarer in prose and figures first; of two that cut alike, the first is taken."""
LONGEST = 131_072
"""Most characters of a cell; held to here, since other libraries in a process may lift the limit of the reader."""
_LOOKED_AT = 500
"""Rows by which the delimiter is told."""
_FIRST, _SECOND = re.compile(r"(?<![0-9])[0-9]{1,3}\s*$"), re.compile(r"\s*00[01](?![0-9])")
_MOST = 0.6
"""Share of the rows that is most of them; of prose with commas fewer lines have one."""
_END = "\uf8ffend"
"""A line after the last: swallowed where a quotation mark is left open."""


def delimited(text: str, shown: str, delimiter: str | None = None) -> Grid | None:
    """Cut delimited text into a grid.

    Parameters
    ----------
    text : str
    shown : str
        Name of the file for messages.
    delimiter : str, optional
        Told by the rows themselves if not given.

    Returns
    -------
    Grid or None
        Each row with the line it starts on; None where every cell is blank.

    Raises
    ------
    BadInput
        A quotation mark is never closed, a figure is cut at its own comma, or a cell or the table is too large.
    """
    delimiter = delimiter or best(text)[0]
    rows: list[tuple[int, list[str]]] = []
    cells_so_far = 0
    for line, cells in _rows(_lines(text), delimiter, shown):
        while cells and not cells[-1].strip():
            cells.pop()
        cells_so_far += len(cells)
        bound(shown, 1, len(cells))
        bound(shown, cells_so_far, 1)
        if delimiter == "," and any(_is_cut_in_two(*pair) for pair in pairwise(cells)):
            raise BadInput(f"{shown}:{line}: a figure like 1,000 is cut in two at its comma: put it in quotation marks")
        rows.append((line, cells))
    return gridded(shown, rows)


def _is_cut_in_two(cell: str, following: str) -> bool:
    """Tell two cells that were one figure with a comma: no other figure begins with two zeros."""
    return _SECOND.match(following) is not None and _FIRST.search(cell) is not None


def best(text: str) -> tuple[str, float]:
    """Tell the delimiter by the rows: the one that cuts the largest share of them into equally many cells.

    Parameters
    ----------
    text : str

    Returns
    -------
    delimiter : str
        One of :data:`DELIMITERS`; a comma where none cuts anything.
    share : float
        Share of the rows, from 0 to 1, that it cuts into the most frequent number of cells.
    """
    scores = {delimiter: _share(text, delimiter) for delimiter in DELIMITERS}
    delimiter = max(scores, key=scores.__getitem__)
    return (delimiter, scores[delimiter][0]) if scores[delimiter][0] else (",", 0.0)


def is_cut(text: str) -> bool:
    """Tell whether a delimiter cuts most of the rows, into however many cells."""
    return max(_share(text, delimiter)[1] for delimiter in DELIMITERS) > _MOST


def _share(text: str, delimiter: str) -> tuple[float, float]:
    """Share of rows of the most frequent length, and share of rows that are cut at all."""
    if delimiter not in text:
        return 0.0, 0.0
    reader = csv.reader(_lines(text), delimiter=delimiter, skipinitialspace=True)
    widths: list[int] = []
    with suppress(csv.Error):
        widths.extend(len(cells) for cells in islice(reader, _LOOKED_AT) if any(cell.strip() for cell in cells))
    cut = Counter(width for width in widths if width > 1)
    if not cut:
        return 0.0, 0.0
    return max(cut.values()) / len(widths), cut.total() / len(widths)


def _lines(text: str) -> Iterable[str]:
    """Lines as an editor counts them: a form feed or the like ends none."""
    return io.StringIO(text, newline=None)


def _rows(lines: Iterable[str], delimiter: str, shown: str) -> Iterator[tuple[int, list[str]]]:
    reader = csv.reader(_ended(lines), delimiter=delimiter, skipinitialspace=True)
    line = following = 1
    try:
        for cells in reader:
            if cells == [_END]:
                return
            line, following = following, reader.line_num + 1
            if any(len(cell) > LONGEST for cell in cells):
                raise _too_long(shown, line)
            yield line, cells
    except csv.Error:
        raise _too_long(shown, following) from None
    raise BadInput(f"{shown}:{line}: a quotation mark is opened here and never closed: close it, or take it out")


def _too_long(shown: str, line: int) -> BadInput:
    return BadInput(f"{shown}:{line}: a cell has more than {LONGEST:,} characters: is a quotation mark missing?")


def _ended(lines: Iterable[str]) -> Iterator[str]:
    last = "\n"
    for last in lines:
        yield last
    yield from chain(() if last.endswith("\n") else ("\n",), (_END,))
