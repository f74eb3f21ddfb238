"""Logs as people and loggers write them, and logs that nobody should have to suffer: one clear line each."""

from __future__ import annotations

import time

import numpy as np
import pytest

from stillroom.errors import BadInput
from stillroom.run import log_cells, runlog
from stillroom.run.log_times import MINUTE


@pytest.fixture
def read(tmp_path):
    def of(content):
        data = content if isinstance(content, bytes) else content.encode()
        (tmp_path / "run.csv").write_bytes(data)
        return runlog.read(str(tmp_path / "run.csv"))

    return of


def minutes(log):
    return ((log.time_us - log.first_us) / MINUTE).tolist()


# what is read


@pytest.mark.parametrize(
    ("written", "microsecond"),
    [
        ("2026-08-15T10:24", 0),
        ("2026-08-15 10:24", 0),
        ("2026-08-15T10:24:00", 0),
        ("2026-08-15T10:24:00.5", 500_000),
        ("2026-08-15T10:24:00.1234567", 123_456),
    ],
)
def test_iso_times_without_a_zone(read, written, microsecond):
    log = read(f"time,gauge_psi\n{written},11\n")
    moment = log.clock.moment(int(log.time_us[0]))
    assert moment.isoformat(timespec="microseconds") == f"2026-08-15T10:24:00.{microsecond:06d}"
    assert log.clock.kind == "naive"


@pytest.mark.parametrize("zone", ["-05:00", "-0500", "-05"])
def test_a_zone_is_read_in_each_of_its_spellings(read, zone):
    log = read(f"time,gauge_psi\n2026-08-15T10:24{zone},11\n2026-08-15T15:25Z,11\n")
    assert minutes(log) == [0, 1]
    assert log.clock.show(int(log.time_us[1])) == "10:25"


def test_times_across_a_clock_change_are_compared_in_utc(read):
    # clocks go back at 2:00 on 1 November 2026 in the eastern United States
    log = read("time,gauge_psi\n2026-11-01T01:50-04:00,11\n2026-11-01T01:00-05:00,11\n2026-11-01T01:10-05:00,11\n")
    assert minutes(log) == [0, 10, 20]


def test_a_log_without_zones_that_jumps_an_hour_back_is_refused_with_the_way_out(read):
    with pytest.raises(BadInput, match=r"run\.csv:3: time goes back .* write the zone too"):
        read("time,gauge_psi\n2026-11-01T01:50,11\n2026-11-01T01:00,11\n")


def test_a_leap_day_is_a_day_only_in_a_leap_year(read):
    assert len(read("time,gauge_psi\n2028-02-29T10:24,11\n").time_us) == 1
    with pytest.raises(BadInput, match="not ISO 8601"):
        read("time,gauge_psi\n2026-02-29T10:24,11\n")


def test_minutes_are_exact_to_the_microsecond(read):
    log = read("minute,gauge_psi\n0.1,11\n0.3,11\n20.1,11\n")
    assert log.time_us.tolist() == [6_000_000, 18_000_000, 1_206_000_000]


@pytest.mark.parametrize("text", ["11", "11.0", "+11", "011", "11.", "11.000000000000000000"])
def test_spellings_of_eleven(read, text):
    assert read(f"minute,gauge_psi\n0,{text}\n").reading.tolist() == [11.0]


@pytest.mark.parametrize("text", ["0.1", "11.1", "10.999999999999998", "9.87654321", ".5", "-0.25", "7.005", "14.999"])
def test_a_reading_is_the_float_that_python_reads(read, text):
    assert read(f"minute,gauge_psi\n0,{text}\n").reading.tolist() == [float(text)]


def test_every_reading_of_a_long_column_is_the_float_that_python_reads(read):
    psi = [f"{value:.{digits}f}" for digits, value in enumerate(np.random.default_rng(9).uniform(-1, 25, 40_000))
           for digits in (digits % 12,)]  # fmt: skip
    log = read("minute,gauge_psi\n" + "".join(f"{i},{text}\n" for i, text in enumerate(psi)))
    assert log.reading.tolist() == [float(text) for text in psi]
    assert log.decimals == 11


def test_an_empty_reading_is_no_reading(read):
    log = read("minute,gauge_psi\n0,11\n1,\n2,11\n")
    assert minutes(log) == [0, 2] and log.rows == 3


@pytest.mark.parametrize(("pair", "kept"), [((11, 11), 11.0), ((11, 10), 10.0), ((10, 11), 10.0), ((11, ""), 11.0)])
def test_of_two_readings_at_one_time_the_lower_is_taken(read, pair, kept):
    log = read(f"minute,gauge_psi\n0,9\n1,{pair[0]}\n1,{pair[1]}\n2,9\n")
    assert log.reading.tolist() == [9.0, kept, 9.0]


@pytest.mark.parametrize(
    "content",
    [
        b"\xef\xbb\xbfminute,gauge_psi\n0,11\n1,12\n",
        b"minute,gauge_psi\r\n0,11\r\n1,12\r\n",
        b"minute,gauge_psi\n0,11\n1,12",
        b"minute,gauge_psi\n\n0,11\n\n1,12\n\n",
        b"minute,gauge_psi\n0,11\n1,12\n,\n,\n",
        b" minute , gauge_psi \n 0 , 11\n1\t,12 \n",
        b'"minute","gauge_psi"\n"0","11"\n"1","12"\n',
        b"gauge_psi,minute\n11,0\n12,1\n",
        b'minute,gauge_psi,note\n0,11,"stirred, then\nwaited"\n1,12,\n',
        "minute,gauge_psi,note\n0,11,größer\n1,12,٣\n".encode(),
    ],
)
def test_the_same_log_in_other_clothes(read, content):
    log = read(content)
    assert log.time_us.tolist() == [0, MINUTE] and log.reading.tolist() == [11.0, 12.0]


def test_events_are_read_with_or_without_a_reading(read):
    log = read("minute,gauge_psi,event\n12,,vent-start\n22,0,weight-on\n50,11, heat-off \n")
    assert [(event.name, event.time_us // MINUTE) for event in log.events] == [
        ("vent-start", 12),
        ("weight-on", 22),
        ("heat-off", 50),
    ]


# what is refused

REFUSED = {
    b"": "is empty",
    b" \n \n": "is empty",
    b"minute,gauge_psi\n": "a header and no rows",
    b"minute,gauge_psi": "a header and no rows",
    b"minute,gauge_psi\n,\n": "a header and no rows",
    b"minute,gauge_atm\n0,1\n": 'run.csv:1: column "gauge_atm" is unknown',
    b"minute,pressure\n0,1\n": 'column "pressure" is unknown',
    b"minute\n0\n": "run.csv:1: has neither readings nor events",
    b"gauge_psi\n0\n": "no time column",
    b"minute,second,gauge_psi\n0,0,0\n": "two time columns",
    b"second,time,gauge_psi\n0,0,0\n": "two time columns",
    b"minute,time,gauge_psi\n0,0,0\n": 'run.csv:2: time "0" is not ISO 8601',
    b"minute,gauge_psi,gauge_kpa\n0,0,0\n": "two pressure columns",
    b"minute,gauge_psi,gauge_psi\n0,0,0\n": "stands twice",
    b"minute;gauge_psi\n0;11;5\n": "run.csv:2: 3 cells where there are 2 columns",
    b"minute;gauge_psi\n0;1.011,5\n": "is not a number",
    b'minute;gauge_psi\n0;"11;5"\n': "run.csv:2: a semicolon inside a cell",
    b"0,11\n1,11\n": 'column "0" is unknown',
    b"minute,gauge_psi\n0,11\n1,eleven\n": 'run.csv:3: reading "eleven" is not a number',
    b"minute,gauge_psi\n0,nan\n": 'run.csv:2: reading "nan" is not a number',
    b"minute,gauge_psi\n0,inf\n": 'reading "inf" is not a number',
    b"minute,gauge_psi\n0,-Infinity\n": 'reading "-Infinity" is not a number',
    b"minute,gauge_psi\n0,1e1\n": 'reading "1e1" is not a number',
    b"minute,gauge_psi\n0,1_1\n": 'reading "1_1" is not a number',
    b"minute,gauge_psi\n0,0x0b\n": 'reading "0x0b" is not a number',
    b"minute,gauge_psi\n0,11 kPa\n": 'run.csv:2: reading "11 kPa" is in kpa, and its column is gauge_psi',
    b"minute,gauge_psi\n0,11 psia\n": 'reading "11 psia" is in psia, and its column is gauge_psi',
    b"minute,gauge_psi\n0,psi\n1,psi\n": 'run.csv:2: reading "psi" is not a number',
    b"minute,gauge_psi\n0,11 psi psi\n": 'reading "11 psi psi" is not a number',
    b"minute,gauge_psi\n0,--11\n": 'reading "--11" is not a number',
    b"minute,gauge_psi\n0,1.1.1\n": 'reading "1.1.1" is not a number',
    b"minute,gauge_psi\n0,.\n": 'reading "." is not a number',
    b"minute,gauge_psi\n0,-\n": 'reading "-" is not a number',
    b"minute,gauge_psi\n0," + b"1" * 4000 + b"\n": "is not a number",
    b"minute,gauge_psi\n0,11\n1," + b"1" * 5000 + b"\n": "run.csv:3: a line of more than 4,096 bytes",
    "minute,gauge_psi\n0,\u0661\u0661\n".encode(): 'reading "\u0661\u0661" is not a number',
    "minute,gauge_psi\n0,\uff11\uff11\n".encode(): 'reading "\uff11\uff11" is not a number',
    "minute,gauge_psi\n0,\u221211\n".encode(): "is not a number",
    b'minute,gauge_psi\n0,"11,5"\n': "run.csv:2: a comma inside a cell",
    b"minute,gauge_psi\n0,11,5\n": "run.csv:2: 3 cells where there are 2 columns",
    b"minute,gauge_psi,event\n0,11,\n1,11\n": "run.csv:3: 2 cells where there are 3 columns",
    b"minute,gauge_psi,event\n0,11\n1,11,,\n": "run.csv:2: 2 cells where there are 3 columns",
    b"minute,gauge_psi\n0,11\n\n1\n": "run.csv:4: 1 cells where there are 2 columns",
    b'minute,gauge_psi,note\n0,11,"open\n1,11,\n': "run.csv:2: the quotes do not close",
    b"minute,gauge_psi\n0,11\n1,1\x001\n": "run.csv:3: holds a NUL byte",
    b"minute,gauge_psi\n0,11\n1,1\xff1\n": "run.csv:3: is not UTF-8",
    "minute,gauge_psi\n0,11\n".encode("utf-16"): "is UTF-16",
    b"minute,gauge_psi\n0,75.8\n1,76\n": "run.csv:2: reading 75.8 psi is outside any home canner",
    b"minute,gauge_kpa\n0,400\n": "reading 400 kPa is outside any home canner",
    b"minute,gauge_psi\n0,-20\n": "reading -20 psi is outside any home canner",
    b"minute,gauge_psi\n0,11\n,11\n": "run.csv:3: minute is empty",
    b"minute,gauge_psi\n999999999,11\n": "is too far",
    b"minute,gauge_psi\n10:24,11\n": 'minute "10:24" is not a number',
    b"minute,gauge_psi\n5,11\n4,11\n": "run.csv:3: time goes back from 5 to 4",
    b"time,gauge_psi\n10:24,11\n": 'time "10:24" is not ISO 8601',
    b"time,gauge_psi\n2026-08-15,11\n": "is not ISO 8601",
    b"time,gauge_psi\n08/15/2026 10:24,11\n": "is not ISO 8601",
    b"time,gauge_psi\n2026-08-15T24:00,11\n": "is not ISO 8601",
    b"time,gauge_psi\n2026-13-15T10:24,11\n": "is not ISO 8601",
    b"time,gauge_psi\n2026-08-32T10:24,11\n": "is not ISO 8601",
    b"time,gauge_psi\n2026-08-15T10:60,11\n": "is not ISO 8601",
    b"time,gauge_psi\n2026-08-15T10:24:60,11\n": "is not ISO 8601",
    b"time,gauge_psi\n2026-08-15T10:24:3,11\n": "is not ISO 8601",
    b"time,gauge_psi\n2026-08-15T10:24 EST,11\n": "is not ISO 8601",
    b"time,gauge_psi\n2026-08-15T10:24+25:00,11\n": "is not ISO 8601",
    b"time,gauge_psi\n2026-08-15T10:24+0560,11\n": "is not ISO 8601",
    b"time,gauge_psi\n,11\n": "run.csv:2: time is empty",
    b"time,gauge_psi\n2026-08-15T10:24,11\n2026-08-15T10:25Z,11\n": "run.csv:3: time has a zone",
    b"time,gauge_psi\n2026-08-15T10:24Z,11\n2026-08-15T10:25,11\n": "run.csv:3: time has no zone",
    b"time,gauge_psi\n2026-08-15T10:24,11\n2026-08-15T10:23,11\n": "run.csv:3: time goes back",
    b"minute,gauge_psi,event\n0,11,lid-on\n": 'event "lid-on" is unknown',
    b"minute,gauge_psi,event\n0,11,Vent-Started\n": 'event "Vent-Started" is unknown',
    b"minute,gauge_psi,event\n" + b"0,,heat-off\n" * 1001: "more than 1,000 events",
}


@pytest.mark.parametrize("content", REFUSED, ids=range(len(REFUSED)))
def test_a_log_that_cannot_be_understood_is_refused_in_one_clear_line(read, content):
    with pytest.raises(BadInput) as error:
        read(content)
    line = str(error.value)
    assert REFUSED[content] in line
    assert line.startswith("run.csv") and "\n" not in line and len(line) < 250 and line.isprintable()


def test_a_missing_log_and_a_folder_are_refused(tmp_path):
    with pytest.raises(BadInput, match="there is no such log"):
        runlog.read(str(tmp_path / "none.csv"))
    with pytest.raises(BadInput, match="is not a file"):
        runlog.read(str(tmp_path))


def test_a_log_larger_than_the_bound_is_refused_unread(read, monkeypatch):
    monkeypatch.setattr(log_cells, "LARGEST", 20)
    with pytest.raises(BadInput, match="larger than"):
        read("minute,gauge_psi\n0,11\n1,11\n")


def test_a_bad_reading_deep_in_a_long_log_is_named_by_its_line(read):
    rows = [f"{i},11" for i in range(50_000)]
    rows[44_321] = "44321,x"
    with pytest.raises(BadInput, match=r"run\.csv:44323: "):
        read("minute,gauge_psi\n" + "\n".join(rows))


FLICKER = [(i, 10 + i % 2) for i in range(60_000)]


@pytest.mark.parametrize(
    "content",
    [
        "minute,gauge_psi\n" + "".join(f"{at},{psi}\n" for at, psi in FLICKER),
        "minute,gauge_psi\n" + "".join(f" {at} , {psi}\n" for at, psi in FLICKER),
        "minute,gauge_psi\n" + "".join(f'{at},"{psi}"\n' for at, psi in FLICKER),
        "time,gauge_psi\n"
        + "".join(f"2026-08-15T{at // 3600:02}:{at // 60 % 60:02}:{at % 60:02}Z,11\n" for at, _ in FLICKER),
    ],
    ids=["plain", "spaces", "quotes", "zulu"],
)
def test_a_long_log_is_read_quickly_in_any_clothes(read, content):
    start = time.perf_counter()
    assert len(read(content).time_us) == len(FLICKER)
    assert time.perf_counter() - start < 5
