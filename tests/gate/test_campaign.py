"""Bad edits of every kind, a sample drawn by chance: the gate and the checks together reject every one.

The full run, with its tables, is tests/benchmarks/edit_campaign.py.
"""

from __future__ import annotations

import random
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

KINDS = {
    "time", "pressure", "band edge", "jar", "pack", "gauge", "method", "food", "source", "page", "status", "form",
    "amount", "headspace", "other cell", "row deleted", "row duplicated", "rows swapped", "values swapped",
    "whole table shifted", "both readings, one cell", "both readings, one jar", "both readings, whole table",
}  # fmt: skip
SCHEDULES = tuple(
    f"schedules/{name}.csv" for name in ("fruit", "tomatoes", "vegetables", "meats-seafood", "pickles", "spreads")
)


@pytest.fixture(scope="module")
def outcomes(campaign: ModuleType, tmp_path_factory: pytest.TempPathFactory) -> list[Any]:
    chance = random.Random(20260101)
    made = list(campaign.edits(chance, 2))
    assert {edit.kind for edit in made} == KINDS
    shifts = [edit for edit in made if edit.kind == "whole table shifted"]
    others = [edit for edit in made if edit.kind != "whole table shifted"]
    ran = campaign.Campaign(tmp_path_factory.mktemp("package"))
    return [ran.judged(edit) for edit in (*chance.sample(shifts, 15), *chance.sample(others, 70))]


def test_every_edit_is_rejected(outcomes: list[Any]) -> None:
    assert [o.edit for o in outcomes if not (o.by_checks or o.by_gate)] == []


def test_no_check_breaks(outcomes: list[Any]) -> None:
    assert [f"{o.edit.file}: {o.edit.said}: {o.broken}" for o in outcomes if o.broken] == []


def test_the_checks_alone_reject_98_of_100(outcomes: list[Any]) -> None:
    slipped = [f"{o.edit.kind}: {o.edit.file}: {o.edit.said}" for o in outcomes if not o.by_checks]
    assert len(slipped) <= len(outcomes) * 0.02, slipped


def test_the_checks_alone_reject_every_shift_of_a_whole_table(outcomes: list[Any]) -> None:
    assert [o.edit for o in outcomes if o.edit.kind == "whole table shifted" and not o.by_checks] == []


def test_an_edit_of_a_schedule_alone_is_rejected_without_any_hash(outcomes: list[Any]) -> None:
    alone = [o for o in outcomes if set(o.edit.contents) <= set(SCHEDULES)]
    assert len(alone) >= 10
    assert [f"{o.edit.kind}: {o.edit.said}" for o in alone if not o.check] == []


def test_the_package_as_it_is_passes(campaign: ModuleType, tmp_path: Path) -> None:
    ran = campaign.Campaign(tmp_path / "package")  # which asserts that no check objects
    edit = campaign.Edit("none", "schedules/fruit.csv", "nothing", {})
    outcome = ran.judged(edit)
    assert (outcome.check, outcome.by_gate) == ("", False)
