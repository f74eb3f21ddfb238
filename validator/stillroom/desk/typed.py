"""Typed: the table of answers and the table of names as Parquet and SQLite, the same bytes each time.

Run it where a release is built, after ``stillroom check``::

    python -m stillroom.desk.typed OUT

It writes ``answers.parquet``, ``names.parquet`` and ``answers.sqlite``, which holds both tables. Types are those of the
schemas; a blank text stays an empty text, so that ``form = ''`` asks for food without forms; a blank number is NULL.
Nothing in a file tells when or where it was made.
"""

from __future__ import annotations

import argparse
import csv
import io
import os
import sqlite3
import sys
from typing import Any, NamedTuple

from stillroom.errors import BadInput, BadPackage, StillroomError
from stillroom.package import files
from stillroom.package.documents import read_json
from stillroom.package.package import home
from stillroom.package.tables import DERIVED, TABLES

SQLITE = "answers.sqlite"
_LARGEST = 2**26
_READ = {"integer": int, "number": float, "string": str}
_SQL = {"integer": "INTEGER", "number": "REAL", "string": "TEXT NOT NULL"}


class Typed(NamedTuple):
    """One table: its name, what its schema says of it, its columns and the values of each row (None for no number)."""

    name: str
    description: str
    fields: tuple[dict[str, Any], ...]
    rows: tuple[tuple[object, ...], ...]


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
    schema = read_json(_bytes(root, declared.schema), declared.schema)
    fields = tuple(schema["fields"])
    lines = csv.reader(io.StringIO(_bytes(root, declared.file).decode("utf-8"), newline=""), strict=True)
    if next(lines, None) != [field["name"] for field in fields]:
        raise BadPackage(f"{declared.file}:1: has other columns than {declared.schema}")
    try:
        rows = tuple(_row(fields, cells) for cells in lines)
    except ValueError as error:
        raise BadPackage(f"{declared.file}:{lines.line_num}: {error}") from None
    return Typed(name, str(schema["description"]), fields, rows)


def write(root: str, out: str) -> tuple[str, ...]:
    """Write the files of a release into a folder.

    Parameters
    ----------
    root : str
        Folder of the package.
    out : str
        Folder, made if it is not there; files of these names in it are replaced.

    Returns
    -------
    tuple of str
        Paths that were written.

    Raises
    ------
    BadInput
        The folder cannot be written.
    BadPackage
        As :func:`typed`.
    """
    read = [typed(root, name) for name in DERIVED]
    contents = {f"{table.name}.parquet": parquet(table) for table in read} | {SQLITE: sqlite(read)}
    try:
        os.makedirs(out, exist_ok=True)
        for name, content in contents.items():
            files.replace(os.path.join(out, name), content)
    except OSError as error:
        raise BadInput(f"{out} cannot be written: {error.strerror}") from None
    return tuple(os.path.join(out, name) for name in contents)


def parquet(table: Typed) -> bytes:
    """Write one table as Parquet, with the description of each column.

    Parameters
    ----------
    table : Typed
    """
    import pyarrow as pa
    import pyarrow.parquet as pq

    kinds = {"integer": pa.int32(), "number": pa.float64(), "string": pa.string()}
    columns = list(zip(*table.rows, strict=True)) or [()] * len(table.fields)
    schema = pa.schema(
        [
            pa.field(
                field["name"],
                kinds[field["type"]],
                nullable=field["type"] != "string",
                metadata={"description": field["description"]},
            )
            for field in table.fields
        ],
        metadata={"description": table.description},
    )
    arrays = [pa.array(values, field.type) for values, field in zip(columns, schema, strict=True)]
    out = pa.BufferOutputStream()
    pq.write_table(pa.Table.from_arrays(arrays, schema=schema), out, compression="zstd", version="2.6")
    return bytes(out.getvalue())


def sqlite(tables: list[Typed]) -> bytes:
    """Write tables as one SQLite database, each with an index on what a question gives.

    Parameters
    ----------
    tables : list of Typed
    """
    with sqlite3.connect(":memory:") as base:
        for table in tables:
            columns = ", ".join(f'"{field["name"]}" {_SQL[field["type"]]}' for field in table.fields)
            base.execute(f'CREATE TABLE "{table.name}" ({columns}) STRICT')
            marks = ", ".join("?" * len(table.fields))
            base.executemany(f'INSERT INTO "{table.name}" VALUES ({marks})', table.rows)
        base.execute('CREATE INDEX "asked" ON "answers" ("food", "form", "pack", "jar", "canner")')
        base.execute('CREATE INDEX "named" ON "names" ("name")')
    content = bytes(base.serialize())
    base.close()
    return content


def _row(fields: tuple[dict[str, Any], ...], cells: list[str]) -> tuple[object, ...]:
    return tuple(_value(field, cell) for field, cell in zip(fields, cells, strict=True))


def _value(field: dict[str, Any], cell: str) -> object:
    kind = field["type"]
    if kind != "string" and cell == "":
        return None
    return _READ[kind](cell)


def _bytes(root: str, file: str) -> bytes:
    try:
        return files.read(files.inside(root, file), _LARGEST)
    except files.Unread as error:
        raise BadPackage(f"{file} cannot be read: {error.said}") from None


def main(words: list[str] | None = None) -> int:
    """Run the command; exit status 0: written, 2: it could not be done."""
    parser = argparse.ArgumentParser(prog="python -m stillroom.desk.typed", allow_abbrev=False)
    parser.add_argument("out", help="folder that the files are written into")
    asked = parser.parse_args(words)
    here = "." if os.path.lexists("datapackage.json") else home()
    try:
        written = write(here, asked.out)
    except StillroomError as error:
        sys.stderr.write(f"stillroom: {error}\n")
        return 2
    sys.stdout.write("".join(f"{path}\n" for path in written))
    return 0


if __name__ == "__main__":
    sys.exit(main())
