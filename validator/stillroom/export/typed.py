"""Typed: the tables of a package with the types and keys of their schemas; a blank cell is None.

Nothing is exported from a package whose cells or keys do not hold: a database would refuse it, and a program that reads
a file would not notice.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from stillroom.errors import BadPackage
from stillroom.package import files
from stillroom.package.documents import read_json
from stillroom.package.tables import TABLES

READINGS = "schedules/readings/"
"""Folder of the tables that tell how the print was read; they are exported only when asked for."""
DESCRIPTOR = "datapackage.json"
_PRINTED = "schema/schedule.json"
Value = int | float | str | None
_LARGEST = 2**26
_INTEGER, _NUMBER = re.compile(r"-?[0-9]{1,9}"), re.compile(r"-?[0-9]{1,12}(\.[0-9]{1,12})?")
_UNITS = {
    "cup": "cup", "ft": "ft", "in": "in", "kpa": "kPa", "m": "m", "min": "min", "minutes": "min", "oz": "fl oz",
    "percent": "%", "pounds": "lb", "psi": "psi",
}  # fmt: skip


class Field(NamedTuple):
    """One column: its name, its type (integer, number or string), unit (blank: none), whether each row has it, text."""

    name: str
    type: str
    unit: str
    required: bool
    description: str


class Reference(NamedTuple):
    """Columns whose values stand in columns of another table; a row in which one is blank refers to nothing."""

    fields: tuple[str, ...]
    table: str
    columns: tuple[str, ...]


class Typed(NamedTuple):
    """One table.

    Attributes
    ----------
    name, title, description : str
    fields : tuple of Field
    key : tuple of str
        Columns of the primary key; empty: none. Blanks count as values in it.
    unique : tuple of tuple of str
        Other sets of columns that tell the rows apart.
    references : tuple of Reference
    rows : tuple of tuple
        Values in the order of the fields; None for a blank cell.
    """

    name: str
    title: str
    description: str
    fields: tuple[Field, ...]
    key: tuple[str, ...]
    unique: tuple[tuple[str, ...], ...]
    references: tuple[Reference, ...]
    rows: tuple[tuple[Value, ...], ...]

    @property
    def printed(self) -> bool:
        """Tell whether it holds printed schedules; all such tables have the same columns."""
        return TABLES[self.name].schema == _PRINTED

    @property
    def keys(self) -> tuple[tuple[str, ...], ...]:
        """Give the sets of columns that tell the rows apart, the primary key first."""
        return ((self.key,) if self.key else ()) + self.unique

    def cells(self, columns: tuple[str, ...]) -> Iterator[tuple[Value, ...]]:
        """Give some columns of each row."""
        places = [[field.name for field in self.fields].index(name) for name in columns]
        return (tuple(row[place] for place in places) for row in self.rows)


class Content(NamedTuple):
    """What is exported: what datapackage.json says of the whole, and the tables in its order."""

    about: Mapping[str, Any]
    tables: tuple[Typed, ...]


def content(root: str, *, readings: bool = False) -> Content:
    """Read the tables of a package with their types.

    Parameters
    ----------
    root : str
        Folder of the package.
    readings : bool, optional
        Take the tables of the readings too.

    Raises
    ------
    BadPackage
        A table or its schema is missing, a cell is not of its type, or a key does not hold.
    """
    about = read_json(_bytes(root, DESCRIPTOR), DESCRIPTOR)
    if not isinstance(about, dict):
        raise BadPackage(f"{DESCRIPTOR} is no description of a package")
    names = [name for name, declared in TABLES.items() if readings or not declared.file.startswith(READINGS)]
    tables = {name: typed(root, name) for name in names}
    for table in tables.values():
        _hold(table, tables)
    return Content(about, tuple(tables.values()))


def typed(root: str, name: str) -> Typed:
    """Read one table with the types of its schema.

    Parameters
    ----------
    root : str
        Folder of the package.
    name : str
        Name of the table in datapackage.json.

    Raises
    ------
    BadPackage
        The table or its schema is missing, or a cell is not of its type.
    """
    declared = TABLES[name]
    try:
        empty = _empty(name, read_json(_bytes(root, declared.schema), declared.schema))
    except (KeyError, TypeError, AttributeError):
        raise BadPackage(f"{declared.schema} is no schema of a table") from None
    return empty._replace(rows=tuple(_rows(root, declared.file, empty.fields)))


def _empty(name: str, schema: dict[str, Any]) -> Typed:
    return Typed(
        name=name,
        title=str(schema["title"]),
        description=str(schema["description"]),
        fields=tuple(_field(field) for field in schema["fields"]),
        key=_names(schema.get("primaryKey", ())),
        unique=tuple(_names(columns) for columns in schema.get("uniqueKeys", ())),
        references=tuple(_reference(name, key) for key in schema.get("foreignKeys", ())),
        rows=(),
    )


def _field(field: dict[str, Any]) -> Field:
    name, kind = str(field["name"]), {"integer": "integer", "number": "number", "string": "string"}[field["type"]]
    parts = [] if kind == "string" else name.split("_")
    unit = next((_UNITS[part] for part in (*parts[-1:], *parts[:1]) if part in _UNITS), "")
    return Field(name, kind, unit, bool(field.get("constraints", {}).get("required")), str(field["description"]))


def _reference(name: str, key: dict[str, Any]) -> Reference:
    """Read a foreign key; one that names no other table refers to its own."""
    there = key["reference"]
    return Reference(_names(key["fields"]), str(there.get("resource") or name), _names(there["fields"]))


def _names(columns: Any) -> tuple[str, ...]:
    return (columns,) if isinstance(columns, str) else tuple(map(str, columns))


def _rows(root: str, file: str, fields: tuple[Field, ...]) -> Iterator[tuple[Value, ...]]:
    try:
        lines = csv.reader(io.StringIO(_bytes(root, file).decode("utf-8"), newline=""), strict=True)
        if next(lines, None) != [field.name for field in fields]:
            raise BadPackage(f"{file}:1: has other columns than its schema")
        for cells in lines:
            if len(cells) != len(fields):
                raise BadPackage(f"{file}:{lines.line_num}: has {len(cells)} cells in place of {len(fields)}")
            yield tuple(
                _value(field, cell, f"{file}:{lines.line_num}") for field, cell in zip(fields, cells, strict=True)
            )
    except UnicodeDecodeError:
        raise BadPackage(f"{file} is not UTF-8") from None
    except csv.Error as error:
        raise BadPackage(f"{file}: is no CSV: {error}") from None


def _value(field: Field, cell: str, where: str) -> Value:
    if cell == "":
        if field.required:
            raise BadPackage(f"{where}: {field.name} is blank")
        return None
    if field.type == "string":
        return cell
    if (_INTEGER if field.type == "integer" else _NUMBER).fullmatch(cell) is None:
        raise BadPackage(f"{where}: {field.name} is no {field.type}")
    return int(cell) if field.type == "integer" else float(cell)


def _hold(table: Typed, tables: Mapping[str, Typed]) -> None:
    """Hold one table to its keys."""
    file = TABLES[table.name].file
    try:
        for columns in table.keys:
            cells = list(table.cells(columns))
            if len(set(cells)) != len(cells):
                raise BadPackage(f"{file}: two rows have one key ({', '.join(columns)}): run stillroom check")
        for reference in table.references:
            there = set(tables[reference.table].cells(reference.columns))
            for found in table.cells(reference.fields):
                if None not in found and found not in there:
                    said = ", ".join(map(str, found))
                    raise BadPackage(f"{file}: {reference.table} has no {said}: run stillroom check")
    except (KeyError, ValueError):
        raise BadPackage(f"{TABLES[table.name].schema}: a key names a table or a column that is not there") from None


def _bytes(root: str, file: str) -> bytes:
    try:
        return files.read(files.inside(root, file), _LARGEST)
    except files.Unread as error:
        raise BadPackage(f"{file} cannot be read: {error.said or error.kind}") from None
