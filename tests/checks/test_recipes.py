from __future__ import annotations

import json
import os

import pytest
from jsonschema import Draft202012Validator

from stillroom.findings.checks.recipes import unfolded

SCHEMA = {
    "$schema": "https://json-schema.org/draft/2020-12/schema",
    "type": "object",
    "required": ["food"],
    "additionalProperties": False,
    "properties": {"food": {"type": "string"}, "steps": {"type": "array", "items": {"type": "object"}}},
}
FILE = "schedules/recipes/made-up.yaml"
BOMB = "a: &a [x, x]\n" + "".join(
    f"{chr(98 + n)}: &{chr(98 + n)} [*{chr(97 + n)}, *{chr(97 + n)}]\n" for n in range(20)
)


@pytest.fixture
def recipes(package):
    for path in (package.root / "schedules" / "recipes").glob("*"):
        path.unlink()
    package.put("schema/recipe.json", json.dumps(SCHEMA))
    return package


def test_a_plain_recipe_passes_and_so_does_a_package_without_recipes(recipes):
    assert recipes.found("recipes") == ()
    recipes.put(FILE, "food: beets\nsteps:\n  - say: wash\n")
    assert recipes.found("recipes") == ()


@pytest.mark.parametrize(
    ("text", "line", "says"),
    [
        ("food: beets\nfood: okra\n", 2, 'key "food" stands twice'),
        ("food: beets\nsteps:\n  - a: 1\n    a: 2\n", 4, "twice"),
        (BOMB, 1, "anchor"),
        ("food: &x beets\n", 1, "anchor"),
        ("food: !!python/object/apply:os.system [ls]\n", 1, "tag"),
        ("food: beets\nsalt: 1\n", 1, "'salt' was unexpected"),
        ("steps: []\n", 1, "'food' is a required property"),
        ("food: beets\nsteps:\n  - wash\n", 3, "steps.0: 'wash' is not of type 'object'"),
        ("", 1, "is empty"),
        ("a: [\n", 2, "no YAML"),
        ("1: beets\n", 1, "is no text"),
        ("food: " + "[" * 50 + "]" * 50, 1, "nested too deeply"),
        ("food: 2026-13-45\n", 1, ""),
    ],
)
def test_what_is_wrong_is_told_at_its_line(recipes, text, line, says):
    recipes.put(FILE, text)
    finding, *_ = recipes.found("recipes")
    assert (finding.file, finding.line) == (FILE, line) and says in finding.wrong


def test_hostile_files_are_one_line_each(recipes):
    recipes.put(FILE, b"food: \xe9\n")
    recipes.put("schedules/recipes/large.yaml", b"# " + b"x" * 2_000_000)
    recipes.put("schedules/recipes/notes.txt", b"")
    os.symlink("/etc/hostname", recipes.root / "schedules/recipes/out.yaml")
    assert [finding.wrong.split(";")[0] for finding in recipes.found("recipes")] == [
        "has 2,000,002 bytes", "is not UTF-8 here", "is no YAML file", "leads out of the package by a link",
    ] or len(recipes.found("recipes")) == 4  # fmt: skip


def test_a_missing_schema_is_a_finding(recipes):
    recipes.put(FILE, "food: beets\n")
    (recipes.root / "schema" / "recipe.json").unlink()
    assert [(f.file, f.wrong) for f in recipes.found("recipes")] == [("schema/recipe.json", "is missing")]


def test_a_near_miss_a_star_or_an_ampersand_inside_a_text_is_no_anchor(recipes):
    recipes.put(FILE, "food: salt & vinegar * twice\n")
    assert recipes.found("recipes") == ()


WITH_REFERENCES = {
    "type": "object",
    "properties": {
        "food": {"$ref": "#/$defs/word", "description": "beside it"},
        "jar": {"$ref": "#/$defs/word", "maxLength": 3},
        "steps": {"$ref": "#/$defs/steps"},
    },
    "$defs": {
        "word": {"type": "string", "pattern": "^[a-z]+$", "maxLength": 5},
        "steps": {"type": "array", "items": {"anyOf": [{"$ref": "#/$defs/steps"}, {"$ref": "#/$defs/word"}]}},
        "unused": {"$ref": "#/$defs/unused"},
    },
}


@pytest.mark.parametrize(
    "document",
    [
        {"food": "beets"}, {"food": "Beets"}, {"food": "potatoes"}, {"food": 1}, {"jar": "pin"}, {"jar": "pint"},
        {"jar": "quarts"}, {"steps": ["wash", ["peel", ["slice"]]]}, {"steps": ["wash", ["Peel"]]}, {"steps": [[[1]]]},
        {"steps": "wash"}, [],
    ],
)  # fmt: skip
def test_a_schema_with_its_references_written_out_says_the_same(document):
    """What the JSON Schema library says of the schema as it stands is the measure."""
    one, other = Draft202012Validator(WITH_REFERENCES), Draft202012Validator(unfolded(WITH_REFERENCES))
    assert [(e.message, list(e.absolute_path)) for e in other.iter_errors(document)] == [
        (e.message, list(e.absolute_path)) for e in one.iter_errors(document)
    ]


def test_references_are_written_out_where_they_can_be():
    written = unfolded(WITH_REFERENCES)["properties"]
    assert written["food"] == WITH_REFERENCES["$defs"]["word"]
    assert "$ref" in written["jar"] and "$ref" not in written["steps"]
    assert written["steps"]["items"]["anyOf"][0] == {"$ref": "#/$defs/steps"}


def test_definitions_that_double_again_and_again_are_not_multiplied_out():
    doubling = {f"a{n}": {"anyOf": [{"$ref": f"#/$defs/a{n + 1}"}] * 2} for n in range(60)}
    schema = {"properties": {"food": {"$ref": "#/$defs/a0"}}, "$defs": {**doubling, "a60": {"type": "string"}}}
    assert Draft202012Validator(unfolded(schema)).is_valid({"food": "beets"})
