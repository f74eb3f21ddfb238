"""Figures: what a cell of values says: a time, a pressure, both, several equal options; or what is no figure.

What is not understood to its last sign is not read at all: a range of times, a figure with a question mark, two figures
of which nobody says what they are.
"""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

from stillroom.foreign import notation, spans

KPA = Fraction("6.894757")
"""Kilopascals in one psi (NIST Special Publication 811, 2008, appendix B.8)."""
_TOKEN = re.compile(
    rf"(?P<mixed>[0-9]+[ -][0-9]+/[0-9]+)|(?P<fraction>[0-9]+/[0-9]+(?![0-9]))|(?P<number>{notation.NUMBER})"
    r"|(?P<word>[a-z]+\.?)|(?P<sign>\S)"
)
_MINUTES = frozenset(("min", "mins", "minute", "minutes"))
_HOURS = frozenset(("h", "hr", "hrs", "hour", "hours"))
_POUNDS = frozenset(("psi", "psig", "lb", "lbs", "pound", "pounds", "#"))
_KPA = frozenset(("kpa", "kilopascal", "kilopascals"))
_IDLE = frozenset(
    ("at", "@", "for", "process", "time", "of", "pressure", "in", "and", "gauge", "(", ")", ",", ":", "/")
)
_NEXT = re.compile(r"\s+or\s+|\s*;\s*|\s+\|\s+")
MOST_MINUTES = 1_000
"""A longer time is a slip of the pen (from memory; only guards against slips)."""


class Pressure(NamedTuple):
    """A pressure as it is written.

    Attributes
    ----------
    value : Fraction
    kpa : bool
        In kilopascals; psi otherwise.
    """

    value: Fraction
    kpa: bool = False

    def psi(self) -> Fraction:
        """In psi."""
        return self.value / KPA if self.kpa else self.value

    def is_psi(self, published: Fraction | int) -> bool:
        """Whether it is a published pressure, or one that is converted and rounded as it is written."""
        if not self.kpa:
            return self.value == published
        exact = published * KPA
        fives = self.value % 5 == 0 and round(exact / 5) * 5 == self.value
        return fives or spans.rounds_to(exact, self.value)

    def __str__(self) -> str:
        return f"{notation.shown(self.value)} {'kPa' if self.kpa else 'psi'}"


class Figure(NamedTuple):
    """One option in a cell.

    Attributes
    ----------
    minutes : Fraction or None
    pressure : Pressure or None
    bare : tuple of Fraction
        Figures without a unit, in their order.
    disagree : bool
        Two figures for one pressure that are not the same.
    """

    minutes: Fraction | None
    pressure: Pressure | None
    bare: tuple[Fraction, ...] = ()
    disagree: bool = False


@lru_cache(maxsize=20_000)
def read(text: str) -> tuple[Figure, ...]:
    """Read the options of a folded cell; empty where it is not understood to its last sign."""
    said = text.casefold().strip().rstrip(".")
    parts = [part for line in _lines(said) for part in _NEXT.split(line) if part.strip()]
    if len(parts) > 6:
        return ()
    found = [_option(part) for part in parts]
    return tuple(one for one in found if one is not None) if all(one is not None for one in found) else ()


def _lines(said: str) -> list[str]:
    """Lines of a cell that each hold a whole option; else all as one: a pressure may stand under its time."""
    lines = said.split("\n")
    if len(lines) > 1:
        each = [_option(line) for line in lines]
        if all(one is not None and (one.minutes is not None or len(one.bare) == 2) for one in each):
            return lines
    return [" ".join(lines)]


def _option(part: str) -> Figure | None:
    tokens = [(hit[0].rstrip("."), str(hit.lastgroup)) for hit in _TOKEN.finditer(part)]
    if any(kind == "sign" and text == "-" for text, kind in tokens):
        return None
    minutes: list[tuple[Fraction, bool]] = []
    pressures: list[Pressure] = []
    bare: list[Fraction] = []
    at = 0
    while at < len(tokens):
        text, kind = tokens[at]
        at += 1
        if kind not in ("mixed", "fraction", "number"):
            if text not in _IDLE:
                return None
            continue
        values = _split(text, kind)
        if values is None:
            return None
        bare.extend(values[:-1])
        unit = tokens[at][0] if at < len(tokens) else ""
        at += _take(values[-1], unit, minutes, pressures, bare)
    return _joined(minutes, pressures, bare)


def _split(text: str, kind: str) -> list[Fraction] | None:
    """Values of a token: 25/11 are two figures, 1/2 is a fraction."""
    if kind == "fraction" and len(text) <= notation.LONGEST_FIGURE:
        top, bottom = map(int, text.split("/"))
        if top >= bottom or bottom > 8:
            return [Fraction(top), Fraction(bottom)]
    value = notation.number(text)
    return None if value is None else [value]


def _take(
    value: Fraction,
    unit: str,
    minutes: list[tuple[Fraction, bool]],
    pressures: list[Pressure],
    bare: list[Fraction],
) -> int:
    """Put a value where its unit belongs; how many tokens the unit takes."""
    if unit in _MINUTES:
        minutes.append((value, False))
    elif unit in _HOURS:
        minutes.append((value, True))
    elif unit in _POUNDS:
        pressures.append(Pressure(value))
    elif unit in _KPA:
        pressures.append(Pressure(value, True))
    else:
        bare.append(value)
        return 0
    return 1


def _joined(minutes: list[tuple[Fraction, bool]], pressures: list[Pressure], bare: list[Fraction]) -> Figure | None:
    hours = [value for value, in_hours in minutes if in_hours]
    plain = [value for value, in_hours in minutes if not in_hours]
    if hours and bare and not plain and len(bare) == 1:
        plain, bare = bare, []  # 1 hr 15
    if len(hours) > 1 or len(plain) > 1 or len(pressures) > 2 or len(bare) > 2:
        return None
    time = sum(hours, Fraction(0)) * 60 + sum(plain) if hours or plain else None
    if time is not None and len(bare) > 1:
        return None
    if not (time is not None or pressures or bare):
        return None
    disagree = len(pressures) == 2 and not _agree(*pressures)
    return Figure(time, pressures[0] if pressures else None, tuple(bare), disagree)


def _agree(first: Pressure, second: Pressure) -> bool:
    psi, other = (first, second) if second.kpa else (second, first)
    if psi.kpa or not other.kpa:
        return first == second
    return other.is_psi(psi.value) or spans.rounds_to(other.psi(), psi.value)
