"""Scaled: the recipe of a food for a canner load of each usual jar, as small tables."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from stillroom.answers import wording
from stillroom.answers.answer import NoTestedSchedule
from stillroom.answers.shelf import Shelf
from stillroom.errors import BadInput
from stillroom.package.records import Food
from stillroom.recipes import buying, printed, scaling
from stillroom.recipes.printed import Ingredient, Recipe
from stillroom.recipes.recipe_question import Wanted
from stillroom.sheets.recipe_sheet import measure

_LOADS = (("quart", "canner-capacity-quarts"), ("pint", "canner-capacity-pints"))
"""Jars, and the rules that say how many of them a canner holds."""
_SMALL = "half-pint"
"""Jar that is shown where a food has neither; as many as pints."""


class Scaled(NamedTuple):
    """One table.

    Attributes
    ----------
    caption : str
    columns : tuple of str
        Jars, like ``7 quarts``.
    rows : tuple of (str, tuple of str)
        What, and how much of it for each column; blank where nothing is printed.
    notes : tuple of str
        How the amounts were reckoned.
    """

    caption: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, tuple[str, ...]], ...]
    notes: tuple[str, ...]


def tables(shelf: Shelf, food: Food) -> Iterator[Scaled]:
    """Scale the recipe of a food, a table for each variety whose amounts differ; none where nothing can be scaled.

    Parameters
    ----------
    shelf : Shelf
    food : Food
    """
    entry = printed.read(shelf.package.root, food.id)
    rows = [*entry.get("ingredients", ()), *entry.get("yield", ())]
    varieties = list(dict.fromkeys(row["variety"] for row in rows if "variety" in row))
    for variety in varieties if len(varieties) > 1 else [None]:
        made = list(_made(shelf, food, variety, entry["jars"]))
        told = _rows([recipe for _, recipe in made])
        if told:
            caption = "For a canner load" + (f", {variety}" if variety else "")
            notes = dict.fromkeys(note for _, recipe in made for note in recipe.notes)
            yield Scaled(caption, tuple(column for column, _ in made), told, tuple(notes))


def _made(shelf: Shelf, food: Food, variety: str | None, jars: Iterable[str]) -> Iterator[tuple[str, Recipe]]:
    loads = [(jar, int(shelf.rules.figures(rule)[1])) for jar, rule in _LOADS]
    usual = [load for load in loads if load[0] in jars]
    for jar, number in usual or [(_SMALL, loads[1][1])]:
        try:
            wanted = Wanted(food.id, number, jar, variety=variety)
            yield f"{number} {shelf.jars[jar].plural}", scaling.recipe(shelf, wanted)
        except (BadInput, NoTestedSchedule):
            continue


def _rows(made: list[Recipe]) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Put the amounts of several recipes side by side, in the order of the first."""
    cells = [dict(_amounts(recipe)) for recipe in made]
    labels = dict.fromkeys(label for column in cells for label in column)
    return tuple((label, tuple(column.get(label, "") for column in cells)) for label in labels)


def _amounts(recipe: Recipe) -> Iterator[tuple[str, str]]:
    for bought in recipe.raw_food:
        low, high = wording.amount(bought.pounds_from), wording.units(bought.pounds_to, "pound")
        named = buying.raw(recipe.food, bought.variety, recipe.title)
        yield f"To buy, about: {named}", high if bought.pounds_from == bought.pounds_to else f"{low} to {high}"
    many = recipe.batches
    if many is not None:
        yield from _batches(many)
    for acid in recipe.acid:
        for place, line in enumerate(acid.any_of):
            if line.total is not None:
                yield f"{'or ' if place else ''}{line.name}, for all jars together (acid)", measure(line.total)
    one = many is not None and many.one_at_a_time
    for line in recipe.ingredients:
        amount = _amount(line, many is not None)
        if amount:
            yield f"{line.name}{', in each batch' if one else ''}", amount


def _batches(many: printed.Batches) -> Iterator[tuple[str, str]]:
    fills = f"{many.fills_from}" if many.fills_from == many.fills_to else f"{many.fills_from} to {many.fills_to}"
    alone = ", each made by itself" if many.one_at_a_time else ""
    yield "Printed batches (and the jars they fill)", f"{many.times}{alone} ({'about ' if many.about else ''}{fills})"


def _amount(line: Ingredient, batches: bool) -> str:
    if line.total is not None:
        return measure(line.total)
    if line.per is None and batches and line.amount is not None:
        return measure(line.amount)
    return ""
