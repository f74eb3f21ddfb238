"""Foods: every food has one recipe of its own, which names its title, jars, packs and headspace as the tables do.

What it does
------------
Each food of foods.csv has the recipe file of its name, and each recipe is of a food. Title and source are those of the
food. Its packs are those that have schedules, its jars too, or jars that a rule carries from them, smallest first. It
follows the food of its relation. Its headspace is that of headspace.csv, or of the food it follows, and its steps leave
no other. A column of a recipe that is printed for several sizes fills the jars of its name.

Why it matters
--------------
A cook reads the recipe, the answer reads the tables: where they differ, one of them is wrong, and nobody sees which. A
jar or pack that only the recipe has leads to a jar that nobody tested.

Example
-------
``schedules/recipes/figs.yaml:6: foods: jars: half-gallon has no schedule, and no rule carries one to it``

Source
------
USDA Complete Guide to Home Canning, 2015: the section of each food, and page 1-23 (jars with the same time).
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

from stillroom.findings import recipe_parts, told_amounts
from stillroom.findings.finding import Finding
from stillroom.findings.jar_volume import volume
from stillroom.findings.opened import RECIPES
from stillroom.findings.recipe_parts import Recipe

if TYPE_CHECKING:
    from stillroom.findings.opened import CheckedPackage

NAME = "foods"
ON_THE_WAY = "before"
"""Word of a variety that is no final headspace: solids, before the liquid is poured on."""
NUMBERS = {"one": 1, "six": 6, "seven": 7, "nine": 9}
"""Words of the numbers of jars that columns are named by."""


class _Tables(NamedTuple):
    """What the tables say of foods, each by food.

    Attributes
    ----------
    rows : dict
        The row of foods.csv.
    relations : dict
        The row of relations.csv.
    kinds : dict
        Packs and jars of its own schedules.
    carried : dict
        Jars to which a rule carries a time, each with the jar of that time, by food or, for a rule of every food of a
        publication, under ``*`` and the publication.
    headspace : dict
        Its headspaces, inches.
    publications : dict
        The publication it belongs to.
    """

    rows: dict[str, dict[str, str]]
    relations: dict[str, dict[str, str]]
    kinds: dict[str, set[tuple[str, str]]]
    carried: dict[str, set[tuple[str, str]]]
    headspace: dict[str, set[float]]
    publications: dict[str, str]


def check(package: CheckedPackage) -> Iterator[Finding]:
    """Yield foods without a recipe, and what recipes say otherwise than the tables."""
    tables = _tables(package)
    recipes = list(recipe_parts.every(package))
    yield from _missing(package, {recipe.path for recipe in recipes})
    for recipe in recipes:
        if recipe.food not in tables.rows:
            yield _at(recipe, ("food",), f"food: {recipe.food} is not in foods.csv")
            continue
        if recipe.path != f"{RECIPES}/{recipe.food}.yaml":
            yield _at(recipe, ("food",), f"food: the recipe of {recipe.food} stands in {RECIPES}/{recipe.food}.yaml")
        for find in (_titles, _jars, _packs, _follows, _headspace, _steps, _batches):
            yield from find(recipe, tables)


def _tables(package: CheckedPackage) -> _Tables:
    kinds: dict[str, set[tuple[str, str]]] = {}
    for food, pack, jar in package.schedules[["food", "pack", "jar"]].drop_duplicates().itertuples(index=False):
        kinds.setdefault(food, set()).add((pack, jar))
    carried: dict[str, set[tuple[str, str]]] = {}
    for row in package.table("jar-rules").rows:
        for_whom = row["food"] or f"*{package.publications.get(row['source'], '')}"
        carried.setdefault(for_whom, set()).add((row["jar"], row["takes"]))
    headspace: dict[str, set[float]] = {}
    for row in package.table("headspace").rows:
        inches = recipe_parts.amount_of(row["headspace_in"])
        headspace.setdefault(row["food"], set()).update(() if inches is None else (inches,))
    rows = {row["id"]: row for row in package.table("foods").rows}
    relations = {row["food"]: row for row in package.table("relations").rows}
    return _Tables(rows, relations, kinds, carried, headspace, package.food_publications)


def _missing(package: CheckedPackage, read: set[str]) -> Iterator[Finding]:
    """Yield foods without a recipe; one that is there and cannot be read is told by the check of recipes."""
    table = package.table("foods")
    for line, row in table.numbered():
        path = f"{RECIPES}/{row['id']}.yaml"
        if path not in read and not os.path.lexists(os.path.join(package.root, *path.split("/"))):
            yield Finding(NAME, table.file, line, "id", row["id"], f"has no recipe: {path} is missing", "", "add it")


def _at(recipe: Recipe, place: tuple[object, ...], wrong: str) -> Finding:
    return Finding(NAME, recipe.path, recipe.line(*place), "", "", wrong, "", "compare with the tables and the page")


def _titles(recipe: Recipe, tables: _Tables) -> Iterator[Finding]:
    for key in ("title", "source"):
        wanted = tables.rows[recipe.food][key]
        if recipe.word(key) != wanted:
            yield _at(recipe, (key,), f"{key}: is {wanted} in foods.csv")


def _scheduled(recipe: Recipe, tables: _Tables) -> set[tuple[str, str]]:
    """Packs and jars that have a schedule, of the food or of the one it takes its times from."""
    relation = tables.relations.get(recipe.food)
    if relation is None:
        return tables.kinds.get(recipe.food, set())
    kinds = tables.kinds.get(relation["follows"], set())
    return {(pack, jar) for pack, jar in kinds if relation["pack"] in ("", pack)}


def _jars(recipe: Recipe, tables: _Tables) -> Iterator[Finding]:
    jars = recipe.words("jars")
    printed = {jar for _, jar in _scheduled(recipe, tables)}
    for jar in sorted(printed.difference(jars)):
        yield _at(recipe, ("jars",), f"jars: {jar} has a schedule and is left out")
    general = f"*{tables.publications[recipe.food]}"
    rules = tables.carried.get(general, set()) | tables.carried.get(recipe.food, set())
    for jar in jars:
        if jar not in printed and not any(to == jar and takes in printed for to, takes in rules):
            yield _at(recipe, ("jars",), f"jars: {jar} has no schedule, and no rule carries one to it")
    if list(jars) != sorted(jars, key=lambda jar: volume(jar) or 0):
        yield _at(recipe, ("jars",), "jars: are not in the order of their size")


def _packs(recipe: Recipe, tables: _Tables) -> Iterator[Finding]:
    printed = {pack for pack, _ in _scheduled(recipe, tables)} - {""}
    packs = recipe.words("packs")
    for pack in sorted(printed.symmetric_difference(packs)):
        said = "has no schedule" if pack in packs else "has a schedule and is left out"
        yield _at(recipe, ("packs",), f"packs: {pack} {said}")


def _follows(recipe: Recipe, tables: _Tables) -> Iterator[Finding]:
    """Yield another food than that of the relation; what has schedules of its own may follow a procedure."""
    relation, said = tables.relations.get(recipe.food), recipe.word("follows")
    if relation is not None and said != relation["follows"]:
        yield _at(recipe, ("follows",), f"follows: is {relation['follows']} in relations.csv")
    elif said and (said not in tables.rows or (relation is None and recipe.food not in tables.kinds)):
        yield _at(recipe, ("follows",), f"follows: {said} gives it no schedule")


def _final(recipe: Recipe) -> set[float]:
    """Headspaces of a recipe at the end, inches."""
    rows = (part for _, part in recipe.parts("headspace") if ON_THE_WAY not in recipe_parts.word(part, "variety"))
    return {inches for part in rows if (inches := recipe_parts.amount(part.get("inches"))) is not None}


def _headspace(recipe: Recipe, tables: _Tables) -> Iterator[Finding]:
    follows = tables.relations.get(recipe.food, {}).get("follows", "")
    wanted = tables.headspace.get(recipe.food) or tables.headspace.get(follows)
    if wanted and _final(recipe) != wanted:
        inches = " and ".join(f"{value:g}" for value in sorted(wanted))
        yield _at(recipe, ("headspace",), f"headspace: is {inches} inch in headspace.csv")


def _steps(recipe: Recipe, tables: _Tables) -> Iterator[Finding]:
    """Yield steps that leave another headspace than the recipe names, and headspace that no step leaves."""
    rows = [recipe_parts.amount(part.get("inches")) for _, part in recipe.parts("headspace")]
    named = {told_amounts.rounded(inches) for inches in rows if inches is not None}
    said: set[float] = set()
    for place, part in recipe.parts("steps"):
        text = recipe_parts.word(part, "text")
        said |= told_amounts.inches(text)
        for inches in sorted(told_amounts.headspaces(text) - named):
            yield _at(recipe, place, f"steps: leaves {inches:g} inch of headspace, not that of the recipe")
    for inches in sorted(named - said):
        yield _at(recipe, ("headspace",), f"headspace: no step leaves {inches:g} inch")


def _batches(recipe: Recipe, tables: _Tables) -> Iterator[Finding]:
    """Yield columns that fill more, fewer or other jars than their name says."""
    for place, part in recipe.parts("batches"):
        count, _, jar = recipe_parts.word(part, "id").partition("-")
        if part.get("makes") != NUMBERS.get(count) or recipe_parts.word(part, "jar") != jar.removesuffix("s"):
            yield _at(recipe, place, f"batches: {count}-{jar} does not fill the jars of its name")
