"""Layout: which rows of a grid are titles, heads, sections, data and notes. Nothing is judged here."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from stillroom.answers.stems import plain
from stillroom.foreign import figures, notation
from stillroom.foreign.facets import Facets, Vocabulary
from stillroom.foreign.foods_named import FoodNames
from stillroom.foreign.grid import Grid, GridRow

TITLE, HEAD, SECTION, DATA, NOTE = "title", "head", "section", "data", "note"
LONGEST_TITLE = 14
"""Words of a line that may be a title; a longer one is a note (common practice, no source)."""
_COLUMN_KINDS = frozenset(
    ("acid", "altitude", "canner", "food", "form", "from", "headspace", "jar", "minutes", "note", "pack", "page")
) | {"pressure", "process", "to", "hours", "kpa"}
EMPTY, NOTHING_SAID, REFUSED, FIGURE, WORDS = "empty", "none", "refused", "figure", "words"


_BLANK = frozenset("-_./~ \n")
"""Signs with which people fill a cell that says nothing."""


class Block(NamedTuple):
    """Rows under one set of heads.

    Attributes
    ----------
    heads : tuple of int
        Places of the head rows in the grid.
    rows : tuple of tuple
        Kind and place of each further row: title, section, data or note.
    """

    heads: tuple[int, ...]
    rows: tuple[tuple[str, int], ...]


def kind_of(text: str, words: Vocabulary) -> str:
    """Tell what sort of content a cell has: empty, none, refused, figure or words."""
    folded = notation.folded(text)
    if not folded:
        return EMPTY if not text.strip() else NOTHING_SAID
    if figures.read(folded):
        return FIGURE
    if not plain(folded):
        return NOTHING_SAID if _BLANK.issuperset(folded) else WORDS
    kinds = words.read(text)
    if not kinds.left and not kinds.says:
        if "refused" in kinds.kinds:
            return REFUSED
        if "none" in kinds.kinds:
            return NOTHING_SAID
    return WORDS


class Rows:
    """Sorts the rows of one grid.

    Parameters
    ----------
    grid : Grid
    words : Vocabulary
    names : FoodNames
    """

    def __init__(self, grid: Grid, words: Vocabulary, names: FoodNames) -> None:
        self._grid, self._words, self._names = grid, words, names

    def blocks(self) -> tuple[Block, ...]:
        """Cut the grid into blocks; each new set of heads begins one."""
        blocks: list[tuple[list[int], list[tuple[str, int]]]] = [([], [])]
        for at, row in enumerate(self._grid.rows):
            heads, rows = blocks[-1]
            kind = self._kind(at, row, any(kind == DATA for kind, _ in rows), bool(heads))
            if kind != HEAD:
                rows.append((kind, at))
            elif any(kind == DATA for kind, _ in rows):
                blocks.append(([at], []))
            else:
                heads.append(at)
        return tuple(Block(tuple(heads), tuple(rows)) for heads, rows in blocks if heads or rows)

    def _kind(self, at: int, row: GridRow, after_data: bool, after_head: bool) -> str:
        filled = filled_cells(row)
        if len(filled) == 1 and len(row.cells) > 1:
            return self._alone(at, filled[0], after_data, after_head)
        if at < self._grid.heads:
            return HEAD
        kinds = [kind_of(text, self._words) for text in filled]
        if FIGURE in kinds and not self._pressures_above(filled, after_data):
            return DATA
        if not after_data:
            no_head = self._names_food(filled[0]) or (after_head and not self._is_head(filled))
            return DATA if no_head else HEAD
        return HEAD if self._is_head(filled) and not self._names_food(filled[0]) else DATA

    def _alone(self, at: int, text: str, after_data: bool, after_head: bool) -> str:
        """A row with one filled cell: a title before the heads; a section, a food without values, or a note below."""
        if not (after_data or after_head):
            return TITLE
        if notation.marked(text) or len(text.split()) > LONGEST_TITLE or text.rstrip().endswith((".", "!")):
            return NOTE if not self._names_food(text) else SECTION
        if self._names_food(text) and self._next_has_food(at):
            return DATA
        return SECTION

    def _next_has_food(self, at: int) -> bool:
        """Whether the next row with several cells has a food of its own in its first cell."""
        for row in self._grid.rows[at + 1 :]:
            filled = filled_cells(row)
            if len(filled) > 1:
                first = row.cells[0].text
                return bool(first.strip()) and self._names_food(first)
        return False

    def _pressures_above(self, filled: Sequence[str], after_data: bool) -> bool:
        """Whether the only figures of a row are pressures, and it begins like a head: 11 psi, 12 psi over columns."""
        first = self._words.read(filled[0])
        told = [text for text in filled if kind_of(text, self._words) == FIGURE]
        if after_data or (len(told) < 2 and len(filled) > 2):
            return False
        pure = all(self._words.read(text).pressure is not None and not self._words.read(text).left for text in told)
        return pure and not self._names_food(filled[0]) and (bool(first.kinds) or filled[0] in told or not first.left)

    def _is_head(self, filled: Sequence[str]) -> bool:
        read = [self._words.read(text) for text in filled]
        return sum(map(heads_something, read)) * 2 >= len(read)

    def _names_food(self, text: str) -> bool:
        facets = self._words.read(text)
        return facets.names and not _only_kinds(facets) and self._names.named(text).known


def heads_something(facets: Facets) -> bool:
    """Whether a text reads like the head of a column."""
    return facets.says or bool(facets.kinds & _COLUMN_KINDS)


def _only_kinds(facets: Facets) -> bool:
    return not facets.left and bool(facets.kinds & _COLUMN_KINDS)


def filled_cells(row: GridRow) -> list[str]:
    """Texts of the cells that say something, a merged one once."""
    seen: dict[tuple[int, int], str] = {}
    for cell in row.cells:
        if cell.text.strip():
            seen.setdefault(cell.first, cell.text)
    return list(seen.values())


def head_parts(grid: Grid, heads: Sequence[int]) -> list[list[str]]:
    """Texts that stand above each column, upper first; a wide head of a file without merged cells reaches right."""
    columns = len(grid.rows[0].cells) if grid.rows else 0
    parts: list[list[str]] = [[] for _ in range(columns)]
    for order, at in enumerate(heads):
        cells = grid.rows[at].cells
        last = order == len(heads) - 1
        wide = ""
        for column, cell in enumerate(cells):
            text = cell.text.strip()
            if text:
                wide = text
            elif not last and _filled_below(grid, heads[order + 1 :], column):
                text = wide if wide and column else ""
            if text and text not in parts[column]:
                parts[column].append(text)
    return parts


def _filled_below(grid: Grid, below: Sequence[int], column: int) -> bool:
    return any(grid.rows[at].cells[column].text.strip() for at in below)
