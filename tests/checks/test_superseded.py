"""Superseded rows are what both readings say, lead to a food of today, and nothing else stands on their leaflets.

A near miss stands beside each hit: the tables as they are, and a caption that leads to no food of today.

Source: the seventh promise of the design; the cells are of USDA Home and Garden Bulletin 8, 1965.
"""

from __future__ import annotations

import pytest

from tests.checks.conftest import Spoiled

PRINTED, FOODS = "schedules/superseded.csv", "schedules/superseded-foods.csv"
FIRST, SECOND = (f"schedules/readings/superseded-{which}.csv" for which in ("first", "second"))
QUART = {"caption": "Tomatoes", "pack": "raw", "container": "quart"}


def test_the_superseded_tables_as_they_are_have_no_finding(package: Spoiled) -> None:
    assert package.found("superseded") == ()


@pytest.mark.parametrize(("column", "value"), [("minutes", "54"), ("page", "p. 16"), ("method", "pressure")])
def test_a_cell_that_is_not_what_both_readings_say_is_found(package: Spoiled, column: str, value: str) -> None:
    line = package.line(PRINTED, **QUART)
    package.edit(PRINTED, line, **{column: value})
    found = [f for f in package.found("superseded") if f.line == line]
    assert len(found) in (1, 2)  # once for each reading
    assert found[0].file == PRINTED


@pytest.mark.parametrize("reading", [FIRST, SECOND])
def test_an_edit_of_one_reading_alone_is_found(package: Spoiled, reading: str) -> None:
    package.edit(reading, package.line(reading, **QUART), minutes="54")
    found = package.found("superseded")
    assert [(f.file, f.column) for f in found] == [(PRINTED, "minutes")]


def test_a_row_that_only_the_readings_have_is_found(package: Spoiled) -> None:
    package.edit(PRINTED, package.line(PRINTED, **QUART), container="half-pint")
    messages = [f.message for f in package.found("superseded")]
    assert any("reading is missing" in said for said in messages)
    assert any("does not give" in said for said in messages)


@pytest.mark.parametrize(
    ("cells", "column"),
    [
        ({"withheld": "hominy"}, "withheld"),
        ({"food": "no-such-food"}, "food"),
        ({"form": "with-bones"}, "form"),
        ({"food": "", "withheld": "no-such-thing"}, "withheld"),
    ],
)
def test_a_caption_that_leads_to_no_one_thing_of_today_is_found(
    package: Spoiled, cells: dict[str, str], column: str
) -> None:
    line = package.line(FOODS, caption="Okra")
    package.edit(FOODS, line, **cells)
    found = package.found("superseded")
    assert [(f.file, f.line, f.column) for f in found] == [(FOODS, line, column)]


def test_a_caption_without_a_food_today_may_be_left_blank(package: Spoiled) -> None:
    package.edit(FOODS, package.line(FOODS, caption="Okra"), food="")
    assert package.found("superseded") == ()


@pytest.mark.parametrize(
    ("file", "cells"),
    [
        ("schedules/vegetables.csv", {"food": "asparagus"}),
        ("schedules/conditions.csv", {"food": "pickled-asparagus"}),
        ("schedules/withheld.csv", {"id": "hominy"}),
        ("shared/rules.csv", {"id": "acid-citric"}),
    ],
)
def test_whatever_stands_on_a_leaflet_is_found(package: Spoiled, file: str, cells: dict[str, str]) -> None:
    line = package.line(file, **cells)
    package.edit(file, line, source="usda-hg8-1965")
    assert [(f.file, f.line, f.column) for f in package.found("superseded")] == [(file, line, "source")]


def test_a_leaflet_that_is_no_longer_said_to_be_replaced_is_found(package: Spoiled) -> None:
    file = "schedules/superseded-sources.csv"
    package.edit(file, package.line(file, source="usda-hg106-1972"), source="uw-madison-2015")
    assert {f.file for f in package.found("superseded")} >= {PRINTED, FOODS}
