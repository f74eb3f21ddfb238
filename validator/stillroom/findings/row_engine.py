"""Row engine: Frictionless reads the files of a package by itself and holds each row against the table schemas.

It enforces types, constraints, unique columns, primary keys and references, nothing switched off. To answer a
reference Frictionless opens the other table once for each foreign key, all its columns, which took half of its time;
so it is given that one column by itself, its distinct texts as they were read for all checks.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import count
from typing import TYPE_CHECKING, Any

from stillroom.findings import breach
from stillroom.findings.breach import Work
from stillroom.findings.finding import Finding

if TYPE_CHECKING:
    from stillroom.findings.table import Table

MOST_ERRORS = 1000
"""Most errors of one table that are told."""
_TOLD_IN_READING = {"blank-row", "missing-cell", "extra-cell", "missing-label", "extra-label", "incorrect-label"}
"""Errors that the reading of the files tells already."""
_DESCRIPTION = ("title", "description", "example")
"""Properties of a field that hold a reader, not a value."""


def enforce(work: Work) -> Iterator[Finding]:
    """Yield what Frictionless finds in the tables that can be read."""
    from frictionless import FrictionlessException, Package, system

    if not work.tables:
        return
    try:
        known = _Known(work)
        resources = [_resource(table, work.root, known) for table in work.tables]
    except FrictionlessException as error:
        yield breach.schema_wrong(error.error.note)
        return
    with system.use_context(trusted=False, onerror="ignore"):
        Package(name="package", resources=[*known.resources, *resources], basepath=work.root)
        for table, resource in zip(work.tables, resources, strict=True):
            report = resource.validate(limit_errors=MOST_ERRORS)
            for problem in report.errors:
                yield breach.schema_wrong(problem.note, "mend it")
            for task in report.tasks:
                for problem in task.errors:
                    yield from _translated(table, problem, known.tables)


class _Known:
    """Columns that are referred to, each as a small resource of its own.

    Attributes
    ----------
    resources : list of TableResource
    names : dict
        By table and column, the name of its resource.
    tables : dict
        By the name of a resource, the table it is taken from.
    """

    def __init__(self, work: Work) -> None:
        from frictionless import Schema
        from frictionless.resources import TableResource

        by_name = {table.name: table for table in work.tables}
        free = (name for name in map("known-{}".format, count(1)) if name not in by_name)
        self.resources: list[Any] = []
        self.names: dict[tuple[str, str], str] = {}
        self.tables: dict[str, str] = {}
        for (table, column), texts in work.known.items():
            name = self.names[table, column] = next(free)
            self.tables[name] = table
            kind = breach.fields(by_name[table]).get(column, {}).get("type", "string")
            schema = Schema.from_descriptor({"fields": [{"name": column, "type": kind}]})
            self.resources.append(TableResource(name=name, data=_cells(column, texts), format="inline", schema=schema))


def _cells(column: str, texts: tuple[str, ...]) -> Callable[[], Iterator[list[str]]]:
    """Give the cells of one column, with its header; a function, so that Frictionless does not copy them each time."""
    return lambda: iter([[column], *([text] for text in texts)])


def _resource(table: Table, root: str, known: _Known) -> Any:
    """Describe a table to Frictionless.

    Raises
    ------
    FrictionlessException
        Its schema is none.
    """
    from frictionless import Dialect, Schema
    from frictionless.resources import TableResource

    return TableResource(
        name=table.name, path=table.file, scheme="file", format="csv", mediatype="text/csv", encoding="utf-8",
        dialect=Dialect.from_descriptor({"delimiter": ",", "header": True}),
        schema=Schema.from_descriptor(_closed(table, known)), basepath=root,
    )  # fmt: skip


def _closed(table: Table, known: _Known) -> dict[str, Any]:
    """Give the schema of a table, its references turned to the columns they mean; those to no table left out."""
    kept = {name: value for name, value in table.schema.items() if name not in ("foreignKeys", "$schema", "profile")}
    kept["fields"] = [{name: said for name, said in f.items() if name not in _DESCRIPTION} for f in kept["fields"]]
    if "primaryKey" not in kept and breach.key(
        table
    ):  # Frictionless reads no uniqueKeys, and takes a blank for a value
        kept["primaryKey"] = breach.key(table)
    keys = []
    for foreign_key in table.schema.get("foreignKeys", []):
        ref = breach.reference(table, foreign_key)
        if ref is None:
            keys.append(foreign_key)
        elif (ref.resource, ref.known_as) in known.names:
            to = {"resource": known.names[ref.resource, ref.known_as], "fields": [ref.known_as]}
            keys.append({"fields": [ref.column], "reference": to})
    return {**kept, "foreignKeys": keys} if keys else kept


def _translated(table: Table, error: Any, known: dict[str, str]) -> Iterator[Finding]:
    """Say one Frictionless error in our words."""
    line = getattr(error, "row_number", None)
    kind = error.type
    if kind in ("type-error", "constraint-error"):
        value = dict(zip(table.columns, error.cells, strict=False)).get(error.field_name, error.cell)
        yield breach.cell(table, line, error.field_name, "" if value is None else str(value))
    elif kind == "unique-error":
        yield breach.repeated(table, line, error.field_name, str(error.cell))
    elif kind == "primary-key":
        cells = dict(zip(table.columns, error.cells, strict=False))
        if any(cells.get(name) not in (None, "") for name in breach.key(table)):
            yield breach.repeated_key(table, line)
    elif kind == "foreign-key":
        name = error.field_names[0]
        cells = dict(zip(table.columns, error.cells, strict=False))
        resource = known.get(error.reference_name, error.reference_name)
        yield breach.missing(table, line, name, str(cells.get(name) or ""), resource)
    elif kind not in _TOLD_IN_READING:
        wrong = " ".join(str(error.note).split())
        yield Finding(breach.NAME, table.file, line, "", "", wrong, "", "mend it")
