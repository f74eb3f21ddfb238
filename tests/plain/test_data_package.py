"""The data stand on their own: ordinary tools validate them, and the library's records follow their schemas.

Source: Data Package v2 and Table Schema v2 (datapackage.org), checked by the Frictionless library.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from stillroom.package import records
from stillroom.package.csv_table import kind
from stillroom.package.package import Package, read_table
from tests.conftest import ROOT, table

DESCRIPTOR = json.loads((ROOT / "datapackage.json").read_text(encoding="utf-8"))
TABLES = [resource for resource in DESCRIPTOR["resources"] if "type" in resource]
RECORDS = {
    "schedule": records.Schedule,
    "foods": records.Food,
    "aliases": records.Alias,
    "forms": records.Form,
    "form-words": records.FormWord,
    "relations": records.Relation,
    "headspace": records.Headspace,
    "yields": records.Yield,
    "yield-relations": records.YieldRelation,
    "acid": records.Acid,
    "conditions": records.Condition,
    "cautions": records.Statement,
    "withheld": records.Withheld,
    "withheld-names": records.WithheldName,
    "sources": records.Source,
    "jars": records.Jar,
    "jar-words": records.JarWord,
    "pack-words": records.PackWord,
    "jar-rules": records.JarRule,
    "canners": records.Canner,
    "canner-words": records.CannerWord,
    "rules": records.Rule,
}


def _schema(name: str) -> dict:
    return json.loads((ROOT / "schema" / f"{name}.json").read_text(encoding="utf-8"))


def test_frictionless_finds_the_whole_package_valid():
    from frictionless import Package as Frictionless

    report = Frictionless(str(ROOT / "datapackage.json")).validate()
    assert report.valid, report.flatten(["name", "rowNumber", "fieldName", "message"])[:5]
    assert report.stats["tasks"] == len(DESCRIPTOR["resources"])


def test_frictionless_finds_a_jar_that_does_not_exist(tmp_path):
    import shutil

    from frictionless import Package as Frictionless

    for part in ("schedules", "shared", "schema", "datapackage.json"):
        copy = shutil.copytree if (ROOT / part).is_dir() else shutil.copy
        copy(ROOT / part, tmp_path / part)
    path = tmp_path / "schedules/spreads.csv"
    path.write_text(path.read_text(encoding="utf-8").replace(",pint,", ",bucket,", 1), encoding="utf-8")
    errors = Frictionless(str(tmp_path / "datapackage.json")).validate().flatten(["title", "fieldName", "type"])
    assert ["jar", "constraint-error"] in [error[1:] for error in errors]


@pytest.mark.parametrize("resource", TABLES, ids=lambda resource: resource["name"])
def test_pandera_built_from_the_same_schema_accepts_the_table(resource):
    import pandas as pd
    from pandera.io.pandas_io import from_frictionless_schema

    fields = {field["name"]: field for field in _schema(Path(resource["schema"]).stem)["fields"]}
    schema = from_frictionless_schema(str(ROOT / resource["schema"]))
    for name, column in schema.columns.items():
        # pandera takes every column of a key for filled and every whole number for filled; blanks are meant here
        column.nullable = not fields[name].get("constraints", {}).get("required", False)
        if fields[name]["type"] == "integer" and "enum" not in fields[name].get("constraints", {}):
            column.dtype = "Int64"
    frame = pd.read_csv(ROOT / resource["path"], dtype=str, keep_default_na=False, na_values=[""])
    for name in (n for n, field in fields.items() if field["type"] in ("integer", "number")):
        frame[name] = pd.to_numeric(frame[name])
    schema.validate(frame, lazy=True)


@pytest.mark.parametrize("name", sorted(RECORDS))
def test_record_has_the_columns_of_its_schema_in_the_same_order(name):
    fields = _schema(name)["fields"]
    kinds = {column: kind(told) for column, told in RECORDS[name].__annotations__.items()}
    assert list(kinds) == [field["name"] for field in fields]
    for field in fields:
        required = field.get("constraints", {}).get("required", False)
        wanted = {
            ("string", True): "Text",
            ("string", False): "Blank",
            ("integer", True): "int",
            ("integer", False): "int | None",
            ("number", True): "float",
            ("number", False): "float | None",
        }[field["type"], required]
        assert kinds[field["name"]] == wanted, field["name"]


def test_every_column_is_described_and_every_figure_has_its_unit():
    units = ("feet", "minutes", "psi", "pounds", "inches", "ounces", "amount", "jars", "guide number", "square inch")
    units += ("print order", "cups", "percent", "number of the equal option", "calendar year")
    for path in (ROOT / "schema").glob("*.json"):
        for field in _schema(path.stem).get("fields", ()):
            assert field["description"], (path.name, field["name"])
            if field["type"] in ("integer", "number") and not field["description"].startswith("As read"):
                assert any(unit in field["description"].lower() for unit in units), (path.name, field["name"])


def test_licences_are_said_and_every_table_is_described_in_the_package():
    assert {entry["name"] for entry in DESCRIPTOR["licenses"]} == {"CC0-1.0", "MIT"}
    described = {resource["path"] for resource in DESCRIPTOR["resources"]}
    there = {str(p.relative_to(ROOT)) for part in ("schedules", "shared") for p in (ROOT / part).rglob("*.csv")}
    there |= {str(p.relative_to(ROOT)) for p in (ROOT / "schedules/recipes").glob("*.yaml")}
    assert {path for path in there if not path.startswith("shared/demo/")} == described


def test_about_sixteen_hundred_cells_and_every_caption_of_the_readings_is_there(schedules):
    read = table("schedules/readings/schedules-first.csv")
    printed = len(schedules) + len(table("schedules/not-recommended.csv"))
    assert printed == len(read) + 2 + 12  # two rows the first reading lost, twelve of the seafood footnote
    assert {row["caption"] for row in schedules} == {row["food"] for row in read}


def test_a_bad_cell_is_refused_with_file_line_and_column(tmp_path):
    from stillroom.errors import BadPackage

    path = tmp_path / "spreads.csv"
    text = (ROOT / "schedules/spreads.csv").read_text(encoding="utf-8")
    for bad in ("5.0", " 5", "\u0665", "five", "-5", "1e1", "5_0"):
        path.write_text(text.replace(",0,1000,5,", f",0,1000,{bad},", 1), encoding="utf-8")
        with pytest.raises(BadPackage, match=r'^schedules/spreads\.csv:\d+: minutes ".*" is not a whole number$'):
            read_table(str(path), records.Schedule, "schedules/spreads.csv")
    path.write_text(text, encoding="utf-8")
    assert len(read_table(str(path), records.Schedule, "schedules/spreads.csv")) == len(Package().schedules("spreads"))


@pytest.mark.parametrize("name", ["headspace", "conditions"])
def test_a_blank_pack_of_what_goes_with_a_schedule_means_every_pack_in_words_and_in_answers(name):
    import stillroom

    fields = json.loads((ROOT / f"schema/{name}.json").read_text(encoding="utf-8"))["fields"]
    (said,) = [field["description"] for field in fields if field["name"] == "pack"]
    assert said == "Pack: hot or raw; blank: every pack"
    (row,) = [row for row in table("schedules/headspace.csv") if row["food"] == "peaches"]
    assert row["pack"] == ""
    for pack in ("hot", "raw"):
        answer = stillroom.find("peaches", pack=pack, jar="pint", altitude="0 ft", canner="boiling-water")
        assert answer.options[0].headspace_in == float(row["headspace_in"])
        assert any("yellow flesh" in stated.text for stated in answer.options[0].requires)
