"""Grid: a foreign table as cells of text at their places, whatever file it came from; nothing of it understood yet."""

from __future__ import annotations

from typing import NamedTuple


class Cell(NamedTuple):
    """One cell as it is written.

    Attributes
    ----------
    text : str
        Its text, each run of white space one space; a break within the cell is ``\\n``. Blank where it is empty.
    first : tuple of int
        Row and column, as places in the grid, of the cell that it is a part of: its own place, or that of the upper
        left corner of a merged cell, whose text every part repeats.
    """

    text: str
    first: tuple[int, int]


class GridRow(NamedTuple):
    """One row.

    Attributes
    ----------
    line : int
        Line of the text file, or row of the sheet, as a person counts it: from one.
    cells : tuple of Cell
        As many as the grid has columns.
    """

    line: int
    cells: tuple[Cell, ...]


class Grid(NamedTuple):
    """One table, or one sheet. Titles and notes may stand in its rows, too.

    Attributes
    ----------
    name : str
        Name of the sheet, or ``table 2`` of a file with several; blank where it is the only one.
    rows : tuple of GridRow
        All with the same number of cells. Rows that are blank are left out.
    heads : int
        How many of the first rows the file itself marks as heads (Markdown, HTML); 0 where it marks none.
    """

    name: str
    rows: tuple[GridRow, ...]
    heads: int = 0


class Said(NamedTuple):
    """A line of text beside the tables: a title, a heading, a caption, a note.

    Attributes
    ----------
    line : int
        As in the rows of a grid, from one.
    text : str
        Its words, white space folded; or what a person has to know of the sheet, like ``row 4 is hidden``.
    before : int
        Number of grids that stand before it in the file: 0 above the first.
    """

    line: int
    text: str
    before: int


class Foreign(NamedTuple):
    """A file, or a frame, as it was read.

    Attributes
    ----------
    name : str
        Name of the file without its folders; ``a table in memory`` for a frame.
    sha256 : str
        Of its bytes, in hexadecimal digits; of the CSV that a frame would be.
    form : str
        ``csv``, ``xlsx``, ``markdown``, ``html``, ``text`` or ``frame``.
    grids : tuple of Grid
        In the order of the file.
    said : tuple of Said
        What stands beside them, in the order of the file.
    """

    name: str
    sha256: str
    form: str
    grids: tuple[Grid, ...]
    said: tuple[Said, ...] = ()
