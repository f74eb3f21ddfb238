"""The package under test: its files held in memory, copies of it to spoil, and what of a copy was edited."""

from __future__ import annotations

import copy
import csv
import json
import os
import shutil
import stat
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

import yaml

if TYPE_CHECKING:
    from stillroom.findings.opened import CheckedPackage

HOME = Path(__file__).resolve().parents[1]
PARTS = ("schedules", "shared", "schema", "datapackage.json")
PAGES = "schedules/readings/pages-second.csv"
RECIPES = ("apple-pie-filling", "figs", "soups")
"""Recipes that a copy has whole."""
COMPARED = (
    "food", "title", "source", "page", "packs", "jars", "follows", "acid", "headspace", "sterile_jars", "single_batch",
    "low_temperature_pasteurization",
)  # fmt: skip
"""Keys that the other recipes of a copy keep, beside their acid and the steps that leave a headspace: what checks
compare. Reading all recipes whole takes as long as all other files together."""
TOLD = ("headspace", " inches over", "lemon juice", "citric acid")
"""Words of the steps that they keep."""


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
    """Copy the package with three whole recipes and the bones of the others, and what was read twice of these."""
    copied(folder)
    cited: set[tuple[str, str]] = set()
    for path in (folder / "schedules/recipes").iterdir():
        if path.stem not in RECIPES:
            bones = _bones(yaml.load(path.read_bytes(), Loader=yaml.CSafeLoader))
            path.write_text(json.dumps(bones, indent=1) + "\n", encoding="utf-8")
            cited |= {(f"{path.stem}|{part}", page) for part, page in _pages(bones)}
    with (folder / PAGES).open(encoding="utf-8", newline="") as file:
        rows = [
            row for row in csv.reader(file)
            if row[0] != "recipe" or row[1].split("|")[0] in RECIPES or (row[1], row[2]) in cited
        ]  # fmt: skip
    with (folder / PAGES).open("w", encoding="utf-8", newline="") as file:
        csv.writer(file, lineterminator="\n").writerows(rows)
    rehashed(folder)
    return folder


def rehashed(folder: Path) -> None:
    """Declare the hashes of a copy as its files are now."""
    from stillroom.desk.prepare import renewed

    renewed(str(folder))


def _bones(recipe: dict[str, Any]) -> dict[str, Any]:
    """What checks compare of a recipe; JSON is YAML too."""
    bones = {key: recipe[key] for key in COMPARED if key in recipe}
    acid = [line for line in recipe.get("ingredients", ()) if line["role"] == "acid"]
    if acid:
        bones["ingredients"] = acid
    if acid and "batches" in recipe:
        bones["batches"] = recipe["batches"]
    said = [step for step in recipe["steps"] if any(words in step["text"] for words in TOLD)]
    return {**bones, "steps": said or recipe["steps"][:1]}


def _pages(recipe: dict[str, Any]) -> Iterator[tuple[str, str]]:
    """Pages that a recipe cites, by part."""
    yield "start", recipe["page"]
    for part in recipe.keys() & {"acid", "headspace", "steps"}:
        yield from ((part, row["page"]) for row in recipe[part])


class Restored:
    """A folder with a copy of a package in it, brought back after each test to what it was.

    Every file of the copy is given an old time of change, so that a change never goes unseen, however soon it comes.
    """

    def __init__(self, home: Path, source: Path) -> None:
        self.home, self.source, self.root = home, source, home / "package"
        copied(self.root, source=source)
        for path in self.root.rglob("*"):
            os.utime(path, (0, 0))
        self._was = listing(home)

    def restore(self) -> None:
        """Take away what is new, and put back what was changed or taken away."""
        now = listing(self.home)
        for path in sorted(now.keys() - self._was.keys()):  # a folder before what is in it
            _remove(self.home / path)
        for path in sorted(path for path, state in self._was.items() if now.get(path) != state):
            self._put_back(path)
        assert listing(self.home) == self._was

    def _put_back(self, path: str) -> None:
        there, original = self.home / path, self.source / Path(path).relative_to("package")
        if original.is_dir() and there.is_dir() and not there.is_symlink():
            there.chmod(original.stat().st_mode)
            return
        _remove(there)
        if original.is_dir():
            there.mkdir()
        else:
            shutil.copy(original, there)
            os.utime(there, (0, 0))


def listing(folder: Path) -> dict[str, tuple[int, ...]]:
    """Everything below a folder: what it is and may be, and of what is no folder its size and time of change."""
    found = {}
    for path in folder.rglob("*"):
        state = path.lstat()
        more = () if stat.S_ISDIR(state.st_mode) else (state.st_size, state.st_mtime_ns)
        found[path.relative_to(folder).as_posix()] = (state.st_mode, *more)
    return found


def _remove(path: Path) -> None:
    if path.is_dir() and not path.is_symlink():
        shutil.rmtree(path)
    else:
        path.unlink(missing_ok=True)


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
    return {key["reference"].get("resource", name) for key in keys}
