"""The descriptor and the schemas hold what the standard says with MUST, and what strict readers stumble over.

Source: Data Package 2.0, Data Resource 2.0, Table Schema 2.0 and Table Dialect 2.0 (datapackage.org; the section stands
beside each rule); JSON Schema 2020-12, section 8.2.1; RFC 3339; RFC 4122; Citation File Format 1.2.0.
"""

from __future__ import annotations

import copy
import csv
import json
import re
import subprocess
import tomllib
import uuid
from collections.abc import Callable, Iterator
from datetime import datetime
from typing import Any

import pytest
import yaml

import stillroom
from stillroom.findings.opened import DOCUMENTS
from tests.conftest import ROOT
from tests.node import needs_reader

Json = dict[str, Any]
DESCRIPTOR: Json = json.loads((ROOT / "datapackage.json").read_text(encoding="utf-8"))
SCHEMAS: dict[str, Json] = {
    f"schema/{path.name}": json.loads(path.read_text(encoding="utf-8")) for path in (ROOT / "schema").glob("*.json")
}
TABLES = {one["name"]: SCHEMAS[one["schema"]] for one in DESCRIPTOR["resources"] if one.get("type") == "table"}
TYPES = {"string": {"pattern", "minLength", "maxLength"}, "integer": set(), "number": set()}
"""Types in use, with the constraints that only they take (Table Schema, Field Constraints)."""
NUMBERS = {"minimum", "maximum", "exclusiveMinimum", "exclusiveMaximum"}
PATH = re.compile(r"https?://\S+|(?![./~])(?!.*(^|/)\.\.(/|$))(?!.*[\\:])\S+")
"""Glossary, URL or Path: an address, or a path below the descriptor with forward slashes."""
NAME = re.compile(r"[a-z0-9._-]+")


def wrong_descriptor(descriptor: Json) -> Iterator[str]:
    """Say what in a descriptor the standard forbids, or asks for with SHOULD and misses."""
    yield from (f"{key} is missing" for key in ("name", "id", "licenses", "$schema") if not descriptor.get(key))
    if descriptor.get("$schema") != "https://datapackage.org/profiles/2.0/datapackage.json":
        yield "is not of the profile of version 2"
    if not NAME.fullmatch(str(descriptor.get("name"))):  # name
        yield "name is not url-usable"
    if not re.fullmatch(r"[0-9]{4}(-[0-9]{2}){2}T[0-9]{2}(:[0-9]{2}){2}(\.[0-9]+)?(Z|[+-][0-9]{2}:[0-9]{2})",
                        str(descriptor.get("created"))):  # created: RFC 3339, 5.6  # fmt: skip
        yield "created is no time of RFC 3339"
    for key, asked in (("licenses", ("name", "path")), ("sources", ("title",)), ("contributors", ("title",))):
        entries = descriptor.get(key)
        if not isinstance(entries, list) or not entries:
            yield f"{key} is no list"
        elif not all(isinstance(one, dict) and any(one.get(name) for name in asked) for one in entries):
            yield f"an entry of {key} has no {' or '.join(asked)}"
        else:
            yield from (
                f"a path of {key} is none" for one in entries if "path" in one and not PATH.fullmatch(one["path"])
            )
            yield from (
                f"{key} has a role for roles" for one in entries if "role" in one
            )  # contributors: a v1 property
    words = descriptor.get("keywords")
    if not isinstance(words, list) or not words or not all(isinstance(word, str) for word in words):
        yield "keywords is no list of texts"
    if not PATH.fullmatch(str(descriptor.get("image"))) or not (ROOT / descriptor["image"]).is_file():  # image
        yield "image is no file"
    yield from wrong_resources(descriptor.get("resources"))


def wrong_resources(resources: Any) -> Iterator[str]:
    """Say what in the resources the standard forbids."""
    if not isinstance(resources, list) or not resources:
        yield "resources is no list"
        return
    for said in ("name", "title"):  # name: unique within the package; a title tells a table from the others
        values = [one.get(said) for one in resources]
        yield from (f"two resources have the {said} {value}" for value in {v for v in values if values.count(v) > 1})
    for one in resources:
        name = one.get("name")
        if not NAME.fullmatch(str(name)):
            yield f"{name} is no name"
        if ("path" in one) == ("data" in one):  # path or data: one and only one
            yield f"{name} has not one of path and data"
        elif not isinstance(one["path"], str) or not PATH.fullmatch(one["path"]):
            yield f"{name} has no path"
        if one.get("type", "table") != "table":  # type
            yield f"{name} has a type that is not table"
        if "profile" in one or "url" in one:  # v0 and v1
            yield f"{name} has a property of an older version"
        if "hash" in one and not re.fullmatch(r"([a-z0-9]+:)?[0-9a-f]+", one["hash"]):  # hash
            yield f"{name} has no hash"


def wrong_schema(schema: Json, own: str) -> Iterator[str]:
    """Say what in a table schema the standard forbids; ``own`` is the name of its table."""
    fields = {field["name"]: field for field in schema["fields"]}
    if len(fields) != len(schema["fields"]):  # name: unique
        yield "two fields have one name"
    if schema.get("$schema") != "https://datapackage.org/profiles/2.0/tableschema.json":
        yield "is not of the profile of version 2"
    for name, field in fields.items():
        yield from (f"{name} {wrong}" for wrong in wrong_field(field))
    if "primaryKey" in schema:  # primaryKey: an array; equivalent to required
        key = schema["primaryKey"]
        if not isinstance(key, list) or not key or not set(key) <= set(fields):
            yield "primaryKey is no list of columns"
        else:
            blank = [name for name in key if not fields[name].get("constraints", {}).get("required")]
            yield from (f"primaryKey holds {name}, which may be blank" for name in blank)
    for key in schema.get("uniqueKeys", ()):  # uniqueKeys
        if not isinstance(key, list) or not key or len(set(key)) != len(key) or not set(key) <= set(fields):
            yield "uniqueKeys is no list of lists of columns"
    for key in schema.get("foreignKeys", []):
        yield from wrong_reference(key, own, fields)


def wrong_field(field: Json) -> Iterator[str]:
    """Say what in a field the standard forbids."""
    rules, kind = field.get("constraints", {}), field.get("type")
    if kind not in TYPES:
        yield f"is of type {kind}"
        return
    known = {"required", "unique", "enum", *TYPES[kind], *(NUMBERS if kind != "string" else ())}
    yield from (f"has {rule}, which its type does not take" for rule in set(rules) - known)
    if "enum" in rules and (not rules["enum"] or len(set(rules["enum"])) != len(rules["enum"])):
        yield "has an enum of no or of equal values"
    if "pattern" in rules and not rules.get("required") and not re.fullmatch(rules["pattern"], ""):
        yield "may be blank, and its pattern refuses a blank"


def wrong_reference(key: Json, own: str, fields: Json) -> Iterator[str]:
    """Say what in a foreign key the standard forbids (Table Schema, foreignKeys)."""
    columns, to = key.get("fields"), key.get("reference", {})
    other = to.get("fields")
    if not isinstance(columns, list) or not isinstance(other, list) or len(columns) != len(other):
        yield "foreignKeys has columns that are no lists of one length"
    elif to.get("resource") in ("", own):  # a table that refers to itself MUST NOT be named
        yield "foreignKeys names its own table"
    elif not set(columns) <= set(fields):
        yield "foreignKeys has a column that is none"
    elif not set(other) <= {field["name"] for field in TABLES.get(to.get("resource", own), {"fields": []})["fields"]}:
        yield "foreignKeys refers to a column that is none"


def test_the_descriptor_holds_what_the_standard_says() -> None:
    assert list(wrong_descriptor(DESCRIPTOR)) == []
    assert datetime.fromisoformat(DESCRIPTOR["created"]).tzinfo is not None
    assert uuid.UUID(DESCRIPTOR["id"].removeprefix("urn:uuid:")).version == 4


@pytest.mark.parametrize(
    ("spoil", "said"),
    [
        (lambda d: d.pop("id"), "id is missing"),
        (lambda d: d.update(created="2026-11-25"), "created is no time of RFC 3339"),
        (lambda d: d["sources"][0].update(path="../sources.csv"), "a path of sources is none"),
        (lambda d: d.update(image="shared/pot.svg"), "image is no file"),
        (lambda d: d["contributors"].append({}), "an entry of contributors has no title"),
        (lambda d: d["resources"][0].update(name="tomatoes"), "two resources have the name tomatoes"),
        (lambda d: d["resources"][0].update(title=d["resources"][1]["title"]), "two resources have the title Process"),
        (lambda d: d["resources"][0].update(path="/etc/fruit.csv"), "fruit has no path"),
        (lambda d: d["resources"][-1].update(type="file"), "has a type that is not table"),
    ],
)
def test_a_descriptor_that_breaks_the_standard_is_told(spoil: Callable[[Json], Any], said: str) -> None:
    descriptor = copy.deepcopy(DESCRIPTOR)
    spoil(descriptor)
    assert any(said in wrong for wrong in wrong_descriptor(descriptor))


@pytest.mark.parametrize("name", TABLES)
def test_every_table_schema_holds_what_the_standard_says(name: str) -> None:
    assert list(wrong_schema(TABLES[name], name)) == []


@pytest.mark.parametrize(
    ("spoil", "said"),
    [
        (lambda s: s.update(primaryKey=["food", "form"]), "primaryKey holds form, which may be blank"),
        (lambda s: s.update(primaryKey="food"), "primaryKey is no list"),
        (lambda s: s.update(uniqueKeys=["food"]), "uniqueKeys is no list of lists"),
        (lambda s: s["fields"][1]["constraints"].update(pattern="^[a-z]+$"), "form may be blank, and its pattern"),
        (lambda s: s["foreignKeys"][0].update(fields="food"), "columns that are no lists"),
        (lambda s: s["foreignKeys"][0]["reference"].update(resource="fruit"), "names its own table"),
        (lambda s: s["foreignKeys"][0]["reference"].update(fields=["name"]), "refers to a column that is none"),
        (lambda s: s["fields"][8]["constraints"].update(pattern="[0-9]"), "minutes has pattern, which its type"),
    ],
)
def test_a_table_schema_that_breaks_the_standard_is_told(spoil: Callable[[Json], Any], said: str) -> None:
    schema = copy.deepcopy(SCHEMAS["schema/schedule.json"])
    spoil(schema)
    assert any(said in wrong for wrong in wrong_schema(schema, "fruit"))


@pytest.mark.parametrize("name", TABLES)
def test_every_column_that_holds_ids_of_one_table_says_so(name: str) -> None:
    """Foreign keys are complete: a column called like a table of ids, with only ids of it, refers to it."""
    ids = {"food": "foods", "follows": "foods", "jar": "jars", "takes": "jars", "pack": "packs", "gauge": "gauges"}
    ids |= {"canner": "canners", "source": "sources", "amends": "sources", "withheld": "withheld"}
    path = {one["name"]: one["path"] for one in DESCRIPTOR["resources"]}
    known = {
        table: {row["id"] for row in csv.DictReader((ROOT / path[table]).open(encoding="utf-8"))}
        for table in set(ids.values())
    }
    rows = list(csv.DictReader((ROOT / path[name]).open(encoding="utf-8")))
    refers = {key["fields"][0] for key in TABLES[name].get("foreignKeys", []) if len(key["fields"]) == 1}
    for column in {field["name"] for field in TABLES[name]["fields"]} & set(ids):
        if {row[column] for row in rows} <= known[ids[column]] | {""}:
            assert column in refers, column


def test_every_schema_of_a_document_has_an_id_of_its_own() -> None:
    """JSON Schema 2020-12, 8.2.1: an absolute URI. It is made of the id of the package and the path (RFC 4122, 4.3)."""
    package = uuid.UUID(DESCRIPTOR["id"].removeprefix("urn:uuid:"))
    for name in DOCUMENTS:
        path = f"schema/{name}.json"
        assert SCHEMAS[path]["$id"] == uuid.uuid5(package, path).urn, path
    assert {path for path, schema in SCHEMAS.items() if "$id" in schema} == {
        f"schema/{name}.json" for name in DOCUMENTS
    }


def test_versions_dates_and_names_are_the_same_everywhere() -> None:
    """Citation File Format 1.2.0: cff-version, message, title and authors are required."""
    cited = yaml.safe_load((ROOT / "CITATION.cff").read_text(encoding="utf-8"))
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert {"cff-version", "message", "title", "authors"} <= set(cited) and cited["cff-version"] == "1.2.0"
    assert cited["version"] == DESCRIPTOR["version"] == stillroom.__version__
    assert cited["title"] == DESCRIPTOR["title"] and cited["date-released"] == DESCRIPTOR["created"][:10]
    assert cited["identifiers"][0]["value"] == DESCRIPTOR["id"]
    assert [one["name"] for one in cited["authors"]] == [one["title"] for one in DESCRIPTOR["contributors"]]
    assert (
        set(cited["license"])
        == {one["name"] for one in DESCRIPTOR["licenses"]}
        == set(project["license"].split(" AND "))
    )


READER = """
const {Package} = require('datapackage');
(async () => {
  const strict = await Package.load('datapackage.json', {strict: true});
  const package = await Package.load('datapackage.json');
  const rows = {};
  for (const one of package.resources.filter(one => one.descriptor.type === 'table'))
    rows[one.name] = (await one.read({relations: true})).length;
  console.log(JSON.stringify({valid: strict.valid, errors: strict.errors.length, rows}));
})();
"""


@needs_reader
def test_the_reader_from_npm_reads_every_row_with_its_references() -> None:
    said = subprocess.run(["node", "-e", READER], capture_output=True, cwd=ROOT, check=True, text=True, timeout=120)
    answer = json.loads(said.stdout)
    paths = {one["name"]: one["path"] for one in DESCRIPTOR["resources"]}
    counted = {n: sum(1 for _ in csv.reader((ROOT / paths[n]).open(encoding="utf-8", newline=""))) - 1 for n in TABLES}
    assert answer == {"valid": True, "errors": 0, "rows": counted}
