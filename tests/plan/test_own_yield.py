"""Pickles and jams: whole batches by the recipe's own yield. USDA Complete Guide to Home Canning, 2015, by page."""

from __future__ import annotations

from typing import Any

import pytest

import stillroom
from stillroom.commands.main import main
from stillroom.errors import BadInput
from stillroom.sheets.day_sheet import day_sheet

PLACE: dict[str, Any] = {"altitude": "500 ft", "canner": "boiling-water"}


def _said(plan: Any) -> str:
    return " ".join(day_sheet(plan, stillroom.shelf()).split())


@pytest.mark.parametrize(
    ("food", "asked", "times", "jars", "said"),
    [
        # 6-16: 2-3/4 lb of carrots, about 4 pints
        ("pickled carrots", {"jars": 9, "jar": "pint"}, 3, (12, 12), "3 batches: about 12 pints (page 6-16)"),
        # 6-8: 25 lb of cabbage, about 9 quarts
        ("sauerkraut", {"jars": 9, "jar": "quart", "pack": "raw"}, 1, (9, 9), "25 pounds cabbage"),
        # 7-10: about 10 half-pints, and 1-30: one batch at a time
        ("grape-plum jelly", {"jars": 15, "jar": "half-pint", "holds": 12}, 2, (20, 20), "2 batches, made one"),
        # 2-6: about 8 to 9 pints; half-pints by volume
        ("apple butter", {"jars": 16, "jar": "half-pint", "holds": 12}, 1, (16, 18), "carried over by volume"),
    ],
)  # fmt: skip
def test_jars_are_made_in_whole_batches_of_the_recipe(
    food: str, asked: dict[str, Any], times: int, jars: tuple[int, int], said: str
) -> None:
    plan = stillroom.plan(food, **asked, **PLACE)
    assert plan.made is not None and plan.purchases == ()
    assert (plan.made.batches.times, (plan.made.batches.fills_from, plan.made.batches.fills_to)) == (times, jars)
    assert "by the recipe's own yield" in _said(plan) and said in _said(plan)


@pytest.mark.parametrize(
    ("food", "jar", "pounds", "batches", "jars"),
    [
        ("pickled carrots", "pint", 20, 7, (28, 28)),  # 6-16: 7 times 2-3/4 is 19-1/4
        ("pickled carrots", "pint", "2.75", 1, (4, 4)),
        ("pickled yellow pepper rings", "pint", 8, 3, (8, 12)),  # 6-24: 2-1/2 to 3 lb, about 4 pints
    ],
)
def test_pounds_make_whole_batches_and_the_rest_is_left_over(
    food: str, jar: str, pounds: Any, batches: int, jars: tuple[int, int]
) -> None:
    plan = stillroom.plan(food, pounds=pounds, jar=jar, **PLACE)
    assert plan.made is not None and plan.filling is not None
    assert plan.made.batches.times == batches
    assert (plan.filling.jars_from, plan.filling.jars_to) == jars
    assert plan.jars == jars[1]


@pytest.mark.parametrize(
    ("food", "asked", "said"),
    [
        ("pickled carrots", {"pounds": 2.7, "jar": "pint"}, "no whole batch.*2-3/4 pounds of carrots.*6-16"),
        ("pickled carrots", {"bushels": 1, "jar": "pint"}, "no single raw food in bushels"),
        ("pickle relish", {"pounds": 9, "jar": "pint"}, "no single raw food in pounds"),  # 6-25: in quarts
        ("grape-plum jelly", {"pounds": 9, "jar": "half-pint", "holds": 9}, "no single raw food"),  # 7-10: two fruits
        ("pickled baby carrots", {"pounds": 9, "jar": "pint"}, "no yield is printed"),  # 6-15
        ("peaches", {"jars": 9, "jar": "pint", "pack": "hot", "variety": "red"}, "leave the variety out"),
        ("pickled carrots", {"jars": 9, "jar": "pint", "variety": "red"}, "leave the variety out"),
    ],
)
def test_what_the_recipe_does_not_tell_is_refused(food: str, asked: dict[str, Any], said: str) -> None:
    with pytest.raises(BadInput, match=said):
        stillroom.plan(food, **asked, **PLACE)


def test_a_food_with_a_printed_yield_keeps_to_it() -> None:
    plan = stillroom.plan("dill pickles", jars=7, jar="quart", pack="raw", **PLACE)
    assert plan.made is None and plan.purchases  # 6-5 and 6-7


def test_varieties_are_said_where_their_yields_differ(capsys: Any) -> None:
    words = ["plan", "jam without added pectin", "--jars", "8", "--jar", "half-pint", "--holds", "8"]
    words += ["--altitude", "500 ft", "--canner", "boiling-water"]
    assert main(words) == 0
    assert "see the recipe" in capsys.readouterr().out
    assert main([*words, "--variety", "peaches"]) == 0
    assert "2 batches, made one at a time: 12 to 14 half-pints" in " ".join(capsys.readouterr().out.split())  # 7-6
