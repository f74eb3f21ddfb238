"""Slips in handouts that were right: each is found, in its row, with its verdict, and nothing beside it is blamed."""

from __future__ import annotations

import random
from collections import Counter
from pathlib import Path

import pytest

import stillroom
from tests.audit.corpus import handouts
from tests.audit.drawn import CHANCE
from tests.audit.handout import Cell, Handout, write
from tests.audit.slips import BAD, KINDS, Slip, slips
from tests.trials import THOROUGH

DRAWN = slips(CHANCE, 8 if THOROUGH else 1)
LOOKS = ("shifted one column", "pints and quarts exchanged", "hot and raw exchanged")
NAMES = [f"{one.kind}, {one.handout.name} {one.place}" for one in DRAWN]


@pytest.mark.parametrize("slip", DRAWN, ids=NAMES)
def test_a_slip_is_found_in_its_row_and_nothing_else_is_blamed(slip: Slip, tmp_path: Path) -> None:
    path, lines = write(slip.handout, tmp_path)
    line = lines[slip.place[:2]]
    audit = stillroom.audit(path)
    found = [(one.verdict, one.row, one.column, one.cell) for one in audit.findings]
    assert not [one for one in audit.findings if one.row != line and one.verdict in BAD], found
    if slip.note and any(one.line == line and one.warns for one in audit.read_yourself):
        return
    here = [one for one in audit.findings if one.row == line and one.verdict in slip.verdicts]
    if slip.text is not None:
        here = [one for one in here if one.cell == slip.text or any(cell[2] == slip.place[2] for cell in one.cells)]
    assert here, (line, sorted(slip.verdicts), slip.text, found)
    assert audit.ok == (slip.verdicts == {"stronger"})


def test_a_slip_of_a_known_look_is_given_its_look(tmp_path: Path) -> None:
    """In most of them: a value can look like two things, or the cells of a merged head may not tell."""
    looks = Counter[bool]()
    for slip in slips(random.Random(3), 8 if THOROUGH else 2, LOOKS):
        path, lines = write(slip.handout, tmp_path)
        line = lines[slip.place[:2]]
        looks[any(one.looks_like for one in stillroom.audit(path).findings if one.row == line)] += 1
    assert looks[True] >= 0.8 * looks.total(), looks


def test_a_wrong_time_beside_many_bands_is_one_line(tmp_path: Path) -> None:
    """One line per cause: a time with six columns of pressure beside it is wrong once."""
    wide = next(KINDS["time lowered"](_handout("yelden-two-gauges.csv")))
    path, lines = write(wide.handout, tmp_path)
    weaker = [one for one in stillroom.audit(path).findings if one.verdict == "weaker"]
    assert [one.row for one in weaker] == [lines[wide.place[:2]]]


HARD = [
    ("eastmere-tidy.tsv", (0, 1, 5), "??"),
    ("nether-low.md", (0, 1, 3), "??"),
    ("gorham-no-quarts.csv", (0, 1, 2), "??"),
    ("brora-half-pints.csv", (0, 1, 5), "??"),
    ("jarrow-steam.csv", (0, 2, 3), "??"),
    ("gorham-no-quarts.csv", (0, 4, 3), "3S"),
]
"""Cells that nobody can read, in the first or the last row, or alone in theirs."""


@pytest.mark.parametrize(("name", "place", "text"), HARD)
def test_a_cell_that_nobody_can_read_is_found_in_every_row(
    name: str, place: tuple[int, int, int], text: str, tmp_path: Path
) -> None:
    path, lines = write(_handout(name).put({place: Cell(text, "minutes")}), tmp_path)
    found = {(one.verdict, one.row) for one in stillroom.audit(path).findings}
    assert found & {("unread", lines[place[:2]]), ("missing", lines[place[:2]])}


def test_there_are_slips_of_many_kinds_and_every_kind_has_some() -> None:
    drawn = Counter(one.kind for one in slips(random.Random(1), 8))
    assert len(drawn) == len(KINDS) >= 25 and drawn.total() >= 250


def _handout(name: str) -> Handout:
    return next(one for one in handouts() if one.name == name)
