"""Run log: the readings and events of one canner load, from CSV to arrays.

Columns: ``time`` (ISO 8601, with or without zone) or ``minute``; ``gauge_psi`` or ``gauge_kpa``; and, where there are
any, ``event`` and ``note``. The file is cut and its numbers are read by position in whole columns, because a logger
that writes every few milliseconds makes a million rows in an afternoon. Bytes, rows and the length of a line are
bounded, and with them the memory that the strangest file can take.
"""

from __future__ import annotations

import codecs
import csv
import io
import re
from array import array
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta, timezone
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from stillroom import files, screen, wording
from stillroom.errors import BadInput
from stillroom.files import Stamp, Unread
from stillroom.pressure import KPA_IN_PSI

Whole = NDArray[np.int64]
Real = NDArray[np.float64]
Truth = NDArray[np.bool_]

EVENTS = ("vent-start", "weight-on", "heat-off", "lock-dropped")
MINUTE = 60_000_000
"""Microseconds in a minute. Times are whole microseconds, so that twenty minutes are twenty minutes."""
MOST_ROWS = 2_000_000
"""Most rows of a log: a reading every 7 milliseconds for four hours."""
LARGEST = 96 * 1024 * 1024
"""Largest file that is read, bytes: fifty for each of the most rows."""
LONGEST_LINE = 4_096
"""Longest line, bytes; a quoted note may have several."""
MOST_EVENTS = 1_000
HIGHEST_PSI = 30
"""No home canner gets here: a plain weight relieves near 15 psi, the plug blows near 20 (common practice, no source).
A reading above it is in another unit than its column says, and would make any run look well."""
LOWEST_PSI = -15
"""Below a vacuum: another unit, or a slip."""
_LAST_MINUTE = 100_000
_PIECE = 32_768
"""Cells that are read at a time: few enough to stay in the processor's cache."""
_STEP = 1 << 20
"""Bytes that are looked through at a time."""
_PAD = b"\n" * 64
"""Stands after the last row: room to look past the last cell."""
_LONG = 17
_TIMES, _GAUGES = ("time", "minute"), ("gauge_psi", "gauge_kpa")
_COLUMNS = 'columns are "time" or "minute", "gauge_psi" or "gauge_kpa", and if wanted "event" and "note"'
_NUMBER = re.compile(rb"[-+]?(?:[0-9]+\.?([0-9]*)|\.([0-9]+))")


class Event(NamedTuple):
    """Something the canner did, at a time in microseconds."""

    name: str
    time_us: int


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


@dataclass(frozen=True)
class RunLog:
    """One log. Readings are in time order, one per time; an empty reading has no row here.

    Attributes
    ----------
    shown : str
        Name of the file for messages.
    clock : Clock
    time_us : array of int64, shape (n,)
        Times of the readings, microseconds, strictly rising.
    reading : array of float64, shape (n,)
        As the gauge showed it, in ``unit``; of several at one time the lowest.
    highest : array of float64, shape (n,)
        The same, but of several at one time the highest.
    unit : str
        ``psi`` or ``kPa``.
    decimals : int
        Most decimals a reading is printed with.
    events : tuple of Event
        In time order.
    rows : int
        Rows of the file, empty readings among them.
    first_us, last_us : int
        Times of the first and last row, microseconds.
    path : str
        The file.
    stamp : Stamp
        Tells whether the file is still the one that was read.
    """

    shown: str
    clock: Clock
    time_us: Whole
    reading: Real
    highest: Real
    unit: str
    decimals: int
    events: tuple[Event, ...]
    rows: int
    first_us: int
    last_us: int
    path: str
    stamp: Stamp

    def sha256(self) -> str:
        """Hash the file, byte for byte. It is made only where a load is kept: a long log takes as long to hash as to
        judge.

        Raises
        ------
        BadInput
            The file cannot be read any more, or has changed since.
        """
        try:
            digest = files.sha256(self.path, self.stamp)
        except Unread as error:
            raise error.told(self.shown, "log") from None
        if digest is None:
            raise BadInput(f"{self.shown}: has changed since it was judged: judge it again")
        return digest

    def date(self) -> date | None:
        """Day the log begins; None where it counts minutes."""
        moment = self.clock.moment(self.first_us)
        return None if moment is None else moment.date()


class _Rows(NamedTuple):
    """A file cut into cells: first and one-past-last byte of each, per column, and the line each row stands on."""

    shown: str
    bytes: NDArray[np.uint8]
    starts: dict[str, Whole]
    ends: dict[str, Whole]
    lines: Whole

    def text(self, column: str, row: int) -> str:
        """One cell as text, short enough for a message."""
        cell = self.bytes[self.starts[column][row] : self.ends[column][row]].tobytes()
        return screen.shown(cell.decode("utf-8", "replace"))

    def refuse(self, row: int, message: str) -> BadInput:
        """One line with file and line."""
        return BadInput(f"{self.shown}:{self.lines[row]}: {message}")


def read(path: str) -> RunLog:
    """Read a log.

    Parameters
    ----------
    path : str
        CSV file, UTF-8.

    Raises
    ------
    BadInput
        No such file, unknown columns, times that go backwards, a reading that is no number; names file and line.
    """
    shown = screen.name(path)
    data, stamp = _contents(path, shown)
    pieces = [data]
    del data  # from here the pieces hold it, until it is cut
    rows = _cut(pieces, shown)
    time_us, clock = _wall_times(rows) if "time" in rows.starts else _minutes(rows)
    _in_order(rows, time_us, clock)
    column = next(name for name in _GAUGES if name in rows.starts)
    reading, decimals = _numbers(rows, column, "reading")
    unit = "psi" if column == "gauge_psi" else "kPa"
    _within_reason(rows, column, reading, unit)
    events = _events(rows, time_us)
    kept_time, lowest, highest = _one_per_time(time_us, reading)
    first, last = int(time_us[0]), int(time_us[-1])
    return RunLog(
        shown, clock, kept_time, lowest, highest, unit, decimals, events, len(time_us), first, last, path, stamp
    )


# from file to cells


def _contents(path: str, shown: str) -> tuple[bytes, Stamp]:
    try:
        data, stamp = files.stamped(path, LARGEST)
    except Unread as error:
        if error.kind != files.LARGE:
            raise error.told(shown, "log") from None
        size = f"{LARGEST // 1024**2} MiB"
        raise BadInput(f"{shown}: larger than {size}: log less often, at most {MOST_ROWS:,} rows") from None
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        raise BadInput(f"{shown}: is UTF-16: save it as CSV in UTF-8")
    data = data.removeprefix(b"\xef\xbb\xbf")
    if b"\r" in data:
        data = data.replace(b"\r\n", b"\n").replace(b"\r", b"\n")
    if b"\0" in data:
        line = data.count(b"\n", 0, data.index(b"\0")) + 1
        raise BadInput(f"{shown}:{line}: holds a NUL byte: is it a CSV file?")
    if not data.isascii():
        _decoded(data, shown)
    if not data or data.isspace():
        raise BadInput(f"{shown}: is empty: {_COLUMNS}")
    return data, stamp


def _decoded(data: bytes, shown: str) -> None:
    """See that the whole is UTF-8, a piece at a time: as text it could take four times its size."""
    reader = codecs.getincrementaldecoder("utf-8")()
    for at in range(0, len(data), _STEP):
        piece = data[at : at + _STEP]
        try:
            reader.decode(piece, at + _STEP >= len(data))
        except UnicodeDecodeError as error:
            wrong = at + len(piece) - len(error.object) + error.start
            line = data.count(b"\n", 0, wrong) + 1
            raise BadInput(f"{shown}:{line}: is not UTF-8: save it as CSV in UTF-8") from None


def _header(line: str, shown: str) -> list[str]:
    names = [name.strip().strip('"').strip() for name in line.split(",")]
    if ";" in line or "\t" in line:
        raise BadInput(f"{shown}:1: columns are not separated by commas: save it as CSV with commas and decimal points")
    for name in names:
        if name not in (*_TIMES, *_GAUGES, "event", "note"):
            raise BadInput(f'{shown}:1: column "{screen.shown(name)}" is unknown: {_COLUMNS}')
        if names.count(name) > 1:
            raise BadInput(f'{shown}:1: column "{name}" stands twice')
    for several, what in ((_TIMES, "time"), (_GAUGES, "pressure")):
        have = [name for name in several if name in names]
        if len(have) != 1:
            wrong = f"has two {what} columns" if have else f"has no {what} column"
            raise BadInput(f"{shown}:1: {wrong}: keep one of {wording.listed(several)}")
    return names


def _too_many(shown: str) -> BadInput:
    return BadInput(f"{shown}: more than {MOST_ROWS:,} rows: log less often")


def _too_long(shown: str, line: int) -> BadInput:
    return BadInput(f"{shown}:{line}: a line of more than {LONGEST_LINE:,} bytes: is it a CSV file?")


def _cut(pieces: list[bytes], shown: str) -> _Rows:
    """Cut a file into cells. The bytes are taken out of the list, so that they are held once and not twice."""
    data = pieces.pop()
    head = data.find(b"\n", 0, LONGEST_LINE) + 1 or len(data)
    if head > LONGEST_LINE:
        raise _too_long(shown, 1)
    names = _header(data[:head].decode("utf-8"), shown)
    numbers: Whole | None = None
    spaced = data.find(b" ", head) >= 0 or data.find(b"\t", head) >= 0
    if data.find(b'"', head) >= 0:
        data, numbers = _unquoted(data, head, names, shown)
        head = 0
    raw = np.frombuffer(data + _PAD, dtype=np.uint8)
    del data
    stops = _positions(raw, b"\n", head, 2 * MOST_ROWS + len(_PAD))  # empty lines among them
    if stops is None:
        raise _too_many(shown)
    begins = np.concatenate((np.full(1, head, np.int64), stops[:-1] + 1))
    if numbers is None:
        numbers = np.arange(2, len(stops) + 2)
    full = np.flatnonzero(stops > begins)
    begins, stops, numbers = begins[full], stops[full], numbers[full]
    long = np.flatnonzero(stops - begins > LONGEST_LINE)
    if len(long):
        raise _too_long(shown, int(numbers[long[0]]))
    if len(stops) > MOST_ROWS:
        raise _too_many(shown)
    edges = [begins - 1, *_commas(raw, head, begins, stops, numbers, len(names), shown), stops]
    del begins, full, long
    starts = {name: edges[i] + 1 for i, name in enumerate(names)}
    ends = {name: edges[i + 1] for i, name in enumerate(names)}
    del edges
    if spaced:
        for name in names:
            _strip(raw, starts[name], ends[name])
    blank = np.flatnonzero(starts[names[0]] == ends[names[0]])
    for name in names[1:]:
        blank = blank[starts[name][blank] == ends[name][blank]]
    if len(blank):  # rows of nothing but commas, as spreadsheets leave them
        starts = {name: np.delete(cells, blank) for name, cells in starts.items()}
        ends = {name: np.delete(cells, blank) for name, cells in ends.items()}
        numbers = np.delete(numbers, blank)
    if not len(numbers):
        raise BadInput(f"{shown}: has a header and no rows: nothing to judge")
    return _Rows(shown, raw, starts, ends, numbers)


def _positions(raw: NDArray[np.uint8], letter: bytes, head: int, most: int) -> Whole | None:
    """Where a letter stands from ``head`` on; None where it stands more often than ``most``."""
    found, count = [np.empty(0, np.int64)], 0
    for at in range(head, len(raw), _STEP):
        here = np.flatnonzero(raw[at : at + _STEP] == letter[0])
        count += len(here)
        if count > most:
            return None
        here += at
        found.append(here)
    return np.concatenate(found)


def _commas(
    raw: NDArray[np.uint8], head: int, begins: Whole, stops: Whole, lines: Whole, columns: int, shown: str
) -> list[Whole]:
    """Positions of the commas, one array for each but the last column."""
    commas = _positions(raw, b",", head, len(stops) * (columns - 1))
    if commas is not None and len(commas) == len(stops) * (columns - 1):
        between = commas.reshape(len(stops), columns - 1)
        if (between[:, 0] >= begins).all() and (between[:, -1] < stops).all():
            return [np.ascontiguousarray(column) for column in between.T]
    del commas
    cells = np.array([np.count_nonzero(raw[a:b] == ord(",")) + 1 for a, b in zip(begins, stops, strict=True)])
    row = int(np.flatnonzero(cells != columns)[0])
    raise BadInput(f"{shown}:{lines[row]}: {cells[row]} cells where there are {columns} columns")


def _unquoted(data: bytes, head: int, names: list[str], shown: str) -> tuple[bytes, Whole]:
    """Take the quotes off. A quoted note may hold commas and line ends; it is not read further, so it is left out."""
    plain, numbers = bytearray(), array("q")
    reader = csv.reader(_lines(data, head, shown), strict=True)
    before = 0
    try:
        for cells in reader:
            if cells:
                line = ",".join("" if name == "note" else c for name, c in zip(names, cells, strict=False))
                if len(cells) != len(names) or '"' in line or "\n" in line:
                    raise BadInput(f"{shown}:{before + 2}: {len(cells)} cells where there are {len(names)} columns")
                if line.count(",") != len(names) - 1:
                    raise BadInput(f"{shown}:{before + 2}: a comma inside a cell: write decimals with a point")
                plain += line.encode()
                plain += b"\n"
                numbers.append(before + 2)
                if len(numbers) > MOST_ROWS:
                    raise _too_many(shown)
            before = reader.line_num
    except csv.Error:
        raise BadInput(f"{shown}:{before + 2}: the quotes do not close, or a note is too long") from None
    return bytes(plain), np.array(numbers, dtype=np.int64)


def _lines(data: bytes, head: int, shown: str) -> Iterator[str]:
    """Give the lines after the header one by one, as text."""
    file = io.BytesIO(data)
    file.seek(head)
    for number, line in enumerate(file, 2):
        if len(line) > LONGEST_LINE:
            raise _too_long(shown, number)
        yield line.decode("utf-8")


def _strip(raw: NDArray[np.uint8], starts: Whole, ends: Whole) -> None:
    """Move the edges of the cells past their spaces, in place; only cells that have more of them are looked at anew."""
    rows = np.arange(len(starts))
    while len(rows := rows[(starts[rows] < ends[rows]) & _is_space(raw, starts[rows])]):
        starts[rows] += 1
    rows = np.arange(len(starts))
    while len(rows := rows[(starts[rows] < ends[rows]) & _is_space(raw, ends[rows] - 1)]):
        ends[rows] -= 1


def _is_space(raw: NDArray[np.uint8], at: Whole) -> Truth:
    letter = raw[at]
    found: Truth = (letter == ord(" ")) | (letter == ord("\t"))
    return found


# numbers


def _numbers(rows: _Rows, column: str, what: str) -> tuple[Real, int]:
    """Read a column of decimal numbers, NaN where a cell is empty; and the most decimals that are printed.

    Whole digits over a power of ten, both exact in a float, give the float nearest to what is printed (IEEE 754:
    division is correctly rounded). Longer numbers are left to Python's own reader.
    """
    raw, starts, ends = rows.bytes, rows.starts[column], rows.ends[column]
    value = np.empty(len(starts))
    after = np.zeros(len(starts), np.int8)
    wrong, long = np.zeros(len(starts), np.bool_), np.zeros(len(starts), np.bool_)
    for low in range(0, len(starts), _PIECE):
        part = slice(low, low + _PIECE)
        value[part], after[part], wrong[part], long[part] = _decimals(raw, starts[part], ends[part] - starts[part])
    most = int(after[~long].max(initial=0))
    for row in np.flatnonzero(long).tolist():
        cell = raw[starts[row] : ends[row]].tobytes()
        found = _NUMBER.fullmatch(cell) if len(cell) <= 60 else None
        wrong[row] = found is None
        if found is not None:
            value[row] = float(cell)
            most = max(most, len(found[1] or found[2] or b""))
    if wrong.any():
        bad = int(np.flatnonzero(wrong)[0])
        shown = rows.text(column, bad)
        raise rows.refuse(bad, f'{what} "{shown}" is not a number: write it with digits and a point, like 11.5')
    return value, most


def _decimals(raw: NDArray[np.uint8], starts: Whole, lengths: Whole) -> tuple[Real, NDArray[np.int8], Truth, Truth]:
    """Values and decimals of the cells that hold up to 15 digits; which cells are no number; which are longer."""
    signed = (raw[starts] == ord("-")) | (raw[starts] == ord("+"))
    digits = np.zeros(len(starts), np.int64)
    count, after, seen = (np.zeros(len(starts), np.int8) for _ in range(3))
    wrong = np.zeros(len(starts), np.bool_)
    for at in range(int(min(lengths.max(initial=0), _LONG))):
        letter = raw[starts + at]
        digit = letter - np.uint8(48)
        inside = at < lengths
        is_digit = inside & (digit < 10)
        is_point = inside & (letter == ord("."))
        digits = np.where(is_digit, digits * 10 + digit, digits)
        count += is_digit
        after += is_digit & (seen > 0)
        seen += is_point
        wrong |= inside & ~is_digit & ~is_point & ~(signed & (at == 0))
    empty = lengths == 0
    wrong |= ((count == 0) | (seen > 1)) & ~empty
    value = np.where(raw[starts] == ord("-"), -digits, digits) / np.power(10.0, after)
    value[empty] = np.nan
    return value, after, wrong, (lengths > _LONG) | (count > 15)


def _within_reason(rows: _Rows, column: str, reading: Real, unit: str) -> None:
    one_psi = 1.0 if unit == "psi" else float(KPA_IN_PSI)
    odd = np.flatnonzero((reading > HIGHEST_PSI * one_psi) | (reading < LOWEST_PSI * one_psi))
    if len(odd):
        row = int(odd[0])
        raise rows.refuse(row, f"reading {rows.text(column, row)} {unit} is outside any home canner: check the unit")


# times


def _minutes(rows: _Rows) -> tuple[Whole, Clock]:
    value, _ = _numbers(rows, "minute", "minute")
    odd = np.flatnonzero(np.isnan(value) | (np.abs(value) > _LAST_MINUTE))
    if len(odd):
        shown = rows.text("minute", int(odd[0]))
        wrong = f"minute {shown} is too far" if shown else "minute is empty"
        raise rows.refuse(int(odd[0]), f"{wrong}: write minutes since the start, like 12.5")
    time_us: Whole = np.rint(value * MINUTE).astype(np.int64)
    return time_us, Clock("minute")


def _wall_times(rows: _Rows) -> tuple[Whole, Clock]:
    """Read ISO 8601 times. Rows with the same minute or zone as the one before them are not read anew."""
    raw, starts, ends = rows.bytes, rows.starts["time"], rows.ends["time"]
    minute, wrong = _runs(raw, starts, 16, _minute_of)
    wrong = wrong | (ends - starts < 16)
    time_us = minute * MINUTE
    second, at, odd = _second_of(raw, starts, ends)
    time_us += second
    zone, unzoned = _runs(raw, np.where(ends - at >= 6, ends - 6, at), 6, _zone_of)
    rest = ends - at
    zulu = (rest == 1) & ((raw[at] == ord("Z")) | (raw[at] == ord("z")))
    short = np.flatnonzero((rest != 6) & (rest != 0) & ~zulu)
    zone = np.where(rest == 0, _NAIVE, np.where(zulu, 0, zone))
    unzoned = unzoned & (rest == 6)
    for row in short.tolist():
        zone[row] = _short_zone(raw[at[row] : ends[row]].tobytes() if rest[row] > 0 else b"?")
    wrong |= odd | unzoned | (zone == _NO_ZONE)
    if wrong.any():
        row = int(np.flatnonzero(wrong)[0])
        shown = rows.text("time", row)
        said = f'time "{shown}" is not ISO 8601' if shown else "time is empty"
        raise rows.refuse(row, f"{said}: write it like 2026-08-15T10:24 or 2026-08-15T10:24:30-05:00")
    naive = zone == _NAIVE
    if naive.any() != naive.all():
        row = int(np.flatnonzero(naive != naive[0])[0])
        has, first = ("no zone", "with one") if naive[row] else ("a zone", "without")
        raise rows.refuse(row, f"time has {has} where the log begins {first}: write all times alike")
    if naive[0]:
        return time_us, Clock("naive")
    return time_us - zone * MINUTE, Clock("zone", int(zone[0]))


_NAIVE, _NO_ZONE = 10_000, 20_000
_Reader = Callable[[NDArray[np.uint8]], tuple[Whole, Truth]]


def _runs(raw: NDArray[np.uint8], starts: Whole, width: int, read: _Reader) -> tuple[Whole, Truth]:
    """Read a piece of fixed width of every row, once for each run of rows in which it is the same."""
    pieces = np.lib.stride_tricks.sliding_window_view(raw, width)[starts]
    new = np.ones(len(starts), np.bool_)
    words = pieces.view(f"u{8 if width % 8 == 0 else 2}")
    new[1:] = words[1:, 0] != words[:-1, 0]
    for word in range(1, words.shape[1]):
        new[1:] |= words[1:, word] != words[:-1, word]
    first = np.flatnonzero(new)
    value, wrong = read(pieces[first])
    counts = np.diff(first, append=len(starts))
    return np.repeat(value, counts), np.repeat(wrong, counts)


def _two(pieces: NDArray[np.uint8], at: int) -> tuple[Whole, Truth]:
    """Number of two digits, and where there are none."""
    tens, ones = pieces[:, at] - np.uint8(48), pieces[:, at + 1] - np.uint8(48)
    return tens.astype(np.int64) * 10 + ones, (tens > 9) | (ones > 9)


def _minute_of(pieces: NDArray[np.uint8]) -> tuple[Whole, Truth]:
    """Minutes from 1970 to the ``2026-08-15T10:24`` that a row begins with, and where it begins with something else."""
    (century, a), (year, b), (month, c), (day, d), (hour, e), (minute, f) = (
        _two(pieces, i) for i in (0, 2, 5, 8, 11, 14)
    )
    wrong = a | b | c | d | e | f
    for at, letters in ((4, b"-"), (7, b"-"), (10, b"Tt "), (13, b":")):
        wrong |= ~np.isin(pieces[:, at], np.frombuffer(letters, np.uint8))
    year = century * 100 + year
    wrong |= (year < 1900) | (year > 2200) | (month < 1) | (month > 12) | (hour > 23) | (minute > 59) | (day < 1)
    months = np.where(wrong, 0, (year - 1970) * 12 + month - 1)
    first_day = months.astype("datetime64[M]").astype("datetime64[D]").astype(np.int64)
    next_month = (months + 1).astype("datetime64[M]").astype("datetime64[D]").astype(np.int64)
    wrong |= day > next_month - first_day
    return ((first_day + day - 1) * 24 + hour) * 60 + minute, wrong


def _zone_of(pieces: NDArray[np.uint8]) -> tuple[Whole, Truth]:
    """Minutes east of Greenwich of ``+05:30``, and where there is something else."""
    (hours, a), (minutes, b) = _two(pieces, 1), _two(pieces, 4)
    west = pieces[:, 0] == ord("-")
    wrong = a | b | (hours > 23) | (minutes > 59) | (pieces[:, 3] != ord(":")) | ~(west | (pieces[:, 0] == ord("+")))
    return np.where(west, -1, 1) * (hours * 60 + minutes), wrong


@lru_cache(maxsize=1_000)
def _short_zone(written: bytes) -> int:
    """Read ``+0530`` and ``+05``."""
    found = re.fullmatch(rb"([-+])([01][0-9]|2[0-3])([0-5][0-9])?", written)
    if found is None:
        return _NO_ZONE
    minutes = int(found[2]) * 60 + int(found[3] or 0)
    return -minutes if found[1] == b"-" else minutes


def _second_of(raw: NDArray[np.uint8], starts: Whole, ends: Whole) -> tuple[Whole, Whole, Truth]:
    """Microseconds within the minute, finer digits cut off; where the zone begins; and what is no second."""
    time_us, at, wrong = np.zeros_like(starts), starts + 16, np.zeros(len(starts), np.bool_)
    there = raw[starts + 16] == ord(":")
    if not (there & (ends - starts > 16)).any():
        return time_us, at, wrong
    for low in range(0, len(starts), _PIECE):
        part = slice(low, low + _PIECE)
        begin, end, has = starts[part], ends[part], there[part] & (ends[part] - starts[part] > 16)
        tens, ones = raw[begin + 17] - np.uint8(48), raw[begin + 18] - np.uint8(48)
        wrong[part] = has & ((end - begin < 19) | (tens > 5) | (ones > 9))
        second = np.where(has, (tens.astype(np.int64) * 10 + ones) * 1_000_000, 0)
        cursor = begin + np.where(has, 19, 16)
        going = has & (raw[cursor] == ord(".")) & (cursor < end)
        if going.any():
            second, cursor = _fraction(raw, end, second, cursor, going)
        time_us[part], at[part] = second, cursor
    return time_us, at, wrong


def _fraction(raw: NDArray[np.uint8], ends: Whole, second: Whole, at: Whole, going: Truth) -> tuple[Whole, Whole]:
    """Add the microseconds after the point; and tell where the fraction ends."""
    at = at + going
    for place in range(12):
        digit = raw[at] - np.uint8(48)
        going = going & (digit < 10) & (at < ends)
        if not going.any():
            break
        if place < 6:
            second = second + np.where(going, digit * np.int64(10 ** (5 - place)), 0)
        at = at + going
    return second, at


def _in_order(rows: _Rows, time_us: Whole, clock: Clock) -> None:
    back = np.flatnonzero(np.diff(time_us) < 0)
    if not len(back):
        return
    row = int(back[0]) + 1
    column = "time" if "time" in rows.starts else "minute"
    told = f"time goes back from {rows.text(column, row - 1)} to {rows.text(column, row)}"
    advice = "put the rows in order"
    if clock.kind == "naive":
        advice += "; if the clocks were changed, write the zone too, like 2026-11-01T01:30-05:00"
    raise rows.refuse(row, f"{told}: {advice}")


def _one_per_time(time_us: Whole, reading: Real) -> tuple[Whole, Real, Real]:
    """Drop empty readings; of several readings at one time keep the lowest, which claims least, and the highest."""
    there = ~np.isnan(reading)
    time_us, reading = time_us[there], reading[there]
    first = np.flatnonzero(np.diff(time_us, prepend=time_us[:1] - 1))
    if len(first) == len(time_us):
        return time_us, reading, reading
    return time_us[first], np.minimum.reduceat(reading, first), np.maximum.reduceat(reading, first)


def _events(rows: _Rows, time_us: Whole) -> tuple[Event, ...]:
    if "event" not in rows.starts:
        return ()
    told = np.flatnonzero(rows.starts["event"] < rows.ends["event"])
    if len(told) > MOST_EVENTS:
        raise rows.refuse(int(told[MOST_EVENTS]), f"more than {MOST_EVENTS:,} events: name each event once")
    events = []
    for row in map(int, told):
        name = rows.text("event", row)
        if name not in EVENTS:
            raise rows.refuse(row, f'event "{name}" is unknown: events are {wording.listed(EVENTS)}')
        events.append(Event(name, int(time_us[row])))
    return tuple(events)
