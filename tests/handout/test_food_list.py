"""Several foods in one text are told apart at commas where there is one way to, never where a name is turned round."""

from __future__ import annotations

import random

import pytest

import stillroom
from stillroom.answers.food_list import meant
from stillroom.commands.main import main
from stillroom.errors import BadInput


def _foods(text: str) -> list[str]:
    return [meaning.food for meaning in meant(stillroom.shelf(), text)]


@pytest.mark.parametrize(
    ("text", "foods"),
    [
        ("snap beans", ["snap-beans"]),
        ("Beans, snap", ["snap-beans"]),  # turned round, as an index prints it
        ("Beans; snap", ["snap-beans"]),
        ("snap beans, crushed tomatoes", ["snap-beans", "tomatoes-crushed"]),
        ("Beans, snap, Tomatoes, crushed", ["snap-beans", "tomatoes-crushed"]),
        ("Lima beans, fresh, shelled, peaches", ["lima-beans", "peaches"]),
        ("peaches;pears ; plums;", ["peaches", "pears", "plums"]),
        ("peaches, peaches", ["peaches"]),
        ("White potatoes, Sweet potatoes", ["white-potatoes", "sweet-potatoes"]),
        ("corn; peaches", ["cream-style-corn", "whole-kernel-corn", "peaches"]),  # corn stands for both
    ],
)
def test_names_are_told_apart(text: str, foods: list[str]) -> None:
    assert _foods(text) == foods


@pytest.mark.parametrize(
    ("text", "one", "several"),
    [
        ("apples, pears", ["asian-pears"], ["apples-sliced", "pears"]),
        ("tomatoes, okra", ["tomatoes-with-okra-or-zucchini"], None),
    ],
)
def test_what_can_be_read_in_two_ways_is_refused_with_both(
    text: str, one: list[str], several: list[str] | None
) -> None:
    with pytest.raises(BadInput, match="may be read as") as refused:
        meant(stillroom.shelf(), text)
    first, second = str(refused.value).split(": write ")[1].split(" or ")
    assert _foods(first.strip('"')) == one  # what it says to write is understood
    assert several is None or _foods(second.strip('"')) == several


def test_all_foods_by_title_are_told_apart_whatever_stands_between() -> None:
    foods = list(stillroom.foods())
    for between in (", ", "; ", ",", " ;"):
        assert _foods(between.join(food.title for food in foods)) == [food.id for food in foods]
    assert _foods(", ".join(food.id for food in foods)) == [food.id for food in foods]


def test_any_two_titles_are_the_two_foods_or_refused_never_another() -> None:
    foods, dice, refused = list(stillroom.foods()), random.Random(4), 0
    for _ in range(300):
        pair = dice.sample(foods, 2)
        try:
            assert _foods(", ".join(food.title for food in pair)) == [food.id for food in pair]
        except BadInput as error:
            refused += "may be read as" in str(error)
    assert refused < 3


@pytest.mark.parametrize("text", ["snap beans, garlic in oil", "pumpkin puree; peaches", "Pumpkin, butter, peaches"])
def test_a_withheld_food_among_others_is_refused(text: str) -> None:
    with pytest.raises(stillroom.NoTestedSchedule) as refused:
        meant(stillroom.shelf(), text)
    assert refused.value.code == "withheld"


def test_a_name_that_is_none_is_told_by_itself() -> None:
    with pytest.raises(stillroom.UnknownFood, match='"zzz"'):
        meant(stillroom.shelf(), "pears, zzz, plums")
    for text in ("", " , ", ";", "," * 9_000, "pears," * 3_000):
        with pytest.raises(BadInput):
            meant(stillroom.shelf(), text)


def test_several_foods_have_a_table_each(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["table", "snap", "beans,", "crushed", "tomatoes", "--as", "markdown"]) == 0
    assert [line for line in capsys.readouterr().out.splitlines() if line.startswith("## ")] == [
        "## Snap and Italian beans: every printed cell", "## Tomatoes, crushed: every printed cell"
    ]  # fmt: skip
    assert main(["table", "apples,", "pears"]) == 2
    assert len(capsys.readouterr().err.splitlines()) == 1
