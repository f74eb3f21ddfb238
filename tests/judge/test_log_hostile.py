"""Any text is a log or one line of bad input with file and line, whatever the record says of it."""

from __future__ import annotations

import itertools
import unicodedata
from datetime import date
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import stillroom
from stillroom.errors import BadInput
from stillroom.run import log_names, runlog
from stillroom.run.log_about import AboutLog
from stillroom.run.log_times import MINUTE
from tests.trials import trials

FUZZ = settings(max_examples=trials(400), deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])

HEADINGS = st.one_of(
    st.sampled_from((*log_names.NAMES, "min", "Weight Rocking?", "dial, psi", "P (kPa)", "Timestamp", "", "#", "x")),
    st.text(max_size=5),
)
ODD = (
    "", "0", "5", "-1", "11", "11,5", "11.5 psi", "75.8 kPa", "100 C", "212 °F", "nan", "1e3", "yes", "no", "perhaps",
    "9:15", "9:15 pm", "23:59:59.9", "0:05", "24:00", ":", "9:", "9:1", "99:99", "2026-08-15T10:24",
    "2026-08-15 10:24:30Z",
    "2026-08-15T10:24-05:00", "psi", "min", "hh:mm", "kPa", "#", "# x", '"', '""', "'", ";", "\t", "\r", "\x00",
    "\x1b[31m", "\ufeff", "\u202e", "٣", *runlog.EVENTS, "Vent Start", "weight_on",
)  # fmt: skip
CELLS = st.one_of(st.sampled_from(ODD), st.integers(-5, 60).map(str), st.text(max_size=4))
TIMES = st.one_of(CELLS, st.integers(0, 1439).map(lambda m: f"{m // 60}:{m % 60:02}"))
ABOUT = st.builds(
    AboutLog,
    shown=st.just("batch.yaml"),
    columns=st.dictionaries(
        st.sampled_from(log_names.NAMES), st.sampled_from(["P (kPa)", "Timestamp", "x"]), max_size=2
    ),
    events=st.lists(st.tuples(st.sampled_from(runlog.EVENTS), CELLS), max_size=3).map(tuple),
    day=st.sampled_from([None, date(2026, 8, 15), date(1900, 1, 1), date(2200, 12, 31)]),
    air_psi=st.sampled_from([None, Fraction("14.2")]),
    altitude_ft=st.sampled_from([None, 0.0, 1650.0]),
)


def held(path, about):
    """Read a log, or be told in one line; and see that what was read is whole."""
    try:
        log = runlog.read(str(path), about)
    except BadInput as error:
        line = str(error)
        assert line.startswith(("run.csv", "batch.yaml: events.")), line
        assert "\n" not in line and len(line) < 300
        assert not any(unicodedata.category(letter) in ("Cc", "Cs", "Cf", "Zl", "Zp") for letter in line), line
        return None
    assert (np.diff(log.time_us) > 0).all() and (np.diff(log.noted_us) >= 0).all()
    assert np.isin(log.time_us, log.noted_us).all() and log.rows == len(log.noted_us) > 0
    assert len(log.reading) == len(log.highest) == len(log.time_us)
    assert not (log.reading > log.highest).any()
    columns = [column for column in (log.reading, log.steam_F, log.water_F) if column is not None]
    assert all(len(column) == len(log.time_us) for column in columns)
    assert not np.logical_and.reduce([np.isnan(column) for column in columns]).any()
    assert [event.time_us for event in log.events] == sorted(event.time_us for event in log.events)
    assert {event.name for event in log.events} <= set(runlog.EVENTS)
    for time_us in (log.first_us, log.last_us, *(event.time_us for event in log.events)):
        log.clock.show(time_us)
    return log


@pytest.fixture
def path(tmp_path):
    return tmp_path / "run.csv"


@FUZZ
@given(
    st.sampled_from([",", ";", "\t"]),
    st.lists(st.text(max_size=12), max_size=3),
    st.lists(HEADINGS, min_size=1, max_size=5),
    st.lists(st.lists(CELLS, min_size=1, max_size=5), max_size=10),
    ABOUT,
)
def test_any_table_is_read_or_refused(path, separator, above, names, rows, about):
    text = "\n".join([*above, separator.join(names), *(separator.join(row) for row in rows)])
    path.write_bytes(text.encode("utf-8", "surrogatepass"))
    held(path, about)


@FUZZ
@given(
    st.sampled_from([",", ";", "\t"]),
    st.lists(st.sampled_from(log_names.NAMES), min_size=2, max_size=5, unique=True),
    st.lists(st.tuples(TIMES, CELLS, CELLS, CELLS, CELLS), max_size=10),
    ABOUT,
)
def test_any_table_of_known_columns_is_read_or_refused(path, separator, names, rows, about):
    lines = [separator.join(cell.replace(separator, "") for cell in row[: len(names)]) for row in (names, *rows)]
    path.write_bytes("\n".join(lines).encode("utf-8", "surrogatepass"))
    held(path, about)


@FUZZ
@given(st.binary(max_size=200), st.sampled_from([b"", b"min,time,gauge_psi,event,note\n", b"time;water_C;boiling\n"]))
def test_any_bytes_are_read_or_refused(path, content, head):
    path.write_bytes(head + content)
    held(path, AboutLog(day=date(2026, 8, 15)))


STEPS = st.lists(st.tuples(st.integers(0, 9), st.sampled_from(["", *range(8, 14)])), min_size=1, max_size=25)


@FUZZ
@given(STEPS, st.integers(0, 1439))
def test_a_sheet_by_the_clock_is_the_log_that_its_full_times_make(path, steps, start):
    minutes = list(itertools.accumulate((step for step, _ in steps), initial=start))[1:]
    clock = "".join(f"{m // 60 % 24}:{m % 60:02},{psi}\n" for m, (_, psi) in zip(minutes, steps, strict=True))
    full = "".join(
        f"2026-08-{15 + m // 1440}T{m // 60 % 24:02}:{m % 60:02},{psi}\n"
        for m, (_, psi) in zip(minutes, steps, strict=True)
    )
    day = date(2026, 8, 15 + minutes[0] // 1440)
    logs = []
    for text in (clock, full):
        path.write_text("time,gauge_psi\n" + text)
        logs.append(held(path, AboutLog(day=day)))
    first, second = logs
    assert first.noted_us.tolist() == second.noted_us.tolist() and first.reading.tolist() == second.reading.tolist()


@FUZZ
@given(st.lists(STEPS, min_size=1, max_size=4))
def test_minutes_that_begin_again_add_up_and_no_time_counts_twice(path, parts):
    lines, whole = ["min,gauge_psi"], 0
    for part in parts:
        at = 0
        for number, (step, psi) in enumerate(part):
            at += step if number else 0
            lines.append(f"{at},{psi}")
        whole += at
    path.write_text("\n".join(lines) + "\n")
    log = held(path, AboutLog())
    went_back = sum(sum(step for step, _ in part[1:]) > 0 for part in parts[:-1])
    assert log.last_us - log.first_us == whole * MINUTE + went_back  # microseconds that keep two readings apart
    assert sum(event.name == "restart" for event in log.events) == went_back


@FUZZ
@given(STEPS, st.sampled_from([";", "\t"]))
def test_the_separator_and_the_decimal_sign_do_not_matter(path, steps, separator):
    rows = [(m, psi) for m, (_, psi) in enumerate(steps)]
    logs = []
    for between, point in ((",", "."), (separator, ",")):
        lines = [between.join(("min", "gauge_psi"))]
        lines += [f"{m}{point}5{between}{psi}{f'{point}25' if psi else ''}" for m, psi in rows]
        path.write_text("\n".join(lines) + "\n")
        logs.append(held(path, AboutLog()))
    assert logs[0].noted_us.tolist() == logs[1].noted_us.tolist()
    assert logs[0].reading.tolist() == logs[1].reading.tolist()


@FUZZ
@given(st.lists(st.integers(80, 200), min_size=3, max_size=20), st.data())
def test_a_lost_point_is_always_named(path, tenths, data):
    steady = [120 + tenth % 10 for tenth in tenths]
    at = data.draw(st.integers(1, len(steady) - 2))
    cells = [f"{tenth // 10}.{tenth % 10}" for tenth in steady]
    cells[at] = str(steady[at])
    path.write_text("min,gauge_psi\n" + "".join(f"{m},{cell}\n" for m, cell in enumerate(cells)))
    log = held(path, AboutLog())
    assert [(slip.line, slip.written) for slip in runlog.likely_slips(log)] == [(at + 2, cells[at])]
    assert log.reading[at] == steady[at]


def test_a_long_sheet_with_lines_that_are_no_rows_is_read_quickly(path):
    import time

    rows = "".join(f"{m / 100:.2f},11\n" for m in range(200_000))
    path.write_text("# logger\nmin,gauge_psi\n" + rows + "# end, of\n")
    start = time.perf_counter()
    assert runlog.read(str(path)).rows == 200_000
    assert time.perf_counter() - start < 5


def test_absolute_pressure_claims_no_more_when_more_air_is_taken_off(write):
    rows = "0,14.2,vent-start\n10,14.2,weight-on\n" + "".join(f"{m},25.2,\n" for m in range(15, 40))
    said = [stillroom.judge(str(write(f"minute,absolute_psi,event\n{rows}", air=f"{air} psi"))).verdict
            for air in (13.9, 14.2, 14.3, 14.6)]  # fmt: skip
    assert said == ["delivered", "delivered", "short", "short"]
