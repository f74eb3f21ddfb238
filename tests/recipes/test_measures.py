from __future__ import annotations

import math

import pint
import pytest

import stillroom
from stillroom.answers import measures
from stillroom.recipes.printed import Amount
from stillroom.sheets.recipe_sheet import measure

KITCHEN = [
    (3, "teaspoon", 1, "tablespoon"),
    (16, "tablespoon", 1, "cup"),
    (2, "cup", 1, "pint"),
    (4, "cup", 1, "quart"),
    (2, "pint", 1, "quart"),
    (4, "quart", 1, "gallon"),
    (16, "ounce", 1, "pound"),
]
"""Kitchen equivalents: NIST Handbook 44, appendix C, general tables of units of measurement."""


@pytest.mark.parametrize(("many", "small", "one", "large"), KITCHEN)
def test_kitchen_equivalents_hold_for_quantities(many: float, small: str, one: float, large: str) -> None:
    left, right = Amount(many, many, small).quantity, Amount(one, one, large).quantity
    assert math.isclose(left.to(right.units).magnitude, right.magnitude, rel_tol=1e-12)
    nearly = Amount(many + 1, many + 1, small).quantity
    assert not math.isclose(nearly.to(right.units).magnitude, right.magnitude, rel_tol=1e-3)


@pytest.mark.parametrize(("many", "small", "one", "large"), [row for row in KITCHEN if row[1] != "ounce"])
def test_our_own_table_has_the_same_equivalents(many: float, small: str, one: float, large: str) -> None:
    assert measures.in_one(small, large) == many
    assert measures.cups(many, small) == measures.cups(one, large)
    assert measures.cups(many + 1, small) != measures.cups(one, large)


@pytest.mark.parametrize("unit", measures.TEASPOONS)
def test_our_own_table_is_that_of_the_library_of_units(unit: str) -> None:
    assert math.isclose(Amount(1, 1, unit).quantity.to("teaspoon").magnitude, measures.TEASPOONS[unit], rel_tol=1e-12)


@pytest.mark.parametrize(
    ("unit", "metric", "value"),
    [
        ("teaspoon", "milliliter", 4.928_92),
        ("tablespoon", "milliliter", 14.786_76),
        ("cup", "milliliter", 236.588_2),
        ("pint", "milliliter", 473.176_5),
        ("quart", "liter", 0.946_352_9),
        ("gallon", "liter", 3.785_412),
        ("ounce", "gram", 28.349_52),
        ("pound", "gram", 453.592_37),
    ],
)
def test_metric_equivalents_are_those_of_the_handbook(unit: str, metric: str, value: float) -> None:
    """NIST Special Publication 811 (2008), appendix B.8."""
    assert math.isclose(Amount(1, 1, unit).quantity.to(metric).magnitude, value, rel_tol=1e-6)


def test_jar_volumes_are_their_names() -> None:
    """A half-pint is 8 fluid ounces, a half-gallon 64: NIST Handbook 44, appendix C."""
    registry = pint.get_application_registry()
    for jar in stillroom.shelf().package.jars:
        named = {"half-pint": (0.5, "pint"), "pint": (1, "pint"), "pint-and-half": (1.5, "pint"),
                 "quart": (1, "quart"), "half-gallon": (0.5, "gallon"), "12-ounce": (12, "floz")}[jar.id]  # fmt: skip
        assert math.isclose(registry.Quantity(*named).to("floz").magnitude, jar.volume_fl_oz, rel_tol=1e-12)


def test_a_quantity_of_a_recipe_converts() -> None:
    found = stillroom.recipe("apple pie filling", 7, "quart", column="seven-quarts")
    juice = next(line for line in found.ingredients if line.name == "bottled lemon juice")
    assert juice.amount is not None
    assert math.isclose(juice.amount.quantity.to("tablespoon").magnitude, 12)


def test_counted_things_are_dimensionless_and_ranges_have_two_ends() -> None:
    assert Amount(2, 2, "clove").quantity.dimensionless
    low, high = Amount(4, 6, "cup").quantities
    assert (low.magnitude, high.magnitude) == (4, 6)
    with pytest.raises(stillroom.BadInput, match="range"):
        _ = Amount(4, 6, "cup").quantity


@pytest.mark.parametrize("unit", ["teaspoon", "tablespoon", "cup", "pint", "quart", "gallon", "pound", "ounce", "count",
                                  "clove", "head", "stick", "can", "drop", "part"])  # fmt: skip
def test_every_unit_of_the_schema_is_a_quantity(unit: str) -> None:
    assert Amount(1, 1, unit).quantity.magnitude == 1


@pytest.mark.parametrize(
    ("amount", "said"),
    [
        (Amount(0.25, 0.25, "teaspoon"), "1/4 teaspoon"),
        (Amount(0.3125, 0.3125, "cup"), "1/4 cup plus 1 tablespoon"),  # page 2-27, starch
        (Amount(2.1875, 2.1875, "cup"), "2 cups plus 3 tablespoons"),  # page 2-30, starch
        (Amount(0.3333, 0.3333, "cup"), "1/3 cup"),
        (Amount(0.3333, 0.3333, "cup").times(2), "2/3 cup"),
        (Amount(0.3333, 0.3333, "cup").times(3), "1 cup"),
        (Amount(14, 14, "tablespoon"), "14 tablespoons (3/4 cup plus 2 tablespoons)"),
        (Amount(8, 8, "teaspoon"), "8 teaspoons (2 tablespoons plus 2 teaspoons)"),
        (Amount(4, 5, "head"), "4 to 5 heads"),
        (Amount(0, 0.25, "cup"), "up to 1/4 cup"),
        (Amount(6, 6, "count"), "6"),
    ],
)
def test_amounts_are_said_as_a_cook_measures_them(amount: Amount, said: str) -> None:
    assert measure(amount) == said
