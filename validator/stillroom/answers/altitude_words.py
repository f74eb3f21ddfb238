"""Altitude words: heights as people write them, beyond a plain figure in feet or meters.

One mile is 5,280 feet (NIST Handbook 44, appendix C). Conversion is done in whole numbers.

A height is one figure with its unit. A guess or a range may lie on both sides of the edge of a band, and a place has
many heights: none of these is read.
"""

from __future__ import annotations

import re
import unicodedata

from stillroom.answers.heights import ACCEPTED, FOOT, METER, in_whole_numbers, shown
from stillroom.errors import BadInput

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
_KILOMETER = (10_000_000, 3_048)
_MILE = (5_280, 1)
_UNITS = {
    **dict.fromkeys(("ft", "foot", "feet", "'"), FOOT),
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), METER),
    **dict.fromkeys(("km", "kms", "kilometre", "kilometres", "kilometer", "kilometers"), _KILOMETER),
    **dict.fromkeys(("mi", "mile", "miles"), _MILE),
}
"""Feet in each unit, as a numerator and a denominator."""
_SIGNS = str.maketrans(
    {
        **{chr(code): chr(code - 0xFEE0) for code in range(0xFF01, 0xFF5F)},
        **dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2212\ufe63", "-"),
        **dict.fromkeys("\u2018\u2019\u2032\u02bc", "'"),
        **dict.fromkeys("\u201c\u201d\u2033", '"'),
    }
)
"""Full-width signs, dashes, minus, and marks of feet and inches, as a plain keyboard has them."""
_LOOK_UP = "topographic maps, a phone or GPS receiver, or the local extension office tell the height of a place"


def _folded(text: str) -> str:
    """Bring an altitude to lower case and the signs of a plain keyboard, with one space between its words."""
    if not text.isascii():
        text = "".join(" " if unicodedata.category(c) == "Zs" else c for c in text.translate(_SIGNS))
    return " ".join(text.split()).casefold()


def read(text: str) -> tuple[float, str]:
    """Read a height: feet above sea level, and what was said where it was more than a plain figure; else blank.

    Raises
    ------
    BadInput
        No unit, no number, another unit, a guess, a range or a place.
    """
    if len(text) > LONGEST:
        raise BadInput(_what_is_wrong(text, ""))
    words = _folded(text)
    sea = _SEA_LEVEL.fullmatch(words)
    if sea is not None:
        return 0.0, shown(text)
    written = _WRITTEN.fullmatch(words)
    if written is None:
        raise BadInput(_what_is_wrong(text, words))
    digits, unit, side = written["number"], written["unit"].removesuffix("."), written["side"]
    if unit not in _UNITS:
        raise BadInput(
            f'altitude "{shown(text)}" is in a unit other than feet, meters, kilometers or miles: {ACCEPTED}'
        )
    small = _UNITS[unit] in (FOOT, METER)
    if _THOUSANDS.search(digits) and (small or digits.partition(".")[0] not in ("", "0")):
        raise BadInput(_dotted(text, digits, unit, small))
    if (side and written["sign"]) or (written["inches"] and (unit != "'" or int(written["inches"]) >= 12)):
        raise BadInput(_what_is_wrong(text, words))
    feet = in_whole_numbers(digits, _UNITS[unit], int(written["inches"] or 0))
    plainly = small and not (written["before"] or written["after"] or written["inches"] or " " in digits)
    below = written["sign"] == "-" or side == "below"
    return -feet if below and feet else feet, "" if plainly else shown(text)


def _dotted(text: str, digits: str, unit: str, small: bool) -> str:
    plain = digits.replace(",", "").replace(" ", "")
    either = f'"{plain.replace(".", "")} {unit}" or ' if small else ""
    return (
        f'altitude "{shown(text)}" has a dot before three digits, which may stand for thousands or for a fraction: '
        f'write {either}"{float(plain):g} {unit}"'
    )


def _what_is_wrong(text: str, words: str) -> str:
    said = shown(text)
    if not said:
        return f"altitude is empty: {ACCEPTED}"
    if re.fullmatch(r"[-+]?[0-9][0-9, ]*(\.[0-9]+)?", words):
        return f'altitude "{said}" has no unit: write "{said} ft" or "{said} m"'
    if _GUESS.search(words):
        return f'altitude "{said}" is a guess, and an altitude band may end beside it: {ACCEPTED}; {_LOOK_UP}'
    if _RANGE.search(words):
        return f'altitude "{said}" is a range and not one height: {ACCEPTED}; {_LOOK_UP}'
    figure = any(c.isdigit() for c in said)
    return f'altitude "{said}" is not a number with a unit: {ACCEPTED}{"" if figure else f"; {_LOOK_UP}"}'
