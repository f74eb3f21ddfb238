from __future__ import annotations

import pytest

VEGETABLES, FRUIT, FOODS, ACID = (f"schedules/{name}.csv" for name in ("vegetables", "fruit", "foods", "acid"))
RELATIONS, JAR_RULES = "schedules/relations.csv", "shared/jar-rules.csv"


def test_the_published_acids_pass(published):
    assert published.found("acidity") == ()


def test_a_low_acid_food_in_boiling_water_is_found(package):
    line = package.line(VEGETABLES, food="asparagus")
    package.edit(VEGETABLES, line, method="boiling-water", gauge="", pressure_psi="")
    (finding,) = package.found("acidity")
    assert (finding.file, finding.line, finding.column) == (VEGETABLES, line, "method")
    assert "page 1-8" in finding.published


def test_a_low_acid_food_at_the_pressures_of_tomatoes_is_found(package):
    """Pages 4-5 and 3-8: 11 psi and more for asparagus, 6 psi and more for acidified tomatoes only."""
    line = package.line(VEGETABLES, food="asparagus", gauge="dial")
    package.edit(VEGETABLES, line, pressure_psi="6")
    assert package.places("acidity") == [(VEGETABLES, line, "pressure_psi")]
    other = package.line(VEGETABLES, food="asparagus", gauge="weighted")
    package.edit(VEGETABLES, other, pressure_psi="5")
    assert sorted(package.places("acidity")) == sorted((VEGETABLES, at, "pressure_psi") for at in (line, other))


def test_an_acidified_food_without_any_acid_is_found(package):
    while any(row[0] == "figs" for row in package.read(ACID)):
        package.drop(ACID, package.line(ACID, food="figs"))
    (finding,) = package.found("acidity")
    assert (finding.file, finding.value) == (FOODS, "figs") and "names no acid" in finding.wrong


def test_a_jar_without_its_amount_is_found(package):
    for _ in range(2):
        package.drop(ACID, package.line(ACID, food="figs", jar="quart"))
    (finding,) = package.found("acidity")
    assert finding.value == "figs" and "no amount for that jar" in finding.wrong and "quart" in finding.wrong


def test_acid_that_is_only_an_option_is_no_acid(package):
    for line, row in enumerate(package.read(ACID), 1):
        if row[0] == "asian-pears":
            package.edit(ACID, line, use="option")
    assert [finding.value for finding in package.found("acidity")] == ["asian-pears"]


def test_calling_a_low_acid_food_acid_or_a_pickle_acid_is_found(package):
    line = package.line(FOODS, id="asparagus")
    package.edit(FOODS, line, acidity="acid")
    other = package.line(FOODS, id="pickled-beets")
    package.edit(FOODS, other, acidity="acid")
    third = package.line(FOODS, id="figs")
    package.edit(FOODS, third, acidity="acid")
    found = [(f.file, f.line, f.column) for f in package.found("acidity") if f.file == FOODS]
    assert sorted(set(found)) == sorted((FOODS, at, "acidity") for at in (line, other, third))


def test_a_near_miss_a_food_that_follows_another_takes_its_acid(package):
    """Tomatillos follow whole tomatoes in water and have amounts of their own: without them, those of tomatoes hold."""
    while any(row[0] == "tomatillos" for row in package.read(ACID)):
        package.drop(ACID, package.line(ACID, food="tomatillos"))
    assert package.found("acidity") == ()


def test_a_low_acid_food_in_half_gallons_is_found(package):
    """Page 1-13: half-gallon jars are for very acid juices only."""
    line = package.line(VEGETABLES, food="beets", jar="quart", gauge="dial", altitude_from_ft="0")
    package.edit(VEGETABLES, line, jar="half-gallon")
    (finding,) = package.found("acidity")
    assert (finding.file, finding.line, finding.column) == (VEGETABLES, line, "jar")
    assert finding.value == "half-gallon" and "page 1-13" in finding.published


def test_an_acid_food_that_is_no_juice_in_half_gallons_is_found(package):
    line = package.line(FRUIT, food="peaches", jar="quart", altitude_from_ft="0")
    package.edit(FRUIT, line, jar="half-gallon")
    assert (FRUIT, line, "jar") in package.places("acidity")
    assert {f.file for f in package.found("acidity")} == {FRUIT, RELATIONS}, "apricots and nectarines follow peaches"


def test_a_near_miss_an_acid_juice_in_half_gallons_is_left_to_the_readings(package):
    line = package.line(FRUIT, food="grape-juice", jar="quart", altitude_from_ft="0")
    package.edit(FRUIT, line, jar="half-gallon")
    assert package.found("acidity") == () != package.found("readings")


@pytest.mark.parametrize(("jar", "takes"), [("half-gallon", "quart"), ("quart", "half-gallon")])
def test_a_rule_that_carries_a_time_to_or_from_half_gallons_is_found(package, jar, takes):
    line = package.add(JAR_RULES, jar=jar, takes=takes, source="usda-2015", page="1-23",
                       statement=f"{jar} jars take the time printed for {takes}s")  # fmt: skip
    assert package.places("acidity") == [(JAR_RULES, line, "jar")]


def test_a_food_that_takes_the_times_of_a_food_of_another_kind_is_found(package):
    line = package.line(RELATIONS, food="winter-squash")
    package.edit(RELATIONS, line, follows="tomatoes-in-water")
    assert [f.wrong for f in package.found("acidity") if f.file == RELATIONS] == [
        "is acidified, but winter-squash is low-acid", "is tomatoes, but winter-squash is vegetables",
    ]  # fmt: skip


def test_a_food_with_times_of_its_own_that_takes_those_of_another_is_found(package):
    line = package.add(RELATIONS, food="pears", follows="peaches", source="usda-2015", page="2-19")
    assert package.places("acidity") == [(RELATIONS, line, "food")]


@pytest.mark.parametrize("food", ["figs", "asian-pears", "tomatoes-in-juice", "tomato-sauce"])
def test_a_food_withheld_without_acid_is_acidified_even_where_its_acid_is_gone(package, food):
    while any(row[0] == food for row in package.read(ACID)):
        package.drop(ACID, package.line(ACID, food=food))
    line = package.line(FOODS, id=food)
    package.edit(FOODS, line, acidity="acid")
    found = [f for f in package.found("acidity") if f.line == line]
    assert any("is withheld" in f.wrong for f in found)


def test_a_near_miss_what_is_not_withheld_without_acid_may_be_acid(package):
    line = package.line(FOODS, id="mango-sauce")
    package.edit(FOODS, line, acidity="acid")
    assert package.found("acidity") == ()
