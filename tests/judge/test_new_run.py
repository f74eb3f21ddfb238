"""An empty record and log: filled in as a person would, they are judged without any other edit."""

from __future__ import annotations

import os
import re

import pytest

import stillroom
from stillroom.commands.main import main
from stillroom.errors import BadInput
from stillroom.run import batch, runlog
from stillroom.run.log_times import MINUTE

FOODS = {
    "dial": ("snap beans", "raw"),
    "weighted": ("snap beans", "raw"),
    "boiling-water": ("peaches", "hot"),
    "steam": ("peaches", "hot"),
}


def new(folder, canner, *words):
    food, pack = FOODS[canner]
    asked = ["judge", "--new", *food.split(), "--jar", "pint", "--altitude", "1650 ft", "--canner", canner]
    return main([*asked, "--pack", pack, "--no-kitchen", "--date", "2026-08-15", "--out", str(folder), *words])


def fill(folder, events, process, answer):
    """Write the times into the blank cells: of each event, and beside each minute, which begin at ``process``."""
    lines = []
    hour, minute = process
    for line in (folder / "run.csv").read_text().splitlines():
        event = re.fullmatch(r",,,([a-z-]+),", line)
        count = re.fullmatch(r"([0-9]+),,,,", line)
        if event and event[1] in events:
            line = f",{events[event[1]]},,{event[1]},"
        elif count:
            at = hour * 60 + minute + int(count[1])
            line = f"{count[1]},{at // 60}:{at % 60:02},{answer},,"
        lines.append(line)
    (folder / "run.csv").write_text("\n".join(lines) + "\n")


def read(folder):
    record = batch.read(str(folder / "batch.yaml"))
    return runlog.read(record.run, record.about)


def named(log):
    first = log.first_us
    return [(event.name, (event.time_us - first) // MINUTE) for event in log.events]


def test_a_dial_log_that_is_filled_in_is_delivered(tmp_path, capsys):
    assert new(tmp_path, "dial") == 0
    told = capsys.readouterr().out
    assert "batch.yaml" in told and "run.csv" in told
    times = {"vent-start": "9:15", "weight-on": "9:25", "heat-off": "9:52", "lock-dropped": "10:30"}
    fill(tmp_path, times, (9, 31), "11")
    found = stillroom.judge(str(tmp_path / "batch.yaml"))
    # page 4-9: 20 minutes at 11 psi; page 1-20: 10 minutes of venting
    assert (found.verdict, found.longest_hold_min, found.vent_min) == ("delivered", 20, 10)
    assert str(found.date) == "2026-08-15"


def test_one_low_reading_in_it_is_not_delivered(tmp_path):
    new(tmp_path, "dial")
    times = {"vent-start": "9:15", "weight-on": "9:25", "heat-off": "9:52"}
    fill(tmp_path, times, (9, 31), "11")
    log = (tmp_path / "run.csv").read_text()
    (tmp_path / "run.csv").write_text(log.replace("10,9:41,11", "10,9:41,10"))
    assert stillroom.judge(str(tmp_path / "batch.yaml")).verdict == "short"


def test_a_weighted_log_has_its_events(tmp_path):
    assert new(tmp_path, "weighted", "--weight", "15 psi") == 0
    assert batch.read(str(tmp_path / "batch.yaml")).weight_psi == 15
    times = {"vent-start": "9:15", "weight-on": "9:25", "rocking": "9:30", "heat-off": "9:52", "lock-dropped": "10:30"}
    fill(tmp_path, times, (9, 31), "yes")
    assert named(read(tmp_path)) == [
        ("vent-start", 0), ("weight-on", 10), ("rocking", 15), ("heat-off", 37), ("lock-dropped", 75),
    ]  # fmt: skip
    stillroom.judge(str(tmp_path / "batch.yaml"))


def test_no_weight_is_named_for_a_person(tmp_path):
    new(tmp_path, "weighted")
    assert batch.read(str(tmp_path / "batch.yaml")).weight_psi is None
    assert "# weight: 15 psi\n" in (tmp_path / "batch.yaml").read_text()  # above 1,000 ft, page 4-9


@pytest.mark.parametrize(("canner", "event"), [("boiling-water", "boil"), ("steam", "steam-full")])
def test_a_log_without_pressure_has_its_events_and_every_row(tmp_path, canner, event):
    assert new(tmp_path, canner) == 0
    fill(tmp_path, {event: "21:50", "heat-off": "22:15"}, (21, 50), "yes")
    log = read(tmp_path)
    assert named(log) == [(event, 0), ("heat-off", 25)]
    assert [(int(t) - log.first_us) // MINUTE for t in log.noted_us] == [0, 0, 5, 10, 15, 20, 25, 25]
    assert len(log.time_us) == 0 and log.steam_F is None


@pytest.mark.parametrize("canner", FOODS)
def test_an_empty_log_says_that_nothing_is_filled_in(tmp_path, canner):
    new(tmp_path, canner)
    with pytest.raises(BadInput, match=r"run\.csv: no row is filled in with a time"):
        read(tmp_path)


@pytest.mark.parametrize("canner", FOODS)
def test_an_event_that_did_not_happen_may_stay_without_a_time(tmp_path, canner):
    new(tmp_path, canner)
    fill(tmp_path, {}, (9, 31), "11" if canner == "dial" else "yes")
    assert {event.name for event in read(tmp_path).events} <= {"rocking", "boil", "steam-full"}


def test_a_start_over_is_written_below(tmp_path):
    new(tmp_path, "dial")
    log = (tmp_path / "run.csv").read_text()
    head = log[: log.index("min,time")]
    first = "0,9:31,11,,\n5,,11,,\n10,,9,,\n,9:50,,restart,back at pressure\n"
    again = "0,9:50,11,,\n" + "".join(f"{minute},,11,,\n" for minute in (5, 10, 15, 20))
    events = ",9:15,,vent-start,\n,9:25,,weight-on,\n"
    (tmp_path / "run.csv").write_text(f"{head}min,time,gauge_psi,event,note\n{events}{first}{again},10:11,,heat-off,\n")
    log = read(tmp_path)
    assert named(log) == [("vent-start", 0), ("weight-on", 10), ("restart", 35), ("heat-off", 56)]
    assert stillroom.judge(str(tmp_path / "batch.yaml")).longest_hold_min == 20


def test_nothing_that_is_there_is_written_over(tmp_path, capsys):
    for name in ("run.csv", "batch.yaml"):
        folder = tmp_path / name.split(".")[0]
        folder.mkdir()
        (folder / name).write_text("mine")
        assert new(folder, "dial") == 2
        told = capsys.readouterr()
        assert told.out == "" and told.err.count("\n") == 1 and "is there already" in told.err
        assert os.listdir(folder) == [name] and (folder / name).read_text() == "mine"
    (tmp_path / "link").mkdir()
    (tmp_path / "link" / "run.csv").symlink_to(tmp_path / "elsewhere.csv")
    assert new(tmp_path / "link", "dial") == 2 and not (tmp_path / "elsewhere.csv").exists()


def test_a_load_that_nobody_tested_is_not_begun(tmp_path, capsys):
    assert new(tmp_path / "x", "boiling-water") == 0
    asked = ["judge", "--new", "snap", "beans", "--jar", "half-gallon", "--altitude", "0 ft", "--canner", "dial"]
    assert main([*asked, "--pack", "raw", "--no-kitchen", "--out", str(tmp_path / "y")]) == 3
    assert not (tmp_path / "y").exists()


@pytest.mark.parametrize(
    "words",
    [
        ["--weight", "10 psi"],
        ["--weight", "heavy"],
        ["--date", "yesterday"],
        ["--option-minutes", "99"],
        ["--option-minutes", "x"],
        ["--json"],
        ["--save", "season"],
    ],
)
def test_what_does_not_fit_is_one_line_and_nothing_is_written(tmp_path, capsys, words):
    assert new(tmp_path / "n", "dial", *words) == 2
    told = capsys.readouterr()
    assert told.out == "" and told.err.count("\n") == 1
    assert not (tmp_path / "n").exists()


def test_a_record_and_what_is_for_a_new_one_do_not_go_together(tmp_path, capsys):
    for words in ([], ["batch.yaml", "--new", "peaches"], ["batch.yaml", "--jar", "pint"], ["--out", "x"]):
        assert main(["judge", *words]) == 2
        told = capsys.readouterr()
        assert told.out == "" and told.err.count("\n") == 1


def test_an_option_is_written_where_there_are_several(tmp_path):
    asked = ["judge", "--new", "crushed", "tomatoes", "--jar", "pint", "--altitude", "500 ft", "--canner", "dial"]
    assert main([*asked, "--pack", "hot", "--no-kitchen", "--option-minutes", "15", "--out", str(tmp_path)]) == 0
    assert batch.read(str(tmp_path / "batch.yaml")).minutes == 15
    assert "15 minutes at 11 psi" in (tmp_path / "run.csv").read_text()


def test_the_gauge_of_a_kitchen_is_taken_over(tmp_path):
    kitchen = 'altitude = "503 m"\ncanner = "dial"\n[gauge]\nreads_high_by = "0.5 psi"\ntested = 2026-06-01\n'
    (tmp_path / "kitchen.toml").write_text(kitchen)
    asked = ["judge", "--new", "snap", "beans", "--jar", "pint", "--pack", "raw", "--out", str(tmp_path / "n")]
    assert main([*asked, "--kitchen", str(tmp_path / "kitchen.toml")]) == 0
    record = batch.read(str(tmp_path / "n" / "batch.yaml"))
    assert (record.error_psi, str(record.tested), record.canner) == (0.5, "2026-06-01", "dial")
    assert record.about.altitude_ft == pytest.approx(503 / 0.3048)
