from __future__ import annotations

import pytest

SPREADS, FRUIT, TOMATOES = "schedules/spreads.csv", "schedules/fruit.csv", "schedules/tomatoes.csv"


def test_the_published_times_pass(published):
    """Among them 8 minutes for sliced apples (page 2-31) and 1 minute for whole tomatoes in water (page 3-10)."""
    assert published.line(FRUIT, food="apples-sliced", minutes="8")
    assert published.line(TOMATOES, food="tomatoes-in-water", minutes="1")
    assert published.found("times") == ()


@pytest.mark.parametrize("minutes", ["4", "6", "8", "1", "12"])
def test_a_time_in_boiling_water_that_is_no_multiple_of_five_is_found(package, minutes):
    line = package.line(SPREADS, method="boiling-water")
    package.edit(SPREADS, line, minutes=minutes)
    assert package.places("times") == [(SPREADS, line, "minutes")]


@pytest.mark.parametrize(("minutes", "found"), [("1", 0), ("9", 1), ("2", 1), ("7", 1), ("10", 0)])
def test_a_near_miss_eight_and_one_under_pressure_are_printed_and_their_neighbors_are_not(package, minutes, found):
    package.edit(FRUIT, package.line(FRUIT, food="apples-sliced", minutes="8"), minutes=minutes)
    assert len(package.found("times")) == found


def test_a_whole_table_off_by_one_minute_is_found_in_every_row(package):
    for line, row in enumerate(package.read(SPREADS)[1:], 2):
        package.edit(SPREADS, line, minutes=str(int(row[8]) + 1))
    assert len(package.found("times")) == len(package.read(SPREADS)) - 1
