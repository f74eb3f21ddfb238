"""An erratum corrects one cell: both readings name it as the source of the row, and only this row cites it.

The erratum is invented; it stands in a copy of the package and nowhere else.
"""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from stillroom.answers.lookup import Lookup
from stillroom.answers.question import Question
from stillroom.answers.shelf import Shelf
from stillroom.desk import prepare
from stillroom.errors import BadPackage
from stillroom.findings import checks, rebuilt
from stillroom.findings.finding import Finding
from stillroom.findings.opened import CheckedPackage
from stillroom.package.package import Package
from tests.conftest import ROOT, table

FIRST, SECOND = "schedules/readings/schedules-first.csv", "schedules/readings/schedules-second.csv"
SOURCES = "shared/sources.csv"
ERRATUM = {
    "id": "invented-erratum", "author": "Nobody", "title": "An invented erratum", "edition": "2030",
    "short": "an invented erratum, 2030", "publisher": "Nobody", "address": "https://example.org/erratum",
    "licence": "invented for a test", "amends": "usda-2015",
}  # fmt: skip
BEANS = {"food": "Snap and Italian Beans", "pack": "raw", "jar": "quart", "gauge": "dial", "alt_lo_ft": "0"}

pytestmark = pytest.mark.usefixtures("narrow")


def _edit(package: Path, file: str, at: dict[str, str], **cells: str) -> None:
    """Edit the one row that has these cells."""
    rows = table(file, package)
    (row,) = [row for row in rows if all(row[name] == value for name, value in at.items())]
    row.update({name: value for name, value in cells.items() if name in row})
    _write(package / file, rows)


def _add(package: Path, file: str, **cells: str) -> None:
    rows = table(file, package)
    _write(package / file, [*rows, {name: cells.get(name, "") for name in rows[0]}])


def _write(path: Path, rows: list[dict[str, str]]) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, list(rows[0]), lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)


@pytest.fixture
def corrected(copy: Path) -> Callable[..., Path]:
    """Correct the minutes of one row of snap beans in both readings, with an erratum as its source."""

    def correct(minutes: str, source: str = ERRATUM["id"]) -> Path:
        _add(copy, SOURCES, **ERRATUM)
        for file in (FIRST, SECOND):
            _edit(copy, file, BEANS, minutes=minutes, source=source, page="web")
        return copy

    return correct


def _found(package: Path, *names: str) -> list[Finding]:
    chosen = [check for check in checks.every() if not names or check.name in names]
    report = checks.report(CheckedPackage(str(package)), chosen)
    assert not report.broken and not report.left_out
    return list(report.findings)


def _questions() -> Iterator[Question]:
    """One question for each row of vegetables: its combination at the top of its band, or above its start."""
    for row in table("schedules/vegetables.csv", ROOT):
        at = row["altitude_to_ft"] or str(int(row["altitude_from_ft"]) + 500)
        canner = row["gauge"] or row["method"]
        yield Question(row["food"], row["jar"], f"{at} ft", canner, row["pack"] or None, row["form"] or None)


def test_one_raised_cell_keeps_every_check_green_and_its_answer_alone_cites_the_erratum(corrected, capsys):
    package = corrected("30")
    assert prepare.main([str(package), "--reviewed"]) == 0, capsys.readouterr()
    assert capsys.readouterr().out.endswith("\nno findings\n")
    before, after = Lookup(Shelf(Package(str(ROOT)))), Lookup(Shelf(Package(str(package))))
    changed = [asked for asked in _questions() if before.find(asked) != after.find(asked)]
    (beans,) = changed
    assert (beans.food, beans.pack, beans.jar, beans.canner, beans.altitude) == (
        "snap-beans", "raw", "quart", "dial", "2000 ft",
    )  # fmt: skip
    (option,) = after.find(beans).options
    assert (option.minutes, option.pressure_psi) == (30, 11)
    assert (option.source.id, option.page) == ("invented-erratum", "web")
    assert option.source.cite() == "Nobody, An invented erratum, 2030"
    (next_band,) = after.find(beans._replace(altitude="2001 ft")).options
    assert (next_band.minutes, next_band.source.id, next_band.page) == (25, "usda-2015", "4-9")


def test_how_a_sheet_names_the_erratum_is_its_short_name_and_no_page(corrected):
    package = corrected("30")
    rebuilt.write(str(package))
    after = Lookup(Shelf(Package(str(package))))
    asked = Question("snap beans", "quart", "100 ft", "dial", "raw", None)
    assert after.find(asked).options[0].source.in_brackets == "an invented erratum, 2030"
    assert after.find(asked._replace(altitude="2500 ft")).options[0].source.in_brackets == "page 4-9"


def test_a_cell_that_an_erratum_lowers_leaves_the_pattern_and_is_found(corrected):
    package = corrected("20")
    rebuilt.write(str(package))
    found = _found(package, "bands")
    assert [(f.file, f.column, f.value) for f in found] == [("schedules/vegetables.csv", "minutes", "20")]


def test_the_same_raise_without_an_erratum_leaves_the_pattern_too(copy):
    for file in (FIRST, SECOND):
        _edit(copy, file, BEANS, minutes="30")
    rebuilt.write(str(copy))
    assert {f.check for f in _found(copy, "bands", "order")} == {"bands", "order"}


def test_an_erratum_that_only_one_reading_names_stops_the_build(corrected):
    package = corrected("30")
    _edit(package, SECOND, BEANS, source="usda-2015")
    with pytest.raises(BadPackage, match=r"\(invented-erratum\) in the first reading, .*\(usda-2015\) in the second"):
        rebuilt.rebuild(str(package))


def test_a_source_that_is_changed_in_the_table_alone_is_found(corrected):
    package = corrected("30")
    rebuilt.write(str(package))
    beans = {"food": "snap-beans", "pack": "raw", "jar": "quart", "gauge": "dial", "altitude_from_ft": "0"}
    _edit(package, "schedules/vegetables.csv", beans, source="usda-2015", page="4-9")
    assert {(f.check, f.column) for f in _found(package, "readings")} == {("readings", "source"), ("readings", "page")}


@pytest.mark.parametrize(
    ("amends", "check", "wrong"),
    [
        ("usda-2016", "structure", "is not in table sources"),
        ("invented-erratum", "sources", "amends another source itself"),
        ("usda-2015", "", ""),
    ],
)
def test_an_erratum_amends_a_publication_that_is_there_and_amends_nothing(corrected, amends, check, wrong):
    package = corrected("30")
    second = {**ERRATUM, "id": "invented-second", "amends": amends}
    _add(package, SOURCES, **second)
    found = [f for f in _found(package, "structure", "sources") if f.file == SOURCES]
    assert [(f.check, f.column) for f in found] == ([(check, "amends")] if check else [])
    assert all(wrong in f.message for f in found)


def test_a_source_without_pages_that_amends_nothing_has_no_caption_of_the_guide(corrected):
    package = corrected("30")
    rebuilt.write(str(package))
    _edit(package, SOURCES, {"id": ERRATUM["id"]}, amends="")
    with pytest.raises(BadPackage, match=r'caption "Snap and Italian Beans" is not in captions\.csv'):
        rebuilt.write(str(package))
    assert any(f.column == "page" and f.file == "schedules/vegetables.csv" for f in _found(package, "sources"))


def test_acid_and_headspace_keep_the_source_that_both_readings_name(copy):
    _add(copy, SOURCES, **ERRATUM)
    assert _found(copy, "acid", "preparation") == []
    figs = {"food": "figs", "jar": "pint", "acid": "bottled lemon juice"}
    _edit(copy, "schedules/acid.csv", figs, source=ERRATUM["id"], page="web")
    found = _found(copy, "acid")
    assert {f.column for f in found} == {"page", "source"}
    for file in ("schedules/readings/acid-first.csv", "schedules/readings/acid-second.csv"):
        _edit(copy, file, figs, source=ERRATUM["id"], page="web")
    assert _found(copy, "acid") == []
    _edit(copy, "schedules/headspace.csv", {"food": "asparagus"}, source=ERRATUM["id"])
    found = _found(copy, "preparation")
    assert found and {f.file for f in found} <= {
        "schedules/headspace.csv", "schedules/readings/foods-first.csv", "schedules/readings/foods-second.csv",
    }  # fmt: skip
