from __future__ import annotations

import pytest

ACID, FIRST, SECOND = "schedules/acid.csv", "schedules/readings/acid-first.csv", "schedules/readings/acid-second.csv"
SECTIONS = "schedules/readings/foods-first.csv", "schedules/readings/foods-second.csv"
FIGS = {"food": "figs", "jar": "quart", "acid": "bottled lemon juice"}


def test_the_published_amounts_are_those_of_both_readings(published):
    assert published.found("acid") == ()


@pytest.mark.parametrize(
    ("column", "value"),
    [
        ("quantity", "1"),
        ("unit", "teaspoon"),
        ("per", "recipe"),
        ("acid", "lemon juice"),
        ("page", "2-15"),
        ("use", "option"),
        ("any_of", ""),
    ],
)
def test_a_slip_in_an_amount_is_found_at_its_row(package, column, value):
    line = package.line(ACID, **FIGS)
    package.edit(ACID, line, **{column: value})
    assert (ACID, line) in [(f.file, f.line) for f in package.found("acid")]


def test_an_amount_left_out_is_found_in_the_readings(package):
    package.drop(ACID, package.line(ACID, **FIGS))
    recipe = "schedules/recipes/figs.yaml"
    assert {f.file for f in package.found("acid")} == {ACID, FIRST, SECOND, *SECTIONS, recipe}, (
        "and citric acid has no alternative left"
    )


def test_acid_of_a_soak_called_acid_of_the_jar_is_found(package):
    line = package.line(ACID, food="clams")
    package.edit(ACID, line, use="batch")
    assert (ACID, line, "use") in package.places("acid")


def test_a_must_that_became_a_choice_is_found(package):
    line = package.line(ACID, food="asian-pears", jar="pint")
    package.edit(ACID, line, any_of="a")
    assert (ACID, line, "any_of") in package.places("acid")


@pytest.mark.parametrize("file", [FIRST, SECOND])
def test_an_edit_of_one_reading_is_found(package, file):
    package.edit(file, package.line(file, **FIGS), quantity="3")
    assert package.found("acid")


def test_a_quantity_lost_without_saying_so_is_found(package):
    line = package.line(SECOND, **FIGS)
    package.edit(SECOND, line, quantity="")
    assert (SECOND, line, "quantity") in package.places("acid")


def test_a_near_miss_a_quantity_on_record_as_lost_is_no_finding(package):
    package.edit(SECOND, package.line(SECOND, **FIGS), quantity="", note="lost: a blot; either this or citric acid")
    assert package.found("acid") == ()
