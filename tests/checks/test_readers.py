from __future__ import annotations

import pytest

READERS = "schedules/readings/readers.csv"
SECOND = {"reading": "reading-schedules-second", "of_page": "all"}


def test_the_published_readings_say_who_read_them(published):
    assert published.found("readers") == ()


@pytest.mark.parametrize(
    ("column", "value"),
    [("copy", "text copy A"), ("copy", "Text Copy A"), ("reader", "first reader"), ("date", "2026-02-30")],
)
def test_a_second_reading_that_is_none_is_found(package, column, value):
    line = package.line(READERS, **SECOND)
    package.edit(READERS, line, **{column: value})
    assert package.places("readers") == [(READERS, line, column)]


def test_a_page_read_anew_from_the_copy_of_the_first_reading_is_found(package):
    line = package.add(
        READERS, **{**SECOND, "of_page": "4-9"}, source="usda-2015", copy="text copy A", reader="x", date="2026-11-26"
    )
    assert package.places("readers") == [(READERS, line, "copy")]


def test_a_near_miss_a_page_read_anew_by_somebody_else_from_a_third_copy_is_no_finding(package):
    package.add(
        READERS,
        **{**SECOND, "of_page": "4-9"},
        source="usda-2015",
        copy="text copy C",
        reader="third reader",
        date="2026-11-26",
    )
    assert package.found("readers") == ()


def test_a_reading_that_nobody_answers_for_is_found(package):
    package.drop(READERS, package.line(READERS, reading="reading-acid-first"))
    (finding,) = package.found("readers")
    assert "does not say who read usda-2015 for reading-acid-first" in finding.wrong


def test_an_entry_of_a_table_that_is_no_reading_is_found(package):
    line = package.line(READERS, **SECOND)
    package.edit(READERS, line, reading="acid")
    assert (READERS, line, "reading") in package.places("readers")
