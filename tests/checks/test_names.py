from __future__ import annotations

import pytest

ALIASES, RELATIONS, FORMS = "schedules/aliases.csv", "schedules/relations.csv", "schedules/forms.csv"
WITHHELD, WITHHELD_NAMES, MEATS = (
    "schedules/withheld.csv",
    "schedules/withheld-names.csv",
    "schedules/meats-seafood.csv",
)


def test_the_published_names_pass(published):
    assert published.found("names") == ()


@pytest.mark.parametrize("alias", ["Asparagus", "asparagus!", "AÍOLI"])
def test_a_name_that_means_two_foods_is_found(package, alias):
    if alias == "AÍOLI":
        package.add(ALIASES, alias="aioli", food="okra")
    line = package.add(ALIASES, alias=alias, food="beets")
    assert (ALIASES, line, "alias") in package.places("names")


def test_a_name_of_a_food_and_of_something_withheld_is_found(package):
    line = package.add(WITHHELD_NAMES, alias="asparagus", withheld="banana-puree")
    (finding,) = package.found("names")
    assert (finding.file, finding.line) == (WITHHELD_NAMES, line) and "also means food asparagus" in finding.wrong


def test_a_near_miss_an_alias_equal_to_its_own_foods_title_is_no_finding(package):
    package.add(ALIASES, alias="ASPARAGUS", food="asparagus")
    assert package.found("names") == ()


def test_an_alias_that_says_nothing_is_found(package):
    line = package.add(ALIASES, alias="???", food="beets")
    assert package.places("names") == [(ALIASES, line, "alias")]


def test_a_relation_to_a_food_without_schedules_is_found(package):
    package.edit(RELATIONS, 2, follows="nectarines")
    assert package.places("names") == [(RELATIONS, 2, "follows")]


def test_a_relation_of_a_food_with_schedules_and_a_pack_it_lacks_are_found(package):
    package.edit(RELATIONS, 2, food="beets")
    line = package.line(RELATIONS, food="winter-squash")
    package.edit(RELATIONS, line, pack="raw")
    assert package.places("names") == [(RELATIONS, 2, "food"), (RELATIONS, line, "pack")]


def test_forms_must_be_used_and_known(package):
    line = package.line(MEATS, form="with-bones")
    package.edit(MEATS, line, form="")
    other = package.add(FORMS, food="beets", form="diced", title="diced", source="usda-2015", page="4-9")
    places = package.places("names")
    assert (MEATS, line, "form") in places and (FORMS, other, "form") in places


def test_a_withheld_entry_that_nobody_can_ask_for_is_found(package):
    rows = package.read(WITHHELD_NAMES)
    package.write(WITHHELD_NAMES, [row for row in rows if row[1] != "banana-puree"])
    line = package.line(WITHHELD, id="banana-puree")
    assert package.places("names") == [(WITHHELD, line, "id")]


def test_a_withheld_name_of_nothing_is_found(package):
    package.edit(WITHHELD_NAMES, 2, withheld="nothing")
    assert (WITHHELD_NAMES, 2, "withheld") in package.places("names")
