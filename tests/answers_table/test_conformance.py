"""The cases for authors in other languages: one filter on the table of answers says the same, case by case."""

from __future__ import annotations

import csv
import json
from collections import defaultdict
from pathlib import Path
from typing import Any

import pytest

from stillroom.answers.shelf import Shelf
from stillroom.desk import conformance
from stillroom.package.package import Package
from tests.repository import HOME

Row = dict[str, str]


@pytest.fixture(scope="module")
def cases() -> list[dict[str, Any]]:
    return [json.loads(line) for line in conformance.text(Shelf(Package(str(HOME)))).splitlines()]


def rows(file: str) -> list[Row]:
    with (HOME / file).open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def holds(row: Row, altitude_ft: float) -> bool:
    """The one filter, as somebody writes it who has the table alone."""
    return (not row["above_ft"] or float(row["above_ft"]) < altitude_ft) and (
        not row["to_ft"] or altitude_ft <= float(row["to_ft"])
    )


def option(row: Row) -> dict[str, Any]:
    return {
        "minutes": int(row["minutes"]),
        "pressure_psi": int(row["pressure_psi"]) if row["pressure_psi"] else None,
        "headspace_in": float(row["headspace_in"]) if row["headspace_in"] else None,
        "acid": row["acid"],
        "requires": row["requires"].split(),
        "cautions": row["cautions"].split(),
        "source": row["source"],
        "page": row["page"],
    }


def test_the_table_of_answers_alone_gives_every_case(cases: list[dict[str, Any]]) -> None:
    by_place: dict[tuple[str, ...], list[Row]] = defaultdict(list)
    for row in rows("schedules/answers.csv"):
        by_place[row["food"], row["form"], row["pack"], row["jar"], row["canner"]].append(row)
    asked = [case for case in cases if "food" in case["ask"]]
    for case in asked:
        ask = case["ask"]
        found = by_place[ask["food"], ask["form"], ask["pack"], ask["jar"], ask["canner"]]
        met = [row for row in found if holds(row, ask["altitude_ft"])]
        if case["says"]["result"] == "tested":
            assert [option(row) for row in met] == case["says"]["options"], case
            assert {row["result"] for row in met} == {"tested"}
        else:
            assert [row["result"] for row in met] == [case["says"]["result"]], case


def test_the_table_of_names_alone_gives_every_name(cases: list[dict[str, Any]]) -> None:
    by_name: dict[str, list[Row]] = defaultdict(list)
    for row in rows("schedules/names.csv"):
        by_name[row["name"]].append(row)
    for case in cases:
        if "name" not in case["ask"]:
            continue
        found = by_name[case["ask"]["name"]]
        if "withheld" in case["says"]:
            assert [(row["withheld"], row["result"]) for row in found] == [
                (case["says"]["withheld"], case["says"]["result"])
            ]
        else:
            assert [{key: row[key] for key in ("food", "form", "pack")} for row in found] == case["says"]["means"]


def test_every_food_canner_rule_code_and_band_edge_is_asked(cases: list[dict[str, Any]]) -> None:
    answers = rows("schedules/answers.csv")
    asked = [case for case in cases if "food" in case["ask"]]
    assert 3_000 <= len(asked) <= 12_000
    for column in ("food", "form", "pack", "jar", "canner"):
        assert {case["ask"][column] for case in asked} == {row[column] for row in answers}, column
    assert {case["says"]["result"] for case in asked} == {row["result"] for row in answers}
    heights = {case["ask"]["altitude_ft"] for case in asked}
    edges = {float(row["to_ft"]) for row in answers if row["to_ft"]}
    assert heights >= {*edges, *(edge + 0.5 for edge in edges)}
    assert min(heights) < 0
    assert max(heights) > 8_000
    named = {case["says"].get("withheld") for case in cases if "name" in case["ask"]} - {None}
    assert len(named) >= 150


def test_the_file_is_the_same_each_time_and_never_replaces_another(tmp_path: Path) -> None:
    file = tmp_path / "conformance.jsonl"
    assert conformance.main([str(file)]) == 0
    first = file.read_bytes()
    assert conformance.main([str(file)]) == 0
    assert file.read_bytes() == first
    for line in first.decode().splitlines()[::50]:
        assert line == json.dumps(json.loads(line), ensure_ascii=False, sort_keys=True)
    other = tmp_path / "mine.txt"
    other.write_text("my own\n")
    assert conformance.main([str(other)]) == 2
    assert other.read_text() == "my own\n"
    assert conformance.main([str(tmp_path / "no" / "such" / "folder" / "file")]) == 2
