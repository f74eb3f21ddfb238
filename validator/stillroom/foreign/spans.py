"""Spans: the altitudes that a head, a cell or a title states, from words like ``1,001-3,000 ft`` or ``above 1,000 m``.

One foot is 0.3048 meter exactly (NIST Special Publication 811, 2008, appendix B.8). A height in meters that is a
published edge, rounded as it is written, counts as that edge: 305 m, 300 m and 304.8 m all stand for 1,000 ft.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

from stillroom.foreign.notation import LONGEST_FIGURE, NUMBER

FOOT = Fraction(3048, 10_000)
"""Meters in a foot."""
_UNIT = r"(?:(?:ft|feet|foot|meters?|metres?|m)\b\.?|')"
_ONE = rf"({NUMBER}) ?({_UNIT})?"
_ABOVE = r"(?:above|over|more than|greater than|higher than|beyond|exceeding|>)"
_BELOW = r"(?:up to|below|under|less than|lower than|at or below|at or under|not over|<=|<|\u2264)"
_MORE = r"(?:\+|(?:and|or) (?:up|above|over|more|higher|greater)\b)"
_LESS = r"(?:(?:and|or) (?:below|under|less|lower)\b)"
_PATTERN = re.compile(
    rf"(?P<range>(?:from |between )?(?P<low>{NUMBER}|sea level) ?(?P<low_unit>{_UNIT})? ?"
    rf"(?:-|to|through|thru|until|and) ?(?P<high>{NUMBER}) ?(?P<high_unit>{_UNIT})?)(?![0-9])"
    rf"|(?P<above>{_ABOVE} ?(?P<above_at>{NUMBER}) ?(?P<above_unit>{_UNIT})?)(?![0-9])"
    rf"|(?P<below>{_BELOW} ?(?P<below_at>{NUMBER}) ?(?P<below_unit>{_UNIT})?)(?![0-9])"
    rf"|(?P<more>(?P<more_at>{NUMBER}) ?(?P<more_unit>{_UNIT})? ?{_MORE}(?: ?(?P<more_late>{_UNIT}))?)"
    rf"|(?P<less>(?P<less_at>{NUMBER}) ?(?P<less_unit>{_UNIT})? ?{_LESS})"
    rf"|(?P<sea>\bsea level\b)"
    rf"|(?P<point>(?P<point_at>{NUMBER}) ?(?P<point_unit>{_UNIT}))(?![a-z0-9])",
    re.IGNORECASE,
)
_FIGURES = ("low", "high", "above_at", "below_at", "more_at", "less_at", "point_at")
_AFTER = re.compile(r"^ ?(?:above sea level|in elevation|in altitude|of elevation|of altitude|elevation|altitude)")
SMALLEST = 250
"""A single height, and one without a unit, are told from a time or a pressure by their size: at least this much
(from memory; the lowest edge of any band is higher, in feet and in meters)."""


class Said(NamedTuple):
    """Altitudes as they are said.

    Attributes
    ----------
    low, high : Fraction or None
        In ``unit``; None without a limit.
    unit : str
        ``ft``, ``m``, or blank where none is written.
    point : bool
        One height, in both.
    text : str
        The words.
    """

    low: Fraction | None
    high: Fraction | None
    unit: str
    point: bool
    text: str


class Span(NamedTuple):
    """Altitudes in feet, from above the first up to and including the second; None without a limit.

    A point is the height itself: both are the same.
    """

    above_ft: float | None
    to_ft: float | None

    @property
    def point(self) -> bool:
        """Whether it is one height."""
        return self.above_ft is not None and self.above_ft == self.to_ft


def found(text: str) -> tuple[tuple[Said, ...], str]:
    """Find all altitudes in a folded text.

    Returns
    -------
    tuple
        What was found, and the text without it.
    """
    spans: list[Said] = []
    left, at = [], 0
    for hit in _PATTERN.finditer(text):
        said = _said(hit)
        if said is None or (hit.start() and text[hit.start() - 1].isalnum()):
            continue
        spans.append(said)
        left.append(text[at : hit.start()])
        at = hit.end()
        more = _AFTER.match(text[at:])
        at += more.end() if more else 0
    return tuple(spans), " ".join([*left, text[at:]]) if spans else text


def _said(hit: re.Match[str]) -> Said | None:
    kind = hit.lastgroup if hit.lastgroup in ("range", "above", "below", "more", "less", "sea", "point") else None
    kind = kind or next(name for name in ("range", "above", "below", "more", "less", "sea", "point") if hit[name])
    text = hit[0].strip()
    if any(len(hit[name] or "") > LONGEST_FIGURE for name in _FIGURES):
        return None
    if kind == "sea":
        return Said(Fraction(0), Fraction(0), "ft", True, text)
    if kind == "range":
        low = Fraction(0) if hit["low"].casefold() == "sea level" else _figure(hit["low"])
        high, unit = _figure(hit["high"]), _unit(hit["high_unit"] or hit["low_unit"])
        if hit["low_unit"] and hit["high_unit"] and _unit(hit["low_unit"]) != _unit(hit["high_unit"]):
            return None
        return Said(low, high, unit, False, text) if low < high and (unit or high >= SMALLEST) else None
    at, unit = _figure(hit[f"{kind}_at"]), _unit(hit[f"{kind}_unit"] or hit["more_late"])
    if at < (SMALLEST if kind == "point" or not unit else 1):
        return None
    if kind in ("above", "more"):
        return Said(at, None, unit, False, text)
    return Said(at, at, unit, True, text) if kind == "point" else Said(None, at, unit, False, text)


def _figure(text: str) -> Fraction:
    return Fraction(text.replace(",", ""))


def _unit(text: str | None) -> str:
    if not text:
        return ""
    return "m" if text.casefold().startswith("m") else "ft"


def in_feet(said: Said, unit: str, edges: Sequence[int]) -> Span:
    """Bring what is said to feet.

    Parameters
    ----------
    said : Said
    unit : str
        ``ft`` or ``m``: its own, or that of the table.
    edges : sequence of int
        Published upper edges of bands, feet.
    """
    if said.point and said.high is not None:
        feet = _feet(said.high, unit, edges)
        return Span(feet, feet)
    low = None if not said.low else _lower(said.low, unit, edges)
    return Span(low, None if said.high is None else _feet(said.high, unit, edges))


def _lower(low: Fraction, unit: str, edges: Sequence[int]) -> float:
    """Where a band begins: just above a published edge if the next whole figure above it is written."""
    for before in (low - 1, low):
        edge = _edge(before, unit, edges)
        if edge is not None:
            return float(edge)
    return _plain_feet(low, unit)


def _feet(high: Fraction, unit: str, edges: Sequence[int]) -> float:
    edge = _edge(high, unit, edges)
    return _plain_feet(high, unit) if edge is None else float(edge)


def _plain_feet(value: Fraction, unit: str) -> float:
    return float(value / FOOT) if unit == "m" else float(value)


def _edge(value: Fraction, unit: str, edges: Sequence[int]) -> int | None:
    """The published edge that a figure stands for."""
    if unit == "ft":
        return next((edge for edge in edges if edge == value), None)
    return next((edge for edge in edges if rounds_to(edge * FOOT, value)), None)


def rounds_to(exact: Fraction, written: Fraction) -> bool:
    """Whether an exact figure, rounded as coarsely as another is written, is that other."""
    if written.denominator != 1:
        places = len(f"{float(written):g}".partition(".")[2])
        return round(exact, places) == written
    step = 1
    while written and written % (step * 10) == 0 and step < 100:
        step *= 10
    return any(_nearest(exact, near) == written for near in (1, 10, 100) if near <= step)


def _nearest(exact: Fraction, step: int) -> int:
    return int(exact / step + Fraction(1, 2)) * step
