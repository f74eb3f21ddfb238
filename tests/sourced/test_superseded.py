"""Superseded leaflets are recognized by exactly what they printed, with their own altitude rule, and by nothing else.

Sources: USDA Home and Garden Bulletin 8, 1965, pages 11, 15, 17 and 20; USDA Home and Garden Bulletin 106, 1972, pages
5 and 22; USDA Agriculture Information Bulletin 410, 1977, pages 327, 329 and 333.
"""

from __future__ import annotations

import csv
import subprocess
import sys

import pytest

import stillroom
from stillroom.answers.superseded import recognized
from tests.conftest import ROOT

TOMATOES = ("tomatoes-raw-no-liquid", "", "raw", "quart", "boiling-water")


def _rows(name: str) -> list[dict[str, str]]:
    with (ROOT / f"schedules/{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        ((*TOMATOES, 0, 1000, 45, None), "As USDA printed it in 1965; its time was raised since"),
        ((*TOMATOES, 1001, 3000, 49, None), "in 1965 with its rule for 2,000 ft; its time was raised"),
        (("snap-beans", "", None, "pint", "dial", 0, 2000, 20, 10), "in 1965 and 1977; its pressure was raised since"),
        (("snap-beans", "", None, "pint", "weighted", 0, 1000, 20, 10), "unchanged since"),
        (("snap-beans", "", None, "pint", "dial", 0, 2000, None, 10), "The pressure is as USDA printed it"),
        (("snap-beans", "", "raw", "pint", "weighted", 2001, None, 20, 15), "printed it in 1977 with its rule"),
        (("chicken-or-rabbit", "with-bones", "raw", "quart", "dial", 0, 2000, 80, 10), "its time was lowered and"),
        (("cream-style-corn", "", "raw", "pint", "dial", 0, 2000, 95, 10), "not published so any more"),
        (("hominy", "", "", "quart", "dial", 0, None, 70, 10), "withdrawn since"),
    ],
)
def test_a_figure_that_a_leaflet_printed_is_recognized(asked: tuple[object, ...], says: str) -> None:
    found = recognized(stillroom.shelf(), *asked)  # type: ignore[arg-type]
    assert found is not None
    assert says in str(found)


@pytest.mark.parametrize(
    "asked",
    [
        (*TOMATOES, 0, 1000, 44, None),
        (*TOMATOES, 0, 1000, 47, None),
        (*TOMATOES, 1001, 3000, 48, None),
        (*TOMATOES, 0, 1000, None, None),
        ("tomatoes-raw-no-liquid", "", "hot", "quart", "boiling-water", 0, 1000, 45, None),
        ("tomatoes-raw-no-liquid", "", "raw", "half-gallon", "boiling-water", 0, 1000, 45, None),
        ("tomatoes-raw-no-liquid", "", "raw", "quart", "steam", 0, 1000, 45, None),
        ("snap-beans", "", None, "pint", "dial", 0, 2000, 20, 11),
        ("chicken-or-rabbit", "without-bones", "raw", "quart", "dial", 0, 2000, 80, 10),
        ("garlic", "", "raw", "pint", "dial", 0, 2000, 20, 10),
    ],
)
def test_a_figure_that_no_leaflet_printed_there_is_not(asked: tuple[object, ...]) -> None:
    assert recognized(stillroom.shelf(), *asked) is None  # type: ignore[arg-type]


def test_the_two_leaflets_that_print_the_altitude_table_print_the_same() -> None:
    """Bulletin 8 (pages 11 and 17) and Bulletin 410 (page 329) are separate prints of one table."""

    def of(source: str) -> list[tuple[str, ...]]:
        rows = (row for row in _rows("superseded-altitudes") if row["source"] == source and not row["gauge"])
        return [tuple(cell for name, cell in row.items() if name not in ("source", "page")) for row in rows]

    assert of("usda-hg8-1965") == of("usda-aib410-1977")
    assert len(of("usda-hg8-1965")) == 25


def test_the_cells_of_the_1977_leaflet_are_those_of_1965() -> None:
    names = {"cut green beans": "Beans, Snap", "peaches": "Peaches"}
    place = ("pack", "container", "method", "minutes", "pressure_psi")
    rows = _rows("superseded")
    old = {(row["caption"], *(row[name] for name in place)) for row in rows if row["source"] == "usda-hg8-1965"}
    new = [(names[row["caption"]], *(row[name] for name in place)) for row in rows if row["source"].endswith("1977")]
    assert len(new) == 8
    assert set(new) <= old


def test_no_answer_stands_on_a_leaflet() -> None:
    leaflets = {row["source"] for row in _rows("superseded-sources")}
    assert len(leaflets) == 3
    assert not leaflets & {row["source"] for row in _rows("answers")}


def test_a_question_that_is_answered_reads_no_leaflet() -> None:
    code = (
        "import sys, stillroom\n"
        "stillroom.find('snap beans', pack='raw', jar='quart', altitude='1650 ft', canner='dial')\n"
        "assert 'stillroom.package.leaflets' not in sys.modules\n"
        "assert 'stillroom.answers.earlier' not in sys.modules\n"
    )
    subprocess.run([sys.executable, "-c", code], check=True, env={"PYTHONPATH": str(ROOT / "validator")})
