"""Log cells: the file of a log, found to be text and cut into rows and cells, which are kept as positions.

Bytes, rows and the length of a line are bounded, and with them the memory that the strangest file can take.
"""

from __future__ import annotations

import codecs
import csv
import io
from array import array
from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

from stillroom import screen
from stillroom.answers import wording
from stillroom.errors import BadInput
from stillroom.package import files
from stillroom.package.files import Stamp, Unread
from stillroom.run.arrays import Bytes, Truth, Whole

MOST_ROWS = 2_000_000
"""Most rows of a log: a reading every 7 milliseconds for four hours."""
LARGEST = 96 * 1024 * 1024
"""Largest file that is read, bytes: fifty for each of the most rows."""
LONGEST_LINE = 4_096
"""Longest line, bytes; a quoted note may have several."""
ROOM = 64
"""Bytes that follow the last row: whoever reads by position may look this far past the last cell."""
TIMES, GAUGES = ("time", "minute"), ("gauge_psi", "gauge_kpa")
EVENT, NOTE = "event", "note"
_COLUMNS = 'columns are "time" or "minute", "gauge_psi" or "gauge_kpa", and if wanted "event" and "note"'
_STEP = 1 << 20
"""Bytes that are looked through at a time."""
_FIRST_LINE = 2
"""Line that follows the header."""


class Column(NamedTuple):
    """Cells of one column, as positions of bytes.

    Attributes
    ----------
    starts, ends : array of int64, shape (rows,)
        First and one-past-last byte of each cell.
    """

    starts: Whole
    ends: Whole


class Cells(NamedTuple):
    """A file cut into cells.

    Attributes
    ----------
    shown : str
        Name of the file for messages.
    stamp : Stamp
        Tells whether the file is still the one that was read.
    bytes : array of uint8
        What the positions point into; line ends follow the last row, see :data:`ROOM`.
    columns : dict of str to Column
        By the names of the header.
    lines : array of int64, shape (rows,)
        Line of the file that each row stands on.
    """

    shown: str
    stamp: Stamp
    bytes: Bytes
    columns: dict[str, Column]
    lines: Whole

    def text(self, column: str, row: int) -> str:
        """One cell as text, short enough for a message."""
        starts, ends = self.columns[column]
        cell = self.bytes[starts[row] : ends[row]].tobytes()
        return screen.shown(cell.decode("utf-8", "replace"))

    def refuse(self, row: int, message: str) -> BadInput:
        """One line with file and line."""
        return BadInput(f"{self.shown}:{self.lines[row]}: {message}")


class _Rows(NamedTuple):
    """Rows that are not empty: first and one-past-last byte of each, and the line it stands on."""

    begins: Whole
    stops: Whole
    lines: Whole


def read(path: str, shown: str) -> Cells:
    """Read the file of a log and cut it into cells.

    Parameters
    ----------
    path : str
        CSV file, UTF-8.
    shown : str
        Its name for messages.

    Raises
    ------
    BadInput
        No such file, too large, not CSV in UTF-8, unknown columns, or no rows; names file and line.
    """
    data, stamp = _contents(path, shown)
    head = data.find(b"\n", 0, LONGEST_LINE) + 1 or len(data)
    if head > LONGEST_LINE:
        raise _too_long(shown, 1)
    names = _header(data[:head].decode("utf-8"), shown)
    spaced = data.find(b" ", head) >= 0 or data.find(b"\t", head) >= 0
    quoted = data.find(b'"', head) >= 0
    lines = None
    if quoted:
        data, lines = _unquoted(data, head, names, shown)
        head = 0
    raw = np.frombuffer(data + b"\n" * ROOM, dtype=np.uint8)
    del data  # the array holds it from here, and a long log must not be held twice
    columns, lines = _cut(raw, head, lines, names, shown)
    if spaced:
        for column in columns.values():
            _strip(raw, column)
    columns, lines = _without_blank(columns, lines)
    if not len(lines):
        raise BadInput(f"{shown}: has a header and no rows: nothing to judge")
    return Cells(shown, stamp, raw, columns, lines)


# the file


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
        if name not in (*TIMES, *GAUGES, EVENT, NOTE):
            raise BadInput(f'{shown}:1: column "{screen.shown(name)}" is unknown: {_COLUMNS}')
        if names.count(name) > 1:
            raise BadInput(f'{shown}:1: column "{name}" stands twice')
    for several, what in ((TIMES, "time"), (GAUGES, "pressure")):
        have = [name for name in several if name in names]
        if len(have) != 1:
            wrong = f"has two {what} columns" if have else f"has no {what} column"
            raise BadInput(f"{shown}:1: {wrong}: keep one of {wording.listed(several)}")
    return names


def _too_many(shown: str) -> BadInput:
    return BadInput(f"{shown}: more than {MOST_ROWS:,} rows: log less often")


def _too_long(shown: str, line: int) -> BadInput:
    return BadInput(f"{shown}:{line}: a line of more than {LONGEST_LINE:,} bytes: is it a CSV file?")


# quotes


def _unquoted(data: bytes, head: int, names: Sequence[str], shown: str) -> tuple[bytes, Whole]:
    """Take the quotes off; give the rows and the line each stands on. A quoted note may hold commas and line ends; it
    is not read further, so it is left out."""
    plain, lines = bytearray(), array("q")
    reader = csv.reader(_lines(data, head, shown), strict=True)
    before = 0
    try:
        for cells in reader:
            if cells:
                plain += _joined(cells, names, f"{shown}:{before + _FIRST_LINE}").encode()
                plain += b"\n"
                lines.append(before + _FIRST_LINE)
                if len(lines) > MOST_ROWS:
                    raise _too_many(shown)
            before = reader.line_num
    except csv.Error:
        line = before + _FIRST_LINE
        raise BadInput(f"{shown}:{line}: the quotes do not close, or a note is too long") from None
    return bytes(plain), np.array(lines, dtype=np.int64)


def _joined(cells: Sequence[str], names: Sequence[str], where: str) -> str:
    line = ",".join("" if name == NOTE else cell for name, cell in zip(names, cells, strict=False))
    if len(cells) != len(names) or '"' in line or "\n" in line:
        raise BadInput(f"{where}: {len(cells)} cells where there are {len(names)} columns")
    if line.count(",") != len(names) - 1:
        raise BadInput(f"{where}: a comma inside a cell: write decimals with a point")
    return line


def _lines(data: bytes, head: int, shown: str) -> Iterator[str]:
    """Give the lines after the header one by one, as text."""
    file = io.BytesIO(data)
    file.seek(head)
    for number, line in enumerate(file, _FIRST_LINE):
        if len(line) > LONGEST_LINE:
            raise _too_long(shown, number)
        yield line.decode("utf-8")


# rows and cells


def _cut(
    raw: Bytes, head: int, lines: Whole | None, names: Sequence[str], shown: str
) -> tuple[dict[str, Column], Whole]:
    """Cut at line ends and commas; lines are counted from the header on where they are not given."""
    rows = _rows(raw, head, lines, shown)
    commas = _commas(raw, head, rows, len(names), shown)
    starts = [rows.begins, *(comma + 1 for comma in commas)]
    ends = [*commas, rows.stops]
    columns = {name: Column(start, end) for name, start, end in zip(names, starts, ends, strict=True)}
    return columns, rows.lines


def _rows(raw: Bytes, head: int, lines: Whole | None, shown: str) -> _Rows:
    stops = _positions(raw, b"\n", head, 2 * MOST_ROWS + ROOM)  # empty lines among them
    if stops is None:
        raise _too_many(shown)
    begins = np.concatenate((np.full(1, head, np.int64), stops[:-1] + 1))
    if lines is None:
        lines = np.arange(_FIRST_LINE, len(stops) + _FIRST_LINE)
    full = np.flatnonzero(stops > begins)
    begins, stops, lines = begins[full], stops[full], lines[full]
    long = np.flatnonzero(stops - begins > LONGEST_LINE)
    if len(long):
        raise _too_long(shown, int(lines[long[0]]))
    if len(stops) > MOST_ROWS:
        raise _too_many(shown)
    return _Rows(begins, stops, lines)


def _positions(raw: Bytes, letter: bytes, head: int, most: int) -> Whole | None:
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


def _commas(raw: Bytes, head: int, rows: _Rows, columns: int, shown: str) -> list[Whole]:
    """Positions of the commas, one array for each but the last column."""
    count = len(rows.stops)
    commas = _positions(raw, b",", head, count * (columns - 1))
    if commas is not None and len(commas) == count * (columns - 1):
        between = commas.reshape(count, columns - 1)
        if (between[:, 0] >= rows.begins).all() and (between[:, -1] < rows.stops).all():
            return [np.ascontiguousarray(column) for column in between.T]
    del commas
    cells = np.array([np.count_nonzero(raw[a:b] == ord(",")) + 1 for a, b in zip(rows.begins, rows.stops, strict=True)])
    row = int(np.flatnonzero(cells != columns)[0])
    raise BadInput(f"{shown}:{rows.lines[row]}: {cells[row]} cells where there are {columns} columns")


def _strip(raw: Bytes, column: Column) -> None:
    """Move the edges of the cells past their spaces, in place; only cells that have more of them are looked at anew."""
    starts, ends = column
    rows = np.arange(len(starts))
    while len(rows := rows[(starts[rows] < ends[rows]) & _is_space(raw, starts[rows])]):
        starts[rows] += 1
    rows = np.arange(len(starts))
    while len(rows := rows[(starts[rows] < ends[rows]) & _is_space(raw, ends[rows] - 1)]):
        ends[rows] -= 1


def _is_space(raw: Bytes, at: Whole) -> Truth:
    letter = raw[at]
    found: Truth = (letter == ord(" ")) | (letter == ord("\t"))
    return found


def _without_blank(columns: dict[str, Column], lines: Whole) -> tuple[dict[str, Column], Whole]:
    """Leave out rows of nothing but commas, as spreadsheets leave them."""
    blank = np.arange(len(lines))
    for starts, ends in columns.values():
        blank = blank[starts[blank] == ends[blank]]
    if not len(blank):
        return columns, lines
    kept = {name: Column(np.delete(starts, blank), np.delete(ends, blank)) for name, (starts, ends) in columns.items()}
    return kept, np.delete(lines, blank)
