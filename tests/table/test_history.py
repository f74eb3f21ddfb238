"""Then and now: the figures of superseded leaflets beside today's, in every form, and never as an answer.

Sources: USDA Home and Garden Bulletin 8, 1965, pages 15, 23 and 27, and Bulletin 106, 1972, page 5; the USDA Complete
Guide to Home Canning, 2015, page 3-12.
"""

from __future__ import annotations

import csv
import io
import json
import sys

import jsonschema
import pytest

from stillroom.commands.main import main
from tests.conftest import ROOT

SCHEMA = json.loads((ROOT / "schema/answer.json").read_text(encoding="utf-8"))


def _printed(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    assert main(["table", *words, "--history"]) == 0
    return capsys.readouterr().out


def test_then_and_now_stand_side_by_side(capsys: pytest.CaptureFixture[str]) -> None:
    text = _printed(capsys, "tomatoes-raw-no-liquid")
    line = next(line for line in text.splitlines() if line.startswith("quarts, raw"))
    assert line.split("  ")[0] == "quarts, raw (p. 15)"
    assert "45 min" in line
    assert "85 min (3-12)" in line
    assert "do not use" in text


def test_both_sides_are_told_at_the_same_height(capsys: pytest.CaptureFixture[str]) -> None:
    text = _printed(capsys, "tomatoes-raw-no-liquid", "--at", "3500 ft")
    line = next(line for line in text.splitlines() if line.startswith("quarts, raw"))
    assert "51 min" in line  # 45 minutes, and 6 more from 3,000 ft on (Bulletin 8, page 11)
    assert "95 min" in line


def test_what_is_withheld_today_has_a_history_and_the_reason(capsys: pytest.CaptureFixture[str]) -> None:
    text = _printed(capsys, "summer squash")
    assert "withdrawn" in text
    assert "Today: Summer squash and zucchini, not pickled: not recommended." in text


def test_a_food_that_no_leaflet_had_says_so(capsys: pytest.CaptureFixture[str]) -> None:
    text = _printed(capsys, "tuna")
    assert "No leaflet used here had it." in text
    assert "min" not in text.replace("ordinary", "")


def test_a_repeated_rule_is_told_as_the_leaflet_gives_it(capsys: pytest.CaptureFixture[str]) -> None:
    assert "1 psi more at 2,000 ft and again at each 2,000 ft more" in " ".join(_printed(capsys, "meat stock").split())


def test_csv_says_of_every_row_whether_it_may_be_used(capsys: pytest.CaptureFixture[str]) -> None:
    rows = list(csv.DictReader(io.StringIO(_printed(capsys, "hominy", "--as", "csv"))))
    assert {row["use"] for row in rows} == {"do not use"}
    assert {(row["container"], row["minutes"]) for row in rows} == {
        ("pint", "60"),
        ("quart", "70"),
        ("no-2-can", "60"),
        ("no-2-1/2-can", "70"),
    }
    rows = list(csv.DictReader(io.StringIO(_printed(capsys, "snap beans", "--as", "csv"))))
    assert {row["use"] for row in rows} == {"do not use", "today"}


def test_markdown_says_not_to_use_the_old_column(capsys: pytest.CaptureFixture[str]) -> None:
    assert "| | then: do not use | today |" in _printed(capsys, "snap beans", "--as", "markdown")


@pytest.mark.parametrize("words", [["snap beans"], ["summer squash"], ["tomatoes"]])
def test_the_document_is_of_the_schema(capsys: pytest.CaptureFixture[str], words: list[str]) -> None:
    document = json.loads(_printed(capsys, *words, "--json"))
    jsonschema.validate(document, SCHEMA)
    assert document["kind"] == ("histories" if words == ["tomatoes"] else "history")


def test_a_table_without_history_reads_no_leaflet(capsys: pytest.CaptureFixture[str]) -> None:
    import stillroom

    assert main(["table", "snap beans"]) == 0
    capsys.readouterr()
    assert "1965" not in str(sorted(vars(stillroom.shelf().package.leaflets)))
    assert "stillroom.commands.table" in sys.modules


@pytest.mark.parametrize("more", [["--all"], ["--to", "csv"]])
def test_history_and_handouts_are_two_calls(capsys: pytest.CaptureFixture[str], more: list[str]) -> None:
    food = [] if more == ["--all"] else ["peaches"]
    assert main(["table", *food, "--history", *more]) == 2
    assert "--history is for one food" in capsys.readouterr().err
