"""What is published is called right in any layout; it is laid out from the table of answers, not by the library."""

from __future__ import annotations

from pathlib import Path

import pytest

import stillroom
from tests.audit import layouts
from tests.audit.corpus import FOLDER, handouts
from tests.audit.drawn import CHANCE
from tests.audit.handout import Handout, text_of, write
from tests.audit.published import Fact, grade
from tests.trials import THOROUGH

SHEETS = ("openpyxl", "xlsxwriter")
ALL = [(food, form, layout) for food, form in layouts.foods() for layout in layouts.fitting(food, form)]
LAW = ALL if THOROUGH else CHANCE.sample(ALL, 60)
BY_NAME = {one.name: one for one in handouts()}


def _facts(handout: Handout) -> list[Fact]:
    return [
        fact
        for table in handout.tables
        for row in table.rows
        for cell in row
        if cell.kind != "acid"
        for fact in cell.facts
    ]


def _audited(handout: Handout, folder: Path) -> stillroom.Audit:
    audit = stillroom.audit(write(handout, folder)[0])
    assert sum(audit.counts.values()) == len(audit.cells)
    return audit


@pytest.mark.parametrize("name", BY_NAME)
def test_a_handout_with_the_published_values_needs_no_change(name: str, tmp_path: Path) -> None:
    handout = BY_NAME[name]
    audit = _audited(handout, tmp_path)
    found = [(one.verdict, one.row, one.column, one.cell) for one in audit.findings]
    assert audit.ok and (handout.stronger or not found), found
    judged = handout.places("minutes", "psi", "process", "options", "acid", "headspace")
    stronger = sum(
        any(grade(fact) == "stronger" for fact in handout.at(place).facts)
        for place in judged
        if handout.at(place).kind != "acid"
    )
    assert (audit.counts["same"], audit.counts["stronger"]) == (len(judged) - stronger, stronger)


@pytest.mark.parametrize(("food", "form", "layout"), LAW, ids="-".join)
def test_every_food_is_right_in_every_layout(food: str, form: str, layout: str, tmp_path: Path) -> None:
    handout = layouts.laid_out(food, form, layout)
    assert handout
    audit = _audited(handout, tmp_path)
    assert audit.ok and not audit.findings, [(one.verdict, one.row, one.cell) for one in audit.findings]
    assert audit.counts["same"] == len(handout.places("minutes", "psi", "process", "options", "acid"))


def test_the_files_are_what_is_built() -> None:
    """``python -m tests.audit.corpus`` writes them."""
    built = {one.name: text_of(one)[0] for one in handouts() if one.form not in SHEETS}
    assert {path.name: path.read_bytes() for path in FOLDER.iterdir()} == built
    assert len(handouts()) >= 40


def test_what_a_handout_says_is_what_the_library_answers() -> None:
    """Each process is asked for at the top of its band, and at a height within it, where the answer is one of them."""
    facts = sorted({fact for one in handouts() if not one.stronger for fact in _facts(one)}, key=str)
    facts = [fact for fact in facts if fact.band != (None, None)]
    for (food, form, pack, jar, canner), (above, to), option in facts if THOROUGH else CHANCE.sample(facts, 150):
        for feet in {to or 9000, (above or 0) + 1}:
            answer = stillroom.find(
                food, form=form or None, pack=pack or None, jar=jar, canner=canner, altitude=f"{feet} ft"
            )
            said = {(one.minutes, one.pressure_psi) for one in answer.options}
            assert tuple(option) in said, (food, pack, jar, canner, feet)


def test_every_value_in_the_clean_handouts_is_graded_the_same_by_hand() -> None:
    wrong = [(one.name, fact) for one in handouts() for fact in _facts(one) if fact.band != (None, None)
             if grade(fact) not in (("same", "stronger") if one.stronger else ("same",))]  # fmt: skip
    assert not wrong
