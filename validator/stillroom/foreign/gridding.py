"""Gridding: what every form of file shares on the way to a grid: white space, bounds, rows of one length."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping, Sequence

from stillroom.errors import BadInput
from stillroom.foreign.grid import Cell, Grid, GridRow

MOST_CELLS = 2_000_000
"""Most cells of a file, empty ones too: 100,000 rows of twenty."""
MOST_COLUMNS = 16_384
"""Most columns of a grid: as many as a sheet of the xlsx form can have (ECMA-376)."""
_UNSEEN = dict.fromkeys(map(ord, "\u00ad\u034f\u200b\u200c\u200d\u200e\u2060\ufeff"))
"""Signs that take no room and turn nothing: they are left out."""
_BREAKS = re.compile("\r\n|[\n\r\x0b\x0c\x1c\x1d\x1e\x85\u2028\u2029]")
_TURNS = frozenset("\u061c\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
"""Signs after which the eye sees another order than the file has (Unicode Standard Annex 9)."""
LOST = "\ufffd"
"""What stands for a sign that cannot be shown: no figure with one in it is read."""

Place = tuple[int, int]
Lines = Sequence[tuple[int, Sequence[str]]]


def folded(text: str) -> str:
    """Fold white space: each run within a line is one space, lines that are blank are left out.

    Parameters
    ----------
    text : str

    Returns
    -------
    str
        Its lines with ``\\n`` between. A control character, half a letter or a sign that turns the direction of what
        follows is :data:`LOST`, so that what is read is what is seen.
    """
    if text.isprintable():
        if "  " not in text:
            return text.strip(" ")
        return " ".join(text.split())
    lines = [" ".join(_seen(line).split()) for line in _BREAKS.split(text)]
    return "\n".join(line for line in lines if line)


def _seen(line: str) -> str:
    line = line.translate(_UNSEEN)
    if line.isprintable():
        return line
    return "".join(LOST if c in _TURNS or (_hidden(c) and not c.isspace()) else c for c in line)


def _hidden(sign: str) -> bool:
    return unicodedata.category(sign) in ("Cc", "Cs")


def gridded(
    shown: str, rows: Lines, name: str = "", heads: int = 0, merged: Mapping[Place, Place] | None = None
) -> Grid | None:
    """Make a grid of rows of any lengths.

    Parameters
    ----------
    shown : str
        Name of the file for messages.
    rows : sequence of (int, sequence of str)
        Line and cells of each row; the text of a merged cell stands at its upper left corner.
    name : str
        Name of the grid.
    heads : int
        How many of the rows are marked as heads.
    merged : mapping of (int, int) to (int, int), optional
        Place of each further part of a merged cell, and of its upper left corner, as places in ``rows``.

    Returns
    -------
    Grid or None
        Without the blank rows, and without the columns at its right in which no cell of their own is filled; None where
        nothing is left.

    Raises
    ------
    BadInput
        It has more than :data:`MOST_CELLS` or :data:`MOST_COLUMNS`.
    """
    merged = merged or {}
    texts = [[folded(cell) for cell in cells] for _, cells in rows]
    width = max((_filled(cells) for cells in texts), default=0)
    merged = {part: first for part, first in merged.items() if part[1] < width}
    for (row, column), (first_row, first_column) in merged.items():
        cells = texts[row]
        cells.extend([""] * (column + 1 - len(cells)))
        cells[column] = texts[first_row][first_column]
    kept = [row for row, cells in enumerate(texts) if any(cells)]
    bound(shown, len(kept), width)
    if not width:
        return None
    place = {row: number for number, row in enumerate(kept)}
    made = []
    for number, row in enumerate(kept):
        cells = texts[row][:width]
        cells.extend([""] * (width - len(cells)))
        made.append(GridRow(rows[row][0], tuple(Cell(text, (number, column)) for column, text in enumerate(cells))))
    for (row, column), (first_row, first_column) in merged.items():
        if row in place:
            made[place[row]] = _joined(made[place[row]], column, (place.get(first_row, place[row]), first_column))
    return Grid(name, tuple(made), sum(row < heads for row in kept))


def _filled(cells: Sequence[str]) -> int:
    width = len(cells)
    while width and not cells[width - 1]:
        width -= 1
    return width


def _joined(row: GridRow, column: int, first: Place) -> GridRow:
    cells = list(row.cells)
    cells[column] = cells[column]._replace(first=first)
    return row._replace(cells=tuple(cells))


def bound(shown: str, rows: int, columns: int) -> None:
    """Hold a table to the bounds.

    Raises
    ------
    BadInput
        It has more cells, or more columns, than are read.
    """
    if columns > MOST_COLUMNS:
        raise BadInput(f"{shown}: a row has {columns:,} cells, more than the {MOST_COLUMNS:,} that are read")
    if rows * columns > MOST_CELLS:
        raise BadInput(
            f"{shown}: has {rows * columns:,} cells or more, and {MOST_CELLS:,} are read: cut it into several files"
        )


def named(grids: Iterable[Grid | None]) -> tuple[Grid, ...]:
    """Leave out what is no grid, and name the others ``table 1`` and so on, where there are several."""
    found = [grid for grid in grids if grid is not None]
    if len(found) < 2:
        return tuple(found)
    return tuple(grid._replace(name=f"table {number}") for number, grid in enumerate(found, 1))
