"""CSV table: one file read strictly into records.

A bad cell raises with file, line and column. Nothing is dropped, defaulted or repaired on the way in.
"""

from __future__ import annotations

import csv
import io
import os
from collections.abc import Callable
from typing import Any, Generic, Protocol, TypeVar

from stillroom.errors import BadPackage
from stillroom.package import files

Record = TypeVar("Record", bound=tuple[Any, ...])


def _text(cell: str) -> str:
    if not cell:
        raise ValueError("is blank")
    return cell


def _whole(cell: str) -> int:
    if not (cell.isascii() and cell.isdigit()):
        raise ValueError("is not a whole number")
    return int(cell)


def _number(cell: str) -> float:
    if not cell.isascii() or not cell.replace(".", "", 1).isdigit():
        raise ValueError("is not a number")
    return float(cell)


def _whole_or_none(cell: str) -> int | None:
    return _whole(cell) if cell else None


def _number_or_none(cell: str) -> float | None:
    return _number(cell) if cell else None


_READERS: dict[str, Callable[[str], Any]] = {
    "Text": _text,
    "int": _whole,
    "int | None": _whole_or_none,
    "float": _number,
    "float | None": _number_or_none,
}


def kind(told: Any) -> str:
    """Name the kind of a column by its annotation: ``Text`` and ``Blank`` are text with that mark on it."""
    marks: tuple[str, ...] = getattr(told, "__metadata__", ())
    return marks[0] if marks else getattr(told, "__name__", str(told))


def read_table(path: str, record: type[Record], shown: str) -> tuple[Record, ...]:
    """Read one CSV file into records.

    Parameters
    ----------
    path : str
        File to read.
    record : type
        NamedTuple whose fields are the columns, in order.
    shown : str
        Name of the file for messages.

    Raises
    ------
    BadPackage
        Missing file, wrong header, wrong number of cells, or a cell of the wrong type; names file, line and column.
    """
    fields: tuple[str, ...] = record._fields  # type: ignore[attr-defined]
    kinds = {name: kind(told) for name, told in record.__annotations__.items()}
    readers = [(i, _READERS[kinds[name]], name) for i, name in enumerate(fields) if kinds[name] in _READERS]
    make: Callable[[list[Any]], Record] = record._make  # type: ignore[attr-defined]
    rows: list[Record] = []
    try:
        with io.TextIOWrapper(files.opened(path), encoding="utf-8", newline="") as file:
            lines = csv.reader(file, strict=True)
            header = next(lines, [])
            if tuple(header) != fields:
                raise BadPackage(f"{shown}:1: columns are {','.join(header)[:200]}, not {','.join(fields)}")
            for cells in lines:
                if len(cells) != len(fields):
                    raise BadPackage(
                        f"{shown}:{lines.line_num}: {len(cells)} cells where there are {len(fields)} columns"
                    )
                row: list[Any] = cells
                for i, reader, name in readers:
                    try:
                        row[i] = reader(row[i])
                    except ValueError as error:
                        raise BadPackage(f'{shown}:{lines.line_num}: {name} "{row[i][:40]}" {error}') from None
                rows.append(make(row))
    except files.Unread as error:
        if error.kind == files.MISSING:
            raise BadPackage(f"{shown} is missing from the installed package: install stillroom again") from None
        raise BadPackage(f"{shown} cannot be read: {error.said}") from None
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise BadPackage(f"{shown} cannot be read: {getattr(error, 'strerror', None) or error}") from None
    return tuple(rows)


class Rooted(Protocol):
    """What keeps tables: it knows the folder they lie in."""

    root: str


class Kept(Generic[Record]):
    """A table of a package, read when it is first asked for and kept."""

    def __init__(self, file: str, record: type[Record]) -> None:
        self.file, self.record = file, record

    def __set_name__(self, owner: type, name: str) -> None:
        self.name = name

    def __get__(self, package: Rooted, owner: type) -> tuple[Record, ...]:
        rows = read_table(os.path.join(package.root, *self.file.split("/")), self.record, self.file)
        package.__dict__[self.name] = rows  # found before this descriptor from now on
        return rows
