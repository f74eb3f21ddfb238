"""Logs as loggers write them, and what the record says of them: names, lines above, absolute pressure, events."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest

import stillroom
from stillroom.answers import saturation
from stillroom.answers.pressure import KPA_IN_PSI
from stillroom.errors import BadInput
from stillroom.run import batch, log_header, runlog
from stillroom.run.log_about import AboutLog
from stillroom.run.log_times import MINUTE

KPA = float(KPA_IN_PSI)


@pytest.fixture
def read(tmp_path):
    def of(content, **about):
        (tmp_path / "run.csv").write_bytes(content if isinstance(content, bytes) else content.encode())
        return runlog.read(str(tmp_path / "run.csv"), AboutLog(shown="batch.yaml", **about))

    return of


def events(log):
    return [(event.name, (event.time_us - log.first_us) / MINUTE) for event in log.events]


def refused(read, content, told, **about):
    with pytest.raises(BadInput) as error:
        read(content, **about)
    assert told in str(error.value), str(error.value)
    assert len(str(error.value)) < 260 and "\n" not in str(error.value)


# names of its own

OWN = {"time": "Timestamp", "gauge_kpa": "P (kPa)"}


def test_a_loggers_own_names_are_read_and_the_rest_is_left_alone(read):
    log = read(
        "No.,Timestamp,P (kPa),Battery [V],note\n1,2026-08-15 10:24:00,75.8,3.6,\n2,2026-08-15 10:24:30,76.1,3.6,\n",
        columns=OWN,
    )
    assert log.reading.tolist() == [75.8, 76.1] and log.unit == "kPa" and log.first_us != log.last_us


def test_events_of_its_own_are_read_beside_named_columns(read):
    log = read("Timestamp,P (kPa),event\n2026-08-15 10:24,0,vent-start\n", columns=OWN)
    assert events(log) == [("vent-start", 0)]


def test_a_named_column_goes_before_a_known_one(read):
    content = "min,gauge_psi,second sensor\n0,11,9\n"
    assert read(content, columns={"gauge_psi": "second sensor"}).reading.tolist() == [9]


@pytest.mark.parametrize(
    ("content", "columns", "told"),
    [
        ("Timestamp,P\n2026-08-15 10:24,0\n", OWN, 'no column "P (kPa)", which columns.gauge_kpa of the record names'),
        ("min,P (kPa)\n0,11\n", {"gauge_psi": "P (kPa)"}, 'column "P (kPa)" speaks of kpa and is read as gauge_psi'),
        ("min,P abs (kPa)\n0,11\n", {"gauge_kpa": "P abs (kPa)"}, "speaks of abs and is read as gauge_kpa"),
        ("min,psia\n0,11\n", {"gauge_psi": "psia"}, "speaks of psia and is read as gauge_psi"),
        ("min,T (°C)\n0,11\n", {"steam_F": "T (°C)"}, "speaks of °c and is read as steam_F"),
        ("Elapsed (s),P\n0,11\n", {"minute": "Elapsed (s)", "gauge_psi": "P"}, "speaks of s and is read as minute"),
        ("min,P1,P2\n0,11,11\n", {"gauge_psi": "P1", "gauge_kpa": "P2"}, "has two pressure columns"),
        ("min,P1,P1\n0,11,11\n", {"gauge_psi": "P1"}, "stands twice"),
        ("min,gauge_psi,Battery\n0,11,3\n", {}, 'column "Battery" is unknown'),
    ],
)
def test_a_name_that_does_not_fit_is_refused(read, content, columns, told):
    refused(read, content, told, columns=columns)


# lines above and below the header

ABOVE = 'Logger 7;serial "12\nStart: 2026-08-15, 09:00\n\nChannel,Unit\n1,kPa\n# note\n'


@pytest.mark.parametrize("above", ["", ABOVE, "x\n" * 50, "\n" * 50, "time;of;day\n", "minute\n", "a,b\n" * 49 + "\n"])
def test_lines_above_the_header_are_passed_over(read, above):
    log = read(above + "minute,gauge_psi\n0,11\n1,12\n\n,\n\n")
    assert log.reading.tolist() == [11, 12]
    refused(read, above + "minute,gauge_psi\n0,11\n1,x\n", f"run.csv:{above.count(chr(10)) + 3}: ")
    refused(read, above + 'minute,gauge_psi\n"0",11\n1,x\n', f"run.csv:{above.count(chr(10)) + 3}: ")


def test_a_header_further_down_is_not_found(read):
    assert log_header.MOST_ABOVE == 50
    refused(read, "x\n" * 51 + "minute,gauge_psi\n0,11\n", 'run.csv:1: column "x" is unknown')


def test_named_columns_are_looked_for_below_other_lines(read):
    log = read(ABOVE + "Timestamp;P (kPa)\n2026-08-15 10:24;75,8\n", columns=OWN)
    assert log.reading.tolist() == [75.8]


@pytest.mark.parametrize(
    ("content", "reading"),
    [
        ("minute,gauge_psi\nmin,psi\n0,11\n", [11]),
        ("time,gauge_psi\n,psi\n2026-08-15T10:24,11\n", [11]),
        ("time,gauge_kpa\nhh:mm,[kPa]\n2026-08-15T10:24,75.8\n", [75.8]),
        ("minute;gauge_bar\n(min);(bar)\n0;0,758\n", [75.8]),
        ('"minute","gauge_psi"\n"min","psi"\n"0","11"\n', [11]),
    ],
)
def test_a_row_of_units_is_passed_over(read, content, reading):
    assert read(content).reading.tolist() == reading


@pytest.mark.parametrize(
    ("units", "told"),
    [
        ("min,kPa", 'run.csv:2: unit "kPa" stands under gauge_psi'),
        ("s,psi", 'run.csv:2: unit "s" stands under minute'),
        ("min,psia", 'run.csv:2: unit "psia" stands under gauge_psi'),
        ("min,furlong", "run.csv:2: "),
    ],
)
def test_a_row_of_other_units_is_refused(read, units, told):
    refused(read, f"minute,gauge_psi\n{units}\n0,11\n", told)


# bar and absolute pressure


def test_bar_are_kilopascals(read):
    log = read("minute,gauge_bar\n0,0.758\n1,0.76\n")
    assert log.reading.tolist() == pytest.approx([75.8, 76.0]) and (log.unit, log.decimals) == ("kPa", 1)
    refused(read, "minute,gauge_bar\n0,11\n", "run.csv:2: reading 11 bar is outside any home canner")


@pytest.mark.parametrize(("column", "one_psi"), [("psi", 1), ("kpa", KPA), ("bar", KPA / 100)])
def test_the_air_is_taken_off_absolute_pressure(read, column, one_psi):
    content = f"minute,absolute_{column}\n0,{25.2 * one_psi!r}\n1,{14.2 * one_psi!r}\n"
    log = read(content, air_psi=Fraction("14.2"))
    shown = log.reading if log.unit == "psi" else log.reading / KPA
    assert shown.tolist() == pytest.approx([11, 0], abs=1e-6) and log.air_psi == pytest.approx(14.2)


def test_without_a_measured_air_the_standard_atmosphere_is_taken(read):
    log = read("minute,absolute_psi\n0,25\n", altitude_ft=1650.0)
    # 1,650 ft are 502.92 m: 95,427 Pa, 13.84 psi (U.S. Standard Atmosphere, 1976, its formula below 11 km)
    assert log.air_psi == saturation.outside_psi(1650) == pytest.approx(13.84, abs=0.01)
    assert log.reading.tolist() == pytest.approx([25 - 13.84], abs=0.01)


def test_never_less_is_taken_off_than_the_log_shows_before_the_vent_is_opened(read):
    rows = "0,14.4,\n5,14.5,\n10,20,vent-start\n20,14.1,weight-on\n30,25.4,\n"
    log = read("minute,absolute_psi,event\n" + rows, air_psi=Fraction("14.2"))
    assert log.air_psi == pytest.approx(14.4) and log.reading[-1] == pytest.approx(11)
    log = read("minute,absolute_psi,event\n" + rows, air_psi=Fraction("14.6"))
    assert log.air_psi == pytest.approx(14.6) and log.reading[-1] == pytest.approx(10.8)
    log = read("minute,absolute_psi,event\n" + rows.replace("vent-start", ""), air_psi=Fraction("14.2"))
    assert log.air_psi == pytest.approx(14.2)


def test_absolute_pressure_needs_an_air(read):
    refused(read, "minute,absolute_psi\n0,25\n", "run.csv:2: absolute_psi is absolute pressure, and neither the air")


def test_an_absolute_log_is_judged_as_one_above_the_air(write):
    rows = [(0, 14.2, ""), (12, 14.2, "vent-start"), (22, 14.2, "weight-on"), *((m, 25.3, "") for m in range(28, 49))]
    log = "minute,absolute_psi,event\n" + "".join(f"{m},{psi},{event}\n" for m, psi, event in rows)
    assert stillroom.judge(str(write(log, air="14.2 psi"))).verdict == "delivered"
    assert stillroom.judge(str(write(log, air="14.7 psi"))).verdict == "short"


# events of the record

TICKS = "".join(f"{m},{11 if m >= 28 else 0}\n" for m in range(61))


def test_events_of_the_record_stand_beside_the_log(read):
    log = read("minute,gauge_psi\n" + TICKS, events=(("vent-start", "12"), ("weight-on", "22.5 min")))
    assert events(log) == [("vent-start", 12), ("weight-on", 22.5)]
    log = read("minute,gauge_psi,event\n0,0,\n50,11,heat-off\n", events=(("vent-start", "12"), ("restart", "30")))
    assert events(log) == [("vent-start", 12), ("restart", 30), ("heat-off", 50)]


@pytest.mark.parametrize(
    ("first", "last", "written", "minute"),
    [
        ("2026-08-15T09:00", "2026-08-15T11:00", "9:15", 15),
        ("2026-08-15T09:00", "2026-08-15T11:00", "8:45", -15),
        ("2026-08-15T09:00", "2026-08-15T11:00", "9:15:30 am", 15.5),
        ("2026-08-15T09:00", "2026-08-15T11:00", "2026-08-15T09:15", 15),
        ("2026-08-15T23:30", "2026-08-16T01:00", "0:10", 40),
        ("2026-08-16T00:10", "2026-08-16T01:00", "23:50", -20),
        ("2026-08-15T23:30-05:00", "2026-08-16T01:00-05:00", "0:10", 40),
        ("2026-08-15T09:00-05:00", "2026-08-15T11:00-05:00", "9:15", 15),
        ("2026-08-15T09:00+09:00", "2026-08-15T11:00+09:00", "9:15", 15),
        ("2026-08-15T09:00-05:00", "2026-08-15T11:00-05:00", "2026-08-15T10:15-04:00", 15),
        ("2026-08-15T06:00", "2026-08-16T05:00", "19:00", 13 * 60),
    ],
)
def test_a_time_of_day_of_the_record_is_of_the_day_of_the_log(read, first, last, written, minute):
    log = read(f"time,gauge_psi\n{first},0\n{last},0\n", events=(("vent-start", written),))
    assert events(log) == [("vent-start", minute)]


@pytest.mark.parametrize(
    ("rows", "written", "told"),
    [
        (
            "minute,gauge_psi\n0,11\n",
            "9:15",
            'batch.yaml: events.boil "9:15" does not fit its log, which counts minutes',
        ),
        ("time,gauge_psi\n2026-08-15T09:00,11\n", "12", "which has times of the clock"),
        ("minute,gauge_psi\n0,11\n", "soon", 'events.boil "soon" is no time'),
        ("minute,gauge_psi\n0,11\n", "25:00", "is no time"),
        ("time,gauge_psi\n2026-08-15T09:00,11\n", "2026-08-15T09:00Z", "has a zone where its log has none"),
        ("time,gauge_psi\n2026-08-15T09:00,1\n2026-08-17T09:00,1\n", "10:00", "is on several days of its log"),
        ("minute,gauge_psi\n0,11\n", "\x1b[31m", "is no time"),
    ],
)
def test_a_time_of_the_record_that_does_not_fit_is_refused(read, rows, written, told):
    refused(read, rows, told, events=(("boil", written),))


def test_a_log_without_events_is_judged_by_those_of_the_record(write):
    told = {"vent-start": 12, "weight-on": 22}
    assert stillroom.judge(str(write("minute,gauge_psi\n" + TICKS, events=told))).verdict == "delivered"
    assert stillroom.judge(str(write("minute,gauge_psi\n" + TICKS))).verdict == "unproven"
    log = "time,gauge_psi\n" + "".join(f"9:{m:02},{11 if m >= 28 else 0}\n" for m in range(60))
    assert stillroom.judge(str(write(log, events={"vent-start": "9:12", "weight-on": "9:22"}))).verdict == "delivered"


# keys of the record

GOOD = "food: snap-beans\npack: raw\njar: pint\naltitude: 1650 ft\ncanner: weighted\nrun: run.csv\ndate: 2026-08-15\n"


@pytest.fixture
def record(tmp_path):
    def of(text):
        (tmp_path / "batch.yaml").write_text(GOOD + text)
        return batch.read(str(tmp_path / "batch.yaml"))

    return of


def test_a_record_tells_of_its_log(record):
    found = record(
        'weight: 15 psi\nair: 13.9 psi\ncolumns: {time: Timestamp, gauge_kpa: "P (kPa)"}\n'
        'events: {vent-start: 9:15, weight-on: [9:25, "9:40 am"], boil: 12, restart: 12.5}\n'
    )
    about = found.about
    assert found.weight_psi == 15 and about.air_psi == Fraction("13.9") and about.day == date(2026, 8, 15)
    assert about.columns == {"time": "Timestamp", "gauge_kpa": "P (kPa)"} and about.altitude_ft == 1650
    assert about.events == (
        ("vent-start", "9:15"), ("weight-on", "9:25"), ("weight-on", "9:40 am"), ("boil", "12"), ("restart", "12.5"),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("weight: 15\n", 'weight 15 has no unit: write "15 psi"'),
        ("weight: 0 psi\n", "none of a home canner"),
        ("weight: 20 psi\n", "none of a home canner"),
        ("weight: heavy\n", 'weight "heavy" is not a number'),
        ("air: 14.7\n", "air 14.7 has no unit"),
        ("air: 12 psi\n", 'air "12 psi" is far from the 13.8 psi that are usual at this altitude'),
        ("air: 101 psi\n", "is far from"),
        ("columns: [time]\n", "columns"),
        ("columns: {pressure: P}\n", 'batch.yaml:8: key "pressure" is unknown: keys are time, minute, second'),
        ("columns: {time: 3}\n", "columns.time 3 does not fit: write the heading"),
        ("columns: {time: ''}\n", "columns.time"),
        ("events: {lid-on: 9:15}\n", 'key "lid-on" is unknown: keys are vent-start'),
        ("events: {vent-start: true}\n", "events.vent-start true does not fit: write the time of it"),
        ("events: {vent-start: {at: 3}}\n", "does not fit"),
        ("events: {vent-start: []}\n", "events.vent-start [] does not fit"),
        ("events: {vent-start: [[9]]}\n", "does not fit: write the time of it"),
        ('events: {vent-start: "\\e[31m"}\n', "control character"),
    ],
)
def test_a_key_that_does_not_fit_is_refused(record, text, told):
    with pytest.raises(BadInput) as error:
        record(text)
    assert told in str(error.value) and str(error.value).startswith("batch.yaml")


def test_a_weight_is_of_a_weighted_gauge(write):
    with pytest.raises(BadInput, match=r"batch\.yaml: weight is for a weighted gauge, and the canner is dial"):
        stillroom.judge(str(write("minute,gauge_psi\n0,11\n", weight="15 psi")))


def test_every_column_and_event_of_a_log_is_a_key_of_the_record():
    from stillroom.package import schemas
    from stillroom.run import log_names

    keys = schemas.schema("batch")["properties"]
    assert tuple(keys["columns"]["properties"]) == log_names.NAMES
    assert tuple(keys["events"]["properties"]) == runlog.EVENTS


def test_the_same_load_has_the_same_hash_whatever_its_seals(record):
    first = record("events: {vent-start: 9:15}\n").sha256
    assert record("events: {vent-start: '9:15'}\nseals: {sealed: 7}\n").sha256 == first
    assert record("events: {vent-start: 9:16}\n").sha256 != first
