from __future__ import annotations

VEGETABLES, FOODS, ACID = "schedules/vegetables.csv", "schedules/foods.csv", "schedules/acid.csv"


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
    assert sorted(package.places("acidity")) == sorted((FOODS, at, "acidity") for at in (line, other, third))


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


def test_a_near_miss_an_acid_food_in_half_gallons_is_left_to_the_readings(package):
    line = package.line("schedules/fruit.csv", food="peaches", jar="quart", altitude_from_ft="0")
    package.edit("schedules/fruit.csv", line, jar="half-gallon")
    assert package.found("acidity") == () != package.found("readings")
