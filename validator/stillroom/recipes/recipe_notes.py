"""Recipe notes: how the amounts of a recipe were reckoned, in sentences."""

from __future__ import annotations

import math
from collections.abc import Iterable

from stillroom.answers import wording
from stillroom.answers.shelf import Shelf
from stillroom.recipes.amounts import plural
from stillroom.recipes.batches import acid_by_column
from stillroom.recipes.printed import Batches, Entry
from stillroom.recipes.recipe_question import Asked

LOADS = {"quart": "canner-capacity-quarts", "pint": "canner-capacity-pints"}
"""Rules that say how many jars a canner load of the printed yields has, at most."""
_INSTEAD = "make that column instead, or ask your extension office"


def reckoned(shelf: Shelf, entry: Entry, asked: Asked, batches: Batches | None, raw: bool) -> Iterable[str]:
    """Say how the amounts were reckoned.

    Parameters
    ----------
    shelf : Shelf
    entry : Entry
        The printed recipe.
    asked : Asked
    batches : Batches or None
    raw : bool
        Whether pounds of raw food are told.
    """
    if asked.jars is None or asked.jar is None:
        if entry.get("batches"):
            yield "The recipe is printed in columns; use one column whole, never a mixture."
            yield from _weaker_columns(shelf, entry)
        return
    jars = f"{asked.jars} {plural(shelf, asked.jar, asked.jars)}"
    whole = [line for line in entry.get("ingredients", ()) if "per" not in line and "quantity" in line]
    if batches is None:
        if whole:
            yield f"No yield is printed for these amounts, so they stand as printed and are not multiplied for {jars}."
    else:
        yield from _batch_notes(shelf, entry, asked, batches, jars)
    if asked.rule is not None and entry.get("acid"):
        yield (
            f"No amount of acid is printed for a {shelf.jars[asked.jar].title}: the amount of the "
            f"{shelf.jars[asked.rule.takes].title} stands; never use less."
        )
    if shelf.of_guide(entry["food"]):
        yield from loads_said(shelf, asked.jars, asked.jar)
    if raw:
        yield "Pounds of raw food are averages, for buying; they are not part of the tested proportions."


def loads_said(shelf: Shelf, jars: int, jar: str) -> Iterable[str]:
    """Say how many loads of a canner of the printed size jars are; nothing where they are one."""
    if jar not in LOADS:
        return
    load, page = int(shelf.rules.figures(LOADS[jar])[1]), shelf.rules.rule(LOADS[jar]).page
    if jars > load:
        yield f"{math.ceil(jars / load)} canner loads of up to {load} {shelf.jars[jar].plural} (page {page})."


def _batch_notes(shelf: Shelf, entry: Entry, asked: Asked, batches: Batches, jars: str) -> Iterable[str]:
    fills = (
        str(batches.fills_from)
        if batches.fills_from == batches.fills_to
        else f"{batches.fills_from} to {batches.fills_to}"
    )
    fills = f"about {fills}" if batches.about else fills
    size = plural(shelf, asked.jar or "", batches.fills_to)
    how = f" of the {batches.column} column" if batches.column else ""
    many = "1 batch" if batches.times == 1 else f"{batches.times} batches"
    if batches.one_at_a_time:
        yield (
            f"For {jars} make {many}, one at a time; the amounts are for ONE batch: larger ones may not set "
            f"(page {entry['single_batch']})."
        )
        yield f"Together they fill {fills} {size} (page {batches.page})."
    else:
        yield f"For {jars}: {many}{how}, {fills} {size} (page {batches.page})."
    if batches.by_volume:
        yield "The yield is printed for another jar and carried over by volume."
    if batches.column:
        yield from _column_notes(shelf, entry, asked, batches)


def _weaker_columns(shelf: Shelf, entry: Entry) -> Iterable[str]:
    """Say which printed columns have less acid in each jar than another."""
    strength = acid_by_column(shelf, entry)
    strongest = max(strength, key=lambda column: strength[column])
    for column, acid in strength.items():
        if acid * 1.0001 < strength[strongest]:
            yield (
                f"As printed, the {column} column has less acid in each jar than {strongest} "
                f"({100 * acid / strength[strongest]:.0f} percent): {_INSTEAD}."
            )


def _column_notes(shelf: Shelf, entry: Entry, asked: Asked, batches: Batches) -> Iterable[str]:
    strength = acid_by_column(shelf, entry)
    mine = strength[batches.column or ""]
    stronger = [column for column, acid in strength.items() if acid > mine * 1.0001]
    if stronger:
        yield (
            f"As printed, the {batches.column} column has less acid in each jar than {wording.listed(stronger)} "
            f"({100 * mine / max(strength.values()):.0f} percent): {_INSTEAD}."
        )
    if len(entry["batches"]) > 1:
        evenly = asked.jars is not None and asked.jars == batches.fills_from
        others = [row["id"] for row in entry["batches"] if row["id"] != batches.column]
        if not evenly or batches.times > 1:
            yield f"The printed columns do not follow from each other; {wording.listed(others)} is not mixed in."
