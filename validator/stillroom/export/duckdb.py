"""DuckDB: all tables in one database, with keys, comments, what tells about them, and a view that one filter asks.

Each file gets an identifier of its own by chance, so that two builds hold the same but are not the same bytes. A sum
over everything in it stands in the comment on the table ``about``: it tells that two builds hold the same, and that
nobody has changed a file since it was written here.
"""

from __future__ import annotations

import hashlib
import os
from typing import TYPE_CHECKING

from stillroom.answers.shelf import Shelf
from stillroom.export import sql
from stillroom.export.typed import Content, Field
from stillroom.export.words import said
from stillroom.package import files

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

MARK = "stillroom export sha256:"
_MAGIC = slice(8, 12)
_DIALECT = sql.Dialect(
    types={"integer": "INTEGER", "number": "DOUBLE", "string": "VARCHAR"},
    low="'-infinity'::DOUBLE",
    high="'infinity'::DOUBLE",
    strict="",
    self_references=False,  # no database with one can be exported from DuckDB
)
_SMALL: dict[str, str | bool | int | float | list[str]] = {
    "threads": 1,
    "default_block_size": "16384",
    "storage_compatibility_version": "v1.2.0",
}
_CLOSED: dict[str, str | bool | int | float | list[str]] = {"threads": 1, "enable_external_access": False}
"""How a database is made (small blocks for many small columns; older programs read it), and how one is looked into."""


def written(content: Content, shelf: Shelf) -> bytes:
    """Write the database.

    Parameters
    ----------
    content : Content
    shelf : Shelf
        Of the same package.

    Raises
    ------
    BadPackage
        A statement in the table of answers has no words.
    """
    import duckdb

    with files.aside({}) as folder:
        path = os.path.join(folder, "stillroom.duckdb")
        with duckdb.connect(path, config=_SMALL) as base:
            _fill(base, content, shelf)
        with duckdb.connect(path, config=_SMALL) as base:  # a view is told in other words until its file was closed
            base.execute(f"""COMMENT ON TABLE "about" IS '{MARK}{digest(base)}'""")
            base.execute("CHECKPOINT")
        with files.opened(path) as file:
            return file.read()


def _fill(base: DuckDBPyConnection, content: Content, shelf: Shelf) -> None:
    answers = next(table for table in content.tables if table.name == "answers")
    for table in sql.tables(content, said(shelf, answers), _DIALECT):
        base.execute(table.create)
        _insert(base, table)
        for index in table.indexes:
            base.execute(index)
    for view in sql.views(content, _DIALECT):
        base.execute(view)
    base.execute(f"COMMENT ON VIEW {sql.ANSWER} IS {_text(sql.ANSWER_SAYS)}")
    base.execute(f"COMMENT ON VIEW {sql.SCHEDULES} IS {_text(sql.SCHEDULES_SAYS)}")
    for each in content.tables:
        named = sql.name(each.name)
        base.execute(f'COMMENT ON TABLE "{named}" IS {_text(each.description)}')
        for field in each.fields:
            base.execute(f'COMMENT ON COLUMN "{named}"."{field.name}" IS {_text(comment(field))}')


def comment(field: Field) -> str:
    """Describe a column, with its unit."""
    return f"{field.description} [{field.unit}]" if field.unit else field.description


def _insert(base: DuckDBPyConnection, table: sql.Made) -> None:
    """Insert the rows column by column: one statement for thousands of rows."""
    if not table.rows:
        return
    columns = [list(column) for column in zip(*table.rows, strict=True)]
    kinds = [row[0] for row in base.execute(
        "SELECT data_type FROM duckdb_columns() WHERE table_name = ? ORDER BY column_index", [table.name]
    ).fetchall()]  # fmt: skip
    parts = ", ".join(f"UNNEST(?::{kind}[])" for kind in kinds)
    base.execute(f'INSERT INTO "{table.name}" SELECT {parts}', columns)


def digest(base: DuckDBPyConnection) -> str:
    """Sum up everything a database holds: statements, comments but that on ``about``, and rows in their order."""
    held = hashlib.sha256()
    for listed in (
        "SELECT table_name, sql, comment FROM duckdb_tables() WHERE table_name <> 'about' ORDER BY 1",
        "SELECT sql FROM duckdb_tables() WHERE table_name = 'about'",
        "SELECT table_name, column_name, comment FROM duckdb_columns() WHERE NOT internal ORDER BY 1, column_index",
        "SELECT view_name, sql, comment FROM duckdb_views() WHERE NOT internal ORDER BY 1",
        "SELECT index_name, sql FROM duckdb_indexes() ORDER BY 1",
        "SELECT function_name, macro_definition FROM duckdb_functions() WHERE NOT internal ORDER BY 1",
        "SELECT sequence_name FROM duckdb_sequences() ORDER BY 1",
        "SELECT type_name FROM duckdb_types() WHERE NOT internal ORDER BY 1",
        "SELECT schema_name FROM duckdb_schemas() WHERE NOT internal ORDER BY 1",
    ):
        held.update(repr(base.execute(listed).fetchall()).encode())
    named = base.execute("SELECT schema_name, table_name FROM duckdb_tables() ORDER BY 1, 2").fetchall()
    for schema, table in named:
        held.update(repr(base.execute(f"SELECT * FROM {_name(schema)}.{_name(table)}").fetchall()).encode())
    return held.hexdigest()


def ours(file: bytes) -> bool:
    """Tell whether a file is one that was written here and nobody has changed."""
    if file[_MAGIC] != b"DUCK" or MARK.encode() not in file:
        return False
    import duckdb

    with files.aside({"found.duckdb": file}) as folder:
        try:
            with duckdb.connect(os.path.join(folder, "found.duckdb"), read_only=True, config=_CLOSED) as base:
                marked = base.execute("SELECT comment FROM duckdb_tables() WHERE table_name = 'about'").fetchall()
                return marked == [(MARK + digest(base),)]
        except duckdb.Error:
            return False


def _text(words: str) -> str:
    doubled = words.replace("'", "''")
    return f"'{doubled}'"


def _name(words: str) -> str:
    doubled = words.replace('"', '""')
    return f'"{doubled}"'
