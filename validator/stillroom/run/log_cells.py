"""Log cells: the file of a log, found to be text and cut into rows and cells, which are kept as positions.

Bytes, rows and the length of a line are bounded, and with them the memory that the strangest file can take.
"""

from __future__ import annotations

import codecs
import csv
import io
from array import array
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

import numpy as np

from stillroom import screen
from stillroom.errors import BadInput
from stillroom.package import files
from stillroom.package.files import Stamp, Unread
from stillroom.run import log_header, log_names
from stillroom.run.arrays import Bytes, Truth, Whole
from stillroom.run.log_header import COLUMNS, COMMENT, UNNAMED, Header
from stillroom.run.log_names import NOTE, READINGS, TIME, TIMES

MOST_ROWS = 2_000_000
"""Most rows of a log: a reading every 7 milliseconds for four hours."""
LARGEST = 96 * 1024 * 1024
"""Largest file that is read, bytes: fifty for each of the most rows."""
LONGEST_LINE = 4_096
"""Longest line, bytes; a quoted note may have several."""
ROOM = 64
"""Bytes that follow the last row: whoever reads by position may look this far past the last cell."""
_STEP = 1 << 20
"""Bytes that are looked through at a time."""
_MOST_IN_COMMENTS = 1_000_000


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
        By what they are, of :data:`stillroom.run.log_names.NAMES`.
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

    def filled(self, column: str) -> Truth:
        """Tell which cells of a column hold something; none where there is no such column."""
        if column not in self.columns:
            return np.zeros(len(self.lines), np.bool_)
        starts, ends = self.columns[column]
        found: Truth = starts < ends
        return found

    def only(self, rows: Truth) -> Cells:
        """The same without some of its rows."""
        columns = {name: Column(starts[rows], ends[rows]) for name, (starts, ends) in self.columns.items()}
        return self._replace(columns=columns, lines=self.lines[rows])

    def without(self, column: str) -> Cells:
        """The same without one of its columns."""
        return self._replace(columns={name: cells for name, cells in self.columns.items() if name != column})

    def refuse(self, row: int, message: str) -> BadInput:
        """One line with file and line."""
        return BadInput(f"{self.shown}:{self.lines[row]}: {message}")


class _Rows(NamedTuple):
    """Rows that are not empty: first and one-past-last byte of each, and the line it stands on."""

    begins: Whole
    stops: Whole
    lines: Whole


def read(path: str, shown: str, called: Mapping[str, str] | None = None) -> Cells:
    """Read the file of a log and cut it into cells.

    Parameters
    ----------
    path : str
        CSV file, UTF-8; commas, semicolons or tabs between the cells.
    shown : str
        Its name for messages.
    called : mapping of str to str, optional
        Headings of a logger by the columns they stand for.

    Raises
    ------
    BadInput
        No such file, too large, not CSV in UTF-8, unknown columns, or no rows; names file and line.
    """
    data, stamp = _contents(path, shown)
    header = log_header.find(data, called or {}, shown, LONGEST_LINE)
    head = header.end
    if header.separator != "," and data.find(b",", head) >= 0:
        data = data[:head] + data[head:].replace(b",", b".")  # decimal commas
    commented = data.find(COMMENT.encode(), head) >= 0
    spaced = data.find(b" ", head) >= 0 or data.find(b"\t", head) >= 0
    lines = None
    if data.find(b'"', head) >= 0:
        data, lines = _unquoted(data, header, shown)
        head = 0
    raw = np.frombuffer(data + b"\n" * ROOM, dtype=np.uint8)
    del data  # the array holds it from here, and a long log must not be held twice
    columns, lines = _cut(raw, head, lines, header, shown, commented)
    if spaced:
        for column in columns.values():
            _strip(raw, column)
    columns, lines = _without_blank(columns, lines)
    cells = _below_units(Cells(shown, stamp, raw, columns, lines))
    if not len(cells.lines):
        raise BadInput(f"{shown}: has a header and no rows: nothing to judge")
    return cells


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
        raise BadInput(f"{shown}: is empty: {COLUMNS}")
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


def _too_many(shown: str) -> BadInput:
    return BadInput(f"{shown}: more than {MOST_ROWS:,} rows: log less often")


def _too_long(shown: str, line: int) -> BadInput:
    return BadInput(f"{shown}:{line}: a line of more than {LONGEST_LINE:,} bytes: is it a CSV file?")


# quotes


def _unquoted(data: bytes, header: Header, shown: str) -> tuple[bytes, Whole]:
    """Take the quotes off; give the rows and the line each stands on. A quoted note may hold commas and line ends; it
    is not read further, so it is left out."""
    plain, lines = bytearray(), array("q")
    reader = csv.reader(_lines(data, header, shown), delimiter=header.separator, strict=True)
    before = header.line + 1
    try:
        for cells in reader:
            if cells and not cells[0].startswith(COMMENT):
                plain += _joined(cells, header, f"{shown}:{before}").encode()
                plain += b"\n"
                lines.append(before)
                if len(lines) > MOST_ROWS:
                    raise _too_many(shown)
            before = reader.line_num + header.line + 1
    except csv.Error:
        raise BadInput(f"{shown}:{before}: the quotes do not close, or a note is too long") from None
    return bytes(plain), np.array(lines, dtype=np.int64)


_CALLED = {",": "comma", ";": "semicolon", "\t": "tab"}


def _joined(cells: Sequence[str], header: Header, where: str) -> str:
    names, separator = header.names, header.separator
    kept = [
        ("x" if cell.strip() else "") if name in (NOTE, None) else cell
        for name, cell in zip(names, cells, strict=False)
    ]
    line = separator.join(kept)
    if len(cells) != len(names) or '"' in line or "\n" in line:
        raise BadInput(f"{where}: {len(cells)} cells where there are {len(names)} columns")
    if line.count(separator) != len(names) - 1:
        advice = ": write decimals with a point" if separator == "," else ""
        raise BadInput(f"{where}: a {_CALLED[separator]} inside a cell{advice}")
    return line


def _lines(data: bytes, header: Header, shown: str) -> Iterator[str]:
    """Give the lines after the header one by one, as text; comments without theirs."""
    file = io.BytesIO(data)
    file.seek(header.end)
    for number, line in enumerate(file, header.line + 1):
        if len(line) > LONGEST_LINE:
            raise _too_long(shown, number)
        yield "\n" if line.startswith(COMMENT.encode()) else line.decode("utf-8")


# rows and cells


def _cut(
    raw: Bytes, head: int, lines: Whole | None, header: Header, shown: str, commented: bool
) -> tuple[dict[str, Column], Whole]:
    """Cut at line ends and separators; lines are counted from the header on where they are not given. ``commented``:
    there may be comments among them."""
    rows = _rows(raw, head, lines, header.line + 1, shown)
    separator = header.separator.encode()
    if commented:
        rows = _told(raw, rows)
    between = _between(raw, head, rows, separator, len(header.names))
    if between is None:
        rows = rows if commented else _told(raw, rows)
        between = _in_rows(raw, head, rows, separator, len(header.names), shown)
    starts = [rows.begins, *(place + 1 for place in between)]
    ends = [*between, rows.stops]
    columns = {}
    for name, start, end in zip(header.names, starts, ends, strict=True):
        if name == UNNAMED:
            _empty(raw, Column(start, end), rows.lines, shown)
        elif name is not None:
            columns[name] = Column(start, end)
    return columns, rows.lines


def _rows(raw: Bytes, head: int, lines: Whole | None, first: int, shown: str) -> _Rows:
    stops = _positions(raw, b"\n", head, 2 * MOST_ROWS + ROOM)  # empty lines among them
    if stops is None:
        raise _too_many(shown)
    begins = np.concatenate((np.full(1, head, np.int64), stops[:-1] + 1))
    if lines is None:
        lines = np.arange(first, len(stops) + first)
    full = np.flatnonzero(stops > begins)
    begins, stops, lines = begins[full], stops[full], lines[full]
    long = np.flatnonzero(stops - begins > LONGEST_LINE)
    if len(long):
        raise _too_long(shown, int(lines[long[0]]))
    if len(stops) > MOST_ROWS:
        raise _too_many(shown)
    return _Rows(begins, stops, lines)


def _told(raw: Bytes, rows: _Rows) -> _Rows:
    """Leave out comments and lines of spaces alone."""
    odd = np.flatnonzero(np.isin(raw[rows.begins], np.frombuffer(b"# \t", np.uint8))).tolist()
    begins, stops = rows.begins, rows.stops
    gone = [row for row in odd if (line := raw[begins[row] : stops[row]].tobytes())[:1] == b"#" or line.isspace()]
    return _Rows(*(np.delete(part, gone) for part in rows))


def _empty(raw: Bytes, column: Column, lines: Whole, shown: str) -> None:
    """See that a column without a heading holds nothing."""
    _strip(raw, column)
    full = np.flatnonzero(column.starts < column.ends)
    if len(full):
        raise BadInput(f"{shown}:{lines[full[0]]}: a cell stands in a column without a heading: give it one")


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


def _between(raw: Bytes, head: int, rows: _Rows, separator: bytes, columns: int) -> list[Whole] | None:
    """Positions of the separators, one array for each but the last column; None where some line has more or fewer."""
    count = len(rows.stops)
    found = _positions(raw, separator, head, count * (columns - 1))
    if found is None or len(found) != count * (columns - 1):
        return None
    places = found.reshape(count, columns - 1)
    if not ((places[:, 0] >= rows.begins).all() and (places[:, -1] < rows.stops).all()):
        return None
    return [np.ascontiguousarray(column) for column in places.T]


def _in_rows(raw: Bytes, head: int, rows: _Rows, separator: bytes, columns: int, shown: str) -> list[Whole]:
    """The same for a file with lines that are no rows, whose separators are passed over."""
    count = len(rows.stops)
    found = _positions(raw, separator, head, count * (columns - 1) + _MOST_IN_COMMENTS)
    if found is not None and count:
        row = np.minimum(np.searchsorted(rows.stops, found), count - 1)
        found = found[(found >= rows.begins[row]) & (found < rows.stops[row])]
        if (np.bincount(np.searchsorted(rows.stops, found), minlength=count) == columns - 1).all():
            return [np.ascontiguousarray(column) for column in found.reshape(count, columns - 1).T]
    for line, begin, stop in zip(rows.lines.tolist(), rows.begins.tolist(), rows.stops.tolist(), strict=True):
        cells = np.count_nonzero(raw[begin:stop] == separator[0]) + 1
        if cells != columns:
            raise BadInput(f"{shown}:{line}: {cells} cells where there are {columns} columns")
    if count:
        raise BadInput(f"{shown}: comments of more than {_MOST_IN_COMMENTS:,} cells: is it a CSV file?")
    return [np.empty(0, np.int64) for _ in range(columns - 1)]


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


def _below_units(cells: Cells) -> Cells:
    """Leave out a first row that holds the units of its columns, after a look at them."""
    if not len(cells.lines):
        return cells
    told = [name for name in (*TIMES, *READINGS) if name in cells.columns and cells.filled(name)[0]]
    units = {name: cells.text(name, 0) for name in told}
    if not units or not all(_unit_or_word(name, written) for name, written in units.items()):
        return cells
    for name, written in units.items():
        unit = None if name == TIME else log_names.denied_by(name, written)
        if unit is not None:
            raise cells.refuse(0, f'unit "{written}" stands under {name}: name the column after its unit')
    rows = np.ones(len(cells.lines), np.bool_)
    rows[0] = False
    return cells.only(rows)


def _unit_or_word(name: str, written: str) -> bool:
    if any(letter.isdigit() for letter in written):
        return False
    return log_names.is_unit(name, written) or (name != TIME and log_names.denied_by(name, written) is not None)
