"""Stillroom: tested home-canning schedules, answered from published rows or refused.

>>> import stillroom
>>> answer = stillroom.find("snap beans", pack="raw", jar="quart", altitude="1650 ft", canner="dial")
>>> answer.options[0].minutes, answer.options[0].pressure_psi
(25, 11)
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from typing import TYPE_CHECKING

from stillroom.answer import Answer, Citation, Option, Stated, Tested
from stillroom.errors import BadInput, BadPackage, NoTestedSchedule, StillroomError, UnknownFood
from stillroom.lookup import Lookup
from stillroom.package import Package
from stillroom.records import Food

if TYPE_CHECKING:
    from stillroom.recipes import Recipe

__all__ = [
    "Answer",
    "BadInput",
    "BadPackage",
    "Citation",
    "Food",
    "NoTestedSchedule",
    "Option",
    "Stated",
    "StillroomError",
    "Tested",
    "UnknownFood",
    "find",
    "foods",
    "recipe",
]

__version__ = "0.1.0"


@lru_cache(maxsize=1)
def lookup() -> Lookup:
    """Open the lookup of the installed data, once."""
    return Lookup(Package())


def find(
    food: str,
    *,
    jar: str,
    altitude: object,
    canner: str,
    pack: str | None = None,
    form: str | None = None,
) -> Answer:
    """Find the tested schedule for one food, packed one way, in one jar, in one canner, at one altitude.

    Parameters
    ----------
    food : str
        Id, title or another usual name; case does not matter. A misspelling gets suggestions, never a guess.
    jar : str
        ``half-pint``, ``12-ounce``, ``pint``, ``pint-and-half``, ``quart`` or ``half-gallon``.
    altitude : str or pint quantity
        With its unit, like ``"1650 ft"`` or ``"503 m"``. Below sea level counts as the lowest band.
    canner : str
        ``boiling-water``, ``dial``, ``weighted`` or ``steam`` (an atmospheric steam canner, by a derived rule).
    pack : str, optional
        ``hot`` or ``raw``; left out where the publication names no pack.
    form : str, optional
        Where the publication separates forms, like ``with-bones``.

    Returns
    -------
    Answer
        With at least one option: minutes, psi, headspace in inches, conditions, source and page.

    Raises
    ------
    BadInput
        The question cannot be understood.
    NoTestedSchedule
        Nobody has tested it, or the publication says not to do it.
    BadPackage
        The data are damaged or missing.
    """
    return lookup().find(food, jar=jar, altitude=altitude, canner=canner, pack=pack, form=form)


def foods(text: str | None = None, *, group: str | None = None) -> tuple[Food, ...]:
    """List the foods that have a tested schedule.

    Parameters
    ----------
    text : str, optional
        Words to look for in ids, titles and other names; names spelled nearly so if none has them. Best first.
    group : str, optional
        ``fruit``, ``tomatoes``, ``vegetables``, ``meats-seafood``, ``pickles`` or ``spreads``.

    Raises
    ------
    BadInput
        Empty words, or no such group.
    """
    return lookup().foods(text, group)


def recipe(
    food: str,
    jars: int | None = None,
    jar: str | None = None,
    *,
    pack: str | None = None,
    variety: str | None = None,
    column: str | None = None,
    without: Iterable[str] = (),
) -> Recipe:
    """Give the recipe of a food, as printed or for so many jars, in whole printed batches.

    Parameters
    ----------
    food : str
        As for :func:`find`.
    jars : int, optional
        Jars to fill; needs ``jar``.
    jar : str, optional
        As for :func:`find`.
    pack : str, optional
        ``hot`` or ``raw``: only what belongs to one pack.
    variety : str, optional
        Where a recipe tells varieties apart, like ``apricots``.
    column : str, optional
        Where a recipe is printed for several sizes, the one to take, like ``one-quart``.
    without : str or iterable of str, optional
        Optional ingredients to leave out; anything that must stay is refused.

    Returns
    -------
    stillroom.recipes.Recipe
        Acid per jar, ingredients, steps, headspace in inches, what may and may never be changed, with pages. Amounts
        are in US measure; ``ingredient.amount.quantity`` is a pint quantity.

    Raises
    ------
    BadInput
        The question cannot be understood.
    NoTestedSchedule
        Not tested in this jar or pack, withheld, or a change that the publication does not allow.
    StillroomError
        PyYAML is not installed.
    BadPackage
        The data are damaged or missing.
    """
    from stillroom import scaling

    return scaling.recipe(
        lookup(), food, jars=jars, jar=jar, pack=pack, variety=variety, column=column, without=without
    )
