"""Contents: the tables of the installed package, told one by one as datapackage.json and schema/ tell them."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import Any, NamedTuple

from stillroom import screen
from stillroom.errors import BadInput, BadPackage
from stillroom.package import documents
from stillroom.package.package import home
from stillroom.package.resources import is_recipe


class ColumnInfo(NamedTuple):
    """One column of a table of the package, as its schema tells it.

    Attributes
    ----------
    name : str
        Name, with its unit at the end where it has one, like ``altitude_from_ft``.
    type : str
        ``string``, ``integer`` or ``number``, as Table Schema calls them.
    description : str
        What it says, with the unit of a figure.
    required : bool
        Whether no cell of it is blank; what a blank means stands in the description.
    """

    name: str
    type: str
    description: str
    required: bool


class TableInfo(NamedTuple):
    """One table of the package, from :func:`stillroom.tables`.

    Attributes
    ----------
    name : str
        Name in datapackage.json, like ``vegetables`` or ``answers``.
    title : str
        A few words for people.
    description : str
        What one row is.
    path : pathlib.Path
        The installed CSV file: UTF-8, comma between cells, one line of names first.
    columns : tuple of ColumnInfo
        In the order of the file.
    """

    name: str
    title: str
    description: str
    path: Path
    columns: tuple[ColumnInfo, ...]


@lru_cache(maxsize=1)
def tables() -> tuple[TableInfo, ...]:
    """Tell the tables of the installed package, once; see :func:`stillroom.tables`."""
    root = Path(home())
    declared = _read(root, "datapackage.json")
    try:
        return tuple(_table(root, resource) for resource in declared["resources"] if not is_recipe(resource))
    except (KeyError, TypeError) as error:
        raise BadPackage(f"datapackage.json or a schema does not tell its tables: {error!r}") from None


def version(root: str) -> str:
    """Version of the data of a package, as its datapackage.json declares it.

    Raises
    ------
    BadPackage
        It declares none.
    """
    declared = _read(Path(root), "datapackage.json")
    said = declared.get("version") if isinstance(declared, dict) else None
    if not isinstance(said, str):
        raise BadPackage("datapackage.json declares no version")
    return said


def file_of(name: str) -> Path:
    """Give the file of one table; see :func:`stillroom.data_path`."""
    by_name = {table.name: table for table in tables()}
    if name in by_name:
        return by_name[name].path
    import difflib

    said = "-".join(name.casefold()[:60].replace("_", "-").removesuffix(".csv").split())
    near = difflib.get_close_matches(said, by_name, 3)
    more = f"; near to it: {', '.join(near)}" if near else ": stillroom.tables() names them all"
    raise BadInput(f'no table is called "{screen.printable(name, 60)}"{more}')


def _table(root: Path, resource: dict[str, Any]) -> TableInfo:
    columns = tuple(_column(field) for field in _read(root, resource["schema"])["fields"])
    path = root.joinpath(*resource["path"].split("/"))
    return TableInfo(resource["name"], resource["title"], resource["description"], path, columns)


def _column(field: dict[str, Any]) -> ColumnInfo:
    required = bool(field.get("constraints", {}).get("required", False))
    return ColumnInfo(field["name"], field["type"], field["description"], required)


def _read(root: Path, file: str) -> Any:
    return documents.read_json(documents.content(str(root.joinpath(*file.split("/"))), file), file)
