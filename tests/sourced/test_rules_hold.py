"""Every rule of shared/rules.csv is used: in code by its id, or here, where what it says is held against the tables.

Source of all figures: USDA Complete Guide to Home Canning, 2015, on the page that each rule cites.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest

import stillroom
from stillroom import __file__ as library
from stillroom.answers.saturation import steam_F
from tests.conftest import ROOT, table

RULES = {row["id"]: row for row in table("shared/rules.csv")}
SCHEDULES = [row for name in ("fruit", "tomatoes", "vegetables", "meats-seafood", "pickles", "spreads")
             for row in table(f"schedules/{name}.csv")]  # fmt: skip
PEACHES = {"food": "peaches", "pack": "hot", "jar": "quart", "altitude": "2500 ft"}


def _value(name: str) -> float:
    return float(RULES[name]["value"])


def _ends(name: str) -> tuple[float, ...]:
    return tuple(float(part) for part in re.split("[-/]", RULES[name]["value"]))


def _inches(group: str, method: str) -> set[float]:
    foods = {row["food"] for row in SCHEDULES if row["method"] == method}
    named = {row["id"] for row in table("schedules/foods.csv") if row["group"] == group} & foods
    return {float(row["headspace_in"]) for row in table("schedules/headspace.csv") if row["food"] in named}


def _baby_food() -> None:
    rows = [row for row in SCHEDULES if row["food"] == "fruit-baby-foods"]
    assert {row["jar"] for row in rows} == {"pint"} and {row["pack"] for row in rows} == {"hot"}  # half-pints by rule
    minutes = sorted({(int(row["altitude_from_ft"]), float(row["minutes"])) for row in rows})
    assert minutes == list(zip((0, 1001, 6001), _ends("baby-food-table"), strict=True))


def _same_time(jar: str, other: str) -> None:
    rule = next(row for row in table("shared/jar-rules.csv") if row["jar"] == jar and not row["food"])
    assert (rule["takes"], rule["page"]) == (other, RULES[f"same-time-{jar}"]["page"])


def _withheld(name: str, *entries: str) -> None:
    rows = {row["id"]: row for row in table("schedules/withheld.csv")}
    for entry in entries:
        assert rows[entry]["source"] == RULES[name]["source"] and rows[entry]["code"] in ("withheld", "no-process")


def _steam_2015() -> None:
    steam = next(row for row in table("shared/canners.csv") if row["id"] == "steam")
    assert steam["by_rule"] and RULES[steam["by_rule"]]["source"] != RULES["steam-canner-2015"]["source"]


def _weighted() -> None:
    edges = {int(row["altitude_to_ft"]) for row in SCHEDULES if row["gauge"] == "weighted" and row["altitude_to_ft"]}
    assert edges == {_value("weighted-altitude")}


def _low_acid_temperature() -> None:
    low, high = _ends("low-acid-temperature")
    assert low - 1 < steam_F(10, 0) < steam_F(15, 0) < high + 1


HELD: dict[str, Callable[[], None]] = {
    "baby-food-table": _baby_food,
    "headspace-acid": lambda: _equal(_value("headspace-acid") in _inches("fruit", "boiling-water"), True),
    "headspace-low-acid": lambda: _equal(set(_ends("headspace-low-acid")) <= _inches("vegetables", "pressure"), True),
    "headspace-spreads": lambda: _equal(_inches("spreads", "boiling-water"), {_value("headspace-spreads")}),
    "low-acid-temperature": _low_acid_temperature,
    "no-pureed-low-acid": lambda: _withheld("no-pureed-low-acid", "vegetable-puree", "red-meat-puree", "poultry-puree"),
    "not-recommended-open-kettle": lambda: _withheld(
        "not-recommended-open-kettle", "open-kettle", "oven-canning", "microwave-canning", "dishwasher-canning",
        "canning-powders", "wire-bail-jars", "zinc-caps",
    ),
    "canner-minimum": lambda: _withheld("canner-minimum", "pressure-saucepans"),
    "pressure-limit": lambda: _equal(
        max(float(row["pressure_psi"] or 0) for row in SCHEDULES), _value("pressure-limit")
    ),
    "same-time-half-pint": lambda: _same_time("half-pint", "pint"),
    "same-time-pint-and-half": lambda: _same_time("pint-and-half", "quart"),
    "sea-level-pressure-for-240F": lambda: _equal(round(steam_F(_value("sea-level-pressure-for-240F"), 0)), 240),
    "steam-canner-2015": _steam_2015,
    "weighted-altitude": _weighted,
    "worked-example-a": lambda: _equal(
        [o.minutes for o in stillroom.find(canner="boiling-water", **PEACHES).options], [_value("worked-example-a")]
    ),
    "worked-example-b": lambda: _equal(
        [o.pressure_psi for o in stillroom.find(canner="dial", **PEACHES).options], [_value("worked-example-b")]
    ),
    "worked-example-c": lambda: _equal(
        [o.pressure_psi for o in stillroom.find(canner="weighted", **PEACHES).options], [_value("worked-example-c")]
    ),
}  # fmt: skip
"""Rules that no code names, and what holds them."""
IN_PLANS = ("pressurize",)
"""Rules that the tests of plans and verdicts add up or count by."""


def _equal(found: object, wanted: object) -> None:
    assert found == wanted


@pytest.mark.parametrize("name", HELD)
def test_what_a_rule_says_is_what_the_tables_hold(name: str) -> None:
    HELD[name]()


def test_every_rule_is_named_in_code_or_held_by_a_test() -> None:
    code = "".join(path.read_text(encoding="utf-8") for path in Path(library).parent.rglob("*.py"))
    tests = "".join(path.read_text(encoding="utf-8") for path in (ROOT / "tests").rglob("test_*.py"))
    carried = {row["by_rule"] for row in table("shared/canners.csv")}
    unused = [name for name in RULES if f'"{name}"' not in code and name not in HELD and name not in carried]
    assert sorted(unused) == sorted(IN_PLANS)
    assert all(tests.count(f'"{name}"') > 1 for name in IN_PLANS)


def test_a_heavy_canner_cools_within_the_time_that_plans_count() -> None:
    low, high = _ends("cool-down")  # page 1-17; heavy-walled canners on page 1-22
    assert low < _value("cool-heavy-pints") < _value("cool-heavy-quarts") <= high


def test_the_time_starts_when_the_dial_reads_the_required_pressure(tmp_path: Path) -> None:
    assert RULES["timing-starts"]["page"] == "1-22"
    readings = ((14, 9), (18, 10.9), (20, 11), (30, 11), (40, 11), (46, 11))
    rising = "".join(f"{minute},{psi},\n" for minute, psi in readings)
    log = f"minute,gauge_psi,event\n0,0,vent-start\n11,0,weight-on\n{rising}"
    (tmp_path / "run.csv").write_text(log, encoding="utf-8")
    record = "food: snap beans\npack: raw\njar: quart\naltitude: 1650 ft\ncanner: dial\nrun: run.csv\n"
    (tmp_path / "load.yaml").write_text(record, encoding="utf-8")
    found = stillroom.judge(str(tmp_path / "load.yaml"))
    assert (found.verdict, found.longest_hold_min) == ("delivered", 26.0)  # from minute 20, not from 14 or 18
