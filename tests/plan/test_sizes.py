"""Canners of every size: what page 1-17 prints is kept to, and what no page prints is the owner's own figure."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

import stillroom
from stillroom.errors import BadInput
from stillroom.sheets import day_document, run_sheet, timetable_document
from stillroom.sheets.day_sheet import day_sheet

PEACHES: dict[str, Any] = {"food": "peaches", "pack": "hot", "altitude": "500 ft"}
STEAM: dict[str, Any] = {**PEACHES, "canner": "steam", "heating_min": 15}


def _said(plan: Any) -> str:
    return " ".join(day_sheet(plan, stillroom.shelf()).split())


@pytest.mark.parametrize(
    ("jar", "holds", "loads"), [("quart", 12, [12, 8]), ("pint", 20, [20]), ("half-gallon", 4, None)]
)
def test_a_boiling_water_canner_may_be_larger_than_most_and_says_so(
    jar: str, holds: int, loads: list[int] | None
) -> None:
    if loads is None:  # half-gallons are for very acid juices only (1-13)
        plan = stillroom.plan("apple juice", jars=8, jar=jar, holds=holds, altitude="500 ft", canner="boiling-water")
        assert [load.jars for load in plan.loads] == [4, 4]
        assert "are your own figure" not in _said(plan)
        return
    plan = stillroom.plan(jars=20, jar=jar, holds=holds, canner="boiling-water", **PEACHES)
    assert [load.jars for load in plan.loads] == loads
    assert f"{holds} are your own figure" in _said(plan)
    assert any(stated.id == "canner-larger" and stated.page == "1-17" for stated in plan.cautions)


@pytest.mark.parametrize(("jar", "holds"), [("quart", 7), ("pint", 9)])
def test_a_near_miss_what_most_hold_needs_no_caution(jar: str, holds: int) -> None:
    plan = stillroom.plan(jars=20, jar=jar, holds=holds, canner="boiling-water", **PEACHES)
    assert "your own figure" not in _said(plan)


@pytest.mark.parametrize("canner", ["dial", "weighted"])
def test_no_pressure_canner_holds_more_than_7_quarts(canner: str) -> None:
    with pytest.raises(BadInput, match="page 1-17"):
        stillroom.plan(jars=20, jar="quart", holds=8, canner=canner, **PEACHES)


def test_nothing_is_printed_of_a_steam_canner_but_its_process() -> None:
    """2-20 by the rule of May 2015: 25 minutes hot in quarts below 1,000 ft."""
    with pytest.raises(BadInput, match="--holds"):
        stillroom.plan(jars=7, jar="quart", **STEAM)
    plan = stillroom.plan(jars=9, jar="quart", holds=8, **STEAM)
    assert [(load.jars, load.layers) for load in plan.loads] == [(8, None), (1, None)]
    assert [(step.id, tuple(step.lasts), step.page, step.event) for step in plan.loads[0].steps] == [
        ("heat", (15, 15), "", ""),
        ("process", (25, 25), plan.option.page, "steam-full"),
    ]
    assert [stated.page for stated in plan.water] == [None]
    assert plan.kind == "steam" and not plan.under_pressure
    document = day_document.document(plan)
    assert [step["page"] for step in document["loads"][0]["steps"]] == [None, plan.option.page]
    for sheet in (run_sheet.html(plan, stillroom.shelf()), run_sheet.markdown(plan, stillroom.shelf())):
        assert "over the jars" not in sheet and "flat bottom" not in sheet


@pytest.mark.parametrize("minutes", [0, -1, "soon", 121, 2.5, True])
def test_heating_minutes_that_are_none_are_bad_input(minutes: Any) -> None:
    with pytest.raises(BadInput, match=r"^heating minutes "):
        stillroom.plan(jars=7, jar="quart", holds=7, **{**STEAM, "heating_min": minutes})


def test_heating_minutes_are_for_a_steam_canner() -> None:
    with pytest.raises(BadInput, match="for a steam canner"):
        stillroom.plan(jars=7, jar="quart", heating_min=15, canner="boiling-water", **PEACHES)


def test_the_kitchen_says_what_each_canner_holds(tmp_path: Path) -> None:
    kitchen = tmp_path / "kitchen.toml"
    kitchen.write_text(
        'canner = ["boiling-water", "steam"]\n'
        "holds = {boiling-water = {quart = 9, half-pint = 14}, steam = {quart = 6, pint = 8}}\n",
        encoding="utf-8",
    )
    steam = stillroom.plan(jars=7, jar="quart", kitchen=str(kitchen), **STEAM)
    assert [load.jars for load in steam.loads] == [6, 1]
    boiling = stillroom.plan(jars=20, jar="quart", canner="boiling-water", kitchen=str(kitchen), **PEACHES)
    assert [load.jars for load in boiling.loads] == [9, 9, 2]
    assert any(taken.key == "holds" for taken in boiling.taken)


def test_a_day_takes_a_steam_canner_with_its_owners_figures(tmp_path: Path) -> None:
    path = tmp_path / "day.yaml"
    canner = {"name": "low", "kind": "steam", "holds": {"quart": 7}, "heating_min": 15}
    food = {"food": "peaches", "pack": "hot", "jar": "quart", "jars": 14}
    path.write_text(json.dumps({"altitude": "500 ft", "canners": [canner], "foods": [food]}), encoding="utf-8")
    day = stillroom.plan_day(str(path))
    assert tuple(day.lasts) == (80, 80)
    assert timetable_document.document(day)["loads"][0]["load"]["steps"][0]["page"] is None
    for wrong in ({**canner, "heating_min": None}, {**canner, "kind": "dial"}):
        said = {key: value for key, value in wrong.items() if value is not None}
        path.write_text(json.dumps({"altitude": "500 ft", "canners": [said], "foods": [food]}), encoding="utf-8")
        with pytest.raises(BadInput, match=r"canners\.1: .*steam canner"):
            stillroom.plan_day(str(path))
