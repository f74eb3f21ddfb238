"""The check ``schemas``: what allows more than the installed schema is found; more asked or other words are not."""

from __future__ import annotations

import json

import pytest

SCHEDULE, ALIASES, RECIPE = "schema/schedule.json", "schema/aliases.json", "schema/recipe.json"


def _edit(package, path, change):
    schema = json.loads(package.bytes(path))
    change(schema)
    package.put(path, json.dumps(schema))


def _field(schema, name):
    return next(field for field in schema["fields"] if field["name"] == name)


def _constraint(name, what, value):
    def change(schema):
        constraints = _field(schema, name)["constraints"]
        constraints.pop(what) if value is None else constraints.update({what: value})

    return change


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (_constraint("minutes", "minimum", 0), "minutes may be less than 1"),
        (_constraint("minutes", "minimum", None), "minutes may be less than 1"),
        (_constraint("minutes", "maximum", 2400), "minutes may be more than 240"),
        (_constraint("minutes", "required", False), "minutes is no longer required"),
        (_constraint("pack", "enum", ["hot", "raw", "cold"]), "pack may have values"),
        (_constraint("page", "pattern", ".*"), "page has another pattern"),
        (_constraint("source", "pattern", None), "source has another pattern"),
        (lambda schema: _field(schema, "minutes").update(type="string"), "minutes is string, not integer"),
        (lambda schema: _field(schema, "minutes").pop("constraints"), "minutes is no longer required"),
        (lambda schema: schema["fields"].remove(_field(schema, "source")), "source is lost"),
        (lambda schema: schema.pop("foreignKeys"), "foreignKeys is another"),
        (lambda schema: schema.update(primaryKey=["food"]), "primaryKey is another"),
    ],
)
def test_what_a_schema_no_longer_asks_is_found(package, change, said):
    _edit(package, SCHEDULE, change)
    assert any(said in finding.wrong for finding in package.found("schemas"))


@pytest.mark.parametrize(
    "change",
    [
        _constraint("minutes", "minimum", 5),
        _constraint("minutes", "maximum", 200),
        _constraint("pack", "enum", ["hot"]),
        lambda schema: _field(schema, "minutes").update(description="How long"),
        lambda schema: schema["fields"].append({"name": "more", "type": "string"}),
        lambda schema: _field(schema, "note").update(constraints={"maxLength": 500}),
    ],
)
def test_near_misses_that_ask_more_or_use_other_words_are_no_findings(package, change):
    _edit(package, SCHEDULE, change)
    assert package.found("schemas") == ()


def test_a_schema_of_recipes_that_asks_less_is_found_and_one_in_other_words_is_not(package):
    _edit(package, RECIPE, lambda schema: schema.update(description="Recipes."))
    assert package.found("schemas") == ()
    _edit(package, RECIPE, lambda schema: schema["required"].pop())
    assert [finding.file for finding in package.found("schemas")] == [RECIPE]


def test_a_schema_that_is_none_is_left_to_the_structure_check(package):
    package.put(ALIASES, "[]")
    assert package.found("schemas") == ()
