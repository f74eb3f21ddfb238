"""Directions: what a recipe demands or allows stands in conditions.csv for its food, and the other way round.

What it does
------------
Low-temperature pasteurization, one batch at a time and sterile jars are in a recipe exactly where conditions.csv has
them for the food, or carries them from the food it follows. What a recipe says must never change has its page, or the
page before, among the conditions or the acid of the food; its cautions on gloves, wild mushrooms and dead vines, and
the water it puts into the canner, are said by a statement. A food with vinegar in its batch keeps its proportions, and
one with acid in each jar keeps it under pressure.

Why it matters
--------------
An answer shows the conditions and not the recipe. A treatment allowed where the print has none, or a warning that only
the recipe has, reaches the cook wrong or not at all.

Example
-------
``schedules/recipes/figs.yaml:4: directions: low_temperature_pasteurization: conditions.csv does not allow it``

Source
------
USDA Complete Guide to Home Canning, 2015, among others pages 6-5, 1-14, 1-28, 1-30 and 3-5.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

from stillroom.answers.conditions import STERILE
from stillroom.findings import recipe_parts
from stillroom.findings.finding import Finding
from stillroom.findings.recipe_parts import Recipe

if TYPE_CHECKING:
    from stillroom.findings.opened import CheckedPackage

NAME = "directions"
KEYS = {"low_temperature_pasteurization": "pasteurization-allowed", "single_batch": "one-batch-at-a-time"}
"""Statement of conditions.csv for each key of a recipe."""
CAUTIONS = {
    "rubber gloves": "gloves",
    "wild mushrooms": "wild mushrooms",
    "dead or frost-killed vines": "dead or frost-killed vines",
}
"""Words of a caution of a recipe, and the words of the statement that says it."""
PROPORTIONS, UNDER_PRESSURE = "pickle-proportions-fixed", "acid-also-under-pressure"
PICKLING_GROUPS = ("fruit", "tomatoes", "pickles")
"""Groups whose acidified food with vinegar in its batch is pickled; spreads are kept by their sugar too (page 1-30)."""


class _Conditions(NamedTuple):
    """Conditions of one food: its own rows, those that carry from the food it follows, and all their sentences."""

    own: list[dict[str, str]]
    carried: list[dict[str, str]]
    texts: str
    pages: set[str]

    def states(self, statement: str) -> bool:
        """Whether a statement is among them."""
        return any(row["statement"] == statement for row in (*self.own, *self.carried))


def check(package: CheckedPackage) -> Iterator[Finding]:
    """Yield directions that stand in the recipe or in the conditions alone."""
    conditions = _conditions(package)
    recipes = {recipe.food: recipe for recipe in recipe_parts.every(package)}
    for food, recipe in recipes.items():
        if food in conditions:
            for find in (_keys, _sterile, _never, _cautions, _water):
                yield from find(recipe, conditions[food])
    yield from _only_stated(package, recipes)
    yield from _of_kinds(package, conditions)


def _conditions(package: CheckedPackage) -> dict[str, _Conditions]:
    statements = {row["id"]: row for row in package.table("cautions").rows}
    follows = {row["food"]: row["follows"] for row in package.table("relations").rows}
    rows: dict[str, list[dict[str, str]]] = {}
    pages: dict[str, set[str]] = {}
    for row in package.table("conditions").rows:
        rows.setdefault(row["food"], []).append(row)
        pages.setdefault(row["food"], set()).add(row["page"])
    for row in package.table("acid").rows:
        pages.setdefault(row["food"], set()).add(row["page"])
    found = {}
    for food in (row["id"] for row in package.table("foods").rows):
        owner = follows.get(food, "")
        own = rows.get(food, [])
        carried = [r for r in rows.get(owner, []) if statements.get(r["statement"], {}).get("carries") == "yes"]
        texts = " ".join(statements.get(row["statement"], {}).get("text", "") for row in (*own, *carried))
        found[food] = _Conditions(own, carried, texts, pages.get(food, set()) | pages.get(owner, set()))
    return found


def _at(recipe: Recipe, place: tuple[object, ...], wrong: str) -> Finding:
    return Finding(NAME, recipe.path, recipe.line(*place), "", "", wrong, "", "compare with the printed page")


def _keys(recipe: Recipe, conditions: _Conditions) -> Iterator[Finding]:
    for key, statement in KEYS.items():
        if key in recipe.keys and not conditions.states(statement):
            yield _at(recipe, (key,), f"{key}: conditions.csv does not state {statement} for {recipe.food}")


def _sterile(recipe: Recipe, conditions: _Conditions) -> Iterator[Finding]:
    asked = {row["jar"] for row in (*conditions.own, *conditions.carried) if row["statement"] in STERILE}
    jars = recipe.words("sterile_jars")
    for jar in jars:
        if not asked & {"", jar}:
            yield _at(recipe, ("sterile_jars",), f"sterile_jars: conditions.csv does not ask for a sterile {jar}")
    wanted = set(recipe.words("jars")) | asked - {""} if "" in asked else asked
    for jar in sorted(wanted.difference(jars)):
        yield _at(
            recipe, ("sterile_jars",), f"sterile_jars: conditions.csv asks for a sterile {jar}, the recipe does not"
        )


def _never(recipe: Recipe, conditions: _Conditions) -> Iterator[Finding]:
    for place, part in recipe.parts("never_change"):
        page = recipe_parts.word(part, "page")
        if not conditions.pages & {page, _before(page)}:
            yield _at(recipe, place, f"never_change: no condition or acid of {recipe.food} cites page {page}")


def _before(page: str) -> str:
    """Page before a page: a sentence that ends on this one may begin there, and the condition cites its beginning."""
    guide, _, number = page.partition("-")
    return f"{guide}-{int(number) - 1}" if number.isascii() and number.isdigit() else page


def _cautions(recipe: Recipe, conditions: _Conditions) -> Iterator[Finding]:
    for place, part in recipe.parts("cautions"):
        for words, stated in CAUTIONS.items():
            if words in recipe_parts.word(part, "text") and stated not in conditions.texts:
                yield _at(recipe, place, f"cautions: no condition of {recipe.food} speaks of {stated}")


def _water(recipe: Recipe, conditions: _Conditions) -> Iterator[Finding]:
    for place, part in recipe.parts("canner"):
        quarts = recipe_parts.amount(part.get("water_quarts"))
        if quarts is not None and f"Put {quarts:g} quarts" not in conditions.texts:
            yield _at(recipe, place, f"canner: no condition of {recipe.food} puts {quarts:g} quarts in the canner")


def _only_stated(package: CheckedPackage, recipes: dict[str, Recipe]) -> Iterator[Finding]:
    """Yield conditions that the recipe of their food leaves out."""
    table = package.table("conditions")
    keys = {statement: key for key, statement in KEYS.items()}
    for line, row in table.numbered():
        recipe, key = recipes.get(row["food"]), keys.get(row["statement"])
        if key and recipe is not None and key not in recipe.keys:
            said = f"stands for {row['food']}, but its recipe has no {key}"
            yield Finding(NAME, table.file, line, "statement", row["statement"], said, "", f"page {row['page']}")


def _of_kinds(package: CheckedPackage, conditions: dict[str, _Conditions]) -> Iterator[Finding]:
    """Yield foods that lack what every food of their kind demands."""
    foods = package.table("foods")
    uses: dict[str, set[tuple[str, bool]]] = {}
    for row in package.table("acid").rows:
        uses.setdefault(row["food"], set()).add((row["use"], "vinegar" in row["acid"]))
    follows = {row["food"]: row["follows"] for row in package.table("relations").rows}
    gauges: dict[str, set[str]] = {}
    for food, gauge in package.schedules[["food", "gauge"]].drop_duplicates().itertuples(index=False):
        gauges.setdefault(food, set()).add(gauge)
    for line, row in foods.numbered():
        food, of = row["id"], uses.get(row["id"], set())
        if row["acidity"] != "acidified" or food not in conditions:
            continue
        if row["group"] in PICKLING_GROUPS and ("batch", True) in of and not conditions[food].states(PROPORTIONS):
            yield _lacks(foods.file, line, food, PROPORTIONS)
        if "jar" in {use for use, _ in of}:
            stated = {r["canner"] for r in conditions[food].own if r["statement"] == UNDER_PRESSURE}
            for gauge in sorted(gauges.get(food) or gauges.get(follows.get(food, ""), set())):
                if gauge and not stated & {"", gauge}:
                    yield _lacks(foods.file, line, food, f"{UNDER_PRESSURE} for {gauge}")


def _lacks(file: str, line: int, food: str, statement: str) -> Finding:
    said = f"lacks the condition {statement}, which every food of its kind has"
    return Finding(NAME, file, line, "id", food, said, "", "add it to conditions.csv")
