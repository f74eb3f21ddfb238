"""Breach: what breaks a table schema, said the same way whichever engine found it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any, NamedTuple

from stillroom.findings.finding import Finding
from stillroom.package.keys import row_key

if TYPE_CHECKING:
    from stillroom.findings.table import Table

NAME = "structure"
"""Check that tells breaches."""


class Reference(NamedTuple):
    """A foreign key of one column."""

    column: str
    resource: str
    known_as: str
    """Column of the resource that holds the values."""


class Work(NamedTuple):
    """Tables to hold against their schemas.

    Attributes
    ----------
    root : str
        Folder of the package.
    tables : tuple of Table
        All that can be read.
    known : mapping
        By resource and column, the texts that a reference may name; of all tables that are referred to.
    """

    root: str
    tables: tuple[Table, ...]
    known: Mapping[tuple[str, str], tuple[str, ...]]


def work(root: str, tables: Iterable[Table]) -> Work:
    """Gather the tables and the values that they may refer to."""
    by_name = {table.name: table for table in tables}
    asked = {(ref.resource, ref.known_as) for table in by_name.values() for ref in references(table)}
    known = {
        (name, column): by_name[name].distinct(column) if column in by_name[name].columns else ()
        for name, column in sorted(asked)
        if name in by_name
    }
    return Work(root, tuple(by_name.values()), known)


def fields(table: Table) -> dict[str, dict[str, Any]]:
    """Fields of the schema of a table, by name."""
    return {field["name"]: field for field in table.schema["fields"]}


def key(table: Table) -> list[str]:
    """Columns that tell its rows apart."""
    return list(row_key(table.schema))


def reference(table: Table, foreign_key: Any) -> Reference | None:
    """Read a foreign key of one column; None where it is of another form."""
    to = foreign_key.get("reference") if isinstance(foreign_key, dict) else None
    if not isinstance(to, dict):
        return None
    column, known_as, resource = _one(foreign_key.get("fields")), _one(to.get("fields")), to.get("resource", "")
    if column is None or known_as is None or not isinstance(resource, str) or column not in table.columns:
        return None
    return Reference(column, resource or table.name, known_as)


def references(table: Table) -> list[Reference]:
    """Foreign keys of one column each."""
    keys = table.schema.get("foreignKeys", [])
    found = (reference(table, one) for one in (keys if isinstance(keys, list) else ()))
    return [ref for ref in found if ref is not None]


def _one(columns: Any) -> str | None:
    if isinstance(columns, list) and len(columns) == 1:
        columns = columns[0]
    return columns if isinstance(columns, str) else None


def cell(table: Table, line: int | None, column: str, value: str) -> Finding:
    """Tell a cell that does not fit its field."""
    field = fields(table).get(column, {})
    return Finding(NAME, table.file, line, column, value, said(field, value), "", field.get("description", ""))


def repeated(table: Table, line: int | None, column: str, value: str) -> Finding:
    """Tell a cell that stands twice in a column in which each stands once."""
    return Finding(NAME, table.file, line, column, value, "stands in a row above too")


def repeated_key(table: Table, line: int | None) -> Finding:
    """Tell a row whose key stands twice."""
    wrong = f"row has the same {', '.join(key(table))} as a row above"
    return Finding(NAME, table.file, line, "", "", wrong, "", "remove one of them")


def missing(table: Table, line: int | None, column: str, value: str, resource: str) -> Finding:
    """Tell a cell that refers to nothing."""
    mend = f"add it there, or mend the {column}"
    return Finding(NAME, table.file, line, column, value, f"is not in table {resource}", "", mend)


def schema_wrong(note: object, mend: str = "mend the schema") -> Finding:
    """Tell a schema that cannot be enforced."""
    return Finding(NAME, "datapackage.json", None, "", "", " ".join(str(note).split()), "", mend)


def said(field: dict[str, Any], value: str) -> str:
    """Say why a cell does not fit its field."""
    rules = field.get("constraints", {})
    if value == "":
        return "is blank"
    if field.get("type") in ("integer", "number"):
        wrong = _number_said(field["type"], rules, value)
        if wrong:
            return wrong
    if "enum" in rules:
        return f"is not one of {', '.join(map(str, rules['enum']))}"
    if "pattern" in rules:
        return f"does not have the form {rules['pattern']}"
    return "does not fit its field"


def _number_said(kind: str, rules: dict[str, Any], value: str) -> str:
    """Say why a cell is no number of its kind, or outside its limits; blank where it is neither."""
    name = "whole number" if kind == "integer" else "number"
    try:
        number = float(value)
    except ValueError:
        return f"is no {name}"
    if kind == "integer" and not value.strip().lstrip("+-").isdigit():
        return f"is no {name}"
    if "minimum" in rules and number < rules["minimum"]:
        return f"is below {rules['minimum']}, the least there is"
    if "maximum" in rules and number > rules["maximum"]:
        return f"is above {rules['maximum']}, the most there is"
    return ""
