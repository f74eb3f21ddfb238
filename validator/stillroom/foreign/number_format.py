"""Number format: a number or a date of a sheet as people see it in its cell (ECMA-376, 18.8.31, the common codes)."""

from __future__ import annotations

import calendar
import datetime
import re
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

_LITERAL = re.compile(r'"([^"]*)"|\\(.)|[_*].|\[[^\]]*\]')
_PLAIN = re.compile(r"([#0?,]*[#0?])(?:\.([#0?]*))?(%?)")
_FRACTION = re.compile(r"(?:#+|0+)?\s*\?+\s*/\s*(\?+|[0-9]+)")
_DATE = re.compile(r"y+|m+|d+")
_NAMED_MONTH = re.compile(r"(?:(?:d{1,2}|y{1,4})[-/ .,]*)*m{3,4}(?:[-/ .,]*(?:d{1,2}|y{1,4}))*")
_GENERAL = ("", "general", "@")
_LONGEST = 200
_LARGEST = 10**15


def number_shown(value: float, code: str) -> str:
    """Write a number as its cell shows it.

    Parameters
    ----------
    value : float
    code : str
        Its number format; one that is not known here is passed over.

    Returns
    -------
    str
        Like ``35``, ``0.5``, ``1/2`` or ``35 min``.
    """
    if code.lower() in _GENERAL or len(code) > _LONGEST or abs(value) >= _LARGEST:
        return _general(value)
    parts = code.split(";")
    part = parts[1] if value < 0 and len(parts) > 1 else parts[0]
    signed = value if part is parts[0] else -value
    kept: list[str] = []

    def hold(found: re.Match[str]) -> str:
        words = found[1] if found[1] is not None else found[2]
        kept.append(words if words is not None else " " if found[0].startswith("_") else "")
        return "\ue000"

    bare = _LITERAL.sub(hold, part)
    found = _FRACTION.search(bare) or _PLAIN.search(bare)
    rest = "" if found is None else bare[: found.start()] + bare[found.end() :]
    if found is None or re.search(r"[#0?A-Za-z]", rest):
        return _general(value)
    figure = _fraction(signed, found[1]) if "/" in found[0] else _plain(signed, found)
    whole = bare[: found.start()] + "\ue001" + bare[found.end() :]
    for words in kept:
        whole = whole.replace("\ue000", words, 1)
    return whole.replace("\ue001", figure).strip()


def _general(value: float) -> str:
    return str(value) if isinstance(value, int) else f"{value:.11g}"


def _plain(value: float, code: re.Match[str]) -> str:
    number = Decimal(repr(value)) * (100 if code[3] else 1)
    places = code[2] or ""
    number = number.quantize(Decimal(1).scaleb(-len(places)), ROUND_HALF_UP)
    text = f"{number:,f}" if "," in code[1] else f"{number:f}"
    optional = len(places) - len(places.rstrip("#?"))
    for _ in range(optional):
        text = text.removesuffix("0") if "." in text else text
    return text.removesuffix(".") + code[3]


def _fraction(value: float, below: str) -> str:
    """Write a fraction with as many digits below the line as are allowed, or with the number that is printed there."""
    exact = Fraction(repr(abs(value)))
    if below.isdigit() and int(below):
        parts = round(exact * int(below))
        whole, above, under = parts // int(below), parts % int(below), int(below)
    else:
        near = exact.limit_denominator(10 ** min(len(below), 4) - 1)
        whole, above, under = near.numerator // near.denominator, near.numerator % near.denominator, near.denominator
    sign = "-" if value < 0 else ""
    if not above:
        return f"{sign}{whole}"
    return f"{sign}{whole} {above}/{under}" if whole else f"{sign}{above}/{under}"


def date_shown(value: datetime.datetime | datetime.date | datetime.time | datetime.timedelta, code: str) -> str:
    """Write a date or a time of day as its cell shows it, where that cannot be read as a number or a fraction.

    Parameters
    ----------
    value : datetime, date, time or timedelta
    code : str
        Its number format.

    Returns
    -------
    str
        Like ``2-Jan`` or ``Jan-02``; in full, like ``2026-11-12``, where the cell shows figures alone.
    """
    if isinstance(value, datetime.datetime) and value.time() == datetime.time():
        value = value.date()
    bare = _LITERAL.sub(lambda found: found[1] or found[2] or "", code.split(";")[0]).lower()
    if isinstance(value, datetime.date) and _NAMED_MONTH.fullmatch(bare):
        return _DATE.sub(lambda found: _part(value, found[0]), bare)
    return value.isoformat(" ") if isinstance(value, datetime.datetime) else str(value)


def _part(day: datetime.date, token: str) -> str:
    if token in ("d", "dd"):
        return f"{day.day:0{len(token)}d}"
    if token[0] == "y":
        return f"{day.year:04d}" if len(token) > 2 else f"{day.year % 100:02d}"
    name = calendar.month_name[day.month] if len(token) > 3 else calendar.month_abbr[day.month]
    return str(name)
