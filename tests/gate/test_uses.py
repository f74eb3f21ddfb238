"""What stands on a thing, counted a second time from the files alone; who read it, and when."""

from __future__ import annotations

import csv
import json
from collections import Counter
from pathlib import Path

import pytest

from stillroom.commands.main import main
from stillroom.desk.uses import OWN, Uses, uses
from stillroom.errors import BadInput
from stillroom.package.tables import TABLES
from stillroom.sheets.uses_sheet import uses_document, uses_sheet
from tests.repository import HOME


def rows(file: str) -> list[dict[str, str]]:
    with (HOME / file).open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


ANSWERS = [row for row in rows("schedules/answers.csv") if row["result"] == "tested"]


def one(said: str) -> Uses:
    (found,) = uses(str(HOME), said)
    return found


def counted(found: Uses) -> dict[str, int]:
    return dict(found.answers.foods)


@pytest.mark.parametrize("rule", ["half-pint-takes-pint", "pint-and-half-takes-quart", "fish-12-ounce-takes-pint"])
def test_a_jar_rule_carries_the_answers_that_name_it(rule: str) -> None:
    found = one(rule)
    assert found.kind == "jar rule"
    assert counted(found) == Counter(row["food"] for row in ANSWERS if rule in row["by_rule"].split())
    assert found.answers.tested == sum(counted(found).values()) > 0


@pytest.mark.parametrize("statement", ["sterile-jars", "pickle-proportions-fixed", "no-wild-mushrooms"])
def test_a_statement_has_its_answers_and_the_rows_that_ask_for_it(statement: str) -> None:
    found = one(statement)
    named = [row for row in ANSWERS if statement in f"{row['requires']} {row['cautions']}".split()]
    assert counted(found) == Counter(row["food"] for row in named)
    asked = [at for at, row in enumerate(rows("schedules/conditions.csv"), 2) if row["statement"] == statement]
    assert [place.line for place in found.places if place.file == "schedules/conditions.csv"] == asked


def test_low_acid_answers_are_counted_and_their_foods_stand_first() -> None:
    acidity = {row["id"]: row["acidity"] for row in rows("schedules/foods.csv")}
    found = one("half-pint-takes-pint")
    low = {food: number for food, number in found.answers.foods if acidity[food] == "low-acid"}
    assert found.answers.low_acid == sum(low.values())
    assert [food for food, _ in found.answers.foods[: len(low)]] == list(low)


@pytest.mark.parametrize("said", ["4-9", "page 4-9", "PAGE  4-9", "usda-2015 4-9", "usda-2015 page 4-9"])
def test_a_page_has_its_rows_its_answers_and_who_read_it(said: str) -> None:
    found = one(said)
    printed = [at for at, row in enumerate(rows("schedules/vegetables.csv"), 2) if row["page"] == "4-9"]
    assert [place.line for place in found.places if place.file == "schedules/vegetables.csv"] == printed
    assert counted(found) == Counter(row["food"] for row in ANSWERS if row["page"] == "4-9")
    assert {(read.reading, read.copy) for read in found.read} >= {("reading-schedules-first", "text copy A")}
    assert any(place.file == "schedules/recipes/beets.yaml" for place in found.places)


def test_a_page_with_a_rule_has_the_answers_that_the_rule_carries() -> None:
    carried = [
        row for row in ANSWERS if {"half-pint-takes-pint", "pint-and-half-takes-quart"} & {*row["by_rule"].split()}
    ]
    assert counted(one("1-23")) == Counter(row["food"] for row in carried)


def test_a_food_has_those_that_follow_it_its_names_and_both_readings() -> None:
    found = one("peaches")
    assert counted(found) == Counter(row["food"] for row in ANSWERS if "peaches" in (row["food"], row["follows"]))
    assert {"apricots", "nectarines"} <= counted(found).keys()
    files = {place.file for place in found.places}
    assert {f"schedules/readings/schedules-{which}.csv" for which in ("first", "second")} <= files
    assert {read.reading for read in found.read} >= {"reading-schedules-first", "reading-schedules-second"}


def test_a_source_has_the_rows_that_cite_it() -> None:
    cited = [at for at, row in enumerate(rows("schedules/withheld.csv"), 2) if row["source"] == "psu-fats"]
    assert [place.line for place in one("psu-fats").places if place.file == "schedules/withheld.csv"] == cited


def test_a_rule_that_only_the_library_reads_names_the_modules() -> None:
    files = {place.file for place in one("vent-time").places}
    assert "stillroom/day/day.py" in files


@pytest.mark.parametrize("kind", OWN)
def test_everything_with_an_id_can_be_asked_for_and_told(kind: str) -> None:
    import jsonschema

    schema = json.loads((HOME / "schema" / "uses.json").read_text())
    jsonschema.Draft202012Validator.check_schema(schema)
    table = TABLES[OWN[kind]]
    ids = ["half-pint-takes-pint"] if kind == "jar rule" else [row["id"] for row in rows(table.file)]
    for said in ids[:: max(1, len(ids) // 12)]:
        found = [one for one in uses(str(HOME), said) if one.kind == kind]
        assert [place.file for one in found for place in one.stands] == [table.file], said
        jsonschema.validate(uses_document(found), schema)
        assert max(map(len, uses_sheet(found).splitlines())) <= 80


@pytest.mark.parametrize("said", ["", "nonsense", "9-99", "4-9 4-9", "page", "x" * 10_000, "\u202e4-9", "vent time"])
def test_what_is_nothing_of_the_package_is_bad_input_in_one_line(said: str) -> None:
    with pytest.raises(BadInput, match="is no rule, statement, source") as caught:
        uses(str(HOME), said)
    assert len(str(caught.value)) < 250
    assert str(caught.value).isprintable()


def test_a_slip_names_the_nearest_ids() -> None:
    with pytest.raises(BadInput, match="near to it: vent-time"):
        uses(str(HOME), "vent-tme")


def test_the_command_prints_text_or_a_document(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(HOME / "schedules")
    assert main(["uses", "page", "4-9"]) == 0
    told = capsys.readouterr().out
    assert told.startswith("page 4-9 of usda-2015\n  - 72 answers (72 of low-acid food): snap-beans 48, beets 24\n")
    assert "Read 2026-11-25 by the first reader from text copy A of usda-2015" in told
    assert main(["uses", "vent-time", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["uses"][0]["id"] == "vent-time"
    assert main(["uses", "nothing-of-ours"]) == 2
    assert capsys.readouterr().err.splitlines()[1:] == [
        'stillroom: "nothing-of-ours" is no rule, statement, source, food, withheld thing or cited page of this package'
    ]


def test_a_package_elsewhere_is_asked_for_itself(tmp_path: Path, copy: Path) -> None:
    file = copy / "schedules/conditions.csv"
    lines = file.read_text().splitlines(keepends=True)
    file.write_text("".join(line for line in lines if ",sterile-jars," not in line))
    (found,) = uses(str(copy), "sterile-jars")
    assert not [place for place in found.places if place.file == "schedules/conditions.csv"]
