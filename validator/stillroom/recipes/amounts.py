"""Amounts: the lines of a recipe for the jars asked for: ingredients, acid in each jar, raw food and syrups.

Acid that goes into each jar stays as printed.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator
from fractions import Fraction

from stillroom.answers.shelf import Shelf
from stillroom.recipes import buying, printed
from stillroom.recipes.printed import Amount, Batches, Entry, Ingredient, JarAcid, RawFood, SyrupChoice
from stillroom.recipes.recipe_question import Asked, fits, may_go, of_another_jar


def lines(
    entry: Entry, column: str | None, made: Batches | None, asked: Asked, left_out: Collection[str]
) -> Iterator[Ingredient]:
    """Give the ingredients for the jars asked for.

    Parameters
    ----------
    entry : Entry
        The printed recipe.
    column : str or None
        Printed column; None: every column where the recipe has several.
    made : Batches or None
        Batches they are multiplied for.
    asked : Asked
    left_out : collection of str
        Names of optional ingredients that are left out.
    """
    for row in entry.get("ingredients", ()):
        if row["name"] in left_out and may_go(row):
            continue
        if fits(row, asked) and not of_another_jar(row, entry, asked):
            for line in _by_column(row, column):
                yield _scaled(line, made, asked)


def _by_column(row: Entry, column: str | None) -> Iterable[Ingredient]:
    """One line, or one for each printed column where none is chosen."""
    number = row.get("quantity")
    if column is not None or not isinstance(number, dict) or "from" in number:
        return [printed.ingredient(row, column)]
    return [printed.ingredient(row, name)._replace(variety=name) for name in number]


def _scaled(line: Ingredient, batches: Batches | None, asked: Asked) -> Ingredient:
    if line.amount is None:
        return line
    if line.per is None:
        times = 1 if batches is None or batches.one_at_a_time else batches.times
        return line._replace(amount=line.amount.times(times))
    if asked.jars is not None and line.per.jar in ("each", asked.jar):
        return line._replace(total=line.amount.times(asked.jars))
    return line


def jar_acid(entry: Entry, asked: Asked) -> Iterable[JarAcid]:
    """Give the acid for every jar, of the jar asked for or of all."""
    for row in entry.get("acid", ()):
        if asked.jar is None or row["jar"] == asked.printed_jar:
            lines = (printed.ingredient(acid, None) for acid in row["any_of"])
            yield JarAcid(
                row["jar"], tuple(line._replace(total=_total(line.amount, asked)) for line in lines), row["page"]
            )


def _total(amount: Amount | None, asked: Asked) -> Amount | None:
    return None if amount is None or asked.jars is None else amount.times(asked.jars)


def raw_food(shelf: Shelf, food: str, asked: Asked) -> Iterable[RawFood]:
    """Give the raw food to buy, by variety: as printed for a canner load or a jar, carried by volume if need be."""
    if asked.jars is None or asked.jar is None:
        return
    rows = [row for row in buying.printed(food, shelf.package) if row.basis in buying.PER_JARS]
    for variety in dict.fromkeys(row.variety for row in rows):
        row = min(
            (row for row in rows if row.variety == variety),
            key=lambda row: (row.jar != asked.jar, row.jar != asked.printed_jar, row.basis != "canner load"),
        )
        low, high = buying.pounds(
            row, Fraction(asked.jars * shelf.jars[asked.jar].volume_fl_oz, shelf.jars[row.jar].volume_fl_oz)
        )
        fills = str(row.jars_from) if row.jars_from == row.jars_to else f"{row.jars_from} to {row.jars_to}"
        yield RawFood(
            variety,
            buying.up_to(low, buying.QUARTERS),
            buying.up_to(high, buying.QUARTERS),
            f"{buying.weighed(row, 'pounds')} for {fills} {plural(shelf, row.jar, row.jars_to)}",
            row.page,
        )


def syrups(shelf: Shelf, entry: Entry, asked: Asked) -> Iterable[SyrupChoice]:
    """Give the syrups of the printed table that the steps send to its page for, or all where they name none."""
    pages = {row.page for row in shelf.package.syrups}
    steps = [row["text"] for row in entry["steps"] if "syrup" in row["text"]]
    sent = " ".join(text for text in steps if any(page in text for page in pages))
    if not sent:
        return
    named = set(re.findall("very light|light|medium|very heavy|heavy", sent))
    load = {"quart": "seven-quarts", "half-gallon": "seven-quarts"}.get(asked.jar or "", "nine-pints")
    for row in shelf.package.syrups:
        if (not named or row.title in named) and (asked.jar is None or row.load == load):
            yield SyrupChoice(row.title, row.sugar_percent, row.load, row.water_cup, row.sugar_cup, row.page)


def plural(shelf: Shelf, jar: str, number: int) -> str:
    """Name a jar in the number there is of it."""
    return shelf.jars[jar].title if number == 1 else shelf.jars[jar].plural
