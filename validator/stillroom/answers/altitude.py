"""Altitude: from what a person writes to feet above sea level.

One foot is 0.3048 meter exactly (NIST Special Publication 811, 2008, appendix B.8), and one mile is 5,280 feet (NIST
Handbook 44, appendix C). Conversion is done in whole numbers, so that 304.8 m is 1,000 ft and not a hair above it.

A height is one figure with its unit. A guess or a range may lie on both sides of the edge of a band, and a place has
many heights: none of these is read.
"""

from __future__ import annotations

import re
import unicodedata
from typing import Any, NamedTuple

from stillroom import screen
from stillroom.errors import BadInput

LOWEST_FT = -1_500
"""Below the lowest dry ground there is: a slip of the pen (from memory; only guards against slips)."""
HIGHEST_FT = 30_000
"""Above the highest ground there is: a slip of the pen (from memory; only guards against slips)."""
LONGEST = 60
"""Longest altitude that is looked at, characters."""

_NUMBER = r"(?P<number>(?:[1-9][0-9]{0,2}(?:(?:,[0-9]{3})+|(?: [0-9]{3})+)|[0-9]{1,9})(?:\.[0-9]{1,12})?|\.[0-9]{1,12})"
_WRITTEN = re.compile(
    r"(?P<before>(?:at )?(?:(?:an? |the |my )?(?:elevation|altitude|elev\.?|alt\.?)(?: is| of|:)? )?)"
    rf"(?P<sign>[-+]?) ?{_NUMBER} ?(?P<unit>[^\W\d_]+\.?|')(?: ?(?P<inches>[0-9]{{1,2}}) ?\")?"
    r"(?P<after>|(?: elevation| altitude| of elevation| of altitude| in elevation| high)?"
    r"(?:| asl| amsl| (?P<side>above|below) (?:the |mean )?sea[ -]level))"
)
_SEA_LEVEL = re.compile(r"(?:at |(?P<below>below ))?(?:the |mean )?sea[ -]?level")
_THOUSANDS = re.compile(r"\.[0-9]{3}$")
"""A dot with exactly three digits after it: thousands to one reader, a fraction to another."""
_GUESS = re.compile(
    r"~|\b(?:about|abt|around|approx|approximately|roughly|circa|ca|near|nearly|almost|maybe|some|ish)\b"
)
_RANGE = re.compile(
    r"[0-9] ?(?:ft|feet|m|meters)? ?(?:-|to|or|and) ?[0-9]|[<>]|"
    r"\b(?:between|over|under|up to|more than|less than|at least|at most|higher than|lower than)\b|"
    r"\b(?:above|below) [0-9]"
)
_FOOT = (1, 1)
_METER = (10_000, 3_048)
_KILOMETER = (10_000_000, 3_048)
_MILE = (5_280, 1)
_UNITS = {
    **dict.fromkeys(("ft", "foot", "feet", "'"), _FOOT),
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), _METER),
    **dict.fromkeys(("km", "kms", "kilometre", "kilometres", "kilometer", "kilometers"), _KILOMETER),
    **dict.fromkeys(("mi", "mile", "miles"), _MILE),
}
"""Feet in each unit, as a numerator and a denominator."""
_INCHES_IN_A_FOOT = 12
_SIGNS = str.maketrans(
    {
        **{chr(code): chr(code - 0xFEE0) for code in range(0xFF01, 0xFF5F)},
        **dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2212\ufe63", "-"),
        **dict.fromkeys("\u2018\u2019\u2032\u02bc", "'"),
        **dict.fromkeys("\u201c\u201d\u2033", '"'),
    }
)
"""Full-width signs, dashes, minus, and marks of feet and inches, as a plain keyboard has them."""
_ACCEPTED = 'write it like "1650 ft" or "503 m"'
_LOOK_UP = "topographic maps, a phone or GPS receiver, or the local extension office tell the height of a place"


class Height(NamedTuple):
    """An altitude that was read.

    Attributes
    ----------
    feet : float
        Feet above sea level; negative below it.
    said : str
        What was said, where it was more or other than a plain figure in feet or meters; else blank.
    """

    feet: float
    said: str


def read(altitude: Any) -> Height:
    """Read an altitude, and what of it to say back.

    Parameters
    ----------
    altitude : str or pint quantity
        A number with its unit: feet, meters, kilometers or miles, like ``"1,650 ft above sea level"`` or ``"0.5 km"``;
        or ``"sea level"``; or a pint quantity of length.

    Raises
    ------
    BadInput
        No unit, no number, a bare number, another unit, a guess, a range, a place, or higher than any ground.
    """
    if isinstance(altitude, str):
        height = _from_text(altitude)
        return Height(_within_reason(height.feet, _shown(altitude)), height.said)
    if hasattr(altitude, "to") and hasattr(altitude, "magnitude"):
        return Height(_within_reason(_from_quantity(altitude), str(altitude)), "")
    if isinstance(altitude, (int, float)) and not isinstance(altitude, bool):
        raise BadInput(f'altitude {altitude} has no unit: write "{altitude} ft" or "{altitude} m"')
    raise BadInput(f"altitude {altitude!r} is neither text nor a quantity: {_ACCEPTED}")


def in_feet(altitude: Any) -> float:
    """Read an altitude in feet above sea level, negative below it; see :func:`read`."""
    return read(altitude).feet


def further_minutes(altitude_ft: float) -> int:
    """Count the minutes that boiling takes longer at an altitude: one for each full 1,000 ft.

    The publication prints a time below 1,000 ft and one minute for each additional 1,000 ft. It can be read so that the
    first minute is due at 1,000 ft or at 2,000 ft; this is the longer reading.
    Source: USDA, Complete Guide to Home Canning, 2015, pages 1-15 and iii.

    Parameters
    ----------
    altitude_ft : float
        Feet above sea level.

    Returns
    -------
    int
        Minutes; 0 below 1,000 ft.
    """
    return max(0, int(altitude_ft // 1_000))


def _folded(text: str) -> str:
    """Bring an altitude to lower case and the signs of a plain keyboard, with one space between its words."""
    if not text.isascii():
        text = "".join(" " if unicodedata.category(c) == "Zs" else c for c in text.translate(_SIGNS))
    return " ".join(text.split()).casefold()


def _from_text(text: str) -> Height:
    if len(text) > LONGEST:
        raise BadInput(_what_is_wrong(text, ""))
    words = _folded(text)
    sea = _SEA_LEVEL.fullmatch(words)
    if sea is not None:
        return Height(0.0, _shown(text))
    written = _WRITTEN.fullmatch(words)
    if written is None:
        raise BadInput(_what_is_wrong(text, words))
    digits, unit, side = written["number"], written["unit"].removesuffix("."), written["side"]
    if unit not in _UNITS:
        raise BadInput(
            f'altitude "{_shown(text)}" is in a unit other than feet, meters, kilometers or miles: {_ACCEPTED}'
        )
    small = _UNITS[unit] in (_FOOT, _METER)
    if _THOUSANDS.search(digits) and (small or digits.partition(".")[0] not in ("", "0")):
        raise BadInput(_dotted(text, digits, unit, small))
    if (side and written["sign"]) or (written["inches"] and (unit != "'" or int(written["inches"]) >= 12)):
        raise BadInput(_what_is_wrong(text, words))
    feet = _feet(digits, _UNITS[unit], int(written["inches"] or 0))
    plainly = small and not (written["before"] or written["after"] or written["inches"] or " " in digits)
    below = written["sign"] == "-" or side == "below"
    return Height(-feet if below and feet else feet, "" if plainly else _shown(text))


def _feet(digits: str, unit: tuple[int, int], inches: int) -> float:
    """Convert in whole numbers; only the last step rounds."""
    whole, _, decimals = digits.replace(",", "").replace(" ", "").partition(".")
    numerator, denominator = int(whole + decimals) * unit[0], 10 ** len(decimals) * unit[1]
    feet: float = (numerator * _INCHES_IN_A_FOOT + inches * denominator) / (denominator * _INCHES_IN_A_FOOT)
    return feet


def _dotted(text: str, digits: str, unit: str, small: bool) -> str:
    plain = digits.replace(",", "").replace(" ", "")
    either = f'"{plain.replace(".", "")} {unit}" or ' if small else ""
    return (
        f'altitude "{_shown(text)}" has a dot before three digits, which may stand for thousands or for a fraction: '
        f'write {either}"{float(plain):g} {unit}"'
    )


def _shown(text: str) -> str:
    return screen.shown(" ".join(text.split()))


def _what_is_wrong(text: str, words: str) -> str:
    shown = _shown(text)
    if not shown:
        return f"altitude is empty: {_ACCEPTED}"
    if re.fullmatch(r"[-+]?[0-9][0-9, ]*(\.[0-9]+)?", words):
        return f'altitude "{shown}" has no unit: write "{shown} ft" or "{shown} m"'
    if _GUESS.search(words):
        return f'altitude "{shown}" is a guess, and an altitude band may end beside it: {_ACCEPTED}; {_LOOK_UP}'
    if _RANGE.search(words):
        return f'altitude "{shown}" is a range and not one height: {_ACCEPTED}; {_LOOK_UP}'
    figure = any(c.isdigit() for c in shown)
    return f'altitude "{shown}" is not a number with a unit: {_ACCEPTED}{"" if figure else f"; {_LOOK_UP}"}'


def _from_quantity(quantity: Any) -> float:
    try:
        feet = float(quantity.to("foot").magnitude)
    except Exception as error:  # pint has its own errors; they must not reach the user
        raise BadInput(f'altitude "{quantity}" is not a length: {_ACCEPTED}') from error
    return round(feet, 9)  # 304.8 m is 1,000 ft, whatever the last bit of the conversion says


def _within_reason(feet: float, shown: str) -> float:
    if feet != feet:
        raise BadInput(f'altitude "{shown}" is not a number: {_ACCEPTED}')
    if not LOWEST_FT <= feet <= HIGHEST_FT:
        raise BadInput(f'altitude "{shown}" is {feet:,.0f} ft, where there is no ground: check the figure and its unit')
    return feet
