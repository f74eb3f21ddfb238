"""Batches: whole printed batches for the jars asked for, and the acid each printed column puts into a jar.

A batch is never stretched: amounts are whole multiples of the printed ones, so that the acid keeps its proportion to
the low-acid food. Where a recipe is printed in columns that do not follow from each other, one printed column is taken
whole: the one with the most acid in each jar, and of columns with as much, the largest that divides the jars evenly.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from stillroom.answers import measures
from stillroom.answers.shelf import Shelf
from stillroom.errors import BadInput
from stillroom.recipes import printed
from stillroom.recipes.printed import Batches, Entry
from stillroom.recipes.recipe_question import Asked


class _Offer(NamedTuple):
    """One printed yield: jars of the size asked for that one batch fills."""

    column: str | None
    low: int
    high: int
    jar: str
    page: str


def needed(shelf: Shelf, entry: Entry, asked: Asked, chosen: str | None) -> Batches | None:
    """Find how many printed batches fill the jars asked for.

    Parameters
    ----------
    shelf : Shelf
    entry : Entry
        The printed recipe.
    asked : Asked
    chosen : str or None
        Printed column to take.

    Returns
    -------
    Batches or None
        None where no number of jars is asked for, or no yield is printed.

    Raises
    ------
    BadInput
        One batch fills less than one jar.
    """
    jars = asked.jars
    if jars is None or asked.jar is None:
        return None
    offers = _offers(shelf, entry, asked, asked.jar, chosen)
    if not offers:
        return None
    best = max(
        offers,
        key=lambda offer: (
            round(acid_in_a_jar(entry, offer.column, max(offer.low, 1)), 6),
            offer.low > 0 and jars % offer.low == 0,
            offer.low,
        ),
    )
    if best.low < 1:
        raise BadInput(f"{entry['title']}: one printed batch fills less than one {shelf.jars[asked.jar].title}")
    times = math.ceil(jars / best.low)
    by_volume = best.jar != asked.jar
    return Batches(
        times=times,
        column=best.column,
        one_at_a_time="single_batch" in entry,
        fills_from=best.low * times,
        fills_to=best.high * times,
        by_volume=by_volume,
        about=by_volume or any("about" in row for row in entry.get("yield", ()) if row["jar"] == best.jar),
        page=best.page,
    )


def _offers(shelf: Shelf, entry: Entry, asked: Asked, jar: str, chosen: str | None) -> list[_Offer]:
    """Printed yields for a jar: those of its own, or else all, carried over by volume."""
    columns = [_Offer(row.get("id"), row["makes"], row["makes"], row["jar"], entry["page"])
               for row in entry.get("batches", ())]  # fmt: skip
    yields = [
        _Offer(None, row["from"], row["to"], row["jar"], row["page"])
        for row in entry.get("yield", ())
        if row.get("variety") in (None, asked.variety)
    ]
    offers = [offer for offer in columns or yields if chosen is None or offer.column == chosen]
    fitting = [offer for offer in offers if offer.jar in (jar, asked.printed_jar)] or offers
    return [_carried(offer, shelf.jars[offer.jar].volume_fl_oz, shelf.jars[jar].volume_fl_oz) for offer in fitting]


def _carried(offer: _Offer, printed_fl_oz: int, asked_fl_oz: int) -> _Offer:
    """Carry a yield by volume to another jar; jars that would be filled in part do not count."""
    low, high = (math.floor(jars * printed_fl_oz / asked_fl_oz) for jars in (offer.low, offer.high))
    return offer._replace(low=low, high=high)


def acid_in_a_jar(entry: Entry, column: str | None, fills: int) -> float:
    """Cups of recipe acid in each jar of a printed column."""
    amounts = (
        printed.amount(line, column)
        for line in entry.get("ingredients", ())
        if line["role"] == "acid" and "per" not in line and not line.get("soak")
    )
    return sum(measures.cups(found.low, found.unit) for found in amounts if found is not None) / fills


def acid_by_column(shelf: Shelf, entry: Entry) -> dict[str, float]:
    """Cups of recipe acid to a fluid ounce of jar, by printed column."""
    return {
        row["id"]: acid_in_a_jar(entry, row["id"], row["makes"]) / shelf.jars[row["jar"]].volume_fl_oz
        for row in entry["batches"]
    }
