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


@pytest.mark.parametrize("reading", ["first", "second"])
def test_a_reading_lost_exactly_the_listed_quantities(table: Any, reading: str) -> None:
    rows = table(f"schedules/readings/acid-{reading}.csv")
    assert {_key(row) for row in rows if row["quantity"] == ""} == LOST[reading]


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
