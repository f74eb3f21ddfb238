"""A food is of one publication, and whatever is said of it is of that one.

Source: the design of the package (no key, page or sentence without its source). The second publication is invented.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.checks.conftest import Spoiled
from tests.second_publication import invented

WISCONSIN = "uw-madison-2015"


@pytest.fixture
def beside(package: Spoiled) -> Spoiled:
    """Give the copy with the source and the guides of the invented publication, and nothing else of it."""
    package.add("shared/sources.csv", **invented.SOURCE)
    for row in invented.GUIDES:
        package.add("shared/guides.csv", **row)
    return package


@pytest.mark.parametrize(
    ("file", "cells"),
    [
        ("schedules/headspace.csv", {"food": "asparagus"}),
        ("schedules/acid.csv", {"food": "figs", "jar": "pint"}),
        ("schedules/yields.csv", {"food": "asparagus", "basis": "average"}),
        ("schedules/forms.csv", {"food": "chicken-or-rabbit", "form": "with-bones"}),
        ("schedules/conditions.csv", {"food": "pickled-asparagus"}),
        ("schedules/relations.csv", {"food": "apricots"}),
        ("schedules/vegetables.csv", {"food": "snap-beans"}),
        ("schedules/not-recommended.csv", {"food": "tomato-juice"}),
        ("shared/jar-rules.csv", {"food": "fish"}),
        ("shared/exceptions.csv", {"food": "apple-butter"}),
    ],
)
def test_a_row_of_another_publication_than_its_food_is_found(beside: Spoiled, file: str, cells: dict[str, str]) -> None:
    line = beside.line(file, **cells)
    beside.edit(file, line, source=invented.ID)
    found = beside.found("publications")
    assert [(f.file, f.line, f.column) for f in found] == [(file, line, "source")]
    assert found[0].message.endswith("which is usda-2015") or "which is usda-2015" in found[0].message


def test_a_food_that_changes_its_publication_leaves_all_its_rows_behind(beside: Spoiled) -> None:
    file = "schedules/foods.csv"
    beside.edit(file, beside.line(file, id="asparagus"), source=invented.ID)
    files = {f.file for f in beside.found("publications")}
    assert {"schedules/vegetables.csv", "schedules/headspace.csv", "schedules/yields.csv"} <= files
    assert any("vented" in f.message for f in beside.found("publications"))


def test_a_food_of_a_source_without_guides_is_found(beside: Spoiled) -> None:
    line = beside.line("schedules/foods.csv", id="asparagus")
    beside.edit("schedules/foods.csv", line, source=WISCONSIN)
    assert ("schedules/foods.csv", line, "source") in beside.places("publications")


def test_a_general_jar_rule_of_a_source_without_guides_is_found(beside: Spoiled) -> None:
    line = beside.line("shared/jar-rules.csv", jar="half-pint")
    beside.edit("shared/jar-rules.csv", line, source=WISCONSIN)
    assert beside.places("publications") == [("shared/jar-rules.csv", line, "source")]


def test_near_miss_an_erratum_of_the_publication_and_later_work_that_restricts_are_no_findings(beside: Spoiled) -> None:
    beside.add("shared/sources.csv", **{**invented.SOURCE, "id": "invented-erratum", "amends": invented.GUIDE})
    headspace = beside.line("schedules/headspace.csv", food="asparagus")
    beside.edit("schedules/headspace.csv", headspace, source="invented-erratum")
    condition = beside.line("schedules/conditions.csv", food="pickled-asparagus")
    beside.edit("schedules/conditions.csv", condition, source=WISCONSIN, page="web")
    assert beside.found("publications") == ()


def test_near_miss_the_invented_publication_whole_has_no_finding(package: Spoiled) -> None:
    invented.add(Path(package.root))
    assert [f for f in package.found("publications") if "invented" not in f.message] == []
    assert package.found("publications") == ()
