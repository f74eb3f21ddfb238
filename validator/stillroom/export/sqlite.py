"""SQLite: all tables in one database, with keys, what tells about them, and a view that one filter asks.

The same package makes the same bytes with the same version of SQLite. The head of the file carries our mark: an
application id, and as user version a sum over the whole file, so that a database that anyone has written to since is
no longer ours to replace.
"""

from __future__ import annotations

import sqlite3
import zlib

from stillroom.answers.shelf import Shelf
from stillroom.export import sql
from stillroom.export.typed import Content
from stillroom.export.words import said

APPLICATION = b"Strm"
"""Application id, at byte 68 of the file (Database File Format, sqlite.org, 1.3.14)."""
_MAGIC, _USER, _APPLICATION = b"SQLite format 3\0", slice(60, 64), slice(68, 72)
_DIALECT = sql.Dialect(
    types={"integer": "INTEGER", "number": "REAL", "string": "TEXT"},
    low="-9e999",
    high="9e999",
    strict=" STRICT",
    self_references=True,
)


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
    answers = next(table for table in content.tables if table.name == "answers")
    base = sqlite3.connect(":memory:", isolation_level=None)
    try:
        base.execute(f"PRAGMA application_id = {int.from_bytes(APPLICATION, 'big')}")
        base.execute("PRAGMA foreign_keys = ON")
        base.execute("BEGIN")
        base.execute("PRAGMA defer_foreign_keys = ON")  # a source may be amended by one that stands below it
        for table in sql.tables(content, said(shelf, answers), _DIALECT):
            base.execute(table.create)
            base.executemany(sql.insert(table), table.rows)
            for index in table.indexes:
                base.execute(index)
        for view in sql.views(content, _DIALECT):
            base.execute(view)
        base.execute("COMMIT")
        return _marked(bytes(base.serialize()))
    finally:
        base.close()


def ours(file: bytes) -> bool:
    """Tell whether a file is one that was written here and nobody has changed."""
    return file.startswith(_MAGIC) and file[_APPLICATION] == APPLICATION and file == _marked(file)


def _marked(file: bytes) -> bytes:
    bare = bytearray(file)
    bare[_USER] = bytes(4)
    bare[_USER] = (zlib.crc32(bare) & 0x7FFFFFFF).to_bytes(4, "big")
    return bytes(bare)
