"""The word "about" of the printed yields, and what the recipe sheet makes of it."""

from __future__ import annotations

from typing import Any

import pytest

import stillroom

EXACT = {
    "2-26": ["apple-pie-filling"],
    "2-27": ["blueberry-pie-filling"],
    "2-28": ["cherry-pie-filling"],
    "2-30": ["peach-pie-filling"],
    "3-17": ["tomato-ketchup"],
    "3-18": ["country-western-ketchup"],
    "4-12": ["mixed-vegetables"],
    "4-20": ["succotash"],
    "5-8": ["chile-con-carne"],
    "6-13": ["pickled-asparagus"],
    "7-5": ["jelly-without-added-pectin"],
    "7-6": ["jam-without-added-pectin"],
    "7-11": ["peach-pineapple-spread"],
}
"""Yields printed without the word, by page: USDA Complete Guide to Home Canning, 2015, read yield by yield."""


def test_a_yield_is_about_unless_its_page_prints_it_plainly(recipes: Any) -> None:
    plain = {
        (row["page"], food) for food, entry in recipes.items() for row in entry.get("yield", ()) if "about" not in row
    }
    assert plain == {(page, food) for page, foods in EXACT.items() for food in foods}
    assert sum("about" in row for entry in recipes.values() for row in entry.get("yield", ())) == 71


def test_the_word_stands_in_its_own_key(recipes: Any) -> None:
    notes = {row.get("note", "") for entry in recipes.values() for row in entry.get("yield", ())}
    assert notes == {"", "from 4 cups of juice"}


@pytest.mark.parametrize(
    ("food", "jar", "jars", "said"),
    [
        ("pickled carrots", "pint", 4, "1 batch, about 4 pints"),  # 6-16: about 4 pints
        ("pickled asparagus", "pint", 12, "2 batches of the six-pints column, 12 pints"),  # 6-13: 6 pint jars, no about
        ("pear-apple jam", "half-pint", 7, "fill about 7 to 8 half-pints"),  # 7-8: about 7 to 8
        ("peach-pineapple spread", "half-pint", 5, "fill 5 to 6 half-pints"),  # 7-11: 5 to 6
        ("marinated peppers", "pint", 4, "1 batch, about 4 pints"),  # 6-21: about 9 half-pints, by volume
        ("chile con carne", "half-pint", 18, "1 batch, about 18 half-pints"),  # 5-8: 9 pints, by volume
    ],
)
def test_the_sheet_says_about_where_the_page_does_or_volume_carries(food: str, jar: str, jars: int, said: str) -> None:
    assert any(said in note for note in stillroom.recipe(food, jars=jars, jar=jar).notes)
