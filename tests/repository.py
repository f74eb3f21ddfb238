"""The package under test: its files held in memory, copies of it to spoil, and what of a copy was edited."""

from __future__ import annotations

import copy
import csv
import json
import shutil
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from stillroom.checked import CheckedPackage

HOME = Path(__file__).resolve().parents[1]
PARTS = ("schedules", "shared", "schema", "datapackage.json")
PAGES = "schedules/readings/pages-second.csv"
RECIPES = ("apple-pie-filling", "figs", "soups")
"""Recipes of a copy with few of them; reading all takes as long as all other files together."""


class Memory:
    """Files of one version, held in memory."""

    def __init__(self, contents: Mapping[str, bytes]) -> None:
        self.contents = contents
        self.sizes = {path: len(content) for path, content in contents.items()}

    def read(self, path: str, most: int) -> bytes:
        """Give a file, or its first bytes."""
        return self.contents[path][:most]

    def close(self) -> None:
        """Nothing is held open."""


@cache
def contents() -> Mapping[str, bytes]:
    """Every file of the package by its path, without the demonstration; read once."""
    paths = [HOME / "datapackage.json"]
    for part in PARTS[:3]:
        paths += [path for path in (HOME / part).rglob("*") if path.is_file() and "demo" not in path.parts]
    return MappingProxyType({path.relative_to(HOME).as_posix(): path.read_bytes() for path in paths})


def copied(folder: Path, *parts: str, source: Path = HOME) -> Path:
    """Copy the package, or parts of it, into a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    for part in parts or PARTS:
        if (source / part).is_dir():
            shutil.copytree(source / part, folder / part)
        else:
            shutil.copy(source / part, folder / part)
    return folder


def with_few_recipes(folder: Path) -> Path:
    """Copy the package with three of its recipes, and what was read a second time for these."""
    copied(folder)
    for path in (folder / "schedules/recipes").iterdir():
        if path.stem not in RECIPES:
            path.unlink()
    with (folder / PAGES).open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.reader(file) if row[0] != "recipe" or row[1].split("|")[0] in RECIPES]
    with (folder / PAGES).open("w", encoding="utf-8", newline="") as file:
        csv.writer(file, lineterminator="\n").writerows(rows)
    descriptor = json.loads((folder / "datapackage.json").read_text(encoding="utf-8"))
    for resource in descriptor["resources"]:
        if resource["path"] == PAGES:
            del resource["hash"]
    (folder / "datapackage.json").write_text(json.dumps(descriptor), encoding="utf-8")
    return folder


def edited(package: CheckedPackage, before: CheckedPackage) -> CheckedPackage:
    """Narrow a package to the tables that were edited, and those that they refer to or that refer to them.

    Where the package before has no finding of structure, the others have none either: a table is judged by its own
    file and schema, and by the tables it refers to.
    """
    names = {name for name, table in package.tables.items() if not _same(name, package, before)}
    names |= before.tables.keys() - package.tables.keys()
    near = {name for name, table in package.tables.items() if _references(name, package) & names}
    near |= {to for name in names & package.tables.keys() for to in _references(name, package)}
    narrowed = copy.copy(package)
    narrowed.tables = {name: table for name, table in package.tables.items() if name in names | near}
    return narrowed


def _same(name: str, package: CheckedPackage, before: CheckedPackage) -> bool:
    one, other = package.tables[name], before.tables.get(name)
    return other is not None and (one.file, one.sha256, one.schema) == (other.file, other.sha256, other.schema)


def _references(name: str, package: CheckedPackage) -> set[str]:
    keys = package.tables[name].schema.get("foreignKeys", [])
    return {key["reference"]["resource"] for key in keys}
