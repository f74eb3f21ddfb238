"""Own yield: jars to a batch by the recipe itself, where no yield of raw food is printed, as for pickles and jams.

Batches are whole; raw food that does not make a whole batch is left over.
"""

from __future__ import annotations

from fractions import Fraction
from importlib.util import find_spec
from typing import TYPE_CHECKING, Any, NamedTuple

from stillroom.answers import wording
from stillroom.answers.answer import Answer, NoTestedSchedule
from stillroom.errors import BadInput
from stillroom.recipes import buying, fills
from stillroom.recipes.fills import Fill, Filling
from stillroom.recipes.printed import Batches, Ingredient, Recipe

if TYPE_CHECKING:
    from stillroom.answers.shelf import Shelf


class Made(NamedTuple):
    """Whole batches of a recipe by its own yield.

    Attributes
    ----------
    batches : Batches
        How many, and the jars they fill.
    main : tuple of Ingredient
        What the food is made of, for all batches; for one, where batches are made one at a time.
    filling : Filling or None
        Set where raw food was said.
    """

    batches: Batches
    main: tuple[Ingredient, ...]
    filling: Filling | None


def for_jars(answer: Answer, jars: int, variety: Any, shelf: Shelf) -> Made | None:
    """Find the batches that fill so many jars.

    Parameters
    ----------
    answer : Answer
        The tested schedule.
    jars : int
    variety : str or None
        Where a recipe tells varieties apart.
    shelf : Shelf

    Returns
    -------
    Made or None
        None where a yield of raw food is printed, the recipe has none, or its varieties differ and none is said; or
        where PyYAML is not installed, which a plan does without.

    Raises
    ------
    BadInput
        A variety that the recipe does not have.
    """
    if buying.printed(answer.food, shelf.package):
        if variety is not None and find_spec("yaml"):
            _recipe(answer, jars, variety, shelf)  # refuses a variety that the recipe does not have
        return None
    recipe = _recipe(answer, jars, variety, shelf) if find_spec("yaml") else None
    if recipe is None or recipe.batches is None:
        return None
    return Made(recipe.batches, _main(recipe), None)


def for_raw_food(answer: Answer, measure: fills.Measure, said: Any, variety: Any, shelf: Shelf) -> Made:
    """Find the whole batches that raw food makes, and the jars they fill.

    Parameters
    ----------
    answer, variety, shelf
        As for :func:`for_jars`.
    measure : str
        ``pounds`` or ``bushels``.
    said : int, float or str
        How many.

    Raises
    ------
    BadInput
        No yield is printed, the recipe does not tell one raw food in pounds, or it is too little for one batch.
    """
    much = fills.number(measure, said)
    recipe = _recipe(answer, 1, variety, shelf)
    made = None if recipe is None else recipe.batches
    if recipe is None or made is None:
        raise BadInput(f"no yield is printed for {answer.title}: say how many jars")
    main = _main(recipe)
    if measure == "bushels" or len(main) != 1 or main[0].amount is None or main[0].amount.unit != "pound":
        raise BadInput(f"the recipe of {answer.title} tells no single raw food in {measure}: say how many jars")
    each = main[0].amount
    least, most = (int(much / Fraction(pounds).limit_denominator(64)) for pounds in (each.high, each.low))
    weight = f"{wording.amount(each.low)} to " if each.low != each.high else ""
    note = f" ({main[0].note})" if main[0].note else ""
    takes = f"1 batch takes {weight}{wording.units(each.high, 'pound')} of {main[0].name}{note}"
    if most < 1:
        raise BadInput(f"{measure} {wording.amount(float(much))} make no whole batch: {takes} (page {made.page})")
    low, high = made.fills_from, made.fills_to  # one jar is asked for, so that it is one batch
    size = shelf.jars[answer.jar].title.removesuffix(" jar") if high == 1 else shelf.jars[answer.jar].plural
    jars = f"{'about ' if made.about else ''}{low if low == high else f'{low} to {high}'} {size}"
    fill = Fill(f"{takes} and fills {jars}", low * least, high * most, recipe.source.id, made.page)
    batches = made._replace(times=most, fills_from=low * most, fills_to=high * most)
    scaled = main if made.one_at_a_time else (main[0]._replace(amount=each.times(most)),)
    return Made(batches, scaled, fills.joined(measure, much, (fill,)))


def _recipe(answer: Answer, jars: int, variety: Any, shelf: Shelf) -> Recipe | None:
    """Recipe for so many jars; None where it is not for this jar or pack, or its varieties differ and none is said."""
    from stillroom.recipes import scaling
    from stillroom.recipes.recipe_question import Wanted

    try:
        return scaling.recipe(shelf, Wanted(answer.food, jars, answer.jar, answer.pack, variety))
    except NoTestedSchedule:
        return None
    except BadInput:
        if variety is not None:
            raise
        return None


def _main(recipe: Recipe) -> tuple[Ingredient, ...]:
    return tuple(line for line in recipe.ingredients if line.role == "main" and line.per is None and not line.soak)
