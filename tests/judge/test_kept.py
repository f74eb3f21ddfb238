"""The season: one entry for each load, and no file that is not ours ever overwritten."""

from __future__ import annotations

import csv
import hashlib
import io
import json
import os
import subprocess
import sys
import xml.etree.ElementTree as ET
from pathlib import Path

import jsonschema
import pytest
import yaml

import stillroom
from stillroom.commands.main import main
from stillroom.errors import BadInput
from stillroom.package import schemas
from stillroom.run import season
from stillroom.sheets import season_sheet

RULES = stillroom.shelf().rules
VENT = "minute,gauge_psi,event\n12,0,vent-start\n22,0,weight-on\n26,9,\n"
GOOD = VENT + "".join(f"{m},11,\n" for m in range(28, 49)) + "54,5,\n60,0,\n"
SHORT = VENT + "".join(f"{m},11,\n" for m in range(28, 40)) + "42,5,\n50,0,\n"
OPEN = VENT + "".join(f"{m},11,\n" for m in range(28, 40))
OLD = """date: '2025-08-15'
food: snap-beans
title: Snap and Italian beans
form: null
pack: raw
jar: pint
jars: 18
canner: dial
altitude_ft: 1650.0
verdict: delivered
reasons:
- vented
- held
required:
  minutes: 20
  pressure_psi: 11
longest_hold_min: 20.0
sealed: null
failed: null
best_by: '2026-08-15'
log_from: null
source: Invented for this test
note: null
"""
"""An entry as written before loads were known by their record and log."""


@pytest.fixture
def kept(write, tmp_path):
    """Judge and keep a load; give what was kept."""

    def of(log=GOOD, **changes):
        return season.keep(stillroom.judge(str(write(log, **changes))), str(tmp_path / "season"), RULES)

    return of


def entries(tmp_path):
    return season.read(str(tmp_path / "season"), RULES)


# one entry per load


def test_a_load_saved_again_with_its_seals_amends_its_entry(kept, tmp_path):
    first, again = kept(), kept(seals={"sealed": 17, "failed": 1})
    assert (first.new, again.new, again.amended) == (True, False, True) and first.path == again.path
    (entry,) = entries(tmp_path)
    assert (entry.sealed, entry.failed, entry.on_shelf, entry.unchecked) == (17, 1, 17, 0)
    once_more = kept(seals={"sealed": 17, "failed": 1})
    assert (once_more.new, once_more.amended) == (False, False)
    corrected = kept(seals={"sealed": 16, "failed": 2})
    assert corrected.amended and entries(tmp_path)[0].sealed == 16


def test_saving_again_without_seals_forgets_none(kept, tmp_path):
    kept(seals={"sealed": 17, "failed": 1})
    kept()
    assert [entry.sealed for entry in entries(tmp_path)] == [17]


def test_a_second_load_of_the_day_is_kept_though_only_its_log_differs(kept, tmp_path):
    first = kept()
    second = kept(GOOD.replace("26,9", "26,9.5"))
    assert first.new and second.new and first.path != second.path
    assert len(entries(tmp_path)) == 2


def test_two_loads_of_one_log_are_both_kept_and_the_person_is_told(kept, tmp_path, write, capsys):
    first, second = kept(), kept(jars=7)
    assert second.new and second.same_log == os.path.basename(first.path)
    assert kept().same_log is None or not kept().new
    main(["judge", str(write(GOOD, jars=9)), "--save", str(tmp_path / "season")])
    assert "same log" in capsys.readouterr().err


def test_the_record_in_other_clothes_is_the_same_load(write, tmp_path):
    path = write(GOOD)
    season.keep(stillroom.judge(str(path)), str(tmp_path / "season"), RULES)
    record = yaml.safe_load(path.read_text())
    (path.parent / "morning.csv").write_bytes((path.parent / "run.csv").read_bytes())
    turned = dict(reversed(record.items())) | {"run": "morning.csv"}
    path.write_text("# the first load\n" + yaml.safe_dump(turned, sort_keys=False))
    assert not season.keep(stillroom.judge(str(path)), str(tmp_path / "season"), RULES).new


def test_an_entry_that_was_renamed_is_still_found(kept, tmp_path):
    first = kept()
    os.rename(first.path, tmp_path / "season" / "first load.yaml")
    again = kept(seals={"sealed": 18})
    assert again.amended and os.listdir(tmp_path / "season") == ["first load.yaml"]


def test_an_entry_names_its_log_by_a_hash_that_anyone_can_make(kept):
    entry = yaml.safe_load(Path(kept().path).read_text())
    assert entry["log_sha256"] == hashlib.sha256(GOOD.encode()).hexdigest()
    jsonschema.validate(entry, schemas.schema("season-entry"))


def test_a_log_that_changed_after_it_was_judged_is_not_kept(write, tmp_path):
    path = write(GOOD)
    found = stillroom.judge(str(path))
    (path.parent / "run.csv").write_text(GOOD + "70,0,\n")
    with pytest.raises(BadInput, match=r"run\.csv: has changed since it was judged"):
        season.keep(found, str(tmp_path / "season"), RULES)


def test_an_entry_copied_under_another_name_is_not_counted_twice(kept, tmp_path):
    first = Path(kept().path)
    (tmp_path / "season" / "copy.yaml").write_bytes(first.read_bytes())
    with pytest.raises(BadInput, match=r"copy\.yaml.* same load"):
        entries(tmp_path)


# old entries


def test_an_old_entry_is_still_read(tmp_path):
    (tmp_path / "season").mkdir()
    (tmp_path / "season" / "2025-08-15-snap-beans-1.yaml").write_text(OLD)
    (entry,) = entries(tmp_path)
    assert (entry.jars, entry.on_shelf, entry.unchecked) == (18, 0, 18)


def test_an_old_entry_of_the_same_timed_log_is_amended_and_not_doubled(write, tmp_path):
    def at(minute):
        return f"2026-08-15T{9 + minute // 60:02}:{minute % 60:02}"

    rows = (row.split(",", 1) for row in GOOD.splitlines()[1:])
    timed = "time,gauge_psi,event\n" + "".join(f"{at(int(minute))},{rest}\n" for minute, rest in rows)
    folder = tmp_path / "season"
    first = season.keep(stillroom.judge(str(write(timed))), str(folder), RULES)
    old = yaml.safe_load(Path(first.path).read_text())
    old = {key: value for key, value in old.items() if not key.endswith("_sha256")}
    Path(first.path).write_text(yaml.safe_dump(old, sort_keys=False))
    again = season.keep(stillroom.judge(str(write(timed, seals={"sealed": 18}))), str(folder), RULES)
    assert again.amended and again.path == first.path
    other = season.keep(
        stillroom.judge(str(write(timed.replace("11,", "11.5,"), seals={"sealed": 18}))), str(folder), RULES
    )
    assert other.new


# seals that nobody checked, and loads that are not safe


@pytest.mark.parametrize(
    ("log", "seals", "shelf", "unchecked", "standing"),
    [
        (GOOD, None, 0, 18, "seals not checked"),
        (GOOD, {"failed": 1}, 0, 17, "seals not checked"),
        (GOOD, {"sealed": 10}, 10, 8, "seals not checked"),
        (GOOD, {"sealed": 17, "failed": 1}, 17, 0, "seals checked"),
        (GOOD, {"sealed": 0, "failed": 18}, 0, 0, "seals checked"),
        (SHORT, {"sealed": 18}, 0, 0, "not safe to keep"),
        (OPEN, {"sealed": 18}, 0, 0, "not safe to keep"),
        (OPEN, None, 0, 0, "not safe to keep"),
    ],
)
def test_only_jars_that_are_known_to_be_good_are_on_the_shelf(kept, tmp_path, log, seals, shelf, unchecked, standing):
    kept(log, **({} if seals is None else {"seals": seals}))
    (entry,) = entries(tmp_path)
    assert (entry.on_shelf, entry.unchecked, entry.standing) == (shelf, unchecked, standing)
    told = season_sheet.season_sheet([entry], stillroom.shelf())
    assert (standing in told) is (standing != "seals checked")
    assert max(map(len, told.splitlines())) <= 80


def test_a_load_that_is_not_safe_is_said_so_in_table_csv_json_and_plot(kept, tmp_path, capsys):
    kept(SHORT, seals={"sealed": 18})
    kept(GOOD)
    folder, table, plot = (str(tmp_path / name) for name in ("season", "s.csv", "s.svg"))
    assert main(["season", folder, "--csv", table, "--plot", plot]) == 0
    assert "not safe to keep" in capsys.readouterr().out
    drawn = Path(plot).read_text()
    assert "not safe to keep" in drawn and "seals not checked" in drawn and ">delivered<" not in drawn
    rows = list(csv.DictReader(io.StringIO(Path(table).read_text())))
    assert sorted((row["on_shelf"], row["unchecked"], row["standing"]) for row in rows) == [
        ("0", "0", "not safe to keep"),
        ("0", "18", "seals not checked"),
    ]
    assert main(["season", folder, "--json"]) == 0
    said = json.loads(capsys.readouterr().out)
    jsonschema.validate(said, schemas.schema("season"))
    assert {load["standing"] for load in said["loads"]} == {"not safe to keep", "seals not checked"}


# nothing of others is overwritten

OLD_CSV = "date,food,title,jar,jars,verdict,sealed,failed,on_shelf,best_by,file\n"


def commands(write, tmp_path, name):
    """Give every command that writes a file, with that name."""
    folder = tmp_path / "log"
    season.keep(stillroom.judge(str(write(GOOD))), str(folder), RULES)
    target = str(tmp_path / name)
    return {
        "csv": ["season", str(folder), "--csv", target],
        "plot": ["season", str(folder), "--plot", target],
        "chart": ["judge", str(write(GOOD)), "--chart", target],
    }


@pytest.mark.parametrize(
    ("kind", "name"), [("csv", "s.csv"), ("plot", "s.svg"), ("chart", "s.svg"), ("chart", "s.png")]
)
@pytest.mark.parametrize(
    "content", [b"mine\n", b"", b"date,food\n", b"<svg></svg>\n", b"\x89PNG\r\n\x1a\n", OLD_CSV.encode() * 2]
)
def test_a_file_of_somebody_else_is_left_alone(write, tmp_path, capsys, kind, name, content):
    if kind == "csv" and content.startswith(OLD_CSV.encode()):
        content = b"x" + content
    target = tmp_path / name
    target.write_bytes(content)
    assert main(commands(write, tmp_path, name)[kind]) == 2
    told = capsys.readouterr()
    assert target.read_bytes() == content
    assert told.err.count("\n") == 1 and name in told.err and "another name" in told.err
    assert told.out  # the verdict or the season is shown all the same


@pytest.mark.parametrize(
    ("kind", "name"), [("csv", "s.csv"), ("plot", "s.svg"), ("chart", "s.svg"), ("chart", "s.png")]
)
def test_a_file_of_ours_is_replaced(write, tmp_path, capsys, kind, name):
    command = commands(write, tmp_path, name)[kind]
    assert main(command) == 0
    first = (tmp_path / name).read_bytes()
    assert main(command) == 0 and (tmp_path / name).read_bytes() == first
    assert capsys.readouterr().err == ""


def test_a_csv_of_the_version_before_is_known_by_its_header(write, tmp_path):
    (tmp_path / "s.csv").write_text(OLD_CSV + "2025-08-15,x,x,pint,1,short,,,0,2026-08-15,x.yaml\n")
    assert main(commands(write, tmp_path, "s.csv")["csv"]) == 0
    assert "snap-beans" in (tmp_path / "s.csv").read_text()


def test_a_drawing_that_only_speaks_of_us_is_not_ours(write, tmp_path):
    (tmp_path / "s.svg").write_text("<svg><!-- stillroom --><title>stillroom</title></svg>")
    assert main(commands(write, tmp_path, "s.svg")["chart"]) == 2


def test_a_chart_does_not_take_the_place_of_a_table_of_ours(write, tmp_path):
    assert main(commands(write, tmp_path, "s.csv")["csv"]) == 0
    (tmp_path / "s.csv").rename(tmp_path / "s.svg")
    assert main(commands(write, tmp_path, "s.svg")["chart"]) == 2


@pytest.mark.parametrize("kind", ["csv", "plot", "chart"])
def test_links_folders_and_pipes_are_left_alone(write, tmp_path, capsys, kind):
    name = "s.csv" if kind == "csv" else "s.svg"
    target, theirs = tmp_path / name, tmp_path / "theirs"
    theirs.write_text("mine\n")
    target.symlink_to(theirs)
    assert main(commands(write, tmp_path, name)[kind]) == 2
    assert target.is_symlink() and theirs.read_text() == "mine\n"
    target.unlink()
    target.mkdir()
    assert main(commands(write, tmp_path, name)[kind]) == 2
    target.rmdir()
    os.mkfifo(target)
    assert main(commands(write, tmp_path, name)[kind]) == 2
    assert capsys.readouterr().err.count("\n") == 3


def test_a_season_file_in_the_way_is_left_alone_whatever_it_is(kept, tmp_path):
    folder = tmp_path / "season"
    folder.mkdir()
    (folder / "2026-08-15-snap-beans-1.yaml").symlink_to(tmp_path / "nowhere")
    (folder / "2026-08-15-snap-beans-2.yaml").mkdir()
    os.mkfifo(folder / "2026-08-15-snap-beans-3.yaml")
    assert kept().path.endswith("-4.yaml")
    assert (folder / "2026-08-15-snap-beans-1.yaml").is_symlink()


def test_the_verdict_is_shown_though_it_cannot_be_kept(write, tmp_path, capsys):
    (tmp_path / "file").write_text("")
    for words in ([], ["--json"]):
        asked = ["judge", *words, str(write(GOOD)), "--save", str(tmp_path / "file")]
        assert main([*asked, "--chart", str(tmp_path / "no" / "x.svg")]) == 2
        told = capsys.readouterr()
        assert "delivered" in told.out.lower()
        assert told.err.count("\n") == 2 and "cannot be written" in told.err
    assert main(["judge", str(write(GOOD, jars=None)), "--save", str(tmp_path / "season")]) == 2
    told = capsys.readouterr()
    assert told.out.startswith("DELIVERED.") and "needs the number of jars" in told.err
    assert main(["judge", "--json", str(write(GOOD)), "--chart", "x.pdf", "--save", str(tmp_path / "season")]) == 2
    told = capsys.readouterr()
    assert json.loads(told.out)["verdict"] == "delivered" and "x.pdf" in told.err
    assert len(entries(tmp_path)) == 1  # what could be done was done


def test_a_full_disk_is_one_line_and_the_load_is_kept_all_the_same(write, tmp_path):
    asked = ["judge", str(write(GOOD)), "--save", str(tmp_path / "season")]
    for words in (asked, ["season", str(tmp_path / "season")]):
        with open("/dev/full", "w") as full:
            run = [sys.executable, "-m", "stillroom", *words]
            told = subprocess.run(run, stdout=full, stderr=subprocess.PIPE, text=True)
        assert told.returncode == 2 and "Traceback" not in told.stderr and "cannot be printed" in told.stderr
    assert len(entries(tmp_path)) == 1


def test_a_reader_that_stops_reading_does_not_cost_the_entry(write, tmp_path):
    read, write_end = os.pipe()
    os.close(read)
    asked = ["judge", "--json", str(write(GOOD)), "--save", str(tmp_path / "season")]
    run = [sys.executable, "-m", "stillroom", *asked]
    told = subprocess.run(run, stdout=write_end, stderr=subprocess.PIPE, text=True)
    os.close(write_end)
    assert "Traceback" not in told.stderr and len(entries(tmp_path)) == 1


def test_marks_can_be_read_by_others(write, tmp_path):
    for name in ("s.svg", "s.png"):
        assert main(commands(write, tmp_path, name)["chart"]) == 0
    ET.parse(tmp_path / "s.svg")
    assert b"<dc:title>stillroom</dc:title>" in (tmp_path / "s.svg").read_bytes()[:4000]
    assert b"tEXtSoftware\0stillroom" in (tmp_path / "s.png").read_bytes()[:400]
