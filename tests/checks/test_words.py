from __future__ import annotations

import pytest

ALIASES, OPEN, WITHHELD_NAMES = "schedules/aliases.csv", "schedules/open-names.csv", "schedules/withheld-names.csv"
WRONG = (
    ("broccoli", "snap-beans"), ("garlic in oil", "chicken-or-rabbit"), ("yellow broccoli", "beets"),
    ("sliced cabbage", "carrots"), ("canned ham", "beets"), ("pesto", "tomato-sauce"), ("lobster", "crab"),
    ("eggplant", "okra"), ("bananas", "peaches"), ("quince", "pears"), ("turkey", "chicken-or-rabbit"),
    ("mussels", "clams"), ("herring", "tuna"), ("pickled eggs", "pickled-beets"), ("caramel sauce", "applesauce"),
    ("red radishes", "beets"), ("whole shiitake", "mushrooms"), ("raw moose", "meat-stock"), ("squid", "oysters"),
    ("sour cabbage leaves", "rhubarb"), ("shrimp in juice", "pineapple"), ("pickled garlic", "pickled-asparagus"),
    ("lentil soup", "asparagus"), ("sweet plantains", "sweet-potatoes"), ("chocolate butter", "apple-butter"),
)  # fmt: skip


def test_the_published_words_pass(published):
    assert published.found("words") == ()


def test_each_alias_of_another_thing_is_found(package):
    lines = [package.add(ALIASES, alias=alias, food=food) for alias, food in WRONG]
    assert sorted(package.places("words")) == sorted((ALIASES, line, "alias") for line in lines)


def test_near_misses_a_kind_with_its_name_or_a_chain_to_it_is_no_finding(package):
    package.add(ALIASES, alias="heirloom beets", food="beets")
    package.add(ALIASES, alias="heirloom", food="beets")
    package.add(ALIASES, alias="crème potatoes", food="white-potatoes")
    assert package.found("words") == ()


def test_a_chain_that_hangs_on_nothing_is_found_link_by_link(package):
    first = package.add(ALIASES, alias="broccoli", food="snap-beans")
    other = package.add(ALIASES, alias="broccoli florets", food="snap-beans")
    assert sorted(package.places("words")) == [(ALIASES, first, "alias"), (ALIASES, other, "alias")]


@pytest.mark.parametrize(
    "alias", ["\u0430sparagus bits", "beet\u200bs", "beets\u0301", "be\u00adets", "\uff42eets", "\u03b2eets"]
)
def test_a_letter_that_only_looks_latin_is_found(package, alias):
    line = package.add(ALIASES, alias=alias, food="beets")
    assert any(f.line == line and "U+" in f.wrong for f in package.found("words"))


def test_the_letters_of_what_is_withheld_and_of_open_names_are_read_too(package):
    line = package.add(WITHHELD_NAMES, alias="b\u0430nana mash", withheld="banana-puree")
    other = package.add(OPEN, name="b\u0435et", food="beets")
    places = package.places("words")
    assert (WITHHELD_NAMES, line, "alias") in places and (OPEN, other, "name") in places


def test_an_open_name_with_one_meaning_is_found_and_a_second_mends_it(package):
    line = package.add(OPEN, name="roots", food="beets")
    assert package.places("words") == [(OPEN, line, "name")]
    package.add(OPEN, name="roots", food="carrots")
    assert package.found("words") == ()


def test_an_open_name_may_be_an_id_with_spaces_only_where_that_food_is_one_of_its_meanings(package):
    for food in ("beets", "green-peas"):
        package.add(OPEN, name="green peas", food=food)
    assert package.found("words") == ()
    for food in ("beets", "carrots"):
        package.add(OPEN, name="snap beans", food=food)
    assert len(package.found("words")) == 2


@pytest.mark.parametrize("name", ["Asparagus", "beetroots", "banana purees"])
def test_an_open_name_that_is_an_alias_a_title_or_withheld_is_found(package, name):
    for food in ("beets", "carrots"):
        package.add(OPEN, name=name, food=food)
    found = package.found("words")
    assert len(found) == 2 and all("is also a name in" in one.wrong for one in found)
