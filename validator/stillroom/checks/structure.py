"""Structure: files, columns, types, keys and references are as datapackage.json and its schemas declare them.

What it does
------------
Reads the descriptor and every file it names, inside the package only. Runs Frictionless over the package: types,
constraints, primary and foreign keys. The cells of schedule tables are checked a second time, through pandera columns
built from the same schema file. A package of more than 20,000 rows is checked through pandera and pandas alone, with
the same findings, since Frictionless takes minutes there. CSV files in schedules/ that the descriptor does not name
are findings too.

Why it matters
--------------
Every other check, and every program that reads the tables, relies on their columns, types and keys.

Example
-------
``schedules/vegetables.csv:4: structure: minutes "three" is no whole number``

Source
------
Data Package and Table Schema standard, version 2 (datapackage.org).
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Any

from stillroom.finding import Finding

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from stillroom.checked import CheckedPackage, Table

NAME = "structure"
MOST_FRICTIONLESS = 20_000
"""Most rows, in all tables together, that Frictionless is asked to read."""


def check(package: CheckedPackage) -> Iterator[Finding]:
    """Yield what is wrong with the structure."""
    yield from (problem for problem in package.problems if problem.check == NAME)
    yield from _undeclared(package)
    small = sum(map(len, package.tables.values())) <= MOST_FRICTIONLESS
    if small:
        yield from by_frictionless(package)
    yield from by_pandera(package, only_schedules=small)


def _undeclared(package: CheckedPackage) -> Iterator[Finding]:
    """Yield CSV files in schedules/ that the descriptor does not name."""
    declared = {table.file for table in package.tables.values()} | {problem.file for problem in package.problems}
    for folder, _, files in os.walk(os.path.join(package.root, "schedules")):
        for file in sorted(files):
            path = os.path.relpath(os.path.join(folder, file), package.root).replace(os.sep, "/")
            if file.lower().endswith(".csv") and path not in declared:
                yield Finding(
                    NAME, path, None, "", "", "is not declared in datapackage.json", "", "declare or remove it"
                )


def _fields(table: Table) -> dict[str, dict[str, Any]]:
    return {field["name"]: field for field in table.schema["fields"]}


def _cell(table: Table, line: int | None, column: str, value: str) -> Finding:
    field = _fields(table).get(column, {})
    return Finding(NAME, table.file, line, column, value, said(field, value), "", field.get("description", ""))


def said(field: dict[str, Any], value: str) -> str:
    """Say why a cell does not fit its field."""
    rules = field.get("constraints", {})
    if value == "":
        return "is blank"
    if field.get("type") in ("integer", "number"):
        kind = "whole number" if field["type"] == "integer" else "number"
        try:
            number = float(value)
        except ValueError:
            return f"is no {kind}"
        if field["type"] == "integer" and not value.strip().lstrip("+-").isdigit():
            return f"is no {kind}"
        if "minimum" in rules and number < rules["minimum"]:
            return f"is below {rules['minimum']}, the least there is"
        if "maximum" in rules and number > rules["maximum"]:
            return f"is above {rules['maximum']}, the most there is"
    if "enum" in rules:
        return f"is not one of {', '.join(map(str, rules['enum']))}"
    if "pattern" in rules:
        return f"does not have the form {rules['pattern']}"
    return "does not fit its field"


def _key_said(columns: Iterable[str]) -> str:
    return f"row has the same {', '.join(columns)} as a row above"


def _reference_said(resource: str) -> str:
    return f"is not in table {resource}"


# Frictionless


def by_frictionless(package: CheckedPackage) -> Iterator[Finding]:
    """Yield what Frictionless finds in the tables that can be read."""
    from frictionless import FrictionlessException, Package, system

    tables = {table.name: table for table in package.tables.values()}
    described = {
        "name": "package",
        "resources": [
            {
                "name": table.name, "path": table.file, "type": "table", "scheme": "file", "format": "csv",
                "mediatype": "text/csv", "encoding": "utf-8", "dialect": {"delimiter": ",", "header": True},
                "schema": _closed(table.schema, tables),
            }
            for table in tables.values()
        ],
    }  # fmt: skip
    if not tables:
        return
    try:
        with system.use_context(trusted=False, onerror="ignore"):
            tested = Package.from_descriptor(described, basepath=package.root).validate(limit_errors=1000)
    except FrictionlessException as error:
        yield Finding(
            NAME, "datapackage.json", None, "", "", " ".join(str(error.error.note).split()), "", "mend the schema"
        )
        return
    for problem in tested.errors:
        yield Finding(NAME, "datapackage.json", None, "", "", " ".join(str(problem.note).split()), "", "mend it")
    for task in tested.tasks:
        for problem in task.errors:
            yield from _translated(tables[task.name], problem)


def _closed(schema: dict[str, Any], tables: dict[str, Table]) -> dict[str, Any]:
    """Give a schema without references to tables that cannot be read."""
    keys = [key for key in schema.get("foreignKeys", []) if key["reference"]["resource"] in tables]
    kept = {name: value for name, value in schema.items() if name not in ("foreignKeys", "$schema", "profile")}
    return {**kept, "foreignKeys": keys} if keys else kept


def _translated(table: Table, error: Any) -> Iterator[Finding]:
    """Say one Frictionless error in our words."""
    line = getattr(error, "row_number", None)
    kind = error.type
    if kind in ("type-error", "constraint-error"):
        value = dict(zip(error.labels if hasattr(error, "labels") else table.columns, error.cells, strict=False))
        cell = value.get(error.field_name, error.cell)
        yield _cell(table, line, error.field_name, "" if cell is None else str(cell))
    elif kind == "unique-error":
        yield Finding(NAME, table.file, line, error.field_name, str(error.cell), "stands in a row above too")
    elif kind == "primary-key":
        key = _key(table)
        cells = dict(zip(table.columns, error.cells, strict=False))
        if any(cells.get(name) not in (None, "") for name in key):
            yield Finding(NAME, table.file, line, "", "", _key_said(key), "", "remove one of them")
    elif kind == "foreign-key":
        name = error.field_names[0]
        cells = dict(zip(table.columns, error.cells, strict=False))
        mend = f"add it there, or mend the {name}"
        said_so = _reference_said(error.reference_name)
        yield Finding(NAME, table.file, line, name, str(cells.get(name) or ""), said_so, "", mend)
    elif kind not in ("blank-row", "missing-cell", "extra-cell", "missing-label", "extra-label", "incorrect-label"):
        yield Finding(NAME, table.file, line, "", "", " ".join(str(error.note).split()), "", "mend it")


def _key(table: Table) -> list[str]:
    key = table.schema.get("primaryKey", [])
    return [key] if isinstance(key, str) else list(key)


# pandera and pandas


def by_pandera(package: CheckedPackage, only_schedules: bool = False) -> Iterator[Finding]:
    """Yield what the pandera columns of each schema, and the keys, find."""
    from stillroom.tables import GROUPS

    tables = [t for t in package.tables.values() if not only_schedules or t.name in GROUPS]
    bad: dict[int, dict[str, NDArray[np.int64]]] = {}
    for table in tables:
        if id(table.schema) not in bad:
            bad[id(table.schema)] = _bad_texts(table)
        yield from _bad_cells(table, bad[id(table.schema)])
        yield from _keys(package, table)


def _bad_texts(table: Table) -> dict[str, NDArray[np.int64]]:
    """Numbers of the distinct texts of each column that its pandera column refuses."""
    import numpy as np
    import pandas as pd
    from pandera.errors import SchemaErrors
    from pandera.io.pandas_io import from_frictionless_schema

    schema = from_frictionless_schema({**table.schema, "primaryKey": []})
    bad: dict[str, NDArray[np.int64]] = {}
    fields = _fields(table)
    for column in table.columns:
        texts = table.texts[column]
        required = fields[column].get("constraints", {}).get("required", False)
        refused = {i for i, text in enumerate(texts) if text == "" and required}
        kind = fields[column].get("type", "string")
        if kind in ("integer", "number"):
            fits = [_number(text, kind) for text in texts]
            refused |= {i for i, text in enumerate(texts) if text != "" and fits[i] is None}
            values = pd.Series([fits[i] for i in range(len(texts))], dtype=object)
            values = values[[fits[i] is not None for i in range(len(texts))]].astype(float)
        else:
            values = pd.Series(texts, dtype=object)[[text != "" for text in texts]]
        judge = schema.columns[column]
        judge.unique, judge.coerce, judge.dtype = False, False, None
        try:
            judge.validate(values.to_frame(column), lazy=True)
        except SchemaErrors as error:
            refused |= {int(i) for i in error.failure_cases["index"].dropna()}
        bad[column] = np.array(sorted(refused), dtype=np.int64)
    return bad


def _number(text: str, kind: str) -> float | None:
    try:
        return float(int(text)) if kind == "integer" else float(text)
    except ValueError:
        return None


def _bad_cells(table: Table, bad: dict[str, NDArray[np.int64]]) -> Iterator[Finding]:
    import numpy as np

    for column, refused in bad.items():
        if len(refused):
            codes = table.codes[column]
            for at in np.flatnonzero(np.isin(codes, refused)).tolist():
                yield _cell(table, int(table.lines[at]), column, table.texts[column][codes[at]])


def _keys(package: CheckedPackage, table: Table) -> Iterator[Finding]:
    import numpy as np

    fields = _fields(table)
    key = _key(table)
    if key:
        blank = np.logical_and.reduce([table.column(name) == "" for name in key])  # told cell by cell
        for at in np.flatnonzero(table.frame.duplicated(key).to_numpy() & ~blank).tolist():
            yield Finding(NAME, table.file, int(table.lines[at]), "", "", _key_said(key), "", "remove one of them")
    for column, field in fields.items():
        if field.get("constraints", {}).get("unique"):
            for at in np.flatnonzero(table.frame.duplicated([column])).tolist():
                text = table.texts[column][table.codes[column][at]]
                yield Finding(NAME, table.file, int(table.lines[at]), column, text, "stands in a row above too")
    for reference in table.schema.get("foreignKeys", []):
        yield from _reference(package, table, reference)


def _reference(package: CheckedPackage, table: Table, reference: dict[str, Any]) -> Iterator[Finding]:
    import numpy as np

    column, to = reference["fields"], reference["reference"]
    other = package.tables.get(to["resource"] or table.name)
    if other is None or not isinstance(column, str):
        return
    texts = other.texts[to["fields"]]
    known = {texts[code] for code in np.unique(other.codes[to["fields"]]).tolist()} | {""}
    codes = table.codes[column]
    wrong = [code for code in np.unique(codes).tolist() if table.texts[column][code] not in known]
    for at in np.flatnonzero(np.isin(codes, wrong)).tolist() if wrong else ():
        text = table.texts[column][codes[at]]
        mend = f"add it there, or mend the {column}"
        yield Finding(NAME, table.file, int(table.lines[at]), column, text, _reference_said(other.name), "", mend)
