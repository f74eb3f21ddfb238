from __future__ import annotations

import pytest

VEGETABLES, GUIDES = "schedules/vegetables.csv", "shared/guides.csv"


def test_the_published_pages_pass(published):
    assert published.found("sources") == ()


@pytest.mark.parametrize(
    ("file", "page"),
    [
        (VEGETABLES, "4-22"),
        ("schedules/acid.csv", "7-14"),
        ("schedules/foods.csv", "2-33"),
        ("shared/jars.csv", "1-41"),
    ],
)
def test_a_page_past_its_guide_is_found(package, file, page):
    package.edit(file, 2, page=page)
    assert (file, 2, "page") in package.places("sources")
    assert any(finding.published.startswith("guide ") for finding in package.found("sources"))


def test_a_near_miss_the_last_page_of_a_guide_is_no_finding(package):
    package.edit("schedules/foods.csv", package.line("schedules/foods.csv", id="asparagus"), page="4-21")
    assert package.found("sources") == ()


def test_a_page_of_another_guide_is_found(package):
    package.edit(VEGETABLES, 2, page="3-5")
    assert package.places("sources") == [(VEGETABLES, 2, "page")]


def test_a_schedule_cannot_stand_in_the_front_matter(package):
    package.edit(VEGETABLES, 2, page="iv")
    assert package.places("sources") == [(VEGETABLES, 2, "page")]


def test_a_source_that_is_not_listed_is_found(package):
    package.edit(VEGETABLES, 2, source="usda-1994")
    assert (VEGETABLES, 2, "source") in package.places("sources")


@pytest.mark.parametrize("caption", ["Beets", "Asparagu"])
def test_a_caption_of_another_food_or_of_none_is_found(package, caption):
    package.edit(VEGETABLES, 2, caption=caption)
    assert package.places("sources") == [(VEGETABLES, 2, "caption")]


def test_a_caption_that_one_reading_lacks_is_found(package):
    rows = package.read("schedules/readings/schedules-second.csv")
    at = rows[0].index("food")
    package.write("schedules/readings/schedules-second.csv", [row for row in rows if row[at] != "Asparagus"])
    findings = package.found("sources")
    assert len(findings) == 24 and {f.wrong for f in findings} == {"does not stand in both readings"}


def test_a_guide_with_pages_of_another_is_found(package):
    package.edit(GUIDES, 3, last_page="3-32")
    assert (GUIDES, 3, "guide") in package.places("sources")
