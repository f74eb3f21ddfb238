"""The season log: one file per load, never overwritten, and what is put up."""

from __future__ import annotations

import csv
import io
import json
import os
import subprocess
import sys
from datetime import date
from pathlib import Path

import jsonschema
import pytest
import yaml

import stillroom
from stillroom.commands.main import main
from stillroom.errors import BadInput
from stillroom.package import schemas
from stillroom.run import season

RULES = stillroom.shelf().rules
VENT = [(0, 0), (12, 0, "vent-start"), (22, 0, "weight-on"), (26, 9)]
GOOD = [*VENT, *[(m, 11) for m in range(28, 49)], (50, 8), (60, 2), (70, 0, "lock-dropped")]
SHORT = [*VENT, *[(m, 11) for m in range(28, 40)], (42, 8), (50, 3), (60, 0, "lock-dropped")]


def test_a_kept_load_says_what_was_found_and_fits_its_schema(judged, tmp_path):
    kept = season.keep(judged(GOOD, seals={"sealed": 17, "failed": 1}), str(tmp_path / "new"), RULES)
    assert kept.new and os.path.basename(kept.path) == "2026-08-15-snap-beans-1.yaml"
    entry = yaml.safe_load(Path(kept.path).read_text())
    jsonschema.validate(entry, schemas.schema("season-entry"))
    assert (entry["verdict"], entry["jars"], entry["sealed"], entry["best_by"]) == ("delivered", 18, 17, "2027-08-15")
    assert sorted(os.listdir(tmp_path / "new")) == ["2026-08-15-snap-beans-1.yaml"]  # no unfinished file is left


def test_the_same_load_is_kept_once_and_another_beside_it(judged, tmp_path):
    first = season.keep(judged(GOOD), str(tmp_path), RULES)
    again = season.keep(judged(GOOD), str(tmp_path), RULES)
    other = season.keep(judged(SHORT), str(tmp_path), RULES)
    assert (first.new, again.new, other.new) == (True, False, True)
    assert first.path == again.path and other.path.endswith("-2.yaml")


def test_nothing_is_overwritten_whatever_stands_in_the_way(judged, tmp_path):
    there = tmp_path / "2026-08-15-snap-beans-1.yaml"
    there.write_text("mine\n")
    assert season.keep(judged(GOOD), str(tmp_path), RULES).path.endswith("-2.yaml")
    assert there.read_text() == "mine\n"


def test_loads_kept_at_the_same_moment_all_get_a_file_of_their_own(write, tmp_path):
    log = "minute,gauge_psi,event\n" + "".join(",".join(map(str, (*row, "")[:3])) + "\n" for row in GOOD)
    run = [sys.executable, "-m", "stillroom", "judge", "--save", str(tmp_path)]
    started = [
        subprocess.Popen(
            [*run, str(write(log, note=f"load {i}"))], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        for i in range(6)
    ]
    assert [process.wait(timeout=120) for process in started] == [0] * 6
    notes = [yaml.safe_load(path.read_text())["note"] for path in tmp_path.iterdir()]
    assert sorted(notes) == [f"load {i}" for i in range(6)]


def test_a_load_without_its_day_or_its_jars_is_not_kept(judged, tmp_path):
    with pytest.raises(BadInput, match="needs the day"):
        season.keep(judged(GOOD, date=None), str(tmp_path), RULES)
    with pytest.raises(BadInput, match="needs the number of jars"):
        season.keep(judged(GOOD, jars=None), str(tmp_path), RULES)
    assert os.listdir(tmp_path) == []


def test_a_folder_that_cannot_be_written_to_is_one_line(judged, tmp_path):
    (tmp_path / "file").write_text("")
    with pytest.raises(BadInput, match="cannot be written"):
        season.keep(judged(GOOD), str(tmp_path / "file"), RULES)


@pytest.mark.parametrize(
    ("canned", "by"),
    [
        ((2026, 8, 15), (2027, 8, 15)),
        ((2028, 2, 29), (2029, 2, 28)),
        ((2027, 2, 28), (2028, 2, 28)),
        ((2026, 12, 31), (2027, 12, 31)),
    ],
)
def test_jars_are_best_within_a_year(canned, by):  # page 1-12
    assert season.best_by(date(*canned), RULES.whole("use-within")) == date(*by)


def test_only_sealed_jars_of_a_delivered_load_are_on_the_shelf(judged, tmp_path):
    season.keep(judged(GOOD, seals={"sealed": 16, "failed": 2}, note="first"), str(tmp_path), RULES)
    season.keep(judged(GOOD, seals={"failed": 1}, note="second"), str(tmp_path), RULES)
    season.keep(judged(GOOD, note="third"), str(tmp_path), RULES)
    season.keep(judged(SHORT, seals={"sealed": 18}, note="fourth"), str(tmp_path), RULES)
    assert [entry.on_shelf for entry in season.read(str(tmp_path), RULES)] == [16, 0, 0, 0]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("date: 2026-08-15\n", "is missing"),
        ("food: &a x\n", "anchors"),
        ("", "is no season entry"),
    ],
)
def test_a_file_that_is_no_entry_stops_the_list_and_is_named(tmp_path, text, said):
    (tmp_path / "odd.yaml").write_text(text)
    with pytest.raises(BadInput, match=rf"^odd\.yaml:\d+: .*{said}"):
        season.read(str(tmp_path), RULES)


def test_the_command_lists_writes_csv_and_draws(judged, tmp_path, capsys):
    folder = tmp_path / "log"
    season.keep(judged(GOOD, seals={"sealed": 17, "failed": 1}), str(folder), RULES)
    season.keep(judged(SHORT), str(folder), RULES)
    assert main(["season", str(folder), "--csv", str(tmp_path / "s.csv"), "--plot", str(tmp_path / "s.svg")]) == 0
    told = capsys.readouterr().out
    assert "Snap and Italian beans" in told and "2027-08-15" in told and "1 of 2 loads" in told
    assert max(map(len, told.splitlines())) <= 80
    rows = list(csv.DictReader(io.StringIO((tmp_path / "s.csv").read_text())))
    assert [(row["verdict"], row["on_shelf"]) for row in rows] == [("delivered", "17"), ("short", "0")]
    assert (tmp_path / "s.svg").read_text().startswith("<?xml")
    assert main(["season", str(folder), "--json"]) == 0
    loads = json.loads(capsys.readouterr().out)
    jsonschema.validate(loads, schemas.schema("season"))
    assert sorted(os.listdir(tmp_path)) == ["log", "s.csv", "s.svg"]


def test_an_empty_season_says_how_to_fill_it(tmp_path, capsys):
    assert main(["season", str(tmp_path)]) == 0
    assert "--save" in capsys.readouterr().out
    assert main(["season", str(tmp_path / "none")]) == 2
    assert capsys.readouterr().err.count("\n") == 1
