"""Log daytime: times of day without a date, like ``9:15`` or ``9:15 pm``, on the day that the record names."""

from __future__ import annotations

import re
from datetime import date
from functools import lru_cache

import numpy as np

from stillroom.errors import BadInput
from stillroom.run.arrays import Bytes, Truth, Whole
from stillroom.run.log_cells import Cells
from stillroom.run.log_names import TIME
from stillroom.run.log_numbers import digit
from stillroom.run.log_times import MINUTE, SECOND, seconds

DAY = 24 * 60 * MINUTE
"""Microseconds in a day."""
BEYOND = DAY // 2
"""A time of day that goes back by more than this is one of the next day; by less, it is a slip."""
_BEGINS = re.compile(r"[0-9]{1,2}:[0-9]{2}")
_HALF = re.compile(rb" *([ap])\.?m\.?", re.IGNORECASE)
_WRITTEN = re.compile(r"([0-9]{1,2}):([0-9]{2})(?::([0-9]{2}))?(?: *([ap])\.?m\.?)?", re.IGNORECASE)
_ADVICE = "write it like 9:15, 9:15:30, 9:15 pm or 21:15"


def looks_like(written: str) -> bool:
    """Tell whether a time begins like a time of day."""
    return _BEGINS.match(written) is not None


def midnight_us(day: date) -> int:
    """Give the midnight that a day begins with, microseconds from 1970."""
    return (day - date(1970, 1, 1)).days * DAY


def of_day_us(written: str) -> int | None:
    """Read one time of day, microseconds from midnight; None where it is something else."""
    found = _WRITTEN.fullmatch(written.strip())
    if found is None:
        return None
    hour, minute, second, half = int(found[1]), int(found[2]), int(found[3] or 0), found[4]
    if minute > 59 or second > 59 or hour > 23 or (half and not 1 <= hour <= 12):
        return None
    if half:
        hour = hour % 12 + (12 if half in "pP" else 0)
    return (hour * 60 + minute) * MINUTE + second * SECOND


def daytimes(cells: Cells, day: date | None) -> Whole:
    """Read a column of times of day. After midnight they are of the next day, once.

    Parameters
    ----------
    cells : Cells
        Every row has a time.
    day : date or None
        The day of the first.

    Returns
    -------
    array of int64
        Microseconds from 1970, as a clock without zone shows them; a step back of less than half a day stays one.

    Raises
    ------
    BadInput
        No day is known, a cell is no time of day, or midnight passes twice; names file and line.
    """
    if day is None:
        shown = cells.text(TIME, 0)
        said = f'time "{shown}" is not ISO 8601, and the record names no day for it'
        raise cells.refuse(0, f"{said}: write its date, like date: 2026-08-15")
    time_us = midnight_us(day) + _of_day(cells)
    nights = np.flatnonzero(np.diff(time_us) < -BEYOND)
    if len(nights) > 1:
        row = int(nights[1]) + 1
        raise cells.refuse(row, f"time {cells.text(TIME, row)} would be of a third day: write the dates too")
    for night in nights.tolist():
        time_us[night + 1 :] += DAY
    return time_us


def _of_day(cells: Cells) -> Whole:
    """Microseconds from midnight."""
    raw, (starts, ends) = cells.bytes, cells.columns[TIME]
    colon = starts + np.where(raw[starts + 1] == ord(":"), 1, 2)
    hour, wrong = _number(raw, starts, colon)
    minute, odd = _number(raw, colon + 1, colon + 3)
    wrong |= odd | (raw[colon] != ord(":")) | (colon + 3 > ends) | (hour > 23) | (minute > 59)
    second = seconds(raw, colon + 3, ends)
    wrong |= second.wrong
    half = np.zeros(len(starts), np.int64)
    for row in np.flatnonzero(~wrong & (second.ends < ends)).tolist():
        half[row] = _half(raw[second.ends[row] : ends[row]].tobytes())
    wrong |= (half < 0) | ((half > 0) & ((hour < 1) | (hour > 12)))
    if wrong.any():
        raise _no_time(cells, int(np.flatnonzero(wrong)[0]))
    mixed = np.flatnonzero((half > 0) != (half[0] > 0))
    if len(mixed):
        raise cells.refuse(int(mixed[0]), "time with am or pm and time without: write all times alike")
    hour = np.where(half > 0, hour % 12 + np.where(half == 2, 12, 0), hour)
    return (hour * 60 + minute) * MINUTE + second.time_us


def _no_time(cells: Cells, row: int) -> BadInput:
    return cells.refuse(row, f'time "{cells.text(TIME, row)}" is no time of day: {_ADVICE}')


def _number(raw: Bytes, starts: Whole, ends: Whole) -> tuple[Whole, Truth]:
    """Read a number of one or two digits, and tell where there is none."""
    first, last = digit(raw[starts]), digit(raw[ends - 1])
    two = ends - starts == 2
    return np.where(two, first, np.uint8(0)).astype(np.int64) * 10 + last, (first > 9) | (last > 9)


@lru_cache(maxsize=1_000)
def _half(written: bytes) -> int:
    """Read which half of the day: 1 before noon, 2 after; -1 where it is neither."""
    found = _HALF.fullmatch(written)
    return -1 if found is None else 1 if found[1] in b"aA" else 2
