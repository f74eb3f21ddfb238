"""Altitude: from what a person writes to feet above sea level.

One foot is 0.3048 meter exactly (NIST Special Publication 811, 2008, appendix B.8). Conversion is done in whole
numbers, so that 304.8 m is 1,000 ft and not a hair above it. A plain figure in feet or meters is read here; whatever
else people write, in ``altitude_words``.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Any, NamedTuple

from stillroom.answers.heights import ACCEPTED, FOOT, METER, in_whole_numbers, shown
from stillroom.errors import BadInput

LOWEST_FT = -1_500
"""Below the lowest dry ground there is: a slip of the pen (from memory; only guards against slips)."""
HIGHEST_FT = 30_000
"""Above the highest ground there is: a slip of the pen (from memory; only guards against slips)."""
_PLAIN = re.compile(r" *([-+]?)([1-9][0-9]{0,2}(?:,[0-9]{3})+|[0-9]{1,9})(\.[0-9]{1,12})? ?(ft|feet|m|meters) *")
_THOUSANDS = 4
"""A dot and three digits: thousands to one reader, a fraction to another."""


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
        return _from_text(altitude)
    if hasattr(altitude, "to") and hasattr(altitude, "magnitude"):
        return Height(_within_reason(_from_quantity(altitude), str(altitude)), "")
    if isinstance(altitude, (int, float)) and not isinstance(altitude, bool):
        raise BadInput(f'altitude {altitude} has no unit: write "{altitude} ft" or "{altitude} m"')
    raise BadInput(f"altitude {altitude!r} is neither text nor a quantity: {ACCEPTED}")


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


@lru_cache(maxsize=4_096)
def _from_text(text: str) -> Height:
    plain = _PLAIN.fullmatch(text)
    decimals = "" if plain is None else plain[3] or ""
    if plain is None or len(decimals) == _THOUSANDS:
        from stillroom.answers import altitude_words

        feet, said = altitude_words.read(text)
    else:
        feet, said = in_whole_numbers(plain[2] + decimals, FOOT if plain[4].startswith("f") else METER), ""
        feet = -feet if plain[1] == "-" and feet else feet
    return Height(_within_reason(feet, shown(text)), said)


def _from_quantity(quantity: Any) -> float:
    try:
        feet = float(quantity.to("foot").magnitude)
    except Exception as error:  # pint has its own errors; they must not reach the user
        raise BadInput(f'altitude "{quantity}" is not a length: {ACCEPTED}') from error
    return round(feet, 9)  # 304.8 m is 1,000 ft, whatever the last bit of the conversion says


def _within_reason(feet: float, said: str) -> float:
    if feet != feet:
        raise BadInput(f'altitude "{said}" is not a number: {ACCEPTED}')
    if not LOWEST_FT <= feet <= HIGHEST_FT:
        raise BadInput(f'altitude "{said}" is {feet:,.0f} ft, where there is no ground: check the figure and its unit')
    return feet
