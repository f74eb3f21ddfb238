"""Prepared: the recipe that goes with a plan, for the jars or the whole batches that are planned."""

from __future__ import annotations

from importlib.util import find_spec
from typing import TYPE_CHECKING

from stillroom.answers.answer import NoTestedSchedule
from stillroom.day.day import Plan
from stillroom.errors import BadInput
from stillroom.recipes.printed import Recipe

if TYPE_CHECKING:
    from stillroom.answers.shelf import Shelf


def recipe_of(plan: Plan, shelf: Shelf, jars: int | None = None) -> Recipe | None:
    """Give the recipe for a plan.

    Parameters
    ----------
    plan : Plan
    shelf : Shelf
    jars : int, optional
        Jars to scale it for, like those of one load; all of the plan by default.

    Returns
    -------
    Recipe or None
        None where the print has no recipe for this jar and pack, where its varieties differ and none was said, or where
        PyYAML is not installed.
    """
    if find_spec("yaml") is None:
        return None
    from stillroom.recipes import scaling
    from stillroom.recipes.recipe_question import Wanted

    number = jars
    if number is None:
        whole = plan.made is not None and plan.filling is not None
        number = plan.made.batches.fills_from if whole and plan.made is not None else plan.jars
    answer = plan.answer
    try:
        return scaling.recipe(shelf, Wanted(answer.food, number, answer.jar, answer.pack, plan.variety))
    except (BadInput, NoTestedSchedule):
        return None
