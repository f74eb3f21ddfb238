from __future__ import annotations

import copy
import re
from pathlib import Path
from typing import Any

import jsonschema
import pytest

ROOT = Path(__file__).resolve().parents[2]


def _columns(quantity: Any) -> list[str]:
    return list(quantity) if isinstance(quantity, dict) and "from" not in quantity else []


def _ranges(value: Any) -> list[dict[str, Any]]:
    if isinstance(value, dict):
        here = [value] if {"from", "to"} <= set(value) else []
        return here + [r for part in value.values() for r in _ranges(part)]
    if isinstance(value, list):
        return [r for part in value for r in _ranges(part)]
    return []


def test_every_recipe_file_is_as_its_schema_says(recipes: Any, schema: Any) -> None:
    jsonschema.Draft202012Validator.check_schema(schema)
    judge = jsonschema.Draft202012Validator(schema)
    wrong = [f"{food}: {list(e.path)}: {e.message[:120]}" for food, d in recipes.items() for e in judge.iter_errors(d)]
    assert wrong == []


def _with(entry: dict[str, Any], place: list[Any], value: Any) -> dict[str, Any]:
    changed = copy.deepcopy(entry)
    spot = changed
    for key in place[:-1]:
        spot = spot[key]
    spot[place[-1]] = value
    return changed


@pytest.mark.parametrize(
    ("place", "value"),
    [
        (["color"], "green"),
        (["page"], 2.26),
        (["page"], "226"),
        (["jars"], ["liter"]),
        (["packs"], ["cold"]),
        (["ingredients", 6, "unit"], "ml"),
        (["ingredients", 6, "quantity"], 0),
        (["ingredients", 6, "quantity"], "2 tbsp"),
        (["ingredients", 6, "role"], "sour"),
        (["ingredients", 6, "optional"], False),
        (["ingredients", 6, "brand"], "x"),
        (["headspace", 0, "inches"], 10),
        (["steps", 0, "text"], "x" * 161),
        (["steps"], []),
        (["acid"], [{"jar": "pint", "any_of": [], "page": "2-26"}]),
        (["never_change", 0], {"text": "No page at all"}),
    ],
)
def test_a_recipe_with_a_wrong_key_or_value_fails_the_schema(
    recipes: Any, schema: Any, place: list[Any], value: Any
) -> None:
    judge = jsonschema.Draft202012Validator(schema)
    entry = recipes["apple-pie-filling"]
    assert judge.is_valid(entry)
    assert not judge.is_valid(_with(entry, place, value))


def test_an_amount_may_be_missing_only_where_a_note_says_why(recipes: Any, schema: Any) -> None:
    judge = jsonschema.Draft202012Validator(schema)
    entry = recipes["mango-chutney"]
    place = next(i for i, line in enumerate(entry["ingredients"]) if line["name"] == "canning salt")
    assert "quantity" not in entry["ingredients"][place]
    assert any("canning salt" in row["text"] for row in entry["doubtful"])
    silent = copy.deepcopy(entry)
    del silent["ingredients"][place]["note"]
    assert not judge.is_valid(silent)


def test_columns_ranges_alternatives_and_packs_hang_together(recipes: Any) -> None:
    for food, entry in recipes.items():
        columns = [row["id"] for row in entry.get("batches", ())]
        lines = entry.get("ingredients", ())
        for line in lines:
            assert _columns(line.get("quantity")) in ([], columns), (food, line)
            assert _columns(line.get("unit")) in ([], columns), (food, line)
            assert line.get("per", {}).get("jar", "each") in ("each", *entry["jars"]), (food, line)
        letters = [(line.get("variety"), line["any_of"]) for line in lines if "any_of" in line]
        assert all(letters.count(letter) > 1 for letter in letters), food
        assert all(r["from"] <= r["to"] for r in _ranges(entry)), food
        assert {row["pack"] for row in entry["steps"] if "pack" in row} <= set(entry["packs"]), food


def test_thirds_are_written_to_four_places(recipes: Any) -> None:
    for food, entry in recipes.items():
        text = (ROOT / f"schedules/recipes/{food}.yaml").read_text(encoding="utf-8")
        assert not re.search(r"\.(33|333|66|666|67|667)\b", text), food
        for number in re.findall(r"\d+\.(\d{4,})\b", text):
            assert number in ("3333", "6667", "3125", "1875", "0833"), (food, number)
        assert entry


def test_files_are_tidy_and_name_no_page_that_is_not_text(recipes: Any) -> None:
    for path in sorted((ROOT / "schedules/recipes").glob("*.yaml")):
        text = path.read_text(encoding="utf-8")
        assert "\t" not in text
        assert "\r" not in text
        assert text.endswith("\n")
        assert not re.search(r"[ ]+$", text, re.M), path.name
        assert set(text) <= set(map(chr, range(32, 127))) | {"\n", "ñ"}, path.name
        assert not re.search(r"^\s*-?\s*page: [^\"]", text, re.M), path.name


def test_jams_and_jellies_are_single_batches_by_their_page(recipes: Any, table: Any) -> None:
    spreads = {row["id"] for row in table("schedules/foods.csv") if row["group"] == "spreads"}
    assert {food for food, entry in recipes.items() if "single_batch" in entry} == spreads
    assert {recipes[food]["single_batch"] for food in spreads} <= {"1-30", "7-13"}


def test_single_columns_that_do_not_scale_say_so(recipes: Any) -> None:
    """Blueberry pie filling, page 2-27: 3 tablespoons for one quart, 1/2 cup for seven."""
    for food in ("apple-pie-filling", "blueberry-pie-filling", "cherry-pie-filling"):
        assert any("Lemon juice" in row["text"] for row in recipes[food]["doubtful"]), food
    assert any("Lemon juice does scale" in row["text"] for row in recipes["peach-pie-filling"]["doubtful"])
