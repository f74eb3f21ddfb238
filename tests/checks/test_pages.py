"""Pages: every citation read twice, and no table against another."""

from __future__ import annotations

import json

import pytest

from stillroom.package.tables import DERIVED

HEADSPACE = "schedules/headspace.csv"
READING = "schedules/readings/pages-second.csv"


def test_the_published_pages_are_those_of_the_second_reading(published):
    assert published.found("pages") == ()


@pytest.mark.parametrize(
    ("file", "cells", "page", "other"),
    [
        (HEADSPACE, {"food": "soups"}, "4-19", "4-18"),
        ("schedules/conditions.csv", {"food": "mango-chutney", "statement": "green-mango-gloves"}, "2-17", "2-16"),
        ("schedules/relations.csv", {"food": "nectarines"}, "2-19", "2-18"),
        ("schedules/yields.csv", {"food": "figs", "basis": "average"}, "2-14", "2-13"),
        ("schedules/withheld.csv", {"id": "wild-mushrooms"}, "4-13", "4-12"),
        ("schedules/not-recommended.csv", {"food": "tomato-juice", "jar": "pint"}, "3-6", "3-5"),
        ("schedules/vegetables.csv", {"food": "soups", "jar": "pint", "gauge": "dial"}, "4-19", "4-18"),
        ("shared/rules.csv", {"id": "vent-time"}, "1-20", "1-21"),
        ("shared/jar-rules.csv", {"jar": "12-ounce"}, "5-10", "5-11"),
    ],
)
def test_a_page_next_door_is_found_whatever_the_table(package, file, cells, page, other):
    line = package.line(file, **cells)
    assert package.read(file)[line - 1][package.read(file)[0].index("page")] == page
    package.edit(file, line, page=other)
    found = [f for f in package.found("pages") if (f.file, f.line, f.value) == (file, line, other)]
    assert any(f.wrong == f"is {page} in the second reading" for f in found)


def test_a_citation_without_a_second_reading_and_a_reading_of_nothing_are_found(package):
    line = package.line(READING, table="headspace", key="figs|||")
    package.edit(READING, line, key="dates|||")
    wrong = {(f.file, f.wrong) for f in package.found("pages")}
    assert (HEADSPACE, "has no second reading") in wrong
    assert (READING, "headspace dates|||: no page 2-14 is cited there") in wrong


def test_a_page_of_a_recipe_step_that_nobody_read_there_is_found(package):
    path = "schedules/recipes/figs.yaml"
    text = package.bytes(path).decode()
    package.put(path, text.replace('page: "2-14"', 'page: "2-13"'))
    found = [f for f in package.found("pages") if f.file == path]
    assert {f.value for f in found} == {"2-13"} and all(f.line for f in found)
    assert any(f.wrong.startswith("figs|steps: is 2-14") for f in found)


def test_a_headspace_that_its_recipe_puts_on_another_page_is_a_contradiction(package):
    line = package.line(HEADSPACE, food="soups")
    package.edit(HEADSPACE, line, page="4-18")
    package.edit(READING, package.line(READING, table="headspace", key="soups|||"), page="4-18")
    (finding,) = package.found("pages")
    assert (finding.file, finding.line, finding.wrong) == (HEADSPACE, line, "is 4-19 in the recipe of this food")


def test_a_near_miss_a_source_without_pages_needs_no_reading(package):
    line = package.line("schedules/conditions.csv", food="peaches", statement="yellow-flesh-only")
    assert package.read("schedules/conditions.csv")[line - 1][-1] == "web"
    package.edit("schedules/conditions.csv", line, jar="pint")
    assert package.found("pages") == (), "nobody read this key a second time, and nobody needs to"
    package.edit("schedules/conditions.csv", line, page="2-19")
    assert "has no second reading" in {f.wrong for f in package.found("pages")}


def test_every_table_that_cites_pages_is_read_twice(package):
    descriptor = json.loads(package.bytes("datapackage.json"))
    citing = set()
    for one in (resource for resource in descriptor["resources"] if "type" in resource):
        fields = {field["name"] for field in json.loads(package.bytes(one["schema"]))["fields"]}
        of_its_own = ("footnotes", "superseded")  # read with the cells: the check superseded compares their pages
        derived = one["name"] in (*of_its_own, *DERIVED) or one["name"].startswith("reading-")
        if {"source", "page"} <= fields and not derived:
            citing.add(one["name"])
    read = {row[0] for row in package.read(READING)[1:]}
    assert citing | {"recipe"} == read
