"""The empty record and log of every canner, filled in by hand as a person would, and judged without another edit.

Invented days. Peaches, hot pack, quarts: 30 minutes in boiling water at 1,001 to 3,000 ft (Complete Guide 2015, page
1-23), 10 minutes at 10 lb on a weighted gauge above 1,000 ft and at 7 lb on a dial at 2,001 to 4,000 ft (page 1-24).
"""

from __future__ import annotations

import csv
import io
from datetime import datetime, timedelta
from pathlib import Path

import pytest

import stillroom
from stillroom.commands.main import main

START = datetime(2026, 8, 15, 9, 40)
CANNERS = {"boiling-water": 30, "steam": 30, "weighted": 10, "dial": 10}
BEFORE = {"vent-start": -20, "weight-on": -8, "rocking": 0, "boil": 0, "steam-full": 0}


@pytest.fixture
def begun(tmp_path: Path):
    def of(canner: str) -> Path:
        words = ["judge", "--new", "peaches", "--jar", "quart", "--pack", "hot", "--altitude", "2500 ft"]
        weight = ["--weight", "10 psi"] if canner == "weighted" else []
        folder = tmp_path / canner
        assert main([*words, "--canner", canner, "--date", "2026-08-15", *weight, "--out", str(folder)]) == 0
        return folder

    return of


def clock(minutes: float) -> str:
    return (START + timedelta(minutes=minutes)).strftime("%-I:%M")


def filled(folder: Path, minutes: int, sign: str = "yes", dip_at: int | None = None) -> Path:
    """Fill in each line that was reached: times beside events and minute 0, and what was seen or read each time."""
    text = (folder / "run.csv").read_text(encoding="utf-8")
    comments = [line for line in text.splitlines(keepends=True) if line.startswith("#")]
    rows = list(csv.DictReader(io.StringIO("".join(line for line in text.splitlines(True) if line[0] != "#"))))
    for row in rows:
        seen = next((name for name in row if name not in ("min", "time", "event", "note")), "")
        if row["event"]:
            after = {"heat-off": minutes, "lock-dropped": minutes + 40}
            row["time"] = clock({**BEFORE, **after}[row["event"]])
        elif row["min"] and int(row["min"]) <= minutes:
            row["time"] = clock(0) if row["min"] == "0" else ""
            low = dip_at is not None and int(row["min"]) == dip_at
            row[seen] = ("5" if low else "7.5") if seen.startswith("gauge") else "no" if low else sign
    out = io.StringIO()
    writer = csv.DictWriter(out, list(rows[0]), lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    (folder / "run.csv").write_text("".join(comments) + out.getvalue(), encoding="utf-8")
    return folder / "batch.yaml"


@pytest.mark.parametrize("canner", CANNERS)
def test_a_sheet_that_is_filled_in_to_the_end_is_delivered(begun, canner: str) -> None:
    found = stillroom.judge(str(filled(begun(canner), CANNERS[canner])))
    assert found.verdict == "delivered", found.reasons
    assert found.longest_hold_min == CANNERS[canner]


@pytest.mark.parametrize("canner", CANNERS)
def test_a_sheet_that_ends_too_soon_is_short(begun, canner: str) -> None:
    found = stillroom.judge(str(filled(begun(canner), CANNERS[canner] - 1)))
    # a dial may have been at pressure before its first reading: then the log cannot show that it was too short
    assert found.verdict in (("short", "unproven") if canner == "dial" else ("short",)), found.reasons


@pytest.mark.parametrize("canner", CANNERS)
def test_a_sheet_with_a_stop_in_the_middle_is_not_delivered(begun, canner: str) -> None:
    found = stillroom.judge(str(filled(begun(canner), CANNERS[canner], dip_at=5)))
    assert found.verdict in ("short", "unproven"), found.reasons


@pytest.mark.parametrize("canner", CANNERS)
def test_a_sheet_that_nobody_filled_in_is_one_line_or_unproven(begun, canner: str) -> None:
    with pytest.raises(stillroom.BadInput) as error:
        stillroom.judge(str(begun(canner) / "batch.yaml"))
    assert "\n" not in str(error.value)
