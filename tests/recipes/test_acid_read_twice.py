from __future__ import annotations

from typing import Any

import pytest

LOST = {
    "first": {("crab", "", "lemon juice", "cup", "gallon")},
    "second": {
        ("crab", "", "lemon juice", "cup", "gallon"),
        ("peach-pie-filling", "", "bottled lemon juice", "cup", "one-quart"),
    },
}
"""Quantities the text copies lost: the simmering water of crab (page 5-9) in both, and one quart of peach pie filling
(page 2-30) in the second."""


def _name(row: dict[str, str]) -> str:
    """The first reading writes what an acid is for into its name; acid.csv has notes for that."""
    name = row["acid"].split(" for ")[0].split(" in the ")[0].split(" with ")[0]
    return name.removesuffix(" (optional)")


def _key(row: dict[str, str]) -> tuple[str, ...]:
    return (row["food"], row["jar"], _name(row), row["unit"], row["per"])


def _amounts(rows: list[dict[str, str]]) -> dict[tuple[str, ...], list[str]]:
    found: dict[tuple[str, ...], list[str]] = {}
    for row in rows:
        found.setdefault(_key(row), []).append(row["quantity"])
    return {key: sorted(amounts) for key, amounts in found.items()}


@pytest.mark.parametrize("reading", ["first", "second"])
def test_a_reading_lost_exactly_the_listed_quantities(table: Any, reading: str) -> None:
    rows = table(f"schedules/readings/acid-{reading}.csv")
    assert {_key(row) for row in rows if row["quantity"] == ""} == LOST[reading]


@pytest.mark.parametrize("reading", ["first", "second"])
def test_every_acid_quantity_is_the_same_in_the_table_and_in_a_reading(table: Any, reading: str) -> None:
    kept = {
        (row["food"], row["jar"], _name(row), row["quantity"], row["unit"], row["per"])
        for row in table("schedules/acid.csv")
    }
    read = {
        (row["food"], row["jar"], _name(row), row["quantity"], row["unit"], row["per"])
        for row in table(f"schedules/readings/acid-{reading}.csv")
        if row["quantity"]
    }
    missing = kept - read
    assert read - kept == set()
    assert {(food, jar, name, unit, per) for food, jar, name, _, unit, per in missing} == {
        key for key in LOST[reading] if key[0] != "crab"
    }


def test_both_readings_agree_wherever_neither_lost_a_quantity(table: Any) -> None:
    first = _amounts([r for r in table("schedules/readings/acid-first.csv") if r["quantity"]])
    second = _amounts([r for r in table("schedules/readings/acid-second.csv") if r["quantity"]])
    lost = LOST["first"] | LOST["second"]
    assert {k: sorted(set(v)) for k, v in first.items() if k not in lost} == {
        k: sorted(set(v)) for k, v in second.items() if k not in lost
    }


def _per(line: dict[str, Any]) -> str:
    per = line.get("per")
    if per is None:
        return "recipe"
    return {"sliced apples": "seven-quarts"}.get(per["of"], str(per.get("unit")))


def _of_recipes(recipes: dict[str, dict[str, Any]]) -> set[tuple[str, str, str, float, str, str]]:
    found = set()
    for food, entry in recipes.items():
        for row in entry.get("acid", ()):
            found |= {(food, row["jar"], a["name"], float(a["quantity"]), a["unit"], "jar") for a in row["any_of"]}
        for line in entry.get("ingredients", ()):
            if line["role"] == "acid":
                number, unit = line["quantity"], line["unit"]
                if isinstance(number, dict):
                    for column, one in number.items():
                        of = unit[column] if isinstance(unit, dict) else unit
                        found.add((food, "", line["name"], float(one), of, column))
                else:
                    found.add((food, "", line["name"], float(number), unit, _per(line)))
    return found


def test_acid_in_the_recipes_is_acid_csv_row_for_row(recipes: Any, table: Any) -> None:
    rows = {
        (r["food"], r["jar"], r["acid"], float(r["quantity"]), r["unit"], r["per"]) for r in table("schedules/acid.csv")
    }
    assert _of_recipes(recipes) == rows


def test_tomato_acid_is_the_worked_amount_of_page_3_5(recipes: Any) -> None:
    """Page 3-5: 2 tablespoons of bottled lemon juice or 1/2 teaspoon of citric acid per quart; half of it per pint;
    4 tablespoons of 5 percent vinegar per quart."""
    foods = [
        "tomatoes-crushed", "tomatoes-in-juice", "tomatoes-in-water", "tomatoes-raw-no-liquid",
        "tomato-juice", "tomato-sauce", "tomato-vegetable-juice",
    ]  # fmt: skip
    for food in foods:
        acid = {
            row["jar"]: {a["name"]: (a["quantity"], a["unit"]) for a in row["any_of"]} for row in recipes[food]["acid"]
        }
        assert acid == {
            "quart": {
                "bottled lemon juice": (2, "tablespoon"),
                "citric acid": (0.5, "teaspoon"),
                "vinegar (5%)": (4, "tablespoon"),
            },
            "pint": {"bottled lemon juice": (1, "tablespoon"), "citric acid": (0.25, "teaspoon")},
        }, food


def test_syrups_are_the_table_of_page_2_5(table: Any) -> None:
    """Page 2-5: percent of sugar; cups of water and of sugar for 9 pints and for 7 quarts."""
    printed = {
        ("very-light", "10"): ((6.5, 0.75), (10.5, 1.25)),
        ("light", "20"): ((5.75, 1.5), (9, 2.25)),
        ("medium", "30"): ((5.25, 2.25), (8.25, 3.75)),
        ("heavy", "40"): ((5, 3.25), (7.75, 5.25)),
        ("very-heavy", "50"): ((4.25, 4.25), (6.5, 6.75)),
    }
    rows = table("schedules/syrups.csv")
    assert len(rows) == 10
    for (syrup, percent), (pints, quarts) in printed.items():
        of = {r["load"]: (float(r["water_cup"]), float(r["sugar_cup"])) for r in rows if r["syrup"] == syrup}
        assert of == {"nine-pints": pints, "seven-quarts": quarts}
        assert {r["sugar_percent"] for r in rows if r["syrup"] == syrup} == {percent}


def test_a_syrup_has_more_sugar_to_the_water_than_the_one_before(table: Any) -> None:
    for load in ("nine-pints", "seven-quarts"):
        rows = sorted(
            (r for r in table("schedules/syrups.csv") if r["load"] == load), key=lambda r: int(r["sugar_percent"])
        )
        ratios = [float(r["sugar_cup"]) / float(r["water_cup"]) for r in rows]
        assert ratios == sorted(set(ratios))
