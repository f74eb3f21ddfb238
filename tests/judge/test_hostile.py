"""What nobody should have to suffer: hostile records, logs and season entries. One line each, and nothing leaks."""

from __future__ import annotations

import contextlib
import csv
import io
import itertools
import json
import os
import subprocess
import sys
import unicodedata
import warnings
import xml.etree.ElementTree as ET
from pathlib import Path

import numpy as np
import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import stillroom
from stillroom.commands.main import main
from stillroom.errors import BadInput, BadPackage, StillroomError
from stillroom.package import documents
from stillroom.run import batch, log_cells, runlog, season
from stillroom.sheets import drawing, season_chart, season_document
from tests.memory import MEGABYTES
from tests.trials import trials

RULES = stillroom.shelf().rules
VENT = "minute,gauge_psi,event\n12,0,vent-start\n22,0,weight-on\n26,9,\n"
GOOD = VENT + "".join(f"{m},11,\n" for m in range(28, 49)) + "54,5,\n60,0,\n"
RECORD = "food: snap-beans\npack: raw\njar: pint\naltitude: 1650 ft\ncanner: dial\nrun: run.csv\ndate: 2026-08-15\n"
ENTRY = {
    "date": "2026-08-15", "food": "snap-beans", "title": "Beans", "jar": "pint", "jars": 7, "canner": "dial",
    "altitude_ft": 0.0, "verdict": "delivered", "reasons": ["vented", "held"],
    "required": {"minutes": 20, "pressure_psi": 11}, "sealed": 7, "best_by": "2027-08-15",
}  # fmt: skip
ESCAPES = ["\x1b[31mred", "a\x1b]0;title\x07", "\x9b31m", "a\u202eb", "\x7f", "a\x00", "a\u2028b", "a\rb"]
WORDS = [
    "food",
    "pack",
    "jar",
    "jars",
    "altitude",
    "canner",
    "gauge",
    "run",
    "date",
    "seals",
    "note",
    "option",
    "minute",
]


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "run.csv").write_text(GOOD)
    (tmp_path / "batch.yaml").write_text(RECORD)
    return tmp_path


def entry(folder, name="a.yaml", **changes):
    folder.mkdir(exist_ok=True)
    (folder / name).write_text(yaml.safe_dump({**ENTRY, **changes}, allow_unicode=True))
    return str(folder)


def clean(text):
    """No control character, no sign that turns the direction, no line end but ours."""
    odd = "\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
    return not any(c in odd or (unicodedata.category(c) in ("Cc", "Cs", "Zl", "Zp") and c != "\n") for c in text)


# text from outside


@pytest.mark.parametrize("text", ESCAPES, ids=range(len(ESCAPES)))
@pytest.mark.parametrize("key", ["food", "form", "pack", "jar", "altitude", "canner", "run", "date", "max_gap", "x"])
def test_no_escape_of_a_record_reaches_the_terminal(folder, capsys, key, text):
    record = {**yaml.safe_load(RECORD), "date": "2026-08-15", key: text}
    (folder / "batch.yaml").write_text(yaml.safe_dump(record))
    for words in ([], ["--json"]):
        assert main(["judge", *words, str(folder / "batch.yaml")]) == 2
        told = capsys.readouterr()
        assert told.out == "" and clean(told.err) and told.err.count("\n") == 1


@pytest.mark.parametrize(
    "content",
    [b"minute,\x1b[31m\n0,1\n", b"minute,gauge_psi\n0,\x1b[31m\n", "minute,\x9b31m\n0,1\n".encode(),
     "minute,gauge_psi,event\n0,1,\u202event\n".encode(), b"\x1b]0;x\x07\n"],
)  # fmt: skip
def test_no_escape_of_a_log_reaches_the_terminal(folder, capsys, content):
    (folder / "run.csv").write_bytes(content)
    assert main(["judge", str(folder / "batch.yaml")]) == 2
    told = capsys.readouterr()
    assert clean(told.err) and told.err.count("\n") == 1


def test_a_key_with_an_escape_is_refused_cleanly(folder, capsys):
    for line in ('"\\e[31m": 1\n', '"\\e[31m": 1\n"\\e[31m": 1\n', "note: '\x9b31m\n", 'note: "\\u202e"\n'):
        (folder / "batch.yaml").write_text(RECORD + line)
        assert main(["judge", str(folder / "batch.yaml")]) == 2
        assert clean(capsys.readouterr().err)


def test_a_note_may_have_lines_and_letters_of_any_language(folder, tmp_path):
    note = "first line\nsecond\tline\n\u0646\u0645\u06cc\u200c\u062e\u0648\u0627\u0647\u0645 \U0001f96b\n"
    (folder / "batch.yaml").write_text(RECORD + "jars: 7\n" + yaml.safe_dump({"note": note}))
    kept = season.keep(stillroom.judge(str(folder / "batch.yaml")), str(tmp_path / "s"), RULES)
    assert yaml.safe_load(Path(kept.path).read_text())["note"] == note


@pytest.mark.parametrize("text", ESCAPES, ids=range(len(ESCAPES)))
def test_an_entry_with_an_escape_is_refused_and_named(tmp_path, text):
    with pytest.raises(BadInput, match=r"^a\.yaml:\d+: ") as error:
        season.read(entry(tmp_path / "s", title=text), RULES)
    assert clean(str(error.value))


@pytest.mark.parametrize("name", ["\x1b[31m.yaml", "a\u202eb.yaml", "a\nb.yaml", os.fsdecode(b"\xff.yaml")])
def test_no_escape_of_a_file_name_reaches_anything(tmp_path, capsys, name):
    where = entry(tmp_path / "s", name)
    for words in ([], ["--json"], ["--csv", str(tmp_path / "s.csv")], ["--plot", str(tmp_path / "s.svg")]):
        assert main(["season", where, *words]) == 0
        told = capsys.readouterr()
        assert clean(told.out) and clean(told.err)
    assert clean((tmp_path / "s.csv").read_text())
    (tmp_path / "s" / name).write_text("no entry")
    assert main(["season", where]) == 2
    told = capsys.readouterr().err
    assert clean(told) and told.count("\n") == 1


@pytest.mark.parametrize("title", ["=1+1", "+1", "-1", "@SUM(A1)", "=cmd|' /C calc'!A0"])
def test_a_cell_that_a_spreadsheet_would_run_is_written_as_text(tmp_path, title):
    entries = season.read(entry(tmp_path / "s", title=title), RULES)
    (row,) = csv.DictReader(io.StringIO(season_document.as_csv(entries)))
    assert row["title"] == "'" + title and row["jars"] == "7"


@pytest.mark.parametrize("name", ["=1.yaml", "-1.yaml", "@x.yml"])
def test_a_file_name_that_a_spreadsheet_would_run_is_written_as_text(tmp_path, name):
    (row,) = csv.DictReader(io.StringIO(season_document.as_csv(season.read(entry(tmp_path / "s", name), RULES))))
    assert row["file"] == "'" + name


@pytest.mark.parametrize(
    "title", ["$x$", "$\\frac{1}$", "\\frac", "$", "$$", "a_b^c", "<b>&amp;", "\u8c46" * 90, "x" * 200]
)
@pytest.mark.parametrize("kind", ["svg", "png"])
def test_a_title_is_text_to_the_chart_library(tmp_path, capfd, title, kind):
    plot = tmp_path / f"s.{kind}"
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        assert main(["season", entry(tmp_path / "s", title=title), "--plot", str(plot)]) == 0
    assert capfd.readouterr().err == ""
    if kind == "svg" and len(title) < 20:
        assert title in "".join(ET.parse(plot).getroot().itertext())


def test_a_season_of_thousands_of_foods_is_drawn_within_bounds(tmp_path):
    load = season.read(entry(tmp_path / "s"), RULES)[0]
    from dataclasses import replace

    loads = [replace(load, title=f"food {i}", jars=1 + i % 90, sealed=1) for i in range(3000)]
    season_chart.plot(loads, str(tmp_path / "s.png"))
    assert (tmp_path / "s.png").stat().st_size < 4_000_000
    season_chart.plot(loads, str(tmp_path / "s.svg"))
    assert "other foods" in (tmp_path / "s.svg").read_text()


# days


@pytest.mark.parametrize("day", ["9999-12-31", "0001-01-01", "2201-01-01"])
def test_a_day_out_of_reach_is_refused(folder, tmp_path, capsys, day):
    record = RECORD.replace("2026-08-15", day) + "jars: 7\n"
    (folder / "batch.yaml").write_text(record)
    assert main(["judge", str(folder / "batch.yaml"), "--save", str(tmp_path / "s")]) == 2
    assert capsys.readouterr().err.count("\n") == 1
    (folder / "batch.yaml").write_text(RECORD + f"gauge: {{tested: {day}}}\n")
    assert main(["judge", str(folder / "batch.yaml")]) == 2
    with pytest.raises(BadInput, match=r"a\.yaml: .*date"):
        season.read(entry(tmp_path / "s", date=day, best_by=day), RULES)


def test_an_entry_that_gives_its_jars_more_than_a_year_is_refused(tmp_path):
    with pytest.raises(BadInput, match=r"a\.yaml: best_by .*1-12"):
        season.read(entry(tmp_path / "s", best_by="2027-08-16"), RULES)
    assert season.read(entry(tmp_path / "s", best_by="2027-06-01"), RULES)[0].best_by.isoformat() == "2027-06-01"


# the log lies in the folder of the record


@pytest.mark.parametrize(
    "run",
    ["/etc/hostname", "../run.csv", "sub/../../run.csv", "..", ".", "C:\\run.csv", "\\\\host\\run.csv", "~/x/../.."],
)
def test_a_log_outside_the_folder_of_the_record_is_refused(folder, run):
    (folder / "in").mkdir()
    (folder / "in" / "batch.yaml").write_text(RECORD.replace("run.csv", f"'{run}'"))
    with pytest.raises(BadInput) as error:
        stillroom.judge(str(folder / "in" / "batch.yaml"))
    assert run == "." or "in the folder of the record or below it" in str(error.value)


def test_a_link_out_of_the_folder_is_refused_and_one_within_it_is_not(folder):
    (folder / "in").mkdir()
    record = folder / "in" / "batch.yaml"
    record.write_text(RECORD.replace("run.csv", "log.csv"))
    (folder / "in" / "log.csv").symlink_to(folder / "run.csv")
    with pytest.raises(BadInput, match="in the folder of the record or below it"):
        stillroom.judge(str(record))
    (folder / "in" / "log.csv").unlink()
    (folder / "in" / "out").symlink_to(folder)
    record.write_text(RECORD.replace("run.csv", "out/run.csv"))
    with pytest.raises(BadInput, match="in the folder of the record or below it"):
        stillroom.judge(str(record))
    (folder / "in" / "real.csv").write_text(GOOD)
    (folder / "in" / "log.csv").symlink_to("real.csv")
    record.write_text(RECORD.replace("run.csv", "log.csv"))
    assert stillroom.judge(str(record)).verdict == "delivered"


def test_a_log_below_the_folder_is_read_from_any_place(folder, monkeypatch):
    (folder / "logs").mkdir()
    os.rename(folder / "run.csv", folder / "logs" / "run.csv")
    (folder / "batch.yaml").write_text(RECORD.replace("run.csv", "logs/run.csv"))
    monkeypatch.chdir(folder)
    assert stillroom.judge("batch.yaml").verdict == stillroom.judge(str(folder / "batch.yaml")).verdict == "delivered"


def test_pipes_and_devices_are_refused_at_once(folder, tmp_path):
    os.unlink(folder / "run.csv")
    os.mkfifo(folder / "run.csv")
    with pytest.raises(BadInput, match="is not a file"):
        stillroom.judge(str(folder / "batch.yaml"))
    with pytest.raises(BadInput, match="is not a file"):
        runlog.read("/dev/zero")
    with pytest.raises(BadInput, match="is not a file"):
        batch.read("/dev/zero")
    os.mkfifo(tmp_path / "b.yaml")
    with pytest.raises(BadInput, match="is not a file"):
        batch.read(str(tmp_path / "b.yaml"))
    os.mkdir(tmp_path / "s")
    os.mkfifo(tmp_path / "s" / "a.yaml")
    with pytest.raises(BadInput, match="is not a file"):
        season.read(str(tmp_path / "s"), RULES)


# bounds


def test_rows_are_bounded_and_the_bound_is_told(folder, monkeypatch):
    assert log_cells.MOST_ROWS == 2_000_000
    monkeypatch.setattr(log_cells, "MOST_ROWS", 10)
    for rows, fine in ((10, True), (11, False), (500, False)):
        for row in ("{},11", '{},"11"', "{} , 11"):
            (folder / "run.csv").write_text("minute,gauge_psi\n" + "".join(row.format(i) + "\n" for i in range(rows)))
            with contextlib.nullcontext() if fine else pytest.raises(BadInput, match="more than 10 rows: log less"):
                runlog.read(str(folder / "run.csv"))


@pytest.mark.parametrize(
    "content",
    [
        b"minute,gauge_psi\n0," + b"1" * 5_000_000 + b"\n",
        b"minute,gauge_psi\n0," + b" " * 5_000_000 + b"1\n",
        b"minute,gauge_psi\n" + b"," * 5_000_000 + b"\n",
        b"minute,gauge_psi" * 300_000 + b"\n0,11\n",
        b"minute,gauge_psi\n0,11\n" + b"\x1b" * 5_000_000,
        b'minute,gauge_psi,note\n0,11,"' + b"x" * 5_000_000 + b'"\n',
        b'minute,gauge_psi,note\n0,11,"' + b"x\n" * 1_000_000,
        b"," * 5_000_000,
        b"\xef\xbb\xbf" * 2_000_000,
        b"minute,gauge_psi\n" + b"\n" * 5_000_000,
    ],
    ids=range(10),
)
def test_long_lines_are_refused_quickly(folder, content):
    (folder / "run.csv").write_bytes(content)
    with pytest.raises(BadInput) as error:
        runlog.read(str(folder / "run.csv"))
    assert len(str(error.value)) < 250 and clean(str(error.value))


def test_spaces_are_taken_off_without_many_passes(folder):
    rows = "".join(f"{i},11\n" for i in range(100_000)) + f"{' ' * 4000}100000{' ' * 60},11\n"
    (folder / "run.csv").write_text("minute,gauge_psi\n" + rows)
    assert len(runlog.read(str(folder / "run.csv")).time_us) == 100_001


MEASURE = f"""
import sys
import stillroom
from stillroom.errors import BadInput
try:
    stillroom.judge(sys.argv[1])
except BadInput as error:
    print(error)
{MEGABYTES}"""


def megabytes(folder):
    told = subprocess.run(
        [sys.executable, "-c", MEASURE, str(folder / "batch.yaml")], capture_output=True, text=True, check=True
    )
    return int(told.stdout.split()[-1])


def test_memory_is_bounded_at_the_most_rows(folder):
    minute = np.char.mod("%.5f", np.arange(400_000) / 9999)
    rows = "\n".join((minute.astype(object) + ",11.25,").tolist())
    (folder / "run.csv").write_text("minute,gauge_psi,event\n" + rows + "\n")
    # a fifth of the most rows: five times what they take above the start stays well below 1 GB
    small = megabytes(folder)
    (folder / "run.csv").write_text(GOOD)
    start = megabytes(folder)
    assert start < small and start + 5 * (small - start) < 800


# anything at all

ODD_NUMBERS = [
    ".nan",
    ".inf",
    "-.inf",
    "nan",
    "inf",
    "1e999",
    "1_000",
    "0x10",
    "9" * 400,
    "-0",
    "1:30",
    "~",
    "''",
    "[]",
    "{}",
]


@pytest.mark.parametrize("value", ODD_NUMBERS)
@pytest.mark.parametrize(
    "key", ["jars", "altitude", "gauge", "option", "seals", "max_gap", "date", "note", "food", "run"]
)
def test_odd_values_are_bad_input_or_a_refusal(folder, key, value):
    for written in (f"{key}: {value}\n", f"{key}: {{reads_high_by: {value}, minutes: {value}, sealed: {value}}}\n"):
        kept = "".join(line + "\n" for line in RECORD.splitlines() if not line.startswith(key + ":"))
        (folder / "batch.yaml").write_text(kept + written)
        with contextlib.suppress(StillroomError):
            stillroom.judge(str(folder / "batch.yaml"))


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "utf-16-le", "utf-32", "latin-1"])
def test_a_record_in_another_encoding_is_read_or_refused(folder, encoding):
    (folder / "batch.yaml").write_bytes((RECORD + "note: caf\u00e9\n").encode(encoding))
    (folder / "run.csv").write_bytes(GOOD.encode("utf-8-sig"))
    if encoding == "utf-8-sig":
        assert stillroom.judge(str(folder / "batch.yaml")).verdict == "delivered"
    else:
        with pytest.raises(BadInput):
            stillroom.judge(str(folder / "batch.yaml"))


FUZZ = settings(max_examples=trials(150), deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
_number = itertools.count()
ODD_CELLS = [
    *("", "0", "11", "11.5", "-14.9", "29.9", "nan", "1e9", "=1", '"', "'", " ", "\t", "\r", "\x1b", "\ufeff", "99999"),
    *("2026-08-15T10:24", "2026-08-15T10:24:30.25-05:00", "2026-08-15T10:24Z"),
    *("9:15", "9:25 pm", "11 psi", "240", "yes", "no"),
    *("vent-start", "weight-on", "heat-off", "lock-dropped", "Restart"),
]
CELLS = st.one_of(
    st.sampled_from(ODD_CELLS),
    st.integers(-5, 100).map(str),
    st.floats(-20, 40).map(lambda value: f"{value:.3f}"),
    st.text(max_size=6),
)


def outcome(path, *words):
    """Run the command; whatever was given, it ends with a status and clean text."""
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        status = main(["judge", str(path), *words])
    assert status in (0, 1, 2, 3) and clean(out.getvalue()) and clean(err.getvalue())
    assert (status == 2) == bool(err.getvalue()) and err.getvalue().count("\n") <= 1
    if "--json" in words and out.getvalue():
        json.loads(out.getvalue())


@FUZZ
@given(
    st.lists(
        st.sampled_from(
            ["minute", "time", "gauge_psi", "gauge_kpa", "absolute_psi", "steam_F", "boiling", "event", "note", "x"]
        ),
        min_size=1,
        max_size=4,
    ),
    st.lists(st.lists(CELLS, min_size=1, max_size=4), max_size=12),
)
def test_any_table_is_judged_or_refused(folder, names, rows):
    lines = [",".join(names), *(",".join(row) for row in rows)]
    (folder / "run.csv").write_bytes("\n".join(lines).encode("utf-8", "surrogatepass"))
    outcome(folder / "batch.yaml", "--json")


@FUZZ
@given(
    st.lists(
        st.tuples(
            st.integers(0, 30),
            st.one_of(st.none(), st.integers(-30, 58)),
            st.sampled_from(["", "", "", "", *runlog.EVENTS]),
        ),
        min_size=1,
        max_size=30,
    ),
    st.sampled_from(["psi", "kpa"]),
    st.sampled_from(["0 psi", "2 psi", "-2 psi", "999 psi", "-1 kPa"]),
    st.sampled_from(
        [{}, {"canner": "weighted"}, {"altitude": "-1000 ft"}, {"altitude": "9999 ft"}, {"max_gap": "1 s"}]
    ),
)
def test_any_run_is_judged_in_text_and_json(folder, steps, unit, error, changes):
    minute = 0
    lines = [f"minute,gauge_{unit},event"]
    for step, half, event in steps:
        minute += step
        lines.append(f"{minute},{'' if half is None else half / 2},{event}")
    (folder / "run.csv").write_text("\n".join(lines) + "\n")
    record = {**yaml.safe_load(RECORD), "date": "2026-08-15", "gauge": {"reads_high_by": error}, **changes}
    (folder / "batch.yaml").write_text(yaml.safe_dump(record))
    outcome(folder / "batch.yaml")
    outcome(folder / "batch.yaml", "--json")


@FUZZ
@given(st.binary(max_size=300))
def test_any_bytes_are_no_crash(folder, content):
    (folder / "run.csv").write_bytes(content)
    outcome(folder / "batch.yaml")
    (folder / "run.csv").write_bytes(b"minute,gauge_psi,event\n" + content)
    outcome(folder / "batch.yaml")
    (folder / "other.yaml").write_bytes(content)
    outcome(folder / "other.yaml")
    (folder / "other.yaml").write_bytes(RECORD.encode() + content)
    outcome(folder / "other.yaml")


PLAIN = st.one_of(
    st.none(), st.booleans(), st.integers(), st.floats(), st.text(max_size=12), st.sampled_from(ODD_NUMBERS + ESCAPES)
)
VALUES = st.one_of(PLAIN, st.dictionaries(st.sampled_from(WORDS), PLAIN, max_size=3), st.lists(PLAIN, max_size=3))


@FUZZ
@given(st.dictionaries(st.sampled_from(WORDS), VALUES, max_size=5))
def test_any_record_is_judged_or_refused(folder, changes):
    record = {**yaml.safe_load(RECORD), "date": "2026-08-15", **changes}
    (folder / "odd.yaml").write_text(yaml.dump(record, allow_unicode=True), encoding="utf-8", errors="surrogatepass")
    outcome(folder / "odd.yaml")


@FUZZ
@given(st.dictionaries(st.sampled_from(sorted(ENTRY)), VALUES, max_size=3))
def test_any_entry_is_listed_or_refused(tmp_path, changes):
    where = tmp_path / str(next(_number))
    where.mkdir()
    text = yaml.dump({**ENTRY, **changes}, allow_unicode=True)
    (where / "a.yaml").write_text(text, encoding="utf-8", errors="surrogatepass")
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        status = main(["season", str(where), "--csv", str(where / "s.csv")])
    assert status in (0, 2) and clean(out.getvalue()) and clean(err.getvalue())


def test_a_chart_leaves_no_warning_of_the_library_behind(folder, tmp_path, capfd):
    (tmp_path / "home").mkdir()
    environment = {**os.environ, "MPLCONFIGDIR": str(tmp_path / "home" / "no" / "such"), "HOME": "/nonexistent"}
    asked = ["judge", str(folder / "batch.yaml"), "--chart", str(tmp_path / "c.svg")]
    told = subprocess.run([sys.executable, "-m", "stillroom", *asked], capture_output=True, text=True, env=environment)
    assert told.returncode == 0 and told.stderr == ""


# documents of a package


@pytest.mark.parametrize("number", [".nan", ".inf", "-.INF"])
def test_a_number_that_is_none_is_no_part_of_a_package(number):
    with pytest.raises(BadPackage, match=r"^x:3: has a number"):
        documents.read_yaml(f"a: 1.5\nb:\n- {number}\n".encode(), "x")
    assert documents.read_yaml(b"a: 1.5\nb: '.nan'\n", "x") == {"a": 1.5, "b": ".nan"}


def test_a_document_of_a_package_puts_no_escape_into_its_error():
    for read, content in (
        (documents.read_yaml, b'"\\e[31m": 1\n"\\e[31m": 1\n'),
        (documents.read_json, b'{"\x9b": 1, "\x9b": 1}'),
    ):
        with pytest.raises(BadPackage) as error:
            read(content.decode("latin-1").encode(), "x")
        assert clean(str(error.value))


def test_the_chart_library_is_left_as_it_was(tmp_path):
    import matplotlib

    before = dict(matplotlib.rcParams)
    with drawing.sheet(str(tmp_path / "x.svg"), "chart", (2, 2)) as figure:
        figure.text(0, 0, "$x$")
    assert dict(matplotlib.rcParams) == before
