"""A list of names is parted at semicolons, and at commas where the whole is no name; never at a blank nor by guess."""

from __future__ import annotations

import pytest

import stillroom
from stillroom.answers import several_foods


def _foods(text: str) -> list[str]:
    return [meaning.food for meaning in several_foods.meanings(stillroom.shelf(), text)]


@pytest.mark.parametrize(
    ("text", "foods"),
    [
        ("snap beans", ["snap-beans"]),
        ("Beans, snap", ["snap-beans"]),
        ("snap beans, tomatoes crushed", ["snap-beans", "tomatoes-crushed"]),
        ("snap beans, Tomatoes, crushed", ["snap-beans", "tomatoes-crushed"]),
        ("Beans, snap, tomatoes crushed, peaches", ["snap-beans", "tomatoes-crushed", "peaches"]),
        ("Asian pears, halved or sliced, peaches", ["asian-pears", "peaches"]),
        ("peaches; Beans, snap", ["peaches", "snap-beans"]),
        ("peaches, peaches; peaches", ["peaches"]),
        (" ; peaches ;; ", ["peaches"]),
    ],
)
def test_names_are_told_apart(text: str, foods: list[str]) -> None:
    assert _foods(text) == foods


def test_every_title_of_a_food_stands_for_it_within_a_list() -> None:
    for food in stillroom.foods():
        first = _foods(food.title)
        assert _foods(f"{food.title}; snap beans")[: len(first)] == first


@pytest.mark.parametrize("text", ["carrots peas", "peaches pears", "carrots and peas and snap beans"])
def test_a_blank_parts_nothing_so_that_no_mixture_gets_the_tables_of_its_parts(text: str) -> None:
    with pytest.raises(stillroom.UnknownFood):
        _foods(text)


@pytest.mark.parametrize(
    "text", ["Peaches, white", "snap beans, mashed potatoes", "snap beans; garlic", "garlic, peaches"]
)
def test_what_is_withheld_is_refused_within_a_list_too(text: str) -> None:
    with pytest.raises(stillroom.NoTestedSchedule) as refused:
        _foods(text)
    assert refused.value.code in ("withheld", "no-process")


def test_a_list_that_can_be_parted_in_two_ways_is_asked_about() -> None:
    with pytest.raises(stillroom.BadInput, match="several ways: put a semicolon"):
        _foods("tomatoes, okra, peas")


def test_the_name_that_is_none_is_named() -> None:
    with pytest.raises(stillroom.UnknownFood, match="snop"):
        _foods("peaches, snop beenz, pears")


def test_a_list_without_end_is_refused_at_once() -> None:
    with pytest.raises(stillroom.BadInput, match="200 foods"):
        _foods("tomatoes, okra, " * 5_000)
