"""Bad edits of every kind, a sample drawn by chance: the gate and the checks together reject every one.

The full run, with its tables and all recipes, is tests/benchmarks/edit_campaign.py.
"""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from tests.benchmarks.edit_campaign import Campaign, Edit, Outcome, edits
from tests.trials import THOROUGH

KINDS = {
    "time", "pressure", "band edge", "jar", "pack", "gauge", "method", "food", "source", "page", "status", "form",
    "amount", "headspace", "other cell", "row deleted", "row duplicated", "rows swapped", "values swapped",
    "whole table shifted", "both readings, one cell", "both readings, one jar", "both readings, whole table",
}  # fmt: skip
SHIFTS = 8 if THOROUGH else 4
ALONE = 20 if THOROUGH else 5
"""Edits of a table of schedules and of nothing else."""
OTHERS = 50 if THOROUGH else 6
"""Further edits, of whatever file."""
SCHEDULES = tuple(
    f"schedules/{name}.csv" for name in ("fruit", "tomatoes", "vegetables", "meats-seafood", "pickles", "spreads")
)


@pytest.fixture(scope="module")
def outcomes(campaign: Campaign, pristine: Path, narrow_for_all: None) -> list[Outcome]:
    chance = random.Random(20260101)
    made = list(edits(chance, 2, pristine))
    assert {edit.kind for edit in made} == KINDS
    shifts = [edit for edit in made if edit.kind == "whole table shifted"]
    others = [edit for edit in made if edit.kind != "whole table shifted"]
    alone = [edit for edit in others if set(edit.contents) <= set(SCHEDULES)]
    elsewhere = [edit for edit in others if not set(edit.contents) <= set(SCHEDULES)]
    drawn = (*chance.sample(shifts, SHIFTS), *chance.sample(alone, ALONE), *chance.sample(elsewhere, OTHERS))
    return [campaign.judged(edit) for edit in drawn]


def every_edit_is_rejected(outcomes: list[Outcome]) -> None:
    assert [o.edit for o in outcomes if not (o.by_checks or o.by_gate)] == []


def no_check_breaks(outcomes: list[Outcome]) -> None:
    assert [f"{o.edit.file}: {o.edit.said}: {o.broken}" for o in outcomes if o.broken] == []


def the_checks_alone_reject_98_of_100(outcomes: list[Outcome]) -> None:
    slipped = [f"{o.edit.kind}: {o.edit.file}: {o.edit.said}" for o in outcomes if not o.by_checks]
    assert len(slipped) <= len(outcomes) * 0.02, slipped


def the_checks_alone_reject_every_shift_of_a_whole_table(outcomes: list[Outcome]) -> None:
    assert [o.edit for o in outcomes if o.edit.kind == "whole table shifted" and not o.by_checks] == []


def an_edit_of_a_schedule_alone_is_rejected_without_any_hash(outcomes: list[Outcome]) -> None:
    alone = [o for o in outcomes if set(o.edit.contents) <= set(SCHEDULES)]
    assert len(alone) >= 5
    assert [f"{o.edit.kind}: {o.edit.said}" for o in alone if not o.check] == []


def of_what_weakens_95_of_100_fail_with_honest_hashes_and_the_printed_section(outcomes: list[Outcome]) -> None:
    weaker = [o for o in outcomes if o.weakens]
    assert len(weaker) >= 5
    passed = [f"{o.edit.kind}: {o.edit.file}: {o.edit.said}" for o in weaker if not o.stopped]
    assert len(passed) <= max(1, len(weaker) * 0.05), passed


def with_an_invented_source_answers_made_or_weakened_are_announced_with_low_acid_by_number(
    outcomes: list[Outcome],
) -> None:
    invented = [o for o in outcomes if o.invented is not None]
    assert [f"{o.edit.file}: {o.edit.said}" for o in invented if not o.invented[1]] == []  # type: ignore[index]


def test_a_sample_of_the_campaign(outcomes: list[Outcome]) -> None:
    """In one test, since each process that runs tests would make the sample anew."""
    every_edit_is_rejected(outcomes)
    no_check_breaks(outcomes)
    the_checks_alone_reject_98_of_100(outcomes)
    the_checks_alone_reject_every_shift_of_a_whole_table(outcomes)
    an_edit_of_a_schedule_alone_is_rejected_without_any_hash(outcomes)
    of_what_weakens_95_of_100_fail_with_honest_hashes_and_the_printed_section(outcomes)
    with_an_invented_source_answers_made_or_weakened_are_announced_with_low_acid_by_number(outcomes)


def test_the_package_as_it_is_passes(campaign: Campaign) -> None:
    outcome = campaign.judged(Edit("none", "schedules/fruit.csv", "nothing", {}))
    assert (outcome.check, outcome.by_gate) == ("", False)
