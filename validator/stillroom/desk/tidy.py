"""Tidy: mends the form of the tables (order of rows, spaces, quotes, line ends, byte order mark) and nothing else.

A value is never changed: only the spaces around and between the words of a cell are. A file is replaced in one step,
so that a stopped run leaves the old file or the new one.
"""

from __future__ import annotations

import csv
import io
import os
from typing import TYPE_CHECKING

from stillroom.errors import BadPackage
from stillroom.findings.finding import shown
from stillroom.package import files
from stillroom.package.keys import row_key

if TYPE_CHECKING:
    from stillroom.findings.table import Table


def tidied(root: str, write: bool = True) -> tuple[str, ...]:
    """Mend the form of every table of a package.

    Parameters
    ----------
    root : str
        Folder that holds datapackage.json.
    write : bool
        False: only say which files would change.

    Returns
    -------
    tuple of str
        Files that changed, or would.

    Raises
    ------
    BadInput
        No such folder, or no datapackage.json in it.
    BadPackage
        A table cannot be read as it is; nothing is written then.
    """
    from stillroom.findings.opened import LARGEST_FILE, CheckedPackage

    package = CheckedPackage(root)
    unreadable = [p for p in package.problems if p.check == "structure" or "UTF-8" in p.wrong or "NUL" in p.wrong]
    if unreadable:
        raise BadPackage(f"nothing is tidied before this is mended: {unreadable[0]}")
    texts = [(table.file, tidy_text(table)) for table in package.tables.values()]
    changed = [(file, text) for file, text in texts if package.bounded(file, LARGEST_FILE)[0] != text.encode()]
    if write:
        for file, text in changed:
            replace(os.path.join(package.root, *file.split("/")), text)
    return tuple(file for file, _ in changed)


def tidy_text(table: Table) -> str:
    """Give a table as text, in its canonical form."""
    spaced = {"note"} if "/readings/" in table.file else set()
    rows = [[words(row[name], name in spaced) for name in table.columns] for row in table.rows]
    kinds = {field["name"]: field.get("type", "string") for field in table.schema["fields"]}
    order = [(table.columns.index(name), kinds[name]) for name in row_key(table.schema)]
    if order:
        rows.sort(key=lambda row: [_sortable(row[at], kind) for at, kind in order])
    file = io.StringIO()
    csv.writer(file, lineterminator="\n").writerows([table.columns, *rows])
    return file.getvalue()


def words(text: str, keep_double: bool = False) -> str:
    """Take away the spaces around a text and, but for notes of the readings, doubled ones within."""
    return text.strip() if keep_double else " ".join(text.split())


def _sortable(text: str, kind: str) -> tuple[float, str]:
    if kind in ("integer", "number"):
        try:
            return float(text) if text else -1.0, ""
        except ValueError:
            return -1.0, text
    return 0.0, text


def replace(path: str, text: str) -> None:
    """Write a file beside the old one and put it in its place in one step, with the same permissions.

    Raises
    ------
    BadPackage
        The folder or the file cannot be written.
    """
    try:
        files.replace(path, text.encode())
    except OSError as error:
        raise BadPackage(f"{shown(path, 200)} cannot be written: {error.strerror}") from None
