"""Files that are no handout: one line to the person who brought them, or an audit; never a traceback."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

import stillroom
from tests.audit import odd

REFUSED = (
    "empty.csv", "only-blanks.csv", "only-commas.csv", "print.pdf", "picture.png", "old.xls", "torn.xlsx",
    "no-table.html", "altitude-without-unit.csv", "folder.csv", "not-there.csv",
)  # fmt: skip
"""Those that must not be called right, or read at all."""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("odd")
    odd.put(made)
    odd.sheets(made)
    return made


def _refusal(path: Path) -> str:
    """What is said to the person; blank where it was read."""
    try:
        audit = stillroom.audit(path)
    except stillroom.StillroomError as refused:
        return str(refused)
    assert sum(audit.counts.values()) == len(audit.cells)
    assert str(audit)
    return ""


NAMES = [*odd.ODD, "folder.csv", "not-there.csv"]
NAMES += [f"odd-{name}.xlsx" for name in ("blank", "dates", "merged", "formulas", "hidden")]


@pytest.mark.parametrize("name", NAMES)
def test_an_odd_file_is_read_or_refused_in_one_line(name: str, folder: Path) -> None:
    start = time.monotonic()
    said = _refusal(folder / name)
    assert "\n" not in said and time.monotonic() - start < 60


@pytest.mark.parametrize("name", REFUSED)
def test_what_is_no_handout_is_refused(name: str, folder: Path) -> None:
    assert _refusal(folder / name)


def test_a_wild_number_is_never_the_same_as_a_published_one(folder: Path) -> None:
    """Of the wild ones ``20.`` and digits of another script may be read as 20; the others not."""
    audit = stillroom.audit(folder / "wild-numbers.csv")
    same = {cell.text for cell in audit.cells if cell.verdict == "same"}
    assert not audit.ok and same <= {"20.", "20", "\uff12\uff10", "\u0662\u0660"}


def test_a_wild_altitude_is_never_the_same_as_a_published_one(folder: Path) -> None:
    try:
        audit = stillroom.audit(folder / "wild-altitudes.csv")
    except stillroom.BadInput:
        return
    lines = {cell.line for cell in audit.cells if cell.verdict == "same"}
    assert not audit.ok and lines <= {6}  # 0-0 ft is within the lowest band


def test_a_file_in_which_nothing_was_judged_is_not_called_right(folder: Path) -> None:
    audit = stillroom.audit(folder / "text.xlsx")
    assert audit.processes or not audit.ok
