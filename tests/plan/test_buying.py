"""What to buy: yields of the section a food is sent to, and the words printed with a weight.

USDA Complete Guide to Home Canning, 2015; the page of each figure stands beside it.
"""

from __future__ import annotations

from typing import Any

import pytest

import stillroom
from stillroom.sheets.day_sheet import day_sheet

PLACE: dict[str, Any] = {"altitude": "500 ft"}


def _sheet(plan: Any) -> str:
    return " ".join(day_sheet(plan, stillroom.shelf()).split())


@pytest.mark.parametrize(
    ("food", "jar", "pack", "pounds", "page", "printed_for"),
    [
        # 4-18: 16 pounds for 7 quarts, 10 for 9 pints, under pumpkins and winter squash; 4-20 sends there
        ("winter squash", "quart", "hot", 16, "4-18", "pumpkin-and-winter-squash"),
        ("winter squash", "pint", "hot", 10 * 7 / 9, "4-18", "pumpkin-and-winter-squash"),
        # 3-9: 21 pounds for 7 quarts, 13 for 9 pints; 3-10 and 3-11 send there
        ("tomatoes in juice", "quart", "hot", 21, "3-9", "tomatoes-in-water"),
        ("tomatoes in juice", "pint", "raw", 13 * 7 / 9, "3-9", "tomatoes-in-water"),
        ("tomatoes-raw-no-liquid", "quart", "raw", 21, "3-9", "tomatoes-in-water"),
        # 4-6: 5 pounds of beans for 7 quarts, 3-1/4 for 9 pints; baked beans are sent there
        ("baked beans", "quart", "hot", 5, "4-6", "dry-beans-with-tomato-or-molasses-sauce"),
        ("baked beans", "pint", "hot", 3.25 * 7 / 9, "4-6", "dry-beans-with-tomato-or-molasses-sauce"),
    ],
)
def test_a_food_sent_to_another_quantity_is_bought_by_it_with_the_page_it_stands_on(
    food: str, jar: str, pack: str, pounds: float, page: str, printed_for: str
) -> None:
    plan = stillroom.plan(food, jars=7, jar=jar, pack=pack, canner="dial", **PLACE)
    load = next(one for one in plan.purchases if one.basis == "canner load")
    assert load.pounds_from == pytest.approx(pounds, abs=0.01)
    assert (load.printed.page, load.printed.food) == (page, printed_for)
    assert f"page {page}, printed for " in _sheet(plan)


@pytest.mark.parametrize(
    ("food", "page", "pounds"),
    [("nectarines", "2-18", 17.5), ("apricots", "2-9", 16)],  # 17-1/2 and 16 pounds for 7 quarts
)
def test_a_near_miss_a_food_sent_for_its_process_alone_keeps_its_own_quantity(
    food: str, page: str, pounds: float
) -> None:
    plan = stillroom.plan(food, jars=7, jar="quart", pack="hot", canner="boiling water", **PLACE)
    load = plan.purchases[0]
    assert (load.pounds_from, load.printed.page, load.printed.food) == (pounds, page, food)
    assert "printed for" not in _sheet(plan)


@pytest.mark.parametrize(
    ("food", "jar", "said"),
    [
        ("beets", "quart", "21 lb without tops fill 7 quarts, page 4-9"),
        ("carrots", "quart", "17-1/2 lb without tops fill 7 quarts, page 4-10"),
        ("whole kernel corn", "quart", "31-1/2 lb in husks fill 7 quarts, page 4-11"),
        ("cream style corn", "pint", "20 lb in husks fill 9 pints, page 4-10"),
        ("green peas", "quart", "31-1/2 lb in pods fill 7 quarts, page 4-14"),
        ("lima-beans", "quart", "28 lb fill 7 quarts, page 4-7"),  # near miss: no such words are printed
        ("oranges", "quart", "about 2 lb fill 1 quart, page 2-15"),
        ("oranges", "pint", "13 lb fill 9 pints, page 2-15"),
    ],
)
def test_the_words_printed_with_a_weight_are_said_with_it(food: str, jar: str, said: str) -> None:
    plan = stillroom.plan(food, jars=7, jar=jar, pack="hot", canner="dial", **PLACE)
    assert said in _sheet(plan)


@pytest.mark.parametrize(
    ("jar", "basis", "pounds", "jars"),
    [
        ("quart", "canner load", 14, (7, 7)),
        ("pint", "canner load", 9, (9, 9)),
        ("quart", "bushel", 48, (16, 24)),
        ("quart", "average", 2, (1, 1)),
    ],
)
def test_cucumbers_for_dill_pickles_are_bought_by_page_6_5(
    jar: str, basis: str, pounds: float, jars: tuple[int, int]
) -> None:
    """The recipe on page 6-7 is by the gallon of the container and prints no yield of its own."""
    plan = stillroom.plan("dill pickles", jars=7, jar=jar, pack="raw", canner="boiling water", **PLACE)
    row = next(one.printed for one in plan.purchases if one.basis == basis)
    assert (row.pounds_from, row.pounds_to, row.jars_from, row.jars_to, row.page) == (pounds, pounds, *jars, "6-5")


def test_the_recipe_sheet_buys_by_the_same_rows() -> None:
    squash = stillroom.recipe("winter squash", jars=14, jar="quart").raw_food
    assert [(raw.pounds_from, raw.printed, raw.page) for raw in squash] == [(32, "16 pounds for 7 quarts", "4-18")]
    beets = stillroom.recipe("beets", jars=7, jar="quart").raw_food
    assert beets[0].printed == "21 pounds without tops for 7 quarts"
