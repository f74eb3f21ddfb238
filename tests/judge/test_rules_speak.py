"""A verdict takes its figures and pages from shared/rules.csv: where a rule says another, so does the verdict."""

from __future__ import annotations

import csv
import shutil
from pathlib import Path

import pytest

import stillroom
from stillroom.answers.lookup import Lookup
from stillroom.answers.shelf import Shelf
from stillroom.errors import BadInput
from stillroom.package.package import Package
from stillroom.run import judgement, season
from stillroom.sheets import season_sheet, verdict_document, verdict_sheet
from tests.conftest import ROOT

OTHER = {
    "vent-time": "12", "gauge-adjust-limit": "1", "gauge-check": "2", "cool-jars": "13-25", "reprocess-within": "25",
    "use-within": "3",
}  # fmt: skip
"""Figures that no publication gives."""
PAGE = "8-88"
VENT = "minute,gauge_psi,event\n0,0,vent-start\n11,0,weight-on\n"
GOOD = VENT + "".join(f"{m},11,\n" for m in range(16, 37)) + "60,0,\n"
CODES = {"cool", "test-seals", "lost-liquid", "reprocess", "use-within", "label-and-store"}


@pytest.fixture(scope="module")
def other(tmp_path_factory: pytest.TempPathFactory) -> Lookup:
    """Lookup of a package whose rules have other figures, all on one page that is not printed."""
    root = tmp_path_factory.mktemp("package")
    for part in ("schedules", "shared", "schema"):
        shutil.copytree(ROOT / part, root / part)
    shutil.copy(ROOT / "datapackage.json", root)
    path = root / "shared/rules.csv"
    with path.open(encoding="utf-8", newline="") as file:
        rows = [{**row, "value": OTHER.get(row["id"], row["value"]), "page": PAGE} for row in csv.DictReader(file)]
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, rows[0], lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)
    return Lookup(Shelf(Package(str(root))))


def test_venting_that_is_long_enough_is_too_short_where_the_rule_asks_for_more(write, other):
    path = str(write(GOOD))
    assert stillroom.judge(path).verdict == "delivered"  # page 1-20: 10 minutes
    found = judgement.judge(path, other)
    assert (found.verdict, found.reasons) == ("short", ("vent-short",))
    assert [str(noted) for noted in found.because] == [
        f"Vented 11 minutes, from minute 0 to minute 11; 12 are needed (page {PAGE})."
    ]
    assert verdict_document.document(found)["required"]["vent_min"] == 12
    assert "after 12 minutes' venting" in " ".join(verdict_sheet.verdict_sheet(found, other.shelf, None).split())


def test_a_gauge_is_as_far_off_as_the_rule_lets_it_be(write, other):
    path = str(write(GOOD.replace(",11,", ",13,"), gauge={"reads_high_by": "1.5 psi", "tested": "2026-06-01"}))
    assert stillroom.judge(path).verdict == "delivered"  # page 1-20: up to 2 psi
    found = judgement.judge(path, other)
    assert found.verdict == "no verdict"
    assert str(found.because[0]) == f"The gauge reads 1-1/2 psi high; beyond 1 psi it must be replaced (page {PAGE})."


def test_a_gauge_is_tested_as_often_as_the_rule_says(write, other):
    path = str(write(GOOD, gauge={"reads_high_by": "0 psi", "tested": "2025-01-01"}))
    assert "gauge-untested" in {noted.code for noted in stillroom.judge(path).cautions}  # page 1-20: every year
    assert "gauge-untested" not in {noted.code for noted in judgement.judge(path, other).cautions}
    path = str(write(GOOD, gauge={"reads_high_by": "0 psi", "tested": "2024-01-01"}))
    told = next(noted for noted in judgement.judge(path, other).cautions if noted.code == "gauge-untested")
    assert "more than 2 years before the run" in told.text and (told.page, told.id) == (PAGE, "gauge-check")


def test_every_sentence_that_stands_on_a_rule_has_its_page_and_its_id(write, other):
    rules = {rule.id for rule in other.shelf.package.rules}
    longer = GOOD.replace("0,0,vent-start\n", "-2,0,vent-start\n")
    found = judgement.judge(str(write(longer)), other)
    assert found.verdict == "delivered" and {noted.code for noted in found.following} >= CODES
    steps = {noted.code: str(noted) for noted in found.following}
    assert "cool 13 to 25 hours" in steps["cool"] and "within 25 hours" in steps["reprocess"]
    assert steps["use-within"] == f"Use within 3 years (page {PAGE})."
    assert {noted.id for noted in found.following} <= rules
    assert {noted.page for noted in found.following} == {PAGE}
    held = next(noted for noted in found.because if noted.code == "held")
    assert (held.page, held.id) == ("4-9", None)  # the schedule's own page


def test_a_load_in_boiling_water_is_sent_to_the_page_of_the_rule(write, other):
    peaches = {"food": "peaches", "pack": "hot", "jar": "quart", "canner": "boiling-water", "gauge": None}
    for lookup, page in ((stillroom.lookup(), "1-18"), (other, PAGE)):
        found = judgement.judge(str(write(GOOD, **peaches)), lookup)
        assert [(noted.code, noted.page) for noted in found.because] == [("boil-unrecorded", page)]


def test_a_season_keeps_jars_as_long_as_the_rule_says(write, other, tmp_path):
    rules = other.shelf.rules
    kept = season.keep(judgement.judge(str(write(GOOD)), other), str(tmp_path / "season"), rules)
    assert "best_by: '2029-08-15'" in Path(kept.path).read_text(encoding="utf-8")
    entries = season.read(str(tmp_path / "season"), rules)
    sheet = " ".join(season_sheet.season_sheet(entries, other.shelf).split())
    assert f"Use within 3 years (page {PAGE})." in sheet and "what to do within 25 hours" in sheet
    with pytest.raises(BadInput, match=r"more than a year after 2026-08-15: use jars within a year \(page 1-12\)"):
        season.read(str(tmp_path / "season"), stillroom.shelf().rules)
