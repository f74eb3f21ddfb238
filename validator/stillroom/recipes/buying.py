"""Buying: raw food for a number of jars, from the printed yields of that jar size and from nothing else."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import TYPE_CHECKING, NamedTuple

from stillroom.answers import wording
from stillroom.package.records import Yield

if TYPE_CHECKING:
    from stillroom.package.package import Package

PER_JARS = ("canner load", "average")
"""Bases that give pounds for a number of jars; the others give the jars a container fills."""
QUARTERS, HUNDREDTHS = 4, 100
"""Parts of a pound that weights are rounded up to."""


_RAW = {
    ("applesauce", ""): "apples",
    ("asian-pears", ""): "Asian pears",
    ("dry-beans-with-tomato-or-molasses-sauce", ""): "dry beans",
    ("grape-juice", ""): "grapes",
    ("grapefruit-and-orange-sections", ""): "grapefruit and oranges",
    ("dried-beans-or-peas", ""): "dried beans or peas",
    ("tomato-juice", ""): "tomatoes",
    ("tomato-sauce", "thick"): "tomatoes for thick sauce",
    ("tomato-sauce", "thin"): "tomatoes for thin sauce",
}
"""What is bought, where neither the variety of the yield nor the title of the food names it."""


def raw(food: str, variety: str, title: str) -> str:
    """Name what the weight of a yield is of.

    Parameters
    ----------
    food, variety : str
        Of the yield; a variety may be a kind of raw food or a style of what is made of it.
    title : str
        Of the food: its words before the first comma name the raw food, like ``peaches, halved or sliced``.
    """
    plain = title.partition(",")[0]
    return _RAW.get((food, variety)) or variety or plain[:1].lower() + plain[1:]


def is_style(food: str, variety: str) -> bool:
    """Tell whether the variety of a yield is a style of what is made, like thick sauce, and no raw food by itself."""
    return bool(variety) and (food, variety) in _RAW


class Purchase(NamedTuple):
    """Raw food to buy by one printed yield.

    Attributes
    ----------
    variety : str
        Variety or ingredient the weight is of; blank: the food itself.
    basis : str
        ``canner load``, ``average``, or the container.
    pounds_from, pounds_to : float
        Pounds, rounded up to the hundredth.
    containers_from, containers_to : int or None
        Whole containers; None for the other bases.
    printed : Yield
        The row it stands on.
    """

    variety: str
    basis: str
    pounds_from: float
    pounds_to: float
    containers_from: int | None
    containers_to: int | None
    printed: Yield


def purchases(food: str, jar: str, jars: int, package: Package) -> tuple[Purchase, ...]:
    """Work out what to buy: by the canner load first, then by the jar, then by the container.

    Parameters
    ----------
    food, jar : str
        Ids. Only rows printed for this jar size count: nothing is carried from quarts to pints.
    jars : int
    package : Package

    Returns
    -------
    tuple of Purchase
        Empty where no yield is printed for this food in this jar.
    """
    rows = [row for row in printed(food, package) if row.jar == jar]
    order = {basis: place for place, basis in enumerate(PER_JARS)}
    rows.sort(key=lambda row: (row.variety, order.get(row.basis, len(order)), row.basis))
    return tuple(_purchase(row, jars) for row in rows)


def printed(food: str, package: Package) -> tuple[Yield, ...]:
    """Give the printed yields of a food, or those of the food that its section sends to for the quantity.

    Parameters
    ----------
    food : str
        Id.
    package : Package

    Returns
    -------
    tuple of Yield
        With the food and the page they stand on; empty where none is printed.
    """
    sent = {relation.food: relation.follows for relation in package.yield_relations}
    return tuple(row for row in package.yields if row.food == sent.get(food, food))


def weighed(row: Yield, unit: str) -> str:
    """Write the printed weight with its words, like ``21 lb without tops`` or ``about 2 lb``."""
    low, high = wording.amount(row.pounds_from), wording.amount(row.pounds_to)
    said = f"{low} {unit}" if low == high else f"{low} to {high} {unit}"
    return f"about {said}" if row.note == "about" else f"{said} {row.note}".rstrip()


def pounds(row: Yield, jars: Fraction | int) -> tuple[Fraction, Fraction]:
    """Work out the raw food for a number of jars: the least and the most pounds that a printed yield tells of, exact.

    Parameters
    ----------
    row : Yield
    jars : Fraction or int
        Of the size of the row; another size is carried to it by volume.
    """
    return jars * Fraction(str(row.pounds_from)) / row.jars_to, jars * Fraction(str(row.pounds_to)) / row.jars_from


def up_to(weight: Fraction, parts: int) -> float:
    """Round a weight up to the next part of a pound, like :data:`QUARTERS`."""
    return float(Fraction(math.ceil(weight * parts), parts))


def _purchase(row: Yield, jars: int) -> Purchase:
    low, high = (up_to(weight, HUNDREDTHS) for weight in pounds(row, jars))
    held: tuple[int | None, int | None] = (None, None)
    if row.basis not in PER_JARS:
        held = (math.ceil(Fraction(jars, row.jars_to)), math.ceil(Fraction(jars, row.jars_from)))
    return Purchase(row.variety, row.basis, low, high, *held, row)
