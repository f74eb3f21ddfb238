"""The command: exit statuses, text, JSON, chart, and the invented demonstration."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import jsonschema
import pytest
import yaml

import stillroom
from stillroom.commands.main import main
from stillroom.package import schemas
from stillroom.sheets import sparkline

DEMO = Path(__file__).parents[2] / "shared" / "demo"
LOG = "minute,gauge_psi,event\n12,0,vent-start\n22,0,weight-on\n26,9,\n"
GOOD = LOG + "".join(f"{m},11,\n" for m in range(28, 49)) + "54,5,\n60,0,\n"
SHORT = LOG + "".join(f"{m},11,\n" for m in range(28, 40)) + "42,5,\n50,0,\n"
OPEN = LOG + "".join(f"{m},11,\n" for m in range(28, 40))
GAUGE = {"reads_high_by": "2.5 psi"}


@pytest.mark.parametrize(
    ("log", "changes", "status", "first"),
    [
        (GOOD, {}, 0, "DELIVERED."),
        (SHORT, {}, 1, "SHORT."),
        (OPEN, {}, 1, "UNPROVEN."),
        (GOOD, {"gauge": GAUGE}, 1, "NO VERDICT."),
        (GOOD, {"jar": "half-gallon"}, 3, "No tested schedule."),
    ],
)
def test_the_verdict_comes_first_and_sets_the_status(write, capsys, log, changes, status, first):
    path = str(write(log, **changes))
    assert main(["judge", path]) == status
    told = capsys.readouterr()
    assert told.out.startswith(first) and told.err == ""
    assert max(map(len, told.out.splitlines())) <= 80
    assert "when in doubt, throw it out" in told.out.replace("\n", " ")
    assert os.listdir(os.path.dirname(path)) and sorted(os.listdir(os.path.dirname(path))) == ["batch.yaml", "run.csv"]


@pytest.mark.parametrize(("log", "changes"), [("minute,gauge_psi\n0,x\n", {}), (GOOD, {"altitude": "1650"}), ("", {})])
def test_bad_input_is_one_line_and_status_2(write, capsys, log, changes):
    assert main(["judge", str(write(log, **changes))]) == 2
    told = capsys.readouterr()
    assert told.out == "" and told.err.count("\n") == 1 and told.err.startswith("stillroom: ")


@pytest.mark.parametrize(
    ("log", "changes"),
    [
        (GOOD, {}),
        (SHORT, {}),
        (OPEN, {}),
        (GOOD, {"gauge": GAUGE}),
        (GOOD, {"gauge": None, "date": None, "jars": None}),
        (GOOD.replace(",11,", ",,"), {}),
        ("time,gauge_kpa\n2026-08-15T10:00-05:00,80\n2026-08-15T10:05-05:00,80\n", {}),
    ],
)
def test_json_has_the_designed_keys_and_fits_its_schema(write, capsys, log, changes):
    main(["judge", "--json", str(write(log, **changes))])
    said = json.loads(capsys.readouterr().out)
    jsonschema.validate(said, schemas.schema("verdict"), format_checker=jsonschema.FormatChecker())
    designed = ("verdict", "reasons", "required", "longest_hold_min", "vent_min", "lethality_F0_min", "cautions")
    assert tuple(said)[1:8] == designed


def test_json_of_a_delivered_run(write, capsys):
    main(["judge", "--json", str(write(GOOD))])
    said = json.loads(capsys.readouterr().out)
    assert said["verdict"] == "delivered" and said["reasons"] == ["vented", "held"]
    assert said["required"] == {"minutes": 20, "pressure_psi": 11, "vent_min": 10}
    assert (said["longest_hold_min"], said["vent_min"]) == (20, 10)
    assert said["hold"] == {"from": {"minute": 28, "time": None}, "to": {"minute": 48, "time": None}, "minutes": 20}


def test_json_of_a_refusal_is_that_of_find(write, capsys):
    assert main(["judge", "--json", str(write(GOOD, jar="half-gallon"))]) == 3
    assert json.loads(capsys.readouterr().out)["code"] == "jar-not-tested"


def test_time_is_cut_and_not_rounded(write, capsys):
    log = GOOD.replace("\n48,11", "\n47.99995,11")
    main(["judge", "--json", str(write(log))])
    said = json.loads(capsys.readouterr().out)
    assert said["verdict"] == "short" and said["longest_hold_min"] == 19.999
    main(["judge", str(write(log))])
    assert "19 min 59 s" in capsys.readouterr().out


# drawn


@pytest.mark.parametrize("ending", ["svg", "png"])
def test_a_chart_is_the_same_byte_for_byte(write, tmp_path, ending):
    path = str(write(SHORT))
    for name in ("a", "b"):
        main(["judge", path, "--chart", str(tmp_path / f"{name}.{ending}")])
    first, second = ((tmp_path / f"{name}.{ending}").read_bytes() for name in ("a", "b"))
    assert first == second and len(first) > 1000
    assert b"dc:date" not in first and b"Creation" not in first


def test_the_chart_shows_requirement_stretch_dips_and_events(write, tmp_path):
    log = LOG + "28,11,\n30,10,\n" + "".join(f"{m},11,\n" for m in range(31, 45)) + "45,11,heat-off\n47,5,\n60,0,\n"
    main(["judge", str(write(log)), "--chart", str(tmp_path / "run.svg")])
    drawn = (tmp_path / "run.svg").read_text()
    for text in (
        "required: 11 psi",
        "longest stretch: 14 minutes",
        "dip",
        "vent-start",
        "weight-on",
        "heat-off",
        "SHORT",
    ):
        assert text in drawn


def test_a_chart_of_a_million_readings_keeps_its_dip(write, tmp_path):
    rows = "".join(f"{28 + i / 10_000:.4f},{10 if i == 123_456 else 11},\n" for i in range(200_000))
    found = stillroom.judge(str(write(LOG + rows)))
    from stillroom.sheets import verdict_chart

    x, psi = verdict_chart._points(verdict_chart.minute(found, found.log.time_us), found.true_psi)
    assert len(x) <= 4_000 and 10 in psi and (psi[x > 28.01] >= 10).all()


@pytest.mark.parametrize("log", [GOOD.replace(",11,", ",,"), "minute,gauge_psi\n5,3\n", "minute,gauge_psi\n5,\n"])
def test_nothing_to_draw_is_no_crash(write, tmp_path, capsys, log):
    assert main(["judge", str(write(log)), "--chart", str(tmp_path / "run.png")]) == 1


def test_a_chart_that_cannot_be_written_is_one_line(write, tmp_path, capsys):
    for name in ("run.pdf", "none/run.svg"):
        assert main(["judge", str(write(GOOD)), "--chart", str(tmp_path / name)]) == 2
        assert capsys.readouterr().err.count("\n") == 1
    assert os.listdir(tmp_path) == []


def test_the_sparkline_is_one_line_and_marks_what_counts(write):
    line, marks = sparkline.sparkline(stillroom.judge(str(write(GOOD))), width=48)
    assert len(line) == 50 and set(line) <= set("|" + sparkline.BLOCKS)
    assert marks.count("=") == pytest.approx(48 * 20 / 48, abs=1)


@pytest.mark.parametrize(("encoding", "letters"), [("ascii", sparkline.ASCII), ("utf-8", sparkline.BLOCKS)])
def test_a_terminal_that_cannot_show_blocks_gets_plain_letters(write, encoding, letters):
    run = [sys.executable, "-m", "stillroom", "judge", str(write(GOOD))]
    told = subprocess.run(run, capture_output=True, env={**os.environ, "PYTHONIOENCODING": encoding}, check=True)
    line = next(line for line in told.stdout.decode(encoding).splitlines() if line.startswith("|"))
    assert set(line) <= set("|" + letters) and "?" not in line


def test_a_missing_library_is_one_line_that_says_what_to_install(write):
    code = (
        "import sys; sys.modules['numpy'] = None; from stillroom.commands.main import main; "
        f"sys.exit(main(['judge', {str(write(GOOD))!r}]))"
    )
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert told.returncode == 2 and told.stderr.count("\n") == 1 and 'pip install "stillroom[day]"' in told.stderr


def test_only_a_chart_needs_the_library_of_charts(write, tmp_path):
    for words, status in (([], 0), (["--chart", str(tmp_path / "run.svg")], 2)):
        code = (
            "import sys; sys.modules['matplotlib'] = None; from stillroom.commands.main import main; "
            f"sys.exit(main(['judge', {str(write(GOOD))!r}, *{words!r}]))"
        )
        told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
        assert told.returncode == status, told.stderr
        assert told.stdout.startswith("DELIVERED.")
        said = 'stillroom: this needs matplotlib: install it with pip install "stillroom[charts]"\n'
        assert told.stderr == (said if status else "")


def test_asking_for_a_schedule_stays_light():
    code = "import sys, stillroom; print({'numpy', 'yaml', 'matplotlib', 'jsonschema'} & set(sys.modules))"
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True).stdout == "set()\n"


# the demonstration


@pytest.mark.parametrize(("batch", "verdict"), [("beans", "delivered"), ("corn", "short")])
def test_the_demonstration_runs_and_says_that_it_is_invented(batch, verdict, tmp_path, capsys):
    shutil.copytree(DEMO, tmp_path / "demo")
    assert main(["judge", str(tmp_path / "demo" / f"{batch}.yaml"), "--save", str(tmp_path / "season")]) == (
        0 if verdict == "delivered" else 1
    )
    assert capsys.readouterr().out.startswith(verdict.upper())
    entry = yaml.safe_load(next((tmp_path / "season").iterdir()).read_text())
    assert entry["verdict"] == verdict and "nvented" in entry["note"]


def test_every_file_of_the_demonstration_says_that_it_is_invented():
    files = [path for path in DEMO.rglob("*") if path.is_file()]
    assert len(files) >= 4
    for path in files:
        assert "invented" in path.read_text().lower(), path
