"""Raw food in place of jars: the range that the printed yields give, worked by hand from the pages beside each check.

USDA Complete Guide to Home Canning, 2015.
"""

from __future__ import annotations

import json
import math
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import stillroom
from stillroom.commands.main import main
from stillroom.errors import BadInput
from stillroom.recipes import buying, fills
from stillroom.sheets.day_sheet import day_sheet
from tests.trials import trials

PLACE: dict[str, Any] = {"altitude": "1650 ft", "canner": "dial"}
BEANS: dict[str, Any] = {"jar": "quart", "pack": "raw", **PLACE}


@pytest.mark.parametrize(
    ("food", "jar", "said", "jars", "loads"),
    [
        # 4-8: 14 lb for 7 quarts, 2 lb a quart: 20; a bushel of 30 lb for 12 to 20: 16 to 26-2/3
        ("snap beans", "quart", {"pounds": 40}, (16, 27), [7, 7, 7, 6]),
        # 4-8: 9 lb for 9 pints is the one figure printed for pints
        ("snap beans", "pint", {"pounds": "40"}, (40, 40), [9, 9, 9, 9, 4]),
        ("snap beans", "quart", {"bushels": 1}, (12, 20), [7, 7, 6]),
        # 4-8: a bushel weighs 30 lb whatever the jar, and 9 lb fill 9 pints
        ("snap beans", "pint", {"bushels": "1/2"}, (15, 15), [9, 6]),
        # 2-19: 11 lb for 9 pints: 32 and 8/11
        ("peaches", "pint", {"pounds": 40}, (32, 33), [9, 9, 9, 6]),
        # 4-17: 2-1/2 to 3 lb a quart (13-1/3 to 16), 20 lb for 7 (14), a bag of 50 lb for 18 to 22 (14-2/5 to 17-3/5)
        ("white potatoes", "quart", {"pounds": 40}, (13, 18), [7, 7, 4]),
    ],
)
def test_raw_food_gives_a_range_of_jars_and_the_loads_of_its_upper_end(
    food: str, jar: str, said: dict[str, Any], jars: tuple[int, int], loads: list[int]
) -> None:
    plan = stillroom.plan(food, jar=jar, pack="hot", **said, **PLACE)
    assert plan.filling is not None
    assert (plan.filling.jars_from, plan.filling.jars_to) == jars
    assert plan.jars == jars[1]
    assert [load.jars for load in plan.loads] == loads
    assert {fill.page for fill in plan.filling.by} <= {"4-8", "2-19", "4-17"}
    sheet = " ".join(day_sheet(plan, stillroom.shelf()).split())
    assert f"planned for {jars[1]}, {len(loads)} loads" in sheet
    assert all(f"{fill.printed}, page {fill.page}" in sheet for fill in plan.filling.by)


def test_jars_in_place_of_raw_food_have_no_filling() -> None:
    assert stillroom.plan("snap beans", jars=7, **BEANS).filling is None


@pytest.mark.parametrize(
    ("food", "asked", "said"),
    [
        ("peaches", {"jar": "half-pint", "holds": 9, "pounds": 5}, "no yield is printed for Peaches.*half-pints"),
        ("cherries", {"jar": "quart", "bushels": 1}, "no bushel of Cherries.*a lug is"),  # 2-12: a lug of 25 lb
        ("tomatoes with okra", {"jar": "quart", "pounds": 30}, "by weight together"),  # 3-12: two raw foods
        ("ground meat", {"jar": "quart", "pounds": 30}, "no yield is printed"),
    ],
)
def test_where_no_yield_is_printed_raw_food_is_refused(food: str, asked: dict[str, Any], said: str) -> None:
    with pytest.raises(BadInput, match=said):
        stillroom.plan(food, pack="hot", **asked, **PLACE)


@pytest.mark.parametrize(
    "said", [{}, {"jars": 7, "pounds": 40}, {"pounds": 40, "bushels": 1}, {"jars": 1, "pounds": 1, "bushels": 1}]
)
def test_exactly_one_of_jars_pounds_and_bushels_is_said(said: dict[str, Any]) -> None:
    with pytest.raises(BadInput, match="say one of jars, pounds or bushels"):
        stillroom.plan("snap beans", **said, **BEANS)


@pytest.mark.parametrize(
    "pounds", [0, -3, "many", "1e3", True, "", "1/0", float("nan"), float("inf"), 10**9, "4_0", "\uff14", "9" * 5000]
)
def test_a_weight_that_is_none_is_bad_input_in_one_line(pounds: Any) -> None:
    with pytest.raises(BadInput, match=r"^pounds ") as caught:
        stillroom.plan("snap beans", pounds=pounds, **BEANS)
    assert "\n" not in str(caught.value) and len(str(caught.value)) < 200


@settings(max_examples=trials(200), deadline=None)
@given(
    place=st.integers(0, len(stillroom.shelf().package.yields) - 1),
    pounds=st.fractions(min_value=1, max_value=400, max_denominator=8),
)
def test_the_range_holds_what_every_printed_row_of_the_jar_says(place: int, pounds: Fraction) -> None:
    """Worked again without the code under test: pounds times jars by pounds of the row."""
    shelf = stillroom.shelf()
    row = shelf.package.yields[place]
    try:
        found = fills.filling(row.food, row.jar, "pounds", str(pounds), shelf)
    except BadInput:
        assert pounds < 10 or row.food.startswith("tomatoes-with-okra")
        return
    assert found is not None
    own = [one for one in buying.printed(row.food, shelf.package) if one.jar == row.jar]
    least = min(float(pounds) * one.jars_from / one.pounds_to for one in own)
    most = max(float(pounds) * one.jars_to / one.pounds_from for one in own)
    assert found.jars_from == math.floor(least + 1e-9)
    assert found.jars_to == math.ceil(most - 1e-9)


def test_the_command_takes_pounds_or_bushels_in_place_of_jars(capsys: Any) -> None:
    words = ["plan", "snap beans", "--jar", "quart", "--pack", "raw", "--altitude", "1650 ft", "--canner", "dial"]
    assert main([*words, "--pounds", "40", "--json"]) == 0
    filling = json.loads(capsys.readouterr().out)["filling"]
    assert (filling["measure"], filling["number"], filling["jars_from"], filling["jars_to"]) == ("pounds", 40, 16, 27)
    assert main([*words, "--bushels", "1"]) == 0
    assert "1 bushel fills 12 to 20 quarts by what is printed; planned for 20, 3 loads" in capsys.readouterr().out
    with pytest.raises(SystemExit):
        main([*words, "--pounds", "40", "--jars", "7"])
    assert "not allowed with" in capsys.readouterr().err
