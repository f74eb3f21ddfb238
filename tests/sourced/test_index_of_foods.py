"""The page of each food against the publication's own index of foods.

Source: USDA, Complete Guide to Home Canning, AIB 539, revised 2015, Index of Foods, pages 1-36 to 1-40. Entries whose
digits were damaged in a text copy are left out. The index sends winter squash (4-20 in its own section) to 4-18, the
page of the process it takes, and counts soups by kind.
"""

from __future__ import annotations

import pytest

INDEX = """
pear-apple-jam 7-8, apple-butter 2-6, apple-juice 2-6, apple-pie-filling 2-26, peach-apple-salsa 2-25, applesauce 2-7,
apples-sliced 2-7, spiced-crab-apples 2-9, spiced-apple-rings 2-8, apricots 2-9, fruit-purees 2-14, asian-pears 2-20,
pickled-asparagus 6-13, asparagus 4-5, baked-beans 4-6, dry-beans-with-tomato-or-molasses-sauce 4-6, snap-beans 4-8,
lima-beans 4-7, pickled-dilled-beans 6-14, dried-beans-or-peas 4-5, pickled-three-bean-salad 6-14,
ground-or-chopped-meat 5-6, meat-strips-cubes-or-chunks 5-6, pickled-beets 6-15, no-sugar-added-pickled-beets 6-32,
beets 4-9, berries 2-10, blueberry-pie-filling 2-27, blueberry-spice-jam 7-9, berry-syrup 2-10, meat-stock 5-7,
pickled-cauliflower-or-brussels-sprouts 6-17, cantaloupe-pickles 2-11, cantaloupe-pickles-no-sugar-added 2-12,
pickled-carrots 6-16, pickled-baby-carrots 6-16, carrots 4-10, chayote-pear-relish 6-26, chayote-and-jicama-slaw 6-17,
cherry-pie-filling 2-27, cherries 2-12, chicken-or-rabbit 5-5, chile-con-carne 5-8, clams 5-9, cream-style-corn 4-10,
pickled-corn-relish 6-28, whole-kernel-corn 4-11, crab 5-9, cranberry-orange-chutney 2-13, spicy-cranberry-salsa 2-23,
figs 2-14, fish 5-10, smoked-fish 5-13, tuna 5-14, mixed-fruit-cocktail 2-18, grapefruit-and-orange-sections 2-15,
grape-juice 2-15, grape-plum-jelly 7-10, grapes 2-16, spinach-and-other-greens 4-19, peach-pineapple-spread 7-11,
jam-without-added-pectin 7-6, jellies-and-jams-with-added-pectin 7-7, golden-pepper-jelly 7-10,
strawberry-rhubarb-jelly 7-8, jelly-without-added-pectin 7-5, bread-and-butter-pickled-jicama 6-18,
spicy-jicama-relish 6-30, mango-salsa 2-24, mango-sauce 2-17, festive-mincemeat-pie-filling 2-28,
marinated-whole-mushrooms 6-18, mushrooms 4-13, pickled-dilled-okra 6-19, okra 4-14,
tomatoes-with-okra-or-zucchini 3-12,
pickled-pepper-onion-relish 6-30, pickled-pearl-onions 6-20, oysters 5-12, peaches 2-19, peach-pie-filling 2-30,
peach-salsa 2-24, pears 2-19, green-peas 4-14, peppers 4-15, marinated-peppers 6-20, piccalilli 6-27,
pickled-bell-peppers 6-21, pickled-hot-peppers 6-22, pickled-jalapeno-rings 6-23, pickled-yellow-pepper-rings 6-24,
pickled-sweet-green-tomatoes 6-24, pickled-mixed-vegetables 6-25, squash-bread-and-butter-pickles 6-9,
pickled-bread-and-butter-zucchini 6-26, bread-and-butter-pickles 6-9, quick-fresh-pack-dill-pickles 6-10,
reduced-sodium-sliced-dill-pickles 6-34, 14-day-sweet-pickles 6-11, no-sugar-added-sweet-cucumber-pickle-slices 6-33,
sweet-gherkin-pickles 6-10, quick-sweet-pickles 6-12, reduced-sodium-sliced-sweet-pickles 6-34,
green-tomato-pie-filling 2-29, pineapple 2-21, zucchini-pineapple 2-22, plums 2-21, sweet-potatoes 4-16,
white-potatoes 4-17, pumpkin-and-winter-squash 4-18, tangy-tomatillo-relish 6-31, pickled-green-tomato-relish 6-29,
rhubarb 2-22, chile-salsa 3-21, chile-salsa-ii 3-22, tomatillo-green-salsa 3-22, tomato-salsa-paste-tomatoes 3-23,
tomato-salsa-slicing-tomatoes 3-24, tomato-green-chile-salsa 3-24, tomato-paste-salsa 3-25, sauerkraut 6-8, soups 4-18,
succotash 4-20, tomatillos 3-13, tomatoes-crushed 3-7, easy-hot-sauce 3-16, tomato-juice 3-5, blender-ketchup 3-18,
country-western-ketchup 3-18, tomato-ketchup 3-17, cayenne-pepper-sauce 3-17, spaghetti-sauce-with-meat 3-14,
spaghetti-sauce-without-meat 3-13, tomato-sauce 3-8, tomato-taco-sauce 3-26, tomato-vegetable-juice 3-6,
tomatoes-in-juice 3-10, tomatoes-in-water 3-9, tomatoes-raw-no-liquid 3-11, mixed-vegetables 4-12
"""
ENTRIES = [tuple(entry.split()) for entry in INDEX.replace("\n", " ").split(",")]


@pytest.mark.parametrize(("food", "page"), ENTRIES)
def test_food_stands_on_the_page_that_the_index_gives(food, page, foods):
    assert foods[food]["page"] == page


def test_nearly_every_food_is_in_the_index(foods):
    assert len(foods) - len(dict(ENTRIES)) <= 15
