from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from stillroom.findings import checks, column_engine, row_engine
from stillroom.findings.checks import structure
from stillroom.findings.opened import DOCUMENTS, CheckedPackage
from stillroom.package.tables import TABLES
from tests.repository import HOME

VEGETABLES, FOODS, ACID = "schedules/vegetables.csv", "schedules/foods.csv", "schedules/acid.csv"
EDITS = [
    (VEGETABLES, 2, {"minutes": "three"}, "minutes", "is no whole number"),
    (VEGETABLES, 2, {"minutes": "30.5"}, "minutes", "is no whole number"),
    (VEGETABLES, 2, {"minutes": ""}, "minutes", "is blank"),
    (VEGETABLES, 2, {"minutes": "0"}, "minutes", "is below 1, the least there is"),
    (VEGETABLES, 2, {"minutes": "241"}, "minutes", "is above 240, the most there is"),
    (VEGETABLES, 2, {"pressure_psi": "16"}, "pressure_psi", "is above 15, the most there is"),
    (VEGETABLES, 2, {"altitude_from_ft": "8002"}, "altitude_from_ft", "is above 8001, the most there is"),
    (
        VEGETABLES,
        2,
        {"jar": "litre"},
        "jar",
        "is not one of half-pint, 12-ounce, pint, pint-and-half, quart, half-gallon",
    ),
    (VEGETABLES, 2, {"pack": "cold"}, "pack", "is not one of hot, raw"),
    (VEGETABLES, 2, {"page": "page 4"}, "page", "does not have the form"),
    (VEGETABLES, 2, {"food": "Asparagus"}, "food", "does not have the form"),
    (VEGETABLES, 2, {"food": "celery"}, "food", "is not in table foods"),
    (VEGETABLES, 2, {"caption": ""}, "caption", "is blank"),
    (FOODS, 5, {"group": "candy"}, "group", "is not one of"),
    (ACID, 3, {"quantity": "much"}, "quantity", "is no number"),
    (ACID, 3, {"quantity": "0.01"}, "quantity", "is below 0.1, the least there is"),
    ("schedules/headspace.csv", 3, {"headspace_in": "3"}, "headspace_in", "is above 2, the most there is"),
    ("schedules/conditions.csv", 3, {"statement": "no-such"}, "statement", "is not in table cautions"),
]


def test_the_published_structure_passes(published):
    assert published.found("structure") == ()
    assert list(structure.by_pandera(published.opened)) == [], "all tables, not the schedules alone"


@pytest.mark.parametrize(("file", "line", "cells", "column", "says"), EDITS)
def test_a_wrong_cell_is_found_alike_by_frictionless_and_by_pandera(package, narrow, file, line, cells, column, says):
    package.edit(file, line, **cells)
    opened = narrow(package.opened)
    by_one, by_other = set(structure.by_frictionless(opened)), set(structure.by_pandera(opened))
    assert {(f.file, f.line, f.column) for f in by_one} == {(f.file, f.line, f.column) for f in by_other}
    (finding,) = [f for f in by_one if f.column == column and says in f.wrong]
    assert (finding.file, finding.line, finding.value) == (file, line, cells[column])
    assert finding in by_other, "in the same words"


def test_keys_are_found_alike_by_frictionless_and_by_pandas(package, narrow):
    rows = package.read(VEGETABLES)
    package.write(VEGETABLES, [*rows[:3], rows[2], *rows[3:]])
    rows = package.read(FOODS)
    package.write(FOODS, [*rows, rows[-1]])
    opened = narrow(package.opened)
    by_one, by_other = set(structure.by_frictionless(opened)), set(structure.by_pandera(opened))
    assert by_one == by_other
    key = "food, form, pack, jar, method, gauge, altitude_from_ft, minutes"
    assert (VEGETABLES, 4, f"row has the same {key} as a row above") in {(f.file, f.line, f.wrong) for f in by_one}


@pytest.mark.parametrize("file", ["schedules/pickles.csv", "shared/jars.csv", "schedules/readings/captions.csv"])
def test_each_column_spoiled_in_each_row_kind_is_found_alike(package, narrow, file):
    """Whatever a cell becomes, both ways agree on where something is wrong."""
    rows = package.read(file)
    for at in range(len(rows[0])):
        for n, text in enumerate(("", "x y", "-1", "99999", "é")):
            rows[1 + at * 5 % (len(rows) - 1)][at] = text if n == at % 5 else rows[1 + at * 5 % (len(rows) - 1)][at]
    package.write(file, rows)
    opened = narrow(package.opened)
    one = {(f.file, f.line, f.column) for f in structure.by_frictionless(opened)}
    other = {(f.file, f.line, f.column) for f in structure.by_pandera(opened)}
    assert one == other and one


def _nothing(*_):
    return iter(())


@pytest.fixture(params=["Frictionless", "pandera"])
def alone(request, package, monkeypatch):
    """One of the two engines by itself; the other finds nothing."""
    other = column_engine if request.param == "Frictionless" else row_engine
    monkeypatch.setattr(other, "enforce", _nothing)
    return package


@pytest.mark.parametrize(
    ("cells", "column", "says"),
    [
        ({"minutes": "three"}, "minutes", "is no whole number"),
        ({"minutes": "30.5"}, "minutes", "is no whole number"),
        ({"minutes": "241"}, "minutes", "is above 240"),
        ({"minutes": ""}, "minutes", "is blank"),
        ({"pressure_psi": "16"}, "pressure_psi", "is above 15"),
        ({"jar": "litre"}, "jar", "is not one of"),
        ({"page": "page 4"}, "page", "does not have the form"),
        ({"food": "celery"}, "food", "is not in table foods"),
        ({"source": "usda-2051"}, "source", "is not in table sources"),
    ],
)
def test_each_engine_alone_finds_a_wrong_cell_of_a_schedule(alone, cells, column, says):
    alone.edit(VEGETABLES, 2, **cells)
    found = alone.found("structure")
    assert {(f.file, f.line, f.column) for f in found} == {(VEGETABLES, 2, column)}
    assert any(says in f.wrong for f in found)


def test_each_engine_alone_finds_a_row_twice(alone):
    rows = alone.read(VEGETABLES)
    alone.write(VEGETABLES, [*rows[:3], rows[2], *rows[3:]])
    (finding,) = alone.found("structure")
    assert (finding.file, finding.line) == (VEGETABLES, 4) and "as a row above" in finding.wrong


def test_each_engine_alone_compares_keys_as_numbers_not_as_texts(alone):
    rows = alone.read(VEGETABLES)
    twice = [*rows[2]]
    twice[rows[0].index("minutes")] = f"0{twice[rows[0].index('minutes')]}"
    alone.write(VEGETABLES, [*rows[:3], twice, *rows[3:]])
    (finding,) = alone.found("structure")
    assert (finding.file, finding.line) == (VEGETABLES, 4) and "as a row above" in finding.wrong


def test_each_engine_alone_passes_a_row_that_differs_in_one_column_of_the_key(alone):
    """The near miss of a row twice; the two readings, not the schema, say that it is wrong."""
    rows = alone.read(VEGETABLES)
    other = [*rows[2]]
    other[rows[0].index("minutes")] = "199"
    alone.write(VEGETABLES, [*rows[:3], other, *rows[3:]])
    assert alone.found("structure") == ()


@pytest.mark.parametrize("engine", ["by_frictionless", "by_pandera"])
def test_each_engine_alone_finds_an_id_twice(package, engine):
    rows = package.read(FOODS)
    package.write(FOODS, [*rows, rows[-1]])
    found = list(getattr(structure, engine)(CheckedPackage(str(package.root))))
    assert [(f.file, f.line, f.column) for f in found if f.column] == [(FOODS, len(rows) + 1, "id")]
    assert [f.wrong for f in found if not f.column] == ["row has the same id as a row above"]


@pytest.mark.parametrize("engine", ["by_frictionless", "by_pandera"])
def test_a_schema_that_is_none_is_a_finding(package, engine):
    schema = json.loads(package.bytes("schema/schedule.json"))
    schema["fields"][0]["constraints"] = ["required"]
    package.put("schema/schedule.json", json.dumps(schema))
    found = list(getattr(structure, engine)(CheckedPackage(str(package.root))))
    assert ("datapackage.json", "descriptor is not valid") in {(f.file, f.wrong) for f in found}


def test_a_large_package_is_not_given_to_frictionless(package, monkeypatch):
    monkeypatch.setattr(structure, "MOST_FRICTIONLESS", 10)
    monkeypatch.setattr(structure, "by_frictionless", lambda package: pytest.fail("too large"))
    package.edit(VEGETABLES, 2, minutes="three")
    assert package.places("structure") == [(VEGETABLES, 2, "minutes")]


@pytest.mark.parametrize(
    ("header", "says"),
    [("food,form", "columns are missing: pack"), (None, "columns are not in the schema: color")],
)
def test_a_wrong_header_is_found(package, header, says):
    rows = package.read(VEGETABLES)
    rows[0] = header.split(",") if header else [*rows[0], "color"]
    rows[1:] = [[*row[: len(rows[0])], *[""] * (len(rows[0]) - len(row))] for row in rows[1:]]
    package.write(VEGETABLES, rows)
    findings = [f for f in package.found("structure") if f.line == 1]
    assert [f.wrong.startswith(says) for f in findings] == [True] and findings[0].file == VEGETABLES


def test_uneven_and_blank_rows_are_found(package):
    lines = package.bytes(VEGETABLES).split(b"\n")
    lines[2] += b",more"
    lines[4] = b""
    package.put(VEGETABLES, b"\n".join(lines))
    found = {(f.line, f.wrong) for f in package.found("structure")}
    assert {(3, "has 15 cells, not 14"), (5, "is a blank line")} <= found


def test_lines_are_right_after_a_cell_with_a_line_break(package):
    package.edit(VEGETABLES, 2, caption="Aspara\ngus")
    package.edit(VEGETABLES, 3, minutes="three")
    assert (VEGETABLES, 4, "minutes") in package.places("structure")


def test_an_undeclared_table_and_an_undeclared_file_are_found(package):
    descriptor = json.loads(package.bytes("datapackage.json"))
    descriptor["resources"] = [r for r in descriptor["resources"] if r["name"] != "aliases"]
    package.put("datapackage.json", json.dumps(descriptor))
    assert {(f.file, f.wrong) for f in package.found("structure")} == {
        ("datapackage.json", 'table "aliases" is not declared'),
        ("schedules/aliases.csv", "is not declared in datapackage.json"),
    }


@pytest.fixture
def declared(package, monkeypatch):
    """A package of which only the files and the descriptor are looked at, not the cells."""
    monkeypatch.setattr(row_engine, "enforce", _nothing)
    monkeypatch.setattr(column_engine, "enforce", _nothing)
    return package


def _redeclared(package, table, **changes):
    """Declare a table otherwise."""
    descriptor = json.loads(package.bytes("datapackage.json"))
    next(r for r in descriptor["resources"] if r["name"] == table).update(changes)
    package.put("datapackage.json", json.dumps(descriptor))


def test_a_table_declared_at_another_path_is_found_though_the_file_is_the_same(declared):
    declared.put("schedules/fruit-2.csv", declared.bytes("schedules/fruit.csv"))
    _redeclared(declared, "fruit", path="schedules/fruit-2.csv")
    assert {(f.file, f.wrong) for f in declared.found("structure")} == {
        (
            "datapackage.json",
            'table "fruit" is declared with the file "schedules/fruit-2.csv", not schedules/fruit.csv',
        ),
        ("schedules/fruit.csv", "is not declared in datapackage.json"),
    }


def test_a_table_declared_with_another_schema_is_found_though_it_fits(declared):
    schema = json.loads(declared.bytes("schema/schedule.json"))
    minutes = next(field for field in schema["fields"] if field["name"] == "minutes")
    del minutes["constraints"]["minimum"]
    declared.put("schema/lenient.json", json.dumps(schema))
    _redeclared(declared, "fruit", schema="schema/lenient.json")
    assert [(f.file, f.wrong) for f in declared.found("structure")] == [
        (
            "datapackage.json",
            'table "fruit" is declared with the schema "schema/lenient.json", not schema/schedule.json',
        )
    ]


def test_two_tables_that_change_places_are_both_found(declared):
    _redeclared(declared, "reading-acid-first", path="schedules/readings/acid-second.csv")
    _redeclared(declared, "reading-acid-second", path="schedules/readings/acid-first.csv")
    assert len([f for f in declared.found("structure") if "is declared with the file" in f.wrong]) == 2


def test_a_near_miss_a_further_table_with_its_own_schema_may_be_declared(package):
    package.put("schedules/notes.csv", "id\nasparagus\n")
    package.put("schema/notes.json", json.dumps({"fields": [{"name": "id", "type": "string"}], "primaryKey": "id"}))
    assert {f.file for f in package.found("structure")} == {"schedules/notes.csv", "schema/notes.json"}
    descriptor = json.loads(package.bytes("datapackage.json"))
    like = descriptor["resources"][0]
    further = {**like, "name": "notes", "path": "schedules/notes.csv", "schema": "schema/notes.json"}
    package.put("datapackage.json", json.dumps({**descriptor, "resources": [*descriptor["resources"], further]}))
    assert package.found("structure") == ()


@pytest.mark.parametrize(
    "path",
    [
        "schedules/fruit.csv.bak", "schedules/.fruit.csv.swp", "schedules/fruit.xlsx", "schedules/fruit-copy.CSV",
        "schedules/readings/third.csv", "schedules/old/fruit.csv", "schedules/recipes/.beets.yaml",
        "schedules/recipes/old/beets.yaml", "schedules/recipes/beets.yml", "shared/jars~", "shared/.DS_Store",
        "shared/demo/notes.txt", "shared/demo/.beans.yaml", "shared/demo/more/beans.yaml", "shared/beans.yaml",
        "schema/replies.json", "schema/answer.json.orig", "schema/recipe.yaml", "schema/old/answer.json",
    ],
)  # fmt: skip
def test_a_file_that_nothing_declares_is_found_whatever_its_kind(declared, path):
    declared.put(path, "x")
    assert [(f.file, f.line, f.wrong) for f in declared.found("structure")] == [
        (path, None, "is not declared in datapackage.json")
    ]


def test_links_that_nothing_declares_are_found_and_not_followed(declared, tmp_path_factory):
    outside = tmp_path_factory.mktemp("outside")
    (outside / "inside.csv").write_text("x")
    os.symlink(outside, declared.root / "shared" / "more")
    os.symlink(outside / "gone.csv", declared.root / "schema" / "gone.json")
    assert {f.file for f in declared.found("structure")} == {"shared/more", "schema/gone.json"}


@pytest.mark.parametrize(
    "path", ["shared/demo/peas.yaml", "shared/demo/peas.csv", "notes.txt", ".ci/notes", "old/a.csv"]
)
def test_near_misses_a_demonstration_and_what_lies_elsewhere_are_no_findings(declared, path):
    declared.put(path, "x")
    assert declared.found("structure") == ()


def test_a_file_among_the_recipes_that_is_none_is_told_once_by_their_check(declared):
    declared.put("schedules/recipes/notes.txt", "x")
    assert declared.found("structure") == ()
    assert [f.file for f in declared.found("recipes")] == ["schedules/recipes/notes.txt"]


def test_every_schema_is_of_a_table_or_of_a_document():
    of_tables = {Path(table.schema).stem for table in TABLES.values()}
    assert {path.stem for path in (HOME / "schema").iterdir()} == of_tables | set(DOCUMENTS)
    assert not of_tables & set(DOCUMENTS)


def test_checks_that_need_a_missing_table_say_so(package):
    (package.root / FOODS).unlink()
    report = checks.report(CheckedPackage(str(package.root)))
    assert not report.broken and not report.ok
    assert (FOODS, "is missing") in {(f.file, f.wrong) for f in report.findings}
    assert "check acidity was left out: table foods cannot be read" in report.left_out


def test_a_near_miss_a_blank_cell_that_may_be_blank_is_no_finding(package):
    line = package.line(VEGETABLES, altitude_from_ft="6001")
    package.edit(VEGETABLES, line, altitude_to_ft="", pressure_psi="")
    assert package.found("structure") == ()
