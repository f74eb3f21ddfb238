"""Next steps: what to do with the jars of a judged load, and with its gauge."""

from __future__ import annotations

from stillroom.answers import wording
from stillroom.answers.answer import Answer
from stillroom.answers.shelf import Shelf
from stillroom.day import handling
from stillroom.run.noted import Noted
from stillroom.run.verdict import DELIVERED, NO_VERDICT, SHORT

SUSPECT = "suspect"
"""Code of the steps for a jar that is found spoiled later."""
_KEPT = ("label-and-store", "store-below", "store-away-from-heat")
"""Rules for jars that are kept."""
_FREEZER_HEADSPACE_IN = 1.5
"""Headspace of a jar that is frozen in place of processing again, inches; the statement of its rule holds it."""


def next_steps(verdict: str, answer: Answer, shelf: Shelf) -> tuple[Noted, ...]:
    """Say what to do next.

    Parameters
    ----------
    verdict : str
        One of those of :mod:`stillroom.run.verdict`.
    answer : Answer
        The schedule; its altitude, feet, decides how long food is boiled before eating.
    shelf : Shelf
    """
    if verdict == DELIVERED:
        return _delivered(answer, shelf)
    treat = "These jars did not get their schedule" if verdict == SHORT else "Treat these jars as short"
    again = _again(shelf)
    steps: tuple[Noted, ...] = (again._replace(text=f"{treat}: {again.text}"),)
    if verdict == NO_VERDICT:
        told = "Replace the gauge, and treat these jars as short of their schedule."
        replace = Noted.of(shelf.rules.worded("gauge-adjust-limit", told), "replace-gauge")
        steps = (replace, again._replace(text=wording.capital(again.text)))
    late = Noted("discard", "Later than that, do not taste it: when in doubt, throw it out.", None)
    suspect = handling.SUSPECT if handling.toxin(shelf.foods[answer.food]) else ()
    return (*steps, late, *(_rule(name, answer, shelf, SUSPECT) for name in suspect))


def _delivered(answer: Answer, shelf: Shelf) -> tuple[Noted, ...]:
    rules, again = shelf.rules, _again(shelf)
    cool = (
        f"Let the jars cool {handling.figure('cool-jars', rules, answer.altitude_ft)} hours, at least 1 inch apart, "
        "and do not retighten lids."
    )
    kept = (*_KEPT, *handling.OPENING, *handling.opened(shelf.foods[answer.food]))
    years = wording.years(rules.whole("use-within"))
    return (
        Noted.of(rules.worded("cool-jars", cool), "cool"),
        Noted.of(rules.worded("seal-tests", "Then take off the bands and test each seal."), "test-seals"),
        _rule("lost-liquid", answer, shelf),
        again._replace(text=f"A jar that did not seal: {again.text}"),
        *(_rule(name, answer, shelf) for name in kept),
        Noted.of(rules.worded("use-within", f"Use within {years}.")),
    )


def _again(shelf: Shelf) -> Noted:
    """Say what a jar without its process or its seal still can be, from the middle of a sentence."""
    told = (
        f"within {shelf.rules.rule('reprocess-within').value} hours, process again for the full time with new lids, or "
        f"freeze with {wording.units(_FREEZER_HEADSPACE_IN, 'inch')} of headspace, or refrigerate and use within "
        "several days."
    )
    return Noted.of(shelf.rules.worded("reprocess-within", told), "reprocess")


def _rule(name: str, answer: Answer, shelf: Shelf, code: str = "") -> Noted:
    return Noted.of(handling.sentence(name, shelf.rules, answer.altitude_ft), code)
