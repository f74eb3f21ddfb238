"""Single facts of the pages that a recipe once left out, said too strongly or put the wrong way round.

USDA Complete Guide to Home Canning, 2015; the page stands beside each. Near misses stand beside the hits.
"""

from __future__ import annotations

import re
from typing import Any

import pytest

SALSAS = (
    "chile-salsa", "chile-salsa-ii", "tomatillo-green-salsa", "tomato-salsa-paste-tomatoes",
    "tomato-salsa-slicing-tomatoes", "tomato-green-chile-salsa", "tomato-paste-salsa", "tomato-taco-sauce",
)  # fmt: skip
JUICE_SALSAS = {"tomatillo-green-salsa", "tomato-salsa-paste-tomatoes", "tomato-paste-salsa"}
"""Pages 3-22, 3-23, 3-25: their acid is bottled lemon or lime juice; that of the others is vinegar."""


def _texts(entry: Any, part: str) -> list[str]:
    return [row["text"] for row in entry.get(part, ())]


# steps taken from another section


def test_tomato_sauce_is_prepared_and_pressed_as_tomato_juice(recipes: Any) -> None:
    """Page 3-8 sends to 3-5: washed, trimmed, crushed while heated, simmered 5 minutes, sieved."""
    juice = recipes["tomato-juice"]["steps"][:6]
    assert recipes["tomato-sauce"]["steps"][1:7] == juice
    assert "sieve or food mill" in juice[-1]["text"]


def test_tomato_and_vegetable_juice_is_crushed_and_simmered_as_tomato_juice(recipes: Any) -> None:
    """Page 3-6 sends to 3-5 for crushing and simmering; it presses by itself, after the vegetables."""
    steps = recipes["tomato-vegetable-juice"]["steps"]
    assert steps[1:6] == recipes["tomato-juice"]["steps"][:5]
    assert [step["page"] for step in steps if "sieve" in step["text"]] == ["3-6"]


def test_sweet_potatoes_may_stay_whole_and_are_never_mashed(recipes: Any) -> None:
    """Page 4-16: pieces or whole."""
    entry = recipes["sweet-potatoes"]
    assert any("whole or in pieces" in text for text in _texts(entry, "may_change"))
    assert any("whole" in text and "Do not mash or puree" in text for text in _texts(entry, "steps"))


# what to choose


@pytest.mark.parametrize(
    ("food", "page", "words"),
    [
        ("apple-butter", "2-6", "Jonathan"), ("apples-sliced", "2-7", "juicy"), ("applesauce", "2-7", "juicy"),
        ("apricots", "2-9", "mature"), ("berries", "2-10", "ripe and sweet"), ("cherries", "2-12", "mature"),
        ("figs", "2-14", "without cracks"), ("grapefruit-and-orange-sections", "2-15", "mature"),
        ("grape-juice", "2-15", "mature"), ("nectarines", "2-18", "ripe and mature"),
        ("apple-pie-filling", "2-26", "Rome"), ("peach-pie-filling", "2-30", "Redskin"),
        ("dried-beans-or-peas", "4-5", "mature, dry"), ("baked-beans", "4-6", "mature, dry"),
        ("dry-beans-with-tomato-or-molasses-sauce", "4-6", "mature, dry"), ("asparagus", "4-5", "tight tips"),
        ("cream-style-corn", "4-10", "slightly immature"), ("whole-kernel-corn", "4-11", "slightly immature"),
        ("green-peas", "4-14", "diseased"), ("white-potatoes", "4-17", "mature"),
        ("pumpkin-and-winter-squash", "4-18", "cooking fresh"), ("spinach-and-other-greens", "4-19", "tender"),
        ("smoked-fish", "5-13", "rockfish"), ("jelly-without-added-pectin", "7-5", "only firm fruit"),
        ("dill-pickles", "6-5", "4 inches"), ("quick-fresh-pack-dill-pickles", "6-5", "4 inches"),
        ("reduced-sodium-sliced-dill-pickles", "6-5", "4 inches"), ("sweet-gherkin-pickles", "6-5", "1-1/2 inches"),
        ("bread-and-butter-pickles", "6-5", "odd shapes"), ("pickle-relish", "6-5", "odd shapes"),
        ("14-day-sweet-pickles", "6-5", "firm"), ("quick-sweet-pickles", "6-5", "firm"),
        ("no-sugar-added-sweet-cucumber-pickle-slices", "6-5", "firm"),
        ("reduced-sodium-sliced-sweet-pickles", "6-5", "firm"), ("pickled-mixed-vegetables", "6-5", "firm"),
    ],
)  # fmt: skip
def test_the_first_step_says_what_to_choose(recipes: Any, food: str, page: str, words: str) -> None:
    first = recipes[food]["steps"][0]
    assert words in first["text"]
    assert first["page"] == page


def test_blossom_ends_are_cut_off_every_cucumber(recipes: Any) -> None:
    """Page 1-28 says it of all fresh cucumbers; page 6-9 of the squash that stands in for them."""
    cut = {food for food, entry in recipes.items() if any("blossom end" in text for text in _texts(entry, "steps"))}
    lists = {
        food
        for food, entry in recipes.items()
        if any("cucumber" in line["name"] for line in entry.get("ingredients", ()))
    }
    assert cut - {"squash-bread-and-butter-pickles"} == lists


@pytest.mark.parametrize("food", ["dill-pickles", "sauerkraut"])
def test_the_plate_of_a_ferment_nearly_fills_the_opening(recipes: Any, food: str) -> None:
    """Page 6-6."""
    (step,) = [text for text in _texts(recipes[food], "steps") if "1 to 2 inches under brine" in text]
    assert "a little smaller than the opening" in step
    assert "must stay" in step


# what was more than the print, or less


def test_the_acid_step_of_asian_pears_has_no_headspace_of_its_own(recipes: Any) -> None:
    """Page 2-20 prints the headspace with the liquid, before the lemon juice."""
    (acid,) = [text for text in _texts(recipes["asian-pears"], "steps") if "lemon juice" in text]
    assert "headspace" not in acid
    assert sum("1/2 inch of headspace" in text for text in _texts(recipes["asian-pears"], "steps")) == 1


def test_cranberry_salsa_goes_into_pint_jars(recipes: Any) -> None:
    """Page 2-23: pints in the text, half-pints or pints in the table."""
    assert any("hot pint jars" in text for text in _texts(recipes["spicy-cranberry-salsa"], "steps"))


@pytest.mark.parametrize("food", ["blueberry-pie-filling", "cherry-pie-filling"])
def test_the_juice_of_thawed_fruit_is_measured(recipes: Any, food: str) -> None:
    """Page 2-26."""
    assert any("measure the juice" in text for text in _texts(recipes[food], "may_change"))


def test_the_starch_is_named_as_the_page_describes_it(recipes: Any) -> None:
    """Page 2-25: a chemically modified corn starch, hard to find; nothing of how it is cooked."""
    fillings = [recipes[f"{fruit}-pie-filling"] for fruit in ("apple", "blueberry", "cherry", "peach")]
    for entry in fillings:
        names = [line["name"] for line in entry["ingredients"] if line["role"] == "thickener"]
        assert names == ["chemically modified cornstarch"]
        assert any("Make sure of it before" in text for text in _texts(entry, "cautions"))
    assert not any("cook-type" in str(entry) for entry in recipes.values())


def test_light_smoking_is_recommended_and_not_ordered(recipes: Any) -> None:
    """Page 5-13."""
    cautions = _texts(recipes["smoked-fish"], "cautions")
    assert any("Lightly smoked fish is recommended" in text for text in cautions)
    assert not any("Use lightly smoked" in text for text in cautions)


def test_pectin_is_bought_every_year_wherever_it_is_added(recipes: Any) -> None:
    """Page 7-8; jam and jelly without added pectin and the fruit spread (7-5, 7-6, 7-11) have none."""
    pectin = {
        food
        for food, entry in recipes.items()
        if any("pectin" in line["name"] for line in entry.get("ingredients", ()))
    } | {"jellies-and-jams-with-added-pectin"}
    said = {
        food
        for food, entry in recipes.items()
        if "new pectin every year" in str(entry) or "new every year" in str(entry)
    }
    assert said == pectin
    assert len(pectin) == 7


# salsa and lime


@pytest.mark.parametrize("food", SALSAS)
def test_bottled_juice_may_replace_vinegar_and_never_the_other_way(recipes: Any, food: str) -> None:
    """Page 3-19."""
    entry = recipes[food]
    allowed = [text for text in _texts(entry, "may_change") if "vinegar" in text]
    assert all("bottled lemon juice in place of the vinegar" in text for text in allowed)
    assert len(allowed) == (0 if food in JUICE_SALSAS else 1)
    assert any(
        "vinegar cannot stand in for lemon juice" in text or "Never put vinegar in place of" in text
        for text in _texts(entry, "never_change")
    )


@pytest.mark.parametrize("food", SALSAS)
def test_no_large_peppers_take_the_place_of_as_many_small_ones(recipes: Any, food: str) -> None:
    """Page 3-20."""
    assert any("large peppers in place of the same number of small" in t for t in _texts(recipes[food], "never_change"))


@pytest.mark.parametrize("food", SALSAS)
def test_the_contradiction_of_page_3_21_is_told(recipes: Any, food: str) -> None:
    assert [row["page"] for row in recipes[food]["doubtful"] if "the only safe ones" in row["text"]] == ["3-21"]


def test_lime_belongs_to_jalapeno_rings_and_is_a_choice_in_two_pickles(recipes: Any) -> None:
    """Page 6-23; a variation on 6-9 and 6-13; none in the yellow rings of 6-24."""
    limed = {food for food, entry in recipes.items() if any("lime water" in text for text in _texts(entry, "steps"))}
    assert limed == {"pickled-jalapeno-rings", "bread-and-butter-pickles", "quick-sweet-pickles"}
    steps = [text for text in _texts(recipes["pickled-jalapeno-rings"], "steps") if "lime" in text]
    assert not any("ptional" in text or "If you lime" in text for text in steps)
    lines = [line for line in recipes["pickled-jalapeno-rings"]["ingredients"] if "lime" in line["name"]]
    assert lines
    assert not any("optional" in line for line in lines)


# doubts that a third copy settled


def test_no_doubt_hangs_on_one_copy_of_the_text(recipes: Any) -> None:
    doubts = [text for entry in recipes.values() for text in _texts(entry, "doubtful")]
    assert [
        text for text in doubts if re.search(r"\b(one copy|both copies|two copies|a scan|cleaner copy)\b", text, re.I)
    ] == []
    assert sum("three copies" in text.lower() for text in doubts) == 7


@pytest.mark.parametrize(
    ("food", "what", "page"), [("crab", "number of cups", "5-9"), ("mango-chutney", "canning salt", "2-16")]
)
def test_an_amount_that_the_print_lacks_is_told_without_a_figure(recipes: Any, food: str, what: str, page: str) -> None:
    (row,) = [row for row in recipes[food]["doubtful"] if "2015 print itself" in row["text"]]
    assert what in row["text"]
    assert row["page"] == page
    assert not re.search(r"\d", row["text"].replace("2015", ""))
