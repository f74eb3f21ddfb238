"""Air bubbles and jar rims: the last two things done to a filled jar, page by page.

USDA Complete Guide to Home Canning, 2015, Guides 2 to 7, each procedure read for the two sentences.
"""

from __future__ import annotations

from typing import Any

BOTH_PRINTED = {
    "2-6": ["apple-butter"],
    "2-7": ["apples-sliced"],
    "2-8": ["applesauce", "spiced-apple-rings"],
    "2-9": ["spiced-crab-apples"],
    "2-10": ["berries"],
    "2-11": ["berry-syrup", "cantaloupe-pickles"],
    "2-13": ["cherries", "cranberry-orange-chutney"],
    "2-14": ["figs", "fruit-purees"],
    "2-15": ["grapefruit-and-orange-sections"],
    "2-16": ["grapes"],
    "2-17": ["mango-chutney"],
    "2-18": ["mango-sauce", "mixed-fruit-cocktail"],
    "2-19": ["peaches"],
    "2-20": ["pears", "asian-pears"],
    "2-21": ["pineapple", "plums"],
    "2-22": ["rhubarb"],
    "2-23": ["zucchini-pineapple", "spicy-cranberry-salsa"],
    "2-24": ["mango-salsa"],
    "2-25": ["peach-apple-salsa"],
    "2-26": ["apple-pie-filling"],
    "2-27": ["blueberry-pie-filling"],
    "2-28": ["cherry-pie-filling", "festive-mincemeat-pie-filling"],
    "2-29": ["green-tomato-pie-filling"],
    "2-30": ["peach-pie-filling"],
    "3-7": ["tomatoes-crushed"],
    "3-8": ["tomato-sauce"],
    "3-9": ["tomatoes-in-water"],
    "3-10": ["tomatoes-in-juice"],
    "3-11": ["tomatoes-raw-no-liquid"],
    "3-12": ["tomatoes-with-okra-or-zucchini"],
    "3-13": ["tomatillos"],
    "3-14": ["spaghetti-sauce-without-meat"],
    "3-15": ["spaghetti-sauce-with-meat"],
    "3-16": ["mexican-tomato-sauce", "easy-hot-sauce"],
    "3-17": ["cayenne-pepper-sauce"],
    "3-18": ["tomato-ketchup"],
    "3-19": ["blender-ketchup"],
    "3-21": ["chile-salsa"],
    "3-22": ["chile-salsa-ii"],
    "3-23": ["tomatillo-green-salsa", "tomato-salsa-paste-tomatoes"],
    "3-24": ["tomato-salsa-slicing-tomatoes"],
    "3-25": ["tomato-green-chile-salsa", "tomato-paste-salsa"],
    "3-26": ["tomato-taco-sauce"],
    "4-5": ["asparagus"],
    "4-6": ["dried-beans-or-peas", "baked-beans"],
    "4-7": ["dry-beans-with-tomato-or-molasses-sauce", "lima-beans"],
    "4-8": ["snap-beans"],
    "4-9": ["beets"],
    "4-10": ["carrots"],
    "4-11": ["cream-style-corn", "whole-kernel-corn"],
    "4-12": ["mixed-vegetables"],
    "4-13": ["mushrooms"],
    "4-14": ["okra"],
    "4-15": ["green-peas", "peppers"],
    "4-16": ["sweet-potatoes"],
    "4-17": ["white-potatoes"],
    "4-18": ["pumpkin-and-winter-squash"],
    "4-19": ["soups", "spinach-and-other-greens"],
    "4-20": ["succotash"],
    "5-5": ["chicken-or-rabbit"],
    "5-6": ["ground-or-chopped-meat", "meat-strips-cubes-or-chunks"],
    "5-8": ["chile-con-carne"],
    "5-9": ["clams", "crab"],
    "5-12": ["oysters"],
    "5-14": ["tuna"],
    "6-7": ["dill-pickles"],
    "6-8": ["sauerkraut"],
    "6-9": ["bread-and-butter-pickles"],
    "6-10": ["quick-fresh-pack-dill-pickles"],
    "6-11": ["sweet-gherkin-pickles"],
    "6-12": ["14-day-sweet-pickles"],
    "6-13": ["quick-sweet-pickles", "pickled-asparagus"],
    "6-14": ["pickled-dilled-beans"],
    "6-15": ["pickled-three-bean-salad", "pickled-beets"],
    "6-16": ["pickled-carrots"],
    "6-17": ["pickled-cauliflower-or-brussels-sprouts"],
    "6-18": ["chayote-and-jicama-slaw", "bread-and-butter-pickled-jicama"],
    "6-19": ["marinated-whole-mushrooms", "pickled-dilled-okra"],
    "6-20": ["pickled-pearl-onions"],
    "6-21": ["marinated-peppers"],
    "6-22": ["pickled-bell-peppers", "pickled-hot-peppers"],
    "6-23": ["pickled-jalapeno-rings"],
    "6-24": ["pickled-yellow-pepper-rings", "pickled-sweet-green-tomatoes"],
    "6-25": ["pickled-mixed-vegetables"],
    "6-26": ["pickled-bread-and-butter-zucchini"],
    "6-27": ["chayote-pear-relish", "piccalilli"],
    "6-28": ["pickle-relish"],
    "6-29": ["pickled-corn-relish", "pickled-green-tomato-relish"],
    "6-31": ["spicy-jicama-relish"],
    "6-32": ["tangy-tomatillo-relish", "no-sugar-added-pickled-beets"],
    "6-33": ["no-sugar-added-sweet-cucumber-pickle-slices"],
    "6-34": ["reduced-sodium-sliced-dill-pickles"],
    "6-35": ["reduced-sodium-sliced-sweet-pickles"],
}
"""Printed in the section of the food itself: page of the two sentences, and the foods."""

BOTH_BY_REFERENCE = {
    "2-11": ["cantaloupe-pickles-no-sugar-added"],
    "2-19": ["apricots", "nectarines"],
    "2-24": ["peach-salsa"],
    "3-18": ["country-western-ketchup"],
    "4-18": ["winter-squash"],
    "6-9": ["squash-bread-and-butter-pickles"],
    "6-15": ["pickled-whole-baby-beets"],
    "6-16": ["pickled-baby-carrots"],
    "6-32": ["no-sugar-added-pickled-whole-baby-beets"],
}
"""Printed in the section that the food is sent to: its page."""

RIMS_ONLY = {
    "2-6": ["apple-juice"],
    "2-15": ["grape-juice"],
    "3-5": ["tomato-juice"],
    "3-6": ["tomato-vegetable-juice"],
    "5-7": ["meat-stock"],
    "5-10": ["fish"],
    "5-11": ["fish"],
    "5-13": ["smoked-fish"],
    "7-6": ["jelly-without-added-pectin"],
    "7-7": ["jam-without-added-pectin"],
    "7-8": ["pear-apple-jam"],
    "7-9": ["strawberry-rhubarb-jelly", "blueberry-spice-jam"],
    "7-10": ["grape-plum-jelly", "golden-pepper-jelly"],
    "7-11": ["peach-pineapple-spread"],
    "7-13": ["remade-soft-jellies"],
}
"""The rims alone: juices, broth, fish without liquid and soft spreads hold no air to let out."""

NEITHER = {"jellies-and-jams-with-added-pectin", "pickled-pepper-onion-relish"}
"""Page 7-8 leaves it to the pectin package; page 6-30 says only how the jar is closed."""

EACH_FRUIT_ITS_OWN = {"fruit-baby-foods"}
"""Page 1-31 sends to the directions of each fruit."""


def _foods(*lists: dict[str, list[str]]) -> dict[str, set[str]]:
    pages: dict[str, set[str]] = {}
    for by_page in lists:
        for page, foods in by_page.items():
            for food in foods:
                pages.setdefault(food, set()).add(page)
    return pages


def _said(recipes: Any, words: str) -> dict[str, set[str]]:
    found = {
        food: {step["page"] for step in entry["steps"] if words in step["text"].lower()}
        for food, entry in recipes.items()
        if food not in EACH_FRUIT_ITS_OWN
    }
    return {food: pages for food, pages in found.items() if pages}


def test_the_lists_name_every_food_once(recipes: Any) -> None:
    both, sent, rims = _foods(BOTH_PRINTED), _foods(BOTH_BY_REFERENCE), _foods(RIMS_ONLY)
    assert (len(both), len(sent), len(rims)) == (121, 10, 16)
    assert len(both) + len(sent) + len(rims) + len(NEITHER) + len(EACH_FRUIT_ITS_OWN) == len(recipes)
    assert set(both) | set(sent) | set(rims) | NEITHER | EACH_FRUIT_ITS_OWN == set(recipes)


def test_air_bubbles_are_let_out_in_every_recipe_whose_page_says_so_and_in_no_other(recipes: Any) -> None:
    assert _said(recipes, "air bubbles") == _foods(BOTH_PRINTED, BOTH_BY_REFERENCE)


def test_jar_rims_are_wiped_in_every_recipe_whose_page_says_so_and_in_no_other(recipes: Any) -> None:
    assert _said(recipes, "jar rims") == _foods(BOTH_PRINTED, BOTH_BY_REFERENCE, RIMS_ONLY)


def test_bubbles_come_after_the_last_filling_and_rims_come_last(recipes: Any) -> None:
    for food in _foods(BOTH_PRINTED, BOTH_BY_REFERENCE, RIMS_ONLY):
        steps = [step["text"] for step in recipes[food]["steps"]]
        rims = [i for i, text in enumerate(steps) if "jar rims" in text]
        filled = [i for i, text in enumerate(steps) if "headspace" in text and "jar rims" not in text]
        assert rims == list(range(len(steps) - len(rims), len(steps))), food
        assert max(filled) == rims[0] - 1, food


def test_a_pack_without_liquid_is_not_told_to_let_out_bubbles(recipes: Any) -> None:
    """Pages 5-5 and 5-6 print the sentence with the hot pack alone, the rims for both packs."""
    for food in ("chicken-or-rabbit", "meat-strips-cubes-or-chunks"):
        bubbles = [step for step in recipes[food]["steps"] if "air bubbles" in step["text"]]
        rims = [step for step in recipes[food]["steps"] if "jar rims" in step["text"]]
        assert [step.get("pack") for step in bubbles] == ["hot"]
        assert [step.get("pack") for step in rims] == [None]


def test_fish_oil_is_wiped_off_with_a_second_dry_towel(recipes: Any) -> None:
    """Pages 5-10, 5-11 and 5-14; smoked fish (5-13) has the one damp towel."""
    dry = {food for food, entry in recipes.items() if any("dry one" in step["text"] for step in entry["steps"])}
    assert dry == {"fish", "tuna"}


def test_baby_food_is_sent_to_the_directions_of_each_fruit(recipes: Any) -> None:
    last = recipes["fruit-baby-foods"]["steps"][-1]
    assert "air bubbles" in last["text"]
    assert "jar rims" in last["text"]
    assert last["page"] == "1-31"
