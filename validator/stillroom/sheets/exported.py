"""Exported: all tables written as files for other programs, never over one that is not ours, or is no longer."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from typing import NamedTuple

from stillroom import screen
from stillroom.answers.shelf import Shelf
from stillroom.errors import BadInput
from stillroom.export import duckdb, parquet, plain, sqlite, workbook
from stillroom.export.typed import DESCRIPTOR, Content, Typed, content
from stillroom.extras import needed
from stillroom.package import files
from stillroom.package.package import Package
from stillroom.sheets import output

FOLDERS: Mapping[str, Callable[[Typed], bytes]] = {"parquet": parquet.written, "csv": plain.csv_file}
"""Forms of one file for each table, in a folder with a descriptor."""


class _Single(NamedTuple):
    written: Callable[[Content, Shelf], bytes]
    ours: output.Ours


SINGLE: Mapping[str, _Single] = {
    "sqlite": _Single(sqlite.written, sqlite.ours),
    "duckdb": _Single(duckdb.written, duckdb.ours),
    "json": _Single(lambda held, _: plain.document(held), plain.ours),
    "xlsx": _Single(lambda held, _: workbook.written(held), workbook.ours),
}
"""Forms of one file for all tables."""
FORMS = ("parquet", "sqlite", "duckdb", "json", "xlsx", "csv")
_LARGEST = 2**28


def export(root: str, out: str, form: str, *, readings: bool = False) -> tuple[str, ...]:
    """Write all tables of a package.

    Parameters
    ----------
    root : str
        Folder of the package.
    out : str
        The file; for parquet and csv the folder, which is made if it is not there.
    form : str
        One of :data:`FORMS`.
    readings : bool, optional
        Take the tables of the readings too.

    Returns
    -------
    tuple of str
        Paths that were written.

    Raises
    ------
    BadInput
        It cannot be written, or would replace what is not ours; then nothing is written.
    BadPackage
        A cell or a key of the package does not hold.
    StillroomError
        A library is not installed.
    """
    held = content(root, readings=readings)
    with needed("export"):
        if form in FOLDERS:
            tables = {_place(table, form): FOLDERS[form](table) for table in held.tables}
            return _folder(out, {**tables, DESCRIPTOR: plain.folder(held, tables, form)})
        made = SINGLE[form].written(held, Shelf(Package(root)))
        output.write(out, made, "export", SINGLE[form].ours, _LARGEST)
    return (out,)


def _place(table: Typed, form: str) -> str:
    """Give the place of a table in a folder: printed schedules lie together, so that one glob loads them as one."""
    return f"schedules/{table.name}.{form}" if table.printed else f"{table.name}.{form}"


def _folder(out: str, contents: Mapping[str, bytes]) -> tuple[str, ...]:
    """Write a folder: the files first, what describes them last; nothing where anything there is not ours."""
    shown = screen.shown(out, 200)
    before = plain.files_of(_there(os.path.join(out, DESCRIPTOR)) or b"")
    left = [name for name in before if name not in contents]
    if left:
        raise BadInput(f'export "{shown}" holds {left[0]}, which this export has not: choose another folder')
    known = {name: {before.get(name), plain.hashed(held)} for name, held in contents.items()}

    def ours(name: str) -> output.Ours:
        return lambda file: plain.ours(file) if name == DESCRIPTOR else plain.hashed(file) in known[name]

    for name in contents:
        there = _there(os.path.join(out, name))
        if there is not None and not ours(name)(there):
            raise output.another(os.path.join(out, name), "export")
    try:
        for name in contents:
            os.makedirs(os.path.dirname(os.path.join(out, name)), exist_ok=True)
    except (OSError, ValueError) as error:
        told = getattr(error, "strerror", None) or "that is no name of a folder"
        raise BadInput(f'export "{shown}" cannot be written: {told}') from None
    for name, held in contents.items():
        output.write(os.path.join(out, name), held, "export", ours(name), _LARGEST)
    return tuple(os.path.join(out, name) for name in contents)


def _there(path: str) -> bytes | None:
    try:
        return files.read(path, _LARGEST)
    except files.Unread as error:
        if error.kind in (files.MISSING, files.ASTRAY):
            return None
        return b"\0"  # a folder, a pipe or what is too large is nobody's of ours
