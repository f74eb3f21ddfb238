"""The sheet a cook reads: plain words, one way to write a fraction, and nothing of how the text was copied."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache

import pytest

import stillroom
from stillroom.answers import wording
from stillroom.recipes import buying
from stillroom.sheets import recipe_document
from stillroom.sheets.recipe_sheet import recipe_sheet
from tests.conftest import table

COPYING = re.compile(
    r"\b(cop(y|ies|ied)|scan(s|ned)?|garbl\w*|(il|un)?legible|(un)?readable|doubtful|misprint\w*|recorded)\b", re.I
)
"""Words about our copies of the text, which mean nothing before a stove."""
LABELS = ("hot pack", "raw pack", "boiling water", "half-pints", "pints", "quarts")


def asked(food: str) -> Iterator[stillroom.recipes.Recipe]:  # type: ignore[name-defined]
    """Give the recipe of a food as printed, by pack, and for a few jars of every size and variety."""
    printed = stillroom.recipe(food)
    yield printed
    yield from (stillroom.recipe(food, pack=pack) for pack in printed.packs)
    for jar in printed.jars:
        for jars in (1, 7, 9, 32):
            try:
                yield stillroom.recipe(food, jars, jar)
            except stillroom.BadInput as error:
                for variety in re.findall(r"[a-z][a-z ]+", str(error).partition("variety: ")[2].replace(" or ", ", ")):
                    yield stillroom.recipe(food, jars, jar, variety=variety)


@cache
def sheets(food: str) -> tuple[str, ...]:
    """Sheets of one food, each in one line."""
    return tuple(" ".join(recipe_sheet(found, stillroom.shelf()).split()) for found in asked(food))


FOODS = [food.id for food in stillroom.foods()]


def test_every_recipe_is_looked_at() -> None:
    assert len(FOODS) == len(table("schedules/foods.csv")) >= 150


@pytest.mark.parametrize("food", FOODS)
def test_no_label_is_said_twice(food: str) -> None:
    assert sheets(food)
    for text in sheets(food):
        for label in LABELS:
            assert f"{label}: {label}" not in text.casefold()
        assert not re.search(r"\b([a-z][a-z -]+): \1:", text.casefold())


@pytest.mark.parametrize(
    ("label", "text", "said"),
    [
        ("hot pack", "boil the beans.", "Hot pack: boil the beans."),
        ("hot pack", "Hot pack: boil the beans.", "Hot pack: boil the beans."),
        ("raw pack", "Hot pack: boil the beans.", "Raw pack: Hot pack: boil the beans."),
        ("hot pack, pints", "Hot pack: boil the beans.", "Hot pack, pints: boil the beans."),
        ("raw pack", "Raw pack in quarts: leave 1 inch.", "Raw pack in quarts: leave 1 inch."),
        ("quart", "Quarters of peach: leave 1 inch.", "Quart: Quarters of peach: leave 1 inch."),
    ],
)
def test_a_label_is_said_once_and_never_lost(label: str, text: str, said: str) -> None:
    assert wording.labeled(label, text) == said


@pytest.mark.parametrize("food", FOODS)
def test_nothing_of_our_copies_is_told_to_a_cook(food: str) -> None:
    for text in sheets(food):
        assert COPYING.search(text) is None, COPYING.search(text)


@pytest.mark.parametrize("food", FOODS)
def test_fractions_are_written_one_way(food: str) -> None:
    for text in sheets(food):
        assert re.findall(r"[\d]+\.\d+|[\u00bc-\u00be\u2150-\u215e\u2044]|\b\d+ \d+/\d+", text) == []


@pytest.mark.parametrize(
    ("text", "wrong"), [("1-1/4 inches (page 3-8)", 0), ("1 1/4 cups", 1), ("0.5 inch", 1), ("\u00bd cup", 1)]
)
def test_a_near_miss_of_a_fraction_is_seen(text: str, wrong: int) -> None:
    assert len(re.findall(r"[\d]+\.\d+|[\u00bc-\u00be\u2150-\u215e\u2044]|\b\d+ \d+/\d+", text)) == wrong


def test_doubts_stay_in_the_data_and_in_the_document() -> None:
    doubted = [food for food in FOODS if stillroom.recipe(food).doubtful]
    assert len(doubted) > 60
    for food in doubted:
        found = stillroom.recipe(food)
        told = " ".join(recipe_sheet(found, stillroom.shelf()).split())
        assert len(recipe_document.document(found)["doubtful"]) == len(found.doubtful)
        assert all(doubt.text not in told or doubt.text in {c.text for c in found.cautions} for doubt in found.doubtful)


def test_an_amount_that_cannot_be_trusted_is_said_not_to_be_given() -> None:
    # Crab, page 5-9: lemon juice of the simmering water. Mango chutney, page 2-16: canning salt.
    crab, chutney = sheets("crab")[0], sheets("mango-chutney")[0]
    assert (
        "The simmering water takes lemon juice, but the amount is not given here: look at the page of the publication, "
        "or ask your extension office, before you begin (page 5-9)" in crab
    )
    assert "how much lemon juice is not given here" in crab
    assert (
        "canning salt: the amount is not given here [look at page 2-16 of the publication, or ask your extension "
        "office]" in chutney
    )
    assert "the amount is not given here" not in sheets("mango-salsa")[0]


@pytest.mark.parametrize(
    ("food", "jars", "jar", "said"),
    [
        ("tomato-sauce", 7, "quart", "about 46 pounds of tomatoes for thick sauce (46 pounds for 7 quarts, page 3-8)"),
        ("tomato-sauce", 9, "pint", "about 21 pounds of tomatoes for thin sauce (21 pounds for 9 pints, page 3-8)"),
        ("tomato-juice", 7, "quart", "pounds of tomatoes ("),
        ("grape-juice", 7, "quart", "pounds of grapes ("),
        ("applesauce", 7, "quart", "pounds of apples ("),
        ("peaches", 7, "quart", "pounds of peaches ("),
        ("asian-pears", 7, "quart", "pounds of Asian pears ("),
        ("snap-beans", 7, "quart", "pounds of snap and Italian beans ("),
        ("tomatoes-with-okra-or-zucchini", 7, "quart", "about 4 pounds of okra or zucchini ("),
    ],
)
def test_what_is_bought_is_raw_food(food: str, jars: int, jar: str, said: str) -> None:
    text = " ".join(recipe_sheet(stillroom.recipe(food, jars, jar), stillroom.shelf()).split())
    assert said in text


def test_no_yield_is_of_a_style_or_of_what_is_made() -> None:
    titles = {row["id"]: row["title"] for row in table("schedules/foods.csv")}
    for row in table("schedules/yields.csv"):
        named = buying.raw(row["food"], row["variety"], titles[row["food"]])
        assert named.split()[0] not in ("thick", "thin"), row
        assert not re.search(r"juice|sauce$|sections|,", named) or " for " in named, row


def test_a_plan_names_the_tomatoes_too() -> None:
    from stillroom.sheets.day_sheet import day_sheet

    plan = stillroom.plan("tomato sauce", jars=7, jar="quart", pack="hot", altitude="0 ft", canner="weighted")
    text = " ".join(day_sheet(plan, stillroom.shelf()).split())
    assert "tomatoes for thick sauce: 46 lb by the canner load" in text


def test_the_sections_say_what_they_are() -> None:
    text = recipe_sheet(stillroom.recipe("tomatoes crushed"), stillroom.shelf())
    assert "\nRequired for safety:\n" in text
    assert "\nAlso note:\n" in text
    assert "Mind:" not in text and "Doubtful" not in text


def test_a_printed_column_with_less_acid_is_said_before_anything_else() -> None:
    # Page 2-27: 3 tablespoons of lemon juice to a quart, and 1/2 cup (8 tablespoons) to seven: 38 percent.
    text = sheets("blueberry-pie-filling")[0]
    said = "the seven-quarts column has less acid in each jar than one-quart (38 percent): make that column instead"
    assert text.index(said) < text.index("Required for safety:")
    assert "less acid" not in sheets("peach-pie-filling")[0].partition("Required")[0]
