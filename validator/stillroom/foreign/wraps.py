"""Wraps: lines of a text table that go on with the cells of the row above.

Only words are ever joined. A line that holds a figure of its own is a row of its own: two figures in one cell are worse
than a row whose name is missing.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

_FIGURE = re.compile(r"[^A-Za-z]*[0-9\u00bc-\u00be\u2150-\u215e][^A-Za-z]*(?:[A-Za-z]{1,4}\.?)?[^A-Za-z]*")
"""A figure with at most a unit."""
_LONG = 60
"""Characters of what is no figure any more."""
_LONGEST = 1_000
"""Characters of a cell to which no line is added."""
_GOES_ON = re.compile(r"(?:[,(/\u2013-]|\b(?:and|or|with|in|of|for|the))$", re.IGNORECASE)
"""How a line ends that goes on in the next."""


def is_figure(text: str) -> bool:
    """Tell whether a cell is a figure, with a unit or without."""
    return len(text) < _LONG and _FIGURE.fullmatch(text) is not None


def goes_on(above: Sequence[str], cells: Sequence[str], indented: bool) -> bool:
    """Tell whether a line goes on with the row above.

    Parameters
    ----------
    above, cells : sequence of str
        Cells of the row so far, and of the line; blank where there is none.
    indented : bool
        Whether the line begins further right than its first column.
    """
    filled = [place for place, cell in enumerate(cells) if cell]
    if not filled or len(filled) == len(cells) or any(is_figure(cells[place]) for place in filled):
        return False
    if any(place >= len(above) or not above[place] or is_figure(above[place]) for place in filled):
        return False
    if any(len(above[place]) > _LONGEST for place in filled):
        return False
    return all(
        _GOES_ON.search(above[place])
        or ((place or indented) and (cells[place][0].islower() or cells[place][0] in "(&/"))
        for place in filled
    )


def joined(above: Sequence[str], cells: Sequence[str]) -> list[str]:
    """Put the cells of a line below those of the row above."""
    width = max(len(above), len(cells))
    upper, lower = [*above, *[""] * (width - len(above))], [*cells, *[""] * (width - len(cells))]
    return ["\n".join(part for part in parts if part) for parts in zip(upper, lower, strict=True)]
