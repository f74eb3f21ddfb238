"""A second publication beside the 2015 guide: held to its own bands and pages, answered with its own citation.

The publication is invented (``invented.py``): it stands in copies of the package and nowhere else. What is compared
with the outside are its feet and psi: one foot is 0.3048 m exactly, one psi 6.894757 kPa (NIST Special Publication
811).
"""

from __future__ import annotations

import math
import random
import sqlite3
from collections.abc import Callable, Iterator
from itertools import product
from pathlib import Path

import pytest

from stillroom.answers.answer import Answer, NoTestedSchedule, SayWhich
from stillroom.answers.lookup import Lookup
from stillroom.answers.question import Question
from stillroom.answers.shelf import Shelf
from stillroom.day import day
from stillroom.desk import gate, prepare
from stillroom.errors import BadInput
from stillroom.findings import checks, rebuilt
from stillroom.findings.finding import Finding
from stillroom.findings.opened import CheckedPackage
from stillroom.package.package import Package
from stillroom.recipes import scaling
from stillroom.recipes.recipe_question import Wanted
from stillroom.run import judgement
from stillroom.sheets import answer_sheet, recipe_sheet
from stillroom.sheets.exported import export
from stillroom.site import data
from tests.conftest import ROOT, table
from tests.node import needs_node
from tests.repository import Restored, rehashed
from tests.second_publication import invented
from tests.second_publication.invented import BEANS, GUIDE, ID, PEARS
from tests.site.page import Page
from tests.trials import THOROUGH

JARS = ("half-pint", "12-ounce", "pint", "pint-and-half", "quart", "half-gallon")
CANNERS = ("boiling-water", "dial", "steam", "weighted")
HEIGHTS = ("0 ft", "984 ft", "984.5 ft", "985 ft", "1000 ft", "1000.5 ft", "1001 ft", "1968 ft", "1969 ft", "2000 ft",
           "2000.5 ft", "2952 ft", "2952.5 ft", "6000 ft", "6001 ft", "8001 ft")  # fmt: skip
FILTER = """
SELECT result, minutes, pressure_psi, headspace_in, acid, requires, cautions, by_rule, follows, source, page
FROM answer WHERE food = ? AND form = '' AND pack = ? AND jar = ? AND canner = ? AND above_ft < ? AND ? <= to_ft
ORDER BY option
"""


@pytest.fixture(scope="module")
def two(tmp_path_factory: pytest.TempPathFactory, pristine: Path) -> Path:
    """Give a package with both publications, made as a maintainer makes it, and not to be written to."""
    root = Restored(tmp_path_factory.mktemp("two"), pristine).root
    invented.add(root)
    assert prepare.main([str(root), "--reviewed"]) == 0
    return root


@pytest.fixture(scope="module")
def lent(tmp_path_factory: pytest.TempPathFactory, two: Path) -> Restored:
    return Restored(tmp_path_factory.mktemp("lent"), two)


@pytest.fixture
def spoiled(lent: Restored) -> Iterator[Path]:
    """Lend a copy with both publications, to be spoiled."""
    yield lent.root
    lent.restore()


@pytest.fixture(scope="module")
def shelf(two: Path) -> Shelf:
    return Shelf(Package(str(two)))


@pytest.fixture(scope="module")
def find(shelf: Shelf) -> Callable[..., Answer]:
    lookup = Lookup(shelf)

    def ask(food: str, altitude: str, jar: str = "quart", canner: str = "dial", pack: str | None = "hot") -> Answer:
        return lookup.find(Question(food, jar, altitude, canner, pack, None))

    return ask


def _found(package: Path) -> list[Finding]:
    """All that the checks find, but for those that take longest and are held by the package as made."""
    left = ("structure", "answers")
    report = checks.report(CheckedPackage(str(package)), [c for c in checks.every() if c.name not in left])
    assert not report.broken and not report.left_out
    return list(report.findings)


# the package as made


def test_the_package_with_both_publications_has_no_finding(two):
    report = checks.report(CheckedPackage(str(two)), checks.every())
    assert not report.broken and not report.left_out
    assert report.findings == ()


def test_printed_meters_and_kilopascals_become_feet_and_psi_that_ask_for_no_less(two):
    rows = [row for row in table("schedules/vegetables.csv", two) if row["food"] == BEANS and row["jar"] == "pint"]
    assert len(rows) == 3 and {row["source"] for row in rows} == {ID}
    for row, band, kpa, above in zip(rows, invented.DIAL, invented.KPA, ("", "300", "600"), strict=True):
        assert int(row["altitude_to_ft"]) == math.floor(int(band.to_m) / 0.3048)
        assert int(row["altitude_from_ft"]) == (math.floor(int(above) / 0.3048) + 1 if above else 0)
        assert int(row["pressure_psi"]) == math.ceil(int(kpa) / 6.894757293168361)
    opened = [row for row in table("schedules/fruit.csv", two) if row["food"] == PEARS and row["jar"] == "pint"]
    assert [(row["altitude_to_ft"], row["pressure_psi"]) for row in opened] == [("984", ""), ("1968", ""), ("", "")]


def test_every_answer_of_the_2015_guide_is_what_it_was(two):
    file = "schedules/answers.csv"
    kept = [row for row in table(file, two) if row["food"] not in (BEANS, PEARS)]
    assert kept == table(file, ROOT)
    assert ID not in {row["source"] for row in kept}


# answers


@pytest.mark.parametrize(
    ("altitude", "place"),
    [("0 m", 0), ("299 m", 0), ("984 ft", 0), ("984.1 ft", 1), ("985 ft", 1), ("300 m", 1), ("301 m", 1),
     ("599 m", 1), ("1968 ft", 1), ("1968.5 ft", 2), ("600 m", 2), ("601 m", 2), ("2952 ft", 2), ("899 m", 2)],
)  # fmt: skip
def test_a_height_falls_into_the_band_of_its_own_publication(find, altitude, place):
    (option,) = find("snap beans of the invented handbook", altitude).options
    band = invented.DIAL[place]
    assert (option.minutes, option.pressure_psi) == (40, int(invented.PSI[place]))
    assert (option.altitude_from_ft, option.altitude_to_ft) == (int(band.from_ft), int(band.to_ft))
    assert (option.source.id, option.page, option.source.page) == (ID, "p. 31", "p. 31")
    assert option.source.cite() == "Nobody, An invented handbook, 2031, p. 31"
    (pears,) = find("pears of the invented handbook", altitude, canner="boiling-water").options
    assert (pears.minutes, pears.page, pears.source.id) == (int(invented.PEARS_MIN["quart"][place]), "F-5", ID)


@pytest.mark.parametrize("altitude", ["900 m", "2952.1 ft", "2953 ft"])
def test_above_the_last_band_is_refused_with_the_page_of_its_own_publication(find, altitude):
    with pytest.raises(NoTestedSchedule, match="ends at 2,952 ft") as told:
        find("snap beans of the invented handbook", altitude)
    assert told.value.code == "altitude-not-tested"
    assert (told.value.source.id, told.value.source.page) == (ID, "p. 31")
    assert find("snap and Italian beans", altitude).options[0].source.id == GUIDE


@pytest.mark.parametrize(("food", "canner"), [(BEANS, "dial"), (PEARS, "boiling-water")])
def test_nothing_that_goes_with_an_answer_is_of_the_other_publication(find, food, canner):
    (option,) = find(food, "500 m", canner=canner).options
    assert option.headspace_in == float(invented.HEADSPACE[food]) and option.acid == () and option.by_rule is None
    assert option.not_recommended == ()
    said = [(stated.id, stated.source and stated.source.id, stated.page) for stated in option.requires]
    assert said == ([(invented.VENT, ID, "p. 33")] if food == BEANS else [])
    assert [stated.page for stated in option.cautions] == [None], "the standing caution alone"


def test_jar_rules_weighted_gauges_and_steam_of_the_guide_carry_nothing_of_the_other(find):
    asked = {"half-pint": "dial", "pint-and-half": "dial", "quart": "weighted"}
    for jar, canner in asked.items():
        assert find("snap-beans", "500 ft", jar=jar, canner=canner).options[0].source.id == GUIDE
        with pytest.raises(NoTestedSchedule) as told:
            find(BEANS, "500 ft", jar=jar, canner=canner)
        assert told.value.code == ("canner-not-tested" if canner == "weighted" else "jar-not-tested")
        assert {(near.food, near.source) for near in told.value.tested} == {(BEANS, ID)}
    assert find("pears", "500 ft", canner="steam").options[0].by_rule is not None
    with pytest.raises(NoTestedSchedule, match="processes of another publication"):
        find(PEARS, "500 ft", canner="steam")
    with pytest.raises(NoTestedSchedule) as raw:
        find(BEANS, "500 ft", pack="raw")
    assert raw.value.code == "pack-not-tested"


def test_a_jar_rule_that_the_second_publication_prints_carries_its_own_rows_only(spoiled):
    rule = {"jar": "half-pint", "takes": "quart", "source": ID, "page": "p. 12", "statement": "invented"}
    invented._rows(spoiled, "shared/jar-rules.csv", rule, {**rule, "jar": "half-gallon"})
    lookup = Lookup(Shelf(Package(str(spoiled))))
    for jar in ("half-pint", "half-gallon"):
        (option,) = lookup.find(Question(BEANS, jar, "0 ft", "dial", "hot", None)).options
        assert (option.minutes, option.by_rule.source.id, option.by_rule.page) == (40, ID, "p. 12")
    (theirs,) = lookup.find(Question("snap-beans", "half-pint", "0 ft", "dial", "hot", None)).options
    assert (theirs.minutes, theirs.by_rule.page, theirs.source.id) == (20, "1-23", GUIDE), "the time of pints, page 4-9"
    with pytest.raises(NoTestedSchedule):
        lookup.find(Question("snap-beans", "half-gallon", "0 ft", "dial", "hot", None))


def test_a_name_that_both_have_gives_one_whole_answer_for_each_with_its_own_citation(find, shelf):
    with pytest.raises(SayWhich) as told:
        find("green beans", "299 m")
    assert told.value.what == "food"
    mine, theirs = told.value.answers
    assert [(a.food, o.minutes, o.pressure_psi, o.headspace_in, o.source.id, o.page)
            for a in (mine, theirs) for o in a.options] == [
        (BEANS, 40, 13, 1.25, ID, "p. 31"), ("snap-beans", 25, 11, 1.0, GUIDE, "4-9"),
    ]  # fmt: skip
    text = " ".join(answer_sheet.say_which_sheet(told.value, shelf).split())
    assert text.count("Source: ") == 2 and "An invented handbook, 2031, p. 31." in text and "page 4-9." in text
    assert "Vent the canner 12 minutes before pressurizing (invented handbook, 2031, p. 33)" in text
    assert text.count("Vent the canner 10 minutes") == 1, "the guide's venting stands with the guide's answer alone"
    assert text.index("Vent the canner 10 minutes") > text.index("Snap and Italian beans: 25 minutes")


def test_a_sheet_names_the_publication_beside_each_of_its_pages_and_none_of_the_guide(find, shelf):
    text = " ".join(answer_sheet.answer_sheet(find(BEANS, "299 m"), shelf).split())
    assert "Headspace: 1-1/4 inches (invented handbook, 2031, p. 30)." in text
    assert "1-20" not in text and "Complete Guide" not in text and "(page" not in text


def test_a_day_that_would_be_planned_by_rules_of_the_guide_is_refused(find, shelf):
    with pytest.raises(BadInput, match="by the rules of another publication than its own"):
        day.plan(find(BEANS, "299 m"), shelf, jars=14)
    assert day.plan(find("snap-beans", "299 m"), shelf, jars=14).jars == 14


def test_a_run_that_would_be_judged_by_rules_of_the_guide_is_refused(shelf, tmp_path):
    record = "food: {food}\npack: hot\njar: quart\nrun: run.csv\naltitude: 299 m\ncanner: dial\n"
    (tmp_path / "run.csv").write_text("minute,gauge_psi\n0,14\n", encoding="utf-8")
    for food, said in ((BEANS, "by the rules of another publication than its own"), ("snap-beans", "")):
        path = tmp_path / f"{food}.yaml"
        path.write_text(record.format(food=food) + "gauge: {reads_high_by: 0 psi}\n", encoding="utf-8")
        if said:
            with pytest.raises(BadInput, match=said):
                judgement.judge(str(path), Lookup(shelf))
        else:
            assert judgement.judge(str(path), Lookup(shelf)).verdict != "delivered"


def test_a_recipe_says_of_which_publication_its_pages_are(shelf):
    found = scaling.recipe(shelf, Wanted(BEANS, 40, "quart", "hot"))
    text = recipe_sheet.recipe_sheet(found, shelf)
    assert "Pages named alone are of: invented handbook, 2031." in text
    assert "1-17" not in text and "Complete Guide" not in text


def test_one_filter_on_the_table_of_answers_gives_what_find_gives(two, shelf, tmp_path):
    export(str(two), str(tmp_path / "two.sqlite"), "sqlite")
    lookup, asked = Lookup(shelf), 0
    with sqlite3.connect(tmp_path / "two.sqlite") as base:
        for food, pack, jar, canner, height in product((BEANS, PEARS), ("hot", "raw"), JARS, CANNERS, HEIGHTS):
            feet = float(height.removesuffix(" ft"))
            rows = base.execute(FILTER, (food, pack, jar, canner, feet, feet)).fetchall()
            assert rows == _answered(lookup, food, pack, jar, canner, height), (food, pack, jar, canner, height)
            asked += 1
    assert asked == 2 * 2 * 6 * 4 * len(HEIGHTS)


def _answered(lookup: Lookup, food: str, pack: str, jar: str, canner: str, height: str) -> list[tuple[object, ...]]:
    try:
        answer = lookup.find(Question(food, jar, height, canner, pack, None))
    except NoTestedSchedule as refusal:
        cited = (refusal.source.id, refusal.source.page) if refusal.source else (None, None)
        return [(refusal.code, *[None] * 8, *cited)]
    return [
        ("tested", o.minutes, o.pressure_psi, o.headspace_in, None, " ".join(s.id for s in o.requires) or None,
         " ".join(s.id for s in o.cautions) or None, None, None, o.source.id, o.page)
        for o in answer.options
    ]  # fmt: skip


# the gate


def test_adding_it_is_announced_answers_first_and_needs_its_lines(two, pristine):
    judged = gate.verdict(str(two), str(pristine))
    people = " ".join(judged.announced)
    assert "made" in people and "answers" in people
    new = {f.file for f in judged.findings}
    assert {"schedules/vegetables.csv", "schedules/fruit.csv", "schedules/foods.csv"} <= new


# wrong edits of it


PINT = {"food": BEANS, "jar": "pint", "altitude_from_ft": "985"}
READ = {"source": ID, "guide": "1", "jar": "pint", "alt_lo_m": "301"}
READINGS = ("schedules/readings/schedules-first.csv", "schedules/readings/schedules-second.csv")
BANDS, PATTERNS = "shared/altitude-bands.csv", "shared/band-patterns.csv"


def _wrong(package: Path, *edits: tuple[str, dict[str, str], dict[str, str]]) -> set[str]:
    """Make edits, build what is built, renew every hash, and name the checks that find it."""
    for file, at, cells in edits:
        invented.edit(package, file, at, **cells)
    rehashed(package)
    return {finding.check for finding in _found(package)}


@pytest.mark.parametrize(
    ("file", "at", "cells", "check"),
    [
        ("schedules/vegetables.csv", PINT, {"minutes": "30"}, "readings"),
        ("schedules/vegetables.csv", PINT, {"minutes": "30"}, "bands"),
        ("schedules/vegetables.csv", PINT, {"pressure_psi": "13"}, "bands"),
        ("schedules/vegetables.csv", PINT, {"altitude_to_ft": "2000"}, "bands"),
        ("schedules/vegetables.csv", PINT, {"page": "4-9"}, "sources"),
        ("schedules/vegetables.csv", PINT, {"page": "p. 41"}, "sources"),
        ("schedules/vegetables.csv", PINT, {"page": "F-5"}, "sources"),
        ("schedules/vegetables.csv", PINT, {"source": GUIDE}, "publications"),
        ("schedules/vegetables.csv", PINT, {"source": GUIDE}, "bands"),
        ("schedules/vegetables.csv", {"food": BEANS}, {"source": GUIDE, "page": "4-9"}, "bands"),
        ("schedules/vegetables.csv", {"food": "snap-beans"}, {"source": ID, "page": "p. 31"}, "bands"),
        ("schedules/vegetables.csv", {"food": "snap-beans"}, {"source": ID, "page": "p. 31"}, "publications"),
        ("schedules/fruit.csv", {"food": PEARS, "altitude_from_ft": "985"}, {"minutes": "36"}, "times"),
        (BANDS, {"source": ID, "altitude_to_m": "600"}, {"altitude_to_ft": "1969"}, "bands"),
        (BANDS, {"source": ID, "altitude_to_m": "300"}, {"altitude_to_m": "400"}, "bands"),
        (BANDS, {"source": ID, "altitude_to_m": "300"}, {"altitude_to_m": "3oo"}, "bands"),
        (BANDS, {"source": ID, "altitude_to_ft": "984"}, {"altitude_to_ft": ""}, "bands"),
        (BANDS, {"source": ID, "altitude_from_m": "301"}, {"altitude_from_m": "310"}, "bands"),
        (PATTERNS, {"source": ID, "rise_min": "15"}, {"rise_min": "x"}, "bands"),
        (READINGS[0], READ, {"kpa": "9O"}, "readings"),
        (BANDS, {"source": ID, "altitude_to_m": "300"}, {"altitude_to_m": "400"}, "readings"),
        (PATTERNS, {"source": ID, "pressure_psi": "13"}, {"pressure_psi": "12"}, "bands"),
        (PATTERNS, {"source": ID, "rise_min": "15"}, {"rise_min": "10"}, "bands"),
        ("shared/guides.csv", {"source": ID, "guide": "1"}, {"last_page": "p. 30"}, "sources"),
        ("shared/guides.csv", {"source": ID, "guide": "1"}, {"last_page": "F-4"}, "sources"),
        ("schedules/readings/captions.csv", {"source": ID, "guide": "1"}, {"source": GUIDE}, "sources"),
        ("schedules/headspace.csv", {"food": BEANS}, {"headspace_in": "1"}, "preparation"),
        ("schedules/headspace.csv", {"food": BEANS}, {"source": GUIDE, "page": "4-8"}, "publications"),
        ("schedules/conditions.csv", {"food": BEANS}, {"source": GUIDE, "page": "1-20"}, "publications"),
        ("shared/cautions.csv", {"id": invented.VENT}, {"kind": "note"}, "publications"),
        (READINGS[0], READ, {"kpa": "83"}, "readings"),
        (READINGS[0], READ, {"alt_lo_ft": "985"}, "readings"),
        (READINGS[1], READ, {"source": GUIDE}, "readings"),
    ],
)
def test_a_wrong_edit_is_found_though_its_hash_is_renewed(spoiled, file, at, cells, check):
    assert check in _wrong(spoiled, (file, at, cells))


def test_a_time_that_is_lowered_in_one_cell_of_both_readings_leaves_its_pattern(spoiled):
    for file in READINGS:
        invented.edit(spoiled, file, READ, minutes="30")
    rebuilt.write(str(spoiled))
    rehashed(spoiled)
    assert "bands" in {f.check for f in _found(spoiled)}


@pytest.mark.parametrize("file", [BANDS, PATTERNS])
def test_a_publication_that_is_missing_in_the_table_of_bands_or_patterns_is_found(spoiled, file):
    invented.drop(spoiled, file, {"source": ID})
    rehashed(spoiled)
    said = [f.message for f in _found(spoiled) if f.check == "bands"]
    assert any(f"{ID} has guides and no altitude bands" in one or "has no pattern" in one for one in said)


def test_rows_for_a_canner_that_their_publication_has_no_bands_for_are_found(spoiled):
    invented.drop(spoiled, BANDS, {"source": ID, "band_set": "dial"})
    invented.drop(spoiled, PATTERNS, {"source": ID, "band_set": "dial"})
    rehashed(spoiled)
    found = [f for f in _found(spoiled) if f.check == "bands" and f.column == "source"]
    assert {f.file for f in found} == {"schedules/vegetables.csv"}
    assert all("declares no altitude bands for this canner (dial)" in f.message for f in found)


def test_a_pattern_of_the_second_publication_that_no_row_keeps_is_needless(spoiled):
    rows = [{**row, "pattern": "2"} for row in table(PATTERNS, spoiled) if row["source"] == ID]
    invented._rows(spoiled, PATTERNS, *({**row, "rise_min": "0"} for row in rows if row["band_set"] == "boiling-water"))
    rehashed(spoiled)
    assert any("no rows keep the pattern 0/0/0" in f.message for f in _found(spoiled))


def test_near_miss_a_time_that_is_no_multiple_of_five_is_excused_by_its_page(spoiled):
    for file in READINGS:
        for band, minutes in zip(invented.BOILING, ("36", "41", "51"), strict=True):
            at = {"source": ID, "guide": "2", "jar": "quart", "alt_lo_m": band.from_m}
            invented.edit(spoiled, file, at, minutes=minutes)
    rebuilt.write(str(spoiled))
    rehashed(spoiled)
    assert {f.check for f in _found(spoiled)} == {"times"}
    for minutes in ("36", "41", "51"):
        excused = {"check": "times", "food": PEARS, "pack": "hot", "jar": "quart", "minutes": minutes,
                   "statement": "printed so", "source": ID, "page": "F-5"}  # fmt: skip
        invented._rows(spoiled, "shared/exceptions.csv", excused)
    read = [{"table": "exceptions", "key": f"times|{PEARS}||hot|quart||{minutes}", "page": "F-5"}
            for minutes in ("36", "41", "51")]  # fmt: skip
    invented._rows(spoiled, "schedules/readings/pages-second.csv", *read)
    rehashed(spoiled)
    assert {f.check for f in _found(spoiled)} <= {"form"}, "new rows stand at the end until they are put in order"


@needs_node
def test_the_page_answers_both_like_the_library(shelf: Shelf, tmp_path: Path) -> None:
    """What one publication says is never told as of the other, in the page neither."""
    foods = (BEANS, PEARS, "snap-beans", "snap beans", "pears", "green beans")
    asked = product(foods, (None, *JARS), (None, "pressure canner", *CANNERS), (None, "hot", "raw"), HEIGHTS)
    questions = [dict(zip(("food", "jar", "canner", "pack", "altitude"), one, strict=True)) for one in asked]
    chosen = questions if THOROUGH else random.sample(questions, 300)
    lookup = Lookup(shelf)
    page = Page(tmp_path, data.script(shelf))
    assert page.differing(chosen, find=lambda **said: lookup.find(Question(**said))) == []
    said = page.said([{"food": BEANS, "jar": "quart", "canner": "dial", "pack": "hot", "altitude": "984 ft"}])[0]
    assert {option["source"]["id"] for option in said["options"]} == {ID}
    assert all(option["vent"] is None for option in said["options"])
