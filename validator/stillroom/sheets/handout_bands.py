"""Handout bands: the altitude columns that somebody wants, read from words like ``0-3,000 ft, above 3,000 ft``."""

from __future__ import annotations

from collections.abc import Iterable

from stillroom.errors import BadInput
from stillroom.foreign import notation, spans
from stillroom.foreign.spans import Said
from stillroom.screen import shown
from stillroom.sheets.handout import HandoutColumn, column

_MOST = 20
"""Most columns of a handout (common practice, no source): more do not fit on a page."""
_LIKE = 'write them like "0-1,000 ft, 1,001-3,000 ft, above 3,000 ft"'


def read(text: str) -> tuple[HandoutColumn, ...]:
    """Read bands in feet, lowest first; the unit may stand once.

    Parameters
    ----------
    text : str

    Returns
    -------
    tuple of HandoutColumn

    Raises
    ------
    BadInput
        It is not understood to its last word, has no unit or another than feet, or a height stands in two bands.
    """
    found, rest = spans.found(notation.folded(text.replace("\n", " ")))
    left = [word for word in rest.replace(",", " ").replace(";", " ").split() if word.casefold() not in ("and", "ft")]
    if left or not found or len(found) > _MOST:
        raise BadInput(f'bands "{shown(text, 80)}" are not understood: {_LIKE}')
    units = {said.unit for said in found} - {""}
    if units != {"ft"}:
        fault = "have no unit" if not units else "must all be in feet"
        raise BadInput(f'bands "{shown(text, 80)}" {fault}: {_LIKE}')
    made = tuple(_column(said, text) for said in found)
    _apart(made, text)
    return made


def _column(said: Said, text: str) -> HandoutColumn:
    """Make one column; only whole feet are taken."""
    edges = [edge for edge in (said.low, said.high) if edge is not None]
    if said.point or any(edge.denominator != 1 for edge in edges):
        raise BadInput(f'"{shown(said.text)}" is no band of whole feet: {_LIKE}; for one height use --at')
    if said.high is None:
        return column(int(said.low or 0) + (1 if _above(said.text) else 0), None)
    return column(int(said.low or 0), int(said.high))


def _above(text: str) -> bool:
    """Whether a band without an upper limit begins above its height, and not at it: above 6,000, but 6,001 and up."""
    return text.casefold().startswith(("above", "over", "more", "greater", "higher", "beyond", "exceed", ">"))


def _apart(columns: Iterable[HandoutColumn], text: str) -> None:
    """Hold bands to their order, and no height to two of them."""
    top: int | None = -1
    for one in columns:
        low = -1 if one.above_ft is None else one.above_ft
        if top is None or low < top:
            raise BadInput(f'{one.head} in "{shown(text, 80)}" begins within the band before it, or below it: {_LIKE}')
        top = one.to_ft
