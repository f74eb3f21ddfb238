"""Log header: the line of a log that names its columns, below whatever a logger writes above it."""

from __future__ import annotations

import csv
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from stillroom import screen
from stillroom.answers import wording
from stillroom.errors import BadInput
from stillroom.run import log_names
from stillroom.run.log_names import COUNTED, EVENT, MINUTE, NOTE, READINGS, SAID, TIME, TIMES

MOST_ABOVE = 50
"""Lines that may stand above the header."""
COMMENT = "#"
"""A line that begins with it is none of the log."""
UNNAMED = ""
"""Column without a heading, as spreadsheets leave them: its cells must be empty."""
COLUMNS = 'columns are "time" or "minute", those of readings like "gauge_psi" or "water_F", "event" and "note"'
_SEPARATORS = (",", ";", "\t")


class Header(NamedTuple):
    """The columns of a log.

    Attributes
    ----------
    names : tuple of (str or None)
        What each column is: a name of :data:`stillroom.run.log_names.NAMES`, :data:`UNNAMED`, or None where it is not
        read.
    headings : dict of str to str
        Headings by name, as written.
    separator : str
        What stands between two cells.
    line : int
        Line of the file, from 1.
    end : int
        First byte after it.
    """

    names: tuple[str | None, ...]
    headings: dict[str, str]
    separator: str
    line: int
    end: int


class _Line(NamedTuple):
    """A line near the top of the file, and the byte after its end."""

    text: str
    number: int
    end: int


def find(data: bytes, called: Mapping[str, str], shown: str, longest: int) -> Header:
    """Find the header: the first line that names a time and something beside it.

    Parameters
    ----------
    data : bytes
        The file, UTF-8.
    called : mapping of str to str
        Headings of a logger by the columns they stand for.
    shown : str
        Name of the file for messages.
    longest : int
        Longest line, bytes.

    Raises
    ------
    BadInput
        There is none, a column is unknown or stands twice, or its heading contradicts its unit; names file and line.
    """
    lines = _top(data, shown, longest)
    for line in lines:
        for separator in _SEPARATORS:
            headings = _cells(line.text, separator)
            if _names_columns(_named(headings, called)):
                return _header(headings, separator, line, called, shown)
    told = lines[0]
    separator = max(_SEPARATORS, key=told.text.count)
    return _header(_cells(told.text, separator), separator, told, called, shown)


def _top(data: bytes, shown: str, longest: int) -> list[_Line]:
    """The first lines of the file that are neither empty nor comments; one at least."""
    found, at, number = [], 0, 0
    while at < len(data) and number <= MOST_ABOVE:
        number += 1
        stop = data.find(b"\n", at, at + longest)
        end = stop + 1 if stop >= 0 else len(data)
        if end - at > longest:
            raise BadInput(f"{shown}:{number}: a line of more than {longest:,} bytes: is it a CSV file?")
        text = data[at:end].decode("utf-8").strip("\n")
        if text.strip() and not text.lstrip('"').startswith(COMMENT):
            found.append(_Line(text, number, end))
        at = end
    if not found:
        raise BadInput(f"{shown}: has no line that names its columns: {COLUMNS}")
    return found


def _cells(line: str, separator: str) -> list[str]:
    try:
        cells = next(csv.reader([line], delimiter=separator), [])
    except csv.Error:
        cells = line.split(separator)
    return [cell.strip().strip('"').strip() for cell in cells]


def _plain(heading: str) -> str:
    return " ".join(heading.casefold().split())


def _named(headings: Sequence[str], called: Mapping[str, str]) -> list[str | None]:
    """Tell what each column is. What the record names goes before what is known by itself, one of each kind."""
    said = {_plain(heading): name for name, heading in called.items()}
    kinds = {log_names.kind(name) for name in called}
    names: list[str | None] = []
    for heading in headings:
        name = said.get(_plain(heading))
        if name is None:
            known = log_names.heading(heading)
            name = known if known is not None and log_names.kind(known) not in kinds else None
        names.append(name if heading else UNNAMED)
    return names


def _names_columns(names: Sequence[str | None]) -> bool:
    told = [name for name in names if name]
    return any(name in TIMES for name in told) and any(name not in TIMES for name in told)


def _header(headings: Sequence[str], separator: str, line: _Line, called: Mapping[str, str], shown: str) -> Header:
    names, where = _named(headings, called), f"{shown}:{line.number}"
    for heading, name in zip(headings, names, strict=True):
        if name is None and not called:
            raise BadInput(f'{where}: column "{screen.shown(heading)}" is unknown: {COLUMNS}')
        if name and names.count(name) > 1:
            raise BadInput(f'{where}: column "{name}" stands twice: keep one, and put the rows below each other')
    for name, heading in called.items():
        if name not in names:
            raise BadInput(f'{where}: no column "{screen.shown(heading)}", which columns.{name} of the record names')
    _one_of_each(names, where)
    written = {name: heading for name, heading in zip(names, headings, strict=True) if name}
    for name, heading in written.items():
        unit = log_names.denied_by(name, heading) if name in READINGS or name in COUNTED else None
        if unit is not None:
            raise BadInput(f'{where}: column "{screen.shown(heading)}" speaks of {unit} and is read as {name}')
    return Header(tuple(names), written, separator, line.number, line.end)


def _one_of_each(names: Sequence[str | None], where: str) -> None:
    for what in ("count", "pressure", "steam", "water"):
        have = [name for name in names if name and log_names.kind(name) == what]
        if len(have) > 1:
            said = "time" if what == "count" else what
            raise BadInput(f"{where}: has two {said} columns: keep one of {wording.listed(have)}")
    if TIME in names and "second" in names:
        raise BadInput(f"{where}: has two time columns: keep one of {wording.listed((TIME, 'second'))}")
    if not any(name in TIMES for name in names):
        raise BadInput(f"{where}: has no time column: {TIME} like 9:15, or {MINUTE}")
    if not any(name in (*READINGS, *SAID, EVENT, NOTE) for name in names):
        raise BadInput(f"{where}: has neither readings nor events: {COLUMNS}")
