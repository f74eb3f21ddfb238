"""Log times: the minutes or ISO 8601 times of a log, in whole microseconds, and the clock they were read from."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from stillroom.run.arrays import Bytes, Truth, Whole
from stillroom.run.log_cells import Cells
from stillroom.run.log_numbers import PIECE, digit

MINUTE = 60_000_000
"""Microseconds in a minute. Times are whole microseconds, so that twenty minutes are twenty minutes."""
SECOND = 1_000_000
"""Microseconds in a second."""
FIRST_YEAR, LAST_YEAR = 1900, 2200
"""Years in which a day can lie (only guards against slips)."""
_TO_MINUTE = len("2026-08-15T10:24")
_SECONDS = len(":30")
_ZONE = len("+05:30")
_FRACTION_DIGITS, _KEPT_DIGITS = 12, 6
"""Digits of a second that are read, and those that count: microseconds."""


@dataclass(frozen=True)
class Clock:
    """How the log tells time: minutes of its own, or a wall clock with or without zone.

    Attributes
    ----------
    kind : str
        ``minute``, ``naive`` or ``zone``.
    offset_min : int
        Zone of the first row, minutes east of Greenwich; times are shown in it.
    """

    kind: str
    offset_min: int = 0

    def moment(self, time_us: int) -> datetime | None:
        """Wall-clock time; None where the log counts minutes."""
        if self.kind == "minute":
            return None
        utc = datetime(1970, 1, 1, tzinfo=UTC) + timedelta(microseconds=time_us)
        if self.kind == "naive":
            return utc.replace(tzinfo=None)
        return utc.astimezone(timezone(timedelta(minutes=self.offset_min)))

    def iso(self, time_us: int) -> str | None:
        """Wall-clock time in ISO 8601; None where the log counts minutes."""
        moment = self.moment(time_us)
        return None if moment is None else moment.isoformat()

    def show(self, time_us: int) -> str:
        """Write a time as a person reads it off: ``10:24``, ``10:24:30`` or ``minute 24``."""
        moment = self.moment(time_us)
        if moment is None:
            return f"minute {round(time_us / MINUTE, 2):g}"
        return moment.strftime("%H:%M:%S" if moment.second or moment.microsecond else "%H:%M")

    def between(self, start_us: int, end_us: int) -> str:
        """Write a stretch of time with its beginning and end."""
        return f"from {self.show(start_us)} to {self.show(end_us)}"


def minutes(us: float) -> str:
    """Write a length of time in minutes, to the second where it has seconds; never rounded up."""
    whole, rest = divmod(int(us), MINUTE)
    seconds = rest // SECOND
    said = f"{whole} minute{'' if whole == 1 and not seconds else 's'}"
    return f"{whole} min {seconds} s" if seconds else said


def cut_min(us: int) -> float:
    """Minutes to three decimals, cut and not rounded: 19.9999 minutes are not 20."""
    return us // (MINUTE // 1000) / 1000


class Times(NamedTuple):
    """The time of every row.

    Attributes
    ----------
    time_us : array of int64, shape (rows,)
        Microseconds.
    clock : Clock
    """

    time_us: Whole
    clock: Clock


# ISO 8601


class _Read(NamedTuple):
    """What pieces of fixed width say, and which of them say something else."""

    value: Whole
    wrong: Truth


class Seconds(NamedTuple):
    """Time within the minute, microseconds, finer digits cut off; the byte after it; and what is no time."""

    time_us: Whole
    ends: Whole
    wrong: Truth


class _Zones(NamedTuple):
    """Zones, minutes east of Greenwich (0 where there is none); which rows have none; which have something else."""

    east_min: Whole
    absent: Truth
    wrong: Truth


def wall_times(cells: Cells) -> Times:
    """Read ISO 8601 times. Rows with the same minute or zone as the one before them are not read anew.

    Parameters
    ----------
    cells : Cells
        Every row has a time.

    Raises
    ------
    BadInput
        A cell that is no time, or times with and without zone; names file and line.
    """
    raw, (starts, ends) = cells.bytes, cells.columns["time"]
    minute = _runs(raw, starts, _TO_MINUTE, _minute_of)
    second = seconds(raw, starts + _TO_MINUTE, ends)
    zone = _zones(raw, second.ends, ends)
    wrong = minute.wrong | (ends - starts < _TO_MINUTE) | second.wrong | zone.wrong
    if wrong.any():
        row = int(np.flatnonzero(wrong)[0])
        shown = cells.text("time", row)
        said = f'time "{shown}" is not ISO 8601' if shown else "time is empty"
        raise cells.refuse(row, f"{said}: write it like 2026-08-15T10:24 or 2026-08-15T10:24:30-05:00")
    if zone.absent.any() != zone.absent.all():
        row = int(np.flatnonzero(zone.absent != zone.absent[0])[0])
        has, first = ("no zone", "with one") if zone.absent[row] else ("a zone", "without")
        raise cells.refuse(row, f"time has {has} where the log begins {first}: write all times alike")
    time_us = (minute.value - zone.east_min) * MINUTE + second.time_us
    return Times(time_us, Clock("naive") if zone.absent[0] else Clock("zone", int(zone.east_min[0])))


def _runs(raw: Bytes, starts: Whole, width: int, read: Callable[[Bytes], _Read]) -> _Read:
    """Read a piece of fixed width of every row, once for each run of rows in which it is the same. Rows are compared
    several letters at a time, as whole numbers of 2 or 8 bytes: letter by letter it takes six times as long."""
    pieces = np.lib.stride_tricks.sliding_window_view(raw, width)[starts]
    words = pieces.view(np.uint64 if width % 8 == 0 else np.uint16)
    new = np.ones(len(starts), np.bool_)
    new[1:] = words[1:, 0] != words[:-1, 0]
    for word in range(1, words.shape[1]):
        new[1:] |= words[1:, word] != words[:-1, word]
    first = np.flatnonzero(new)
    found = read(pieces[first])
    counts = np.diff(first, append=len(starts))
    return _Read(np.repeat(found.value, counts), np.repeat(found.wrong, counts))


def _two(pieces: Bytes, at: int) -> _Read:
    """Read a number of two digits."""
    tens, ones = digit(pieces[:, at]), digit(pieces[:, at + 1])
    return _Read(tens.astype(np.int64) * 10 + ones, (tens > 9) | (ones > 9))


def _minute_of(pieces: Bytes) -> _Read:
    """Read the ``2026-08-15T10:24`` that a row begins with, as minutes from 1970."""
    parts = century, years, month, day, hour, minute = [_two(pieces, at) for at in (0, 2, 5, 8, 11, 14)]
    wrong = np.logical_or.reduce([part.wrong for part in parts])
    for at, letters in ((4, b"-"), (7, b"-"), (10, b"Tt "), (13, b":")):
        wrong |= ~np.isin(pieces[:, at], np.frombuffer(letters, np.uint8))
    year = century.value * 100 + years.value
    wrong |= (year < FIRST_YEAR) | (year > LAST_YEAR) | (month.value < 1) | (month.value > 12)
    wrong |= (day.value < 1) | (hour.value > 23) | (minute.value > 59)
    months = np.where(wrong, 0, (year - 1970) * 12 + month.value - 1)
    first_day, next_month = _first_day(months), _first_day(months + 1)
    wrong |= day.value > next_month - first_day
    return _Read(((first_day + day.value - 1) * 24 + hour.value) * 60 + minute.value, wrong)


def _first_day(months: Whole) -> Whole:
    """Days from 1970 to the first of a month, which is counted from 1970 too."""
    days: Whole = months.astype("datetime64[M]").astype("datetime64[D]").astype(np.int64)
    return days


def _zones(raw: Bytes, starts: Whole, ends: Whole) -> _Zones:
    """Read what follows the time: nothing, ``Z``, ``+05:30``, ``+0530`` or ``+05``."""
    length = ends - starts
    absent, full = length == 0, length == _ZONE
    zulu = (length == 1) & ((raw[starts] == ord("Z")) | (raw[starts] == ord("z")))
    found = _runs(raw, np.where(length >= _ZONE, ends - _ZONE, starts), _ZONE, _zone_of)
    east_min, wrong = np.where(full, found.value, 0), found.wrong & full
    for row in np.flatnonzero(~absent & ~full & ~zulu).tolist():
        short = _short_zone(raw[starts[row] : ends[row]].tobytes()) if length[row] > 0 else None
        wrong[row] = short is None
        east_min[row] = 0 if short is None else short
    return _Zones(east_min, absent, wrong)


def _zone_of(pieces: Bytes) -> _Read:
    """Read ``+05:30``."""
    hours, rest = _two(pieces, 1), _two(pieces, 4)
    west = pieces[:, 0] == ord("-")
    wrong = hours.wrong | rest.wrong | (hours.value > 23) | (rest.value > 59)
    wrong |= (pieces[:, 3] != ord(":")) | ~(west | (pieces[:, 0] == ord("+")))
    return _Read(np.where(west, -1, 1) * (hours.value * 60 + rest.value), wrong)


@lru_cache(maxsize=1_000)
def _short_zone(written: bytes) -> int | None:
    """Read ``+0530`` and ``+05``; None where it is something else."""
    found = re.fullmatch(rb"([-+])([01][0-9]|2[0-3])([0-5][0-9])?", written)
    if found is None:
        return None
    east_min = int(found[2]) * 60 + int(found[3] or 0)
    return -east_min if found[1] == b"-" else east_min


def seconds(raw: Bytes, starts: Whole, ends: Whole) -> Seconds:
    """Read the ``:30.25`` that may follow a minute.

    Parameters
    ----------
    raw : array of uint8
    starts, ends : array of int64, shape (rows,)
        The byte after each minute, and the byte after each cell.
    """
    time_us, at, wrong = np.zeros_like(starts), starts.copy(), np.zeros(len(starts), np.bool_)
    there = (raw[starts] == ord(":")) & (ends > starts)
    if not there.any():
        return Seconds(time_us, at, wrong)
    for low in range(0, len(starts), PIECE):
        part = slice(low, low + PIECE)
        begin, end, has = starts[part], ends[part], there[part]
        tens, ones = digit(raw[begin + 1]), digit(raw[begin + 2])
        wrong[part] = has & ((end - begin < _SECONDS) | (tens > 5) | (ones > 9))
        second = np.where(has, (tens.astype(np.int64) * 10 + ones) * SECOND, 0)
        cursor = begin + np.where(has, _SECONDS, 0)
        going = has & (raw[cursor] == ord(".")) & (cursor < end)
        if going.any():
            second, cursor = _fraction(raw, end, second, cursor, going)
        time_us[part], at[part] = second, cursor
    return Seconds(time_us, at, wrong)


def _fraction(raw: Bytes, ends: Whole, second: Whole, at: Whole, going: Truth) -> tuple[Whole, Whole]:
    """Add the microseconds after the point; and tell where the fraction ends."""
    at = at + going
    for place in range(_FRACTION_DIGITS):
        figure = digit(raw[at])
        going = going & (figure < 10) & (at < ends)
        if not going.any():
            break
        if place < _KEPT_DIGITS:
            second = second + np.where(going, figure * np.int64(10 ** (_KEPT_DIGITS - 1 - place)), 0)
        at = at + going
    return second, at
