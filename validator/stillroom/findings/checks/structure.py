"""Structure: files, columns, types, keys and references are as datapackage.json and its schemas declare them.

What it does
------------
Reads the descriptor and every file it names, inside the package only. Each table of the library must be declared with
the very file and schema that the library reads. Frictionless reads the files again by itself and enforces their
schemas: types, constraints, unique columns, primary and foreign keys. The schedule tables are enforced a second time,
by pandera, from the same schema file: each distinct cell is coerced to its type and held against its constraints, keys
are looked for in all rows, and what a cell may refer to is given to pandera as a list, since it knows no references. A
package of more than 20,000 rows is enforced by pandera alone, with the same findings, since Frictionless takes minutes
there. A file in schedules/, shared/ or schema/ that is neither declared nor a recipe, a
demonstration or the schema of a document is a finding too, whatever its kind.

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
from collections.abc import Iterator
from typing import TYPE_CHECKING

from stillroom.findings import breach
from stillroom.findings.finding import Finding

if TYPE_CHECKING:
    from stillroom.findings.opened import CheckedPackage
    from stillroom.findings.second_process import SecondProcess

NAME = breach.NAME
MOST_FRICTIONLESS = 20_000
"""Most rows, in all tables together, that Frictionless is asked to read."""
FOLDERS = ("schedules", "shared", "schema")
"""Folders in which every file is declared, or is one that is known to stand there."""


def check(package: CheckedPackage) -> Iterator[Finding]:
    """Yield what is wrong with the structure."""
    yield from (problem for problem in package.problems if problem.check == NAME)
    yield from _undeclared(package)
    told = package.second_process.findings() if package.second_process else None
    if told is not None:
        yield from told
        return
    small = _small(package)
    if small:
        yield from by_frictionless(package)
    yield from by_pandera(package, only_schedules=small)


def ahead(package: CheckedPackage, process: SecondProcess) -> None:
    """Give the tables to a second process, which enforces their schemas while the other checks run."""
    if _small(package):  # a large package is done here: it would take long to hand over
        process.give(package.work, _schedules(package))
        package.second_process = process


def _small(package: CheckedPackage) -> bool:
    return sum(map(len, package.tables.values())) <= MOST_FRICTIONLESS


def _schedules(package: CheckedPackage) -> list[str]:
    from stillroom.package.tables import GROUPS

    return [name for name in package.tables if name in GROUPS]


def by_frictionless(package: CheckedPackage) -> Iterator[Finding]:
    """Yield what Frictionless finds in the tables that can be read."""
    from stillroom.findings import row_engine

    yield from row_engine.enforce(package.work)


def by_pandera(package: CheckedPackage, only_schedules: bool = False) -> Iterator[Finding]:
    """Yield what pandera finds in the tables that can be read, or in the schedule tables of them."""
    from stillroom.findings import column_engine

    yield from column_engine.enforce(package.work, _schedules(package) if only_schedules else package.tables)


def _undeclared(package: CheckedPackage) -> Iterator[Finding]:
    """Yield files among the tables and schemas that nothing declares; what lies with the recipes is theirs to tell."""
    from stillroom.findings.opened import BESIDE_TABLES, RECIPES

    for path in _lying(package.root):
        told_by_recipes = path.rpartition("/")[0] == RECIPES and not path.endswith((".yaml", ".yml"))
        if path not in package.declared and not BESIDE_TABLES.fullmatch(path) and not told_by_recipes:
            yield Finding(NAME, path, None, "", "", "is not declared in datapackage.json", "", "declare or remove it")


def _lying(root: str) -> Iterator[str]:
    """Yield whatever is no folder, in the folders of the tables and schemas; a link to a folder is not followed."""
    for top in FOLDERS:
        for folder, inside, files in os.walk(os.path.join(root, top)):
            links = [name for name in inside if os.path.islink(os.path.join(folder, name))]
            inside.sort()
            for name in sorted((*files, *links)):
                yield os.path.relpath(os.path.join(folder, name), root).replace(os.sep, "/")
