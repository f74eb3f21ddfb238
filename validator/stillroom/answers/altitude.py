"""Altitude: from what a person writes to feet above sea level.

One foot is 0.3048 meter exactly (NIST Special Publication 811, 2008, appendix B.8). Conversion is done in whole
numbers, so that 304.8 m is 1,000 ft and not a hair above it.
"""

from __future__ import annotations

import re
from typing import Any, NamedTuple

from stillroom.errors import BadInput

LOWEST_FT = -1_500
"""Below the lowest dry ground there is: a slip of the pen (from memory; only guards against slips)."""
HIGHEST_FT = 30_000
"""Above the highest ground there is: a slip of the pen (from memory; only guards against slips)."""

_WRITTEN = re.compile(
    r"([-+\u2212]?)((?:[0-9]{1,3}(?:,[0-9]{3})+|[0-9]{1,9})(?:\.[0-9]{1,12})?|\.[0-9]{1,12})\s*([^\W\d]+\.?|['\u2032])",
)
_THOUSANDS = re.compile(r"\.[0-9]{3}$")
"""A dot with exactly three digits after it: thousands to one reader, a fraction to another."""
_FEET = frozenset(("ft", "ft.", "foot", "feet", "'", "\u2032"))
_METRES = frozenset(("m", "m.", "metre", "metres", "meter", "meters"))
_ACCEPTED = 'write it like "1650 ft" or "503 m"'


class Height(NamedTuple):
    feet: float
    said: str


def read(said: Any) -> Height:
    return Height(in_feet(said), "")


def in_feet(altitude: Any) -> float:
    """Read an altitude.

    Parameters
    ----------
    altitude : str or pint quantity
        A number with its unit, feet or meters, like ``"1,650 ft"`` or ``"503 m"``; or a pint quantity of length.

    Returns
    -------
    float
        Feet above sea level; negative below it.

    Raises
    ------
    BadInput
        No unit, no number, a bare number, another unit, or higher than any ground.
    """
    if isinstance(altitude, str):
        return _within_reason(_from_text(altitude), altitude)
    if hasattr(altitude, "to") and hasattr(altitude, "magnitude"):
        return _within_reason(_from_quantity(altitude), str(altitude))
    if isinstance(altitude, (int, float)) and not isinstance(altitude, bool):
        raise BadInput(f'altitude {altitude} has no unit: write "{altitude} ft" or "{altitude} m"')
    raise BadInput(f"altitude {altitude!r} is neither text nor a quantity: {_ACCEPTED}")


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


def _from_text(text: str) -> float:
    written = _WRITTEN.fullmatch(text.strip()) if len(text) <= 60 else None
    if written is None:
        raise BadInput(_what_is_wrong(text))
    sign, digits, unit = written.groups()
    if _THOUSANDS.search(digits):
        raise BadInput(_dotted(text, digits, unit))
    whole, _, decimals = digits.replace(",", "").partition(".")
    numerator, denominator = int(whole + decimals), 10 ** len(decimals)
    unit = unit.casefold()
    if unit in _METRES:
        numerator, denominator = numerator * 10_000, denominator * 3_048
    elif unit not in _FEET:
        raise BadInput(f'altitude "{text.strip()}" has a unit that is neither feet nor meters: {_ACCEPTED}')
    feet: float = numerator / denominator
    return -feet if sign in ("-", "\u2212") else feet


def _dotted(text: str, digits: str, unit: str) -> str:
    plain = digits.replace(",", "")
    return (
        f'altitude "{text.strip()}" has a dot before three digits, which may stand for thousands or for a fraction: '
        f'write "{plain.replace(".", "")} {unit}" or "{float(plain):g} {unit}"'
    )


def _what_is_wrong(text: str) -> str:
    shown = " ".join(text.split())
    shown = shown if len(shown) <= 40 else shown[:37] + "..."
    if not shown:
        return f"altitude is empty: {_ACCEPTED}"
    if re.fullmatch(r"[-+]?[0-9][0-9,]*(\.[0-9]+)?", shown):
        return f'altitude "{shown}" has no unit: write "{shown} ft" or "{shown} m"'
    return f'altitude "{shown}" is not a number with a unit: {_ACCEPTED}'


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
