from __future__ import annotations

import pytest

HEADSPACE, YIELDS, FOODS, RELATIONS = (f"schedules/{n}.csv" for n in ("headspace", "yields", "foods", "relations"))
FIRST, SECOND = "schedules/readings/foods-first.csv", "schedules/readings/foods-second.csv"


def test_the_published_preparation_is_that_of_both_readings(published):
    assert published.found("preparation") == ()


def test_another_headspace_or_page_is_found(package):
    line = package.line(HEADSPACE, food="asparagus")
    package.edit(HEADSPACE, line, headspace_in="0.5", page="4-7")
    places = package.places("preparation")
    assert (HEADSPACE, line, "headspace_in") in places and (HEADSPACE, line, "page") in places


@pytest.mark.parametrize("column", ["pounds_from", "pounds_to", "jars_from", "jars_to"])
@pytest.mark.parametrize("cells", [{"food": "asparagus", "basis": "crate"}, {"food": "mushrooms", "jar": "half-pint"}])
def test_another_yield_is_found_in_columns_and_in_remarks(package, column, cells):
    line = package.line(YIELDS, **cells)
    package.edit(YIELDS, line, **{column: "11"})
    assert (YIELDS, line, "pounds_from") in package.places("preparation")


@pytest.mark.parametrize(("file", "food"), [(HEADSPACE, "asparagus"), (YIELDS, "asparagus")])
def test_a_row_left_out_is_found_in_the_readings(package, file, food):
    package.drop(file, package.line(file, food=food))
    assert {f.file for f in package.found("preparation")} == {FIRST, SECOND}


@pytest.mark.parametrize("file", [FIRST, SECOND])
def test_an_edit_of_one_reading_is_found(package, file):
    line = package.line(file, food="Asparagus")
    package.edit(file, line, headspace_in="0.25")
    assert (file, line, "headspace_in") in package.places("preparation")


def test_the_page_of_a_food_and_the_food_a_relation_leads_to_are_compared(package):
    line = package.line(FOODS, id="asparagus")
    package.edit(FOODS, line, page="4-7")
    package.edit(RELATIONS, 2, follows="beets")
    there = [place for place in package.places("preparation") if place[0] in (FOODS, RELATIONS)]
    assert there == [(FOODS, line, "page"), (RELATIONS, 2, "follows"), (RELATIONS, 2, "follows")], "in both readings"


@pytest.mark.parametrize(("food", "pack"), [("tomatillos", ""), ("tomatillos", "raw"), ("nectarines", "hot")])
def test_the_pack_of_a_relation_is_that_of_both_readings(package, food, pack):
    line = package.line(RELATIONS, food=food)
    package.edit(RELATIONS, line, pack=pack)
    assert package.places("preparation") == [(RELATIONS, line, "pack")] * 2


def test_a_relation_that_the_second_reading_alone_denies_is_found(package):
    package.edit(RELATIONS, package.line(RELATIONS, food="apricots"), follows="pears")
    package.edit(FIRST, package.line(FIRST, food="Apricots, halved or sliced"), uses_process_of="Pears, halved")
    assert {"second reading" in f.wrong for f in package.found("preparation") if f.file == RELATIONS} == {True}


def test_a_relation_that_is_left_out_is_found_where_the_readings_send(package):
    package.drop(RELATIONS, package.line(RELATIONS, food="nectarines"))
    assert {f.file for f in package.found("preparation") if f.column == "uses_process_of"} == {FIRST, SECOND}


def test_a_near_miss_words_of_the_same_food_send_to_it_too(package):
    line = package.line(SECOND, food="Apricots-Halved or Sliced")
    package.edit(SECOND, line, uses_process_of="Peaches")
    assert package.found("preparation") == ()


def _remark(package, file, food, old, new):
    """Say something else in the remark of a reading."""
    line = package.line(file, food=food)
    row = dict(zip(package.read(file)[0], package.read(file)[line - 1], strict=True))
    assert old in row["caution"]
    package.edit(file, line, caution=row["caution"].replace(old, new))


def test_a_near_miss_a_yield_that_only_both_remarks_hold_is_no_finding(package):
    """Page 4-13 prints mushrooms per half-pint: the columns of the readings have no place for it.

    The table and both remarks moved alike agree; with one remark left behind they do not.
    """
    line = package.line(YIELDS, food="mushrooms", jar="half-pint")
    package.edit(YIELDS, line, pounds_from="8.25", pounds_to="8.25")
    _remark(package, FIRST, "Mushrooms", "7.5 lb per 9 half-pints", "8.25 lb per 9 half-pints")
    assert package.places("preparation") == [(YIELDS, line, "pounds_from")]
    _remark(package, SECOND, "Mushrooms", "7-1/2 lb per 9 half-pints", "8-1/4 lb per 9 half-pints")
    assert package.found("preparation") == ()


def test_a_relation_of_yields_leads_where_both_readings_send(package):
    """Pages 3-10 and 3-11 send to the quantity of page 3-9; near miss: both remarks that send elsewhere too."""
    relations = "schedules/yield-relations.csv"
    line = package.line(relations, food="tomatoes-in-juice")
    package.edit(relations, line, follows="tomato-juice")
    assert package.places("preparation") == [(relations, line, "follows")]
    for reading in (FIRST, SECOND):
        _remark(package, reading, "Tomato Juice-Packed Whole Tomatoes", "(3-9)", "(3-5)")
    assert package.found("preparation") == ()


@pytest.mark.parametrize(("column", "value"), [("food", "beets"), ("follows", "mango-sauce"), ("page", "3-7")])
def test_a_relation_of_yields_that_is_needless_leads_nowhere_or_has_another_page_is_found(package, column, value):
    relations = "schedules/yield-relations.csv"
    line = package.line(relations, food="tomatoes-raw-no-liquid")
    package.edit(relations, line, **{column: value})
    assert (relations, line, column) in package.places("preparation")
