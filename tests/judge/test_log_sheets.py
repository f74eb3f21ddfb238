"""Logs as people fill them in: times of day, minutes that begin again, words for events, decimal commas, slips."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest

import stillroom
from stillroom.errors import BadInput
from stillroom.run import runlog
from stillroom.run.log_about import AboutLog
from stillroom.run.log_times import MINUTE

DAY = AboutLog(day=date(2026, 8, 15))


@pytest.fixture
def read(tmp_path):
    def of(content, about=DAY):
        (tmp_path / "run.csv").write_bytes(content if isinstance(content, bytes) else content.encode())
        return runlog.read(str(tmp_path / "run.csv"), about)

    return of


def minutes(log, times=None):
    times = log.time_us if times is None else times
    return np.round((times - log.first_us) / MINUTE, 6).tolist()


def events(log):
    return [(event.name, round((event.time_us - log.first_us) / MINUTE, 6)) for event in log.events]


# times of day


@pytest.mark.parametrize(
    ("written", "iso"),
    [
        ("9:15", "2026-08-15T09:15:00"),
        ("09:15", "2026-08-15T09:15:00"),
        ("9:15 am", "2026-08-15T09:15:00"),
        ("9:15 PM", "2026-08-15T21:15:00"),
        ("9:15 p.m.", "2026-08-15T21:15:00"),
        ("21:05", "2026-08-15T21:05:00"),
        ("9:15:30", "2026-08-15T09:15:30"),
        ("9:15:30.5pm", "2026-08-15T21:15:30.500000"),
        ("12:05 am", "2026-08-15T00:05:00"),
        ("12:05 pm", "2026-08-15T12:05:00"),
        ("0:00", "2026-08-15T00:00:00"),
    ],
)
def test_a_time_of_day_is_of_the_day_of_the_record(read, written, iso):
    log = read(f"time,gauge_psi\n{written},11\n")
    assert log.clock.iso(log.first_us) == iso and log.clock.kind == "naive"


def test_midnight_passes_once(read):
    log = read("time,gauge_psi\n23:50,11\n23:58,11\n0:05,11\n0:10,11\n")
    assert minutes(log) == [0, 8, 15, 20]
    log = read("time,gauge_psi\n11:50 pm,11\n12:05 am,11\n")
    assert minutes(log) == [0, 15] and log.clock.iso(log.last_us) == "2026-08-16T00:05:00"


@pytest.mark.parametrize(
    ("content", "told"),
    [
        ("9:15,11\n9:14,11", "run.csv:3: time goes back from 9:15 to 9:14"),
        ("12:50,11\n1:05,11", "like 13:05 or 1:05 pm"),
        ("12:00,11\n0:00,11", "time goes back"),
        ("23:50,11\n0:05,11\n23:50,11\n0:05,11", "run.csv:5: time 0:05 would be of a third day"),
        ("9:15 pm,11\n9:20,11", "run.csv:3: time with am or pm and time without"),
        ("9:15,11\n2026-08-15T09:20,11", "is no time of day"),
        ("2026-08-15T09:20,11\n9:25,11", 'time "9:25" is not ISO 8601'),
        ("9:60,11", "is no time of day"),
        ("24:00,11", "is no time of day"),
        ("13:05 pm,11", "is no time of day"),
        ("0:05 am,11", "is no time of day"),
        ("9:15 xm,11", "is no time of day"),
        ("9:1,11", "is not ISO 8601"),
        ("9:15:3,11", "is no time of day"),
        ("9:15:61,11", "is no time of day"),
        ("123:15,11", "is not ISO 8601"),
        ("9:150,11", "is no time of day"),
    ],
)
def test_a_time_of_day_that_is_none_is_refused(read, content, told):
    with pytest.raises(BadInput) as error:
        read(f"time,gauge_psi\n{content}\n")
    assert told in str(error.value) and str(error.value).startswith("run.csv:")


def test_a_time_of_day_needs_a_day(read):
    with pytest.raises(BadInput, match=r'run\.csv:2: time "9:15" .* like date: 2026-08-15'):
        read("time,gauge_psi\n9:15,11\n", AboutLog())


def test_a_sheet_across_midnight_is_judged(write):
    rows = "".join(f"{(23 * 60 + 50 + m) // 60 % 24}:{(50 + m) % 60:02},11,\n" for m in range(0, 25, 5))
    log = "time,gauge_psi,event\n23:30,0,vent start\n23:40,0,Weight on\n" + rows
    assert stillroom.judge(str(write(log))).verdict == "delivered"


# minutes that begin again


def test_minutes_begin_again_where_the_row_before_ended(read):
    log = read("min,gauge_psi\n0,11\n5,11\n10,8\n0,11\n5,11\n20,11\n")
    assert minutes(log, log.noted_us) == [0, 5, 10, 10, 15, 30]
    assert events(log) == [("restart", 10)]
    assert log.reading.tolist() == [11, 11, 8, 11, 11, 11]
    assert np.diff(log.noted_us)[2] == 1  # what was read before stays apart, and no time counts


def test_a_start_over_that_is_written_is_told_once(read):
    for rows in ("7,8,restart\n0,11,", "7,8,\n,,restart\n0,11,", "7,8,\n0,11,restart", "7,8,\n7,,restart\n0,11,"):
        assert events(read(f"min,gauge_psi,event\n0,11,\n{rows}\n5,11,\n")) == [("restart", 7)]


def test_each_start_over_is_one(read):
    log = read("min,gauge_psi\n0,11\n5,11\n0,11\n5,11\n0,11\n5,11\n")
    assert events(log) == [("restart", 5), ("restart", 10)] and minutes(log, log.noted_us)[-1] == 15


def test_time_is_never_added_across_a_start_over(write):
    log = "min,gauge_psi,event\n-20,0,vent-start\n-10,0,weight-on\n"
    half = "".join(f"{m},11,\n" for m in range(0, 16, 5))
    found = stillroom.judge(str(write(log + half + half)))
    assert (found.verdict, found.longest_hold_min) == ("unproven", 15)
    assert stillroom.judge(str(write(log + half + "20,11,\n" + half))).verdict == "delivered"


def test_after_a_dip_and_a_start_over_the_whole_time_counts_from_the_new_zero(write):
    """Page 1-22: bring it back, and time the whole process again from zero."""
    log = "min,gauge_psi,event\n-20,0,vent-start\n-10,0,weight-on\n0,11,\n5,11,\n7,8,{}\n"
    again = "".join(f"{m},11,\n" for m in range(0, 21, 5))
    for told in ("", "restart"):
        found = stillroom.judge(str(write(log.format(told) + again)))
        assert (found.verdict, found.longest_hold_min) == ("delivered", 20)
        found = stillroom.judge(str(write(log.format(told) + again.replace("20,11", "19,11"))))
        assert found.verdict != "delivered" and found.longest_hold_min == 19


def test_minutes_that_go_back_to_anything_else_are_refused(read):
    with pytest.raises(BadInput, match=r"run\.csv:4: time goes back from 10 to 1: "):
        read("min,gauge_psi\n0,11\n10,11\n1,11\n")


def test_minutes_beside_the_clock_count_from_the_time_that_stands_there(read):
    log = read(
        "min,time,gauge_psi,event\n,9:10,,vent-start\n0,9:30,11,\n5,,11,\n10,,11,\n20,9:51,11,\n,9:55,,heat-off\n"
    )
    assert minutes(log, log.noted_us) == [0, 20, 25, 30, 41, 45]
    assert events(log) == [("vent-start", 0), ("heat-off", 45)]


def test_the_time_may_stand_at_a_later_minute(read):
    assert minutes(read("min,time,gauge_psi\n0,,11\n5,,11\n20,9:50,11\n")) == [0, 5, 20]


def test_minutes_that_nothing_ties_to_the_clock_are_refused(read):
    with pytest.raises(BadInput, match=r"run\.csv:3: min.* 0 has no time beside it"):
        read("min,time,gauge_psi,event\n,9:10,,vent-start\n0,,11,\n5,,11,\n")


def test_a_start_over_beside_the_clock_runs_on_from_the_row_before(read):
    log = read("min,time,gauge_psi\n0,9:30,11\n7,,8\n0,,11\n5,,11\n")
    assert minutes(log, log.noted_us) == [0, 7, 7, 12] and events(log) == [("restart", 7)]
    log = read("min,time,gauge_psi\n0,9:30,11\n7,,8\n0,9:45,11\n5,,11\n")
    assert minutes(log, log.noted_us) == [0, 7, 15, 20] and events(log) == [("restart", 15)]


def test_a_column_of_times_that_stayed_empty_leaves_the_minutes(read):
    log = read("min,time,gauge_psi\n0,,11\n5,,11\n10,,\n")
    assert minutes(log) == [0, 5] and log.clock.kind == "minute" and log.rows == 2


def test_seconds_are_counted_too(read):
    assert minutes(read("second,gauge_psi\n0,11\n30,11\n90,11\n")) == [0, 0.5, 1.5]
    assert minutes(read("Seconds,gauge_psi\n0 s,11\n90 sec,11\n")) == [0, 1.5]


# words and numbers


@pytest.mark.parametrize(
    "word", ["vent-start", "vent start", "Vent-Start", "VENT  START", "vent_start", " vent start "]
)
def test_an_event_is_read_in_words(read, word):
    assert events(read(f"min,event\n0,{word}\n")) == [("vent-start", 0)]


@pytest.mark.parametrize("name", runlog.EVENTS)
def test_every_event_is_read(read, name):
    assert events(read(f"min,event\n0,\n5,{name.replace('-', ' ').title()}\n")) == [(name, 5)]


@pytest.mark.parametrize(
    "content",
    [
        "min;gauge_psi;note\n0;11,5;warm, steady\n5;12,25;\n",
        "min\tgauge_psi\tnote\n0\t11,5\twarm, steady\n5\t12,25\t\n",
        "min;gauge_psi;note\n0;11.5;\n5;12.25;\n",
        '"min";"gauge_psi";"note"\n"0";"11,5";"warm; ""steady"""\n5;12,25;\n',
        "\ufeffmin;gauge_psi\r\n0;11,5 psi\r\n5;12,25 PSI\r\n",
        "min,gauge_psi\n0,11.5 psi\n5,12.25 lbs\n",
        "min,gauge_psi\n0 min,11.5psi\n5 minutes, 12.25 psig \n",
        "Minute,Gauge PSI\n0,11.5\n5,12.25\n",
        'min,"dial, psi"\n0,11.5\n5,12.25\n',
        "# a comment\n#\nmin,gauge_psi\n0,11.5\n# 3,9\n5,12.25\n",
        '# "a" comment\nmin,gauge_psi\n"0",11.5\n"# 3,9",\n# the "end\n5,12.25\n',
        "min,gauge_psi,,\n0,11.5,,\n5,12.25,,\n",
        "min,gauge_psi\n0,11.5\n5,12.25\n  \n\t\n\n,\n",
    ],
)
def test_the_same_sheet_in_other_clothes(read, content):
    log = read(content)
    assert minutes(log) == [0, 5] and log.reading.tolist() == [11.5, 12.25] and log.decimals == 2


def test_rows_with_only_an_event_or_a_note_are_rows(read):
    log = read("min,gauge_psi,event,note\n0,,vent-start,\n5,,,stirred\n10,0,weight-on,\n,,,that was it\n")
    assert minutes(log, log.noted_us) == [0, 5, 10] and minutes(log) == [10]


def test_a_log_of_boiling_water_needs_no_gauge(read):
    log = read("time,event\n9:30,boil\n9:55,heat-off\n")
    assert events(log) == [("boil", 0), ("heat-off", 25)]
    assert len(log.time_us) == len(log.reading) == 0 and log.steam_F is None and log.water_F is None
    assert minutes(log, log.noted_us) == [0, 25]


@pytest.mark.parametrize(
    ("column", "yes", "no"),
    [("rocking", "rocking", "not-rocking"), ("boiling?", "boil", "boil-stopped"),
     ("weight rocking?", "rocking", "not-rocking"), ("steaming", "steam-full", "steam-stopped")],
)  # fmt: skip
def test_yes_and_no_of_a_sheet_are_events(read, column, yes, no):
    log = read(f"min,{column}\n0,yes\n5,Y\n10,x\n15,No\n20,\n25,yes\n")
    assert events(log) == [(yes, 0), (no, 15), (yes, 25)] and len(log.noted_us) == 6


def test_after_a_start_over_yes_is_told_anew(read):
    log = read("min,boiling,event\n,,\n0,yes,boil\n5,yes,\n0,yes,\n5,yes,heat-off\n")
    assert events(log) == [("boil", 0), ("restart", 5), ("boil", 5), ("heat-off", 10)]


@pytest.mark.parametrize("event", ["restart", "boil-stopped", "not-rocking", "steam-stopped"])
def test_a_stop_without_a_time_is_never_passed_over(read, event):
    with pytest.raises(BadInput, match=rf'run\.csv:3: event "{event}" has no time: write when it was'):
        read(f"min,event\n0,boil\n,{event}\n20,\n")


def test_a_reading_without_a_time_is_refused(read):
    for head, row in (("min,gauge_psi", ",11"), ("min,time,gauge_psi", ",,11"), ("min,boiling", ",yes")):
        with pytest.raises(BadInput, match=r"run\.csv:3: (minute|time) is empty"):
            read(f"{head}\n0,{'9:30,' if 'time' in head else ''}{'yes' if 'boil' in head else 11}\n{row}\n")


@pytest.mark.parametrize(
    ("content", "told"),
    [
        ("min,gauge_psi,\n0,11,\n5,11,oops\n", "run.csv:3: a cell stands in a column without a heading"),
        ("min,boiling\n0,perhaps\n", 'run.csv:2: boiling "perhaps" is neither yes nor no'),
        ("min,time,gauge_psi,min,time,gauge_psi\n", 'run.csv:1: column "minute" stands twice'),
        ("min;gauge_psi\n0;11;5\n", "run.csv:2: 3 cells where there are 2 columns"),
        ("# only\n# comments\n", "run.csv: has no line that names its columns"),
    ],
)
def test_a_sheet_that_cannot_be_understood_is_refused(read, content, told):
    with pytest.raises(BadInput) as error:
        read(content)
    assert str(error.value).startswith(told) and len(str(error.value)) < 250


# slips


def slips(log):
    return [(slip.line, slip.written, slip.before, slip.after) for slip in runlog.likely_slips(log)]


def test_a_reading_ten_times_its_neighbors_is_named_and_counts(read):
    log = read("min,gauge_psi\n0,11\n5,115\n10,11\n15,11.5\n20,11\n")
    assert slips(log) == [(3, "115", "11", "11")] and log.reading.tolist() == [11, 115, 11, 11.5, 11]


def test_a_tenth_of_its_neighbors_is_named_and_counts(read, write):
    content = "min,gauge_psi\n0,11\n5,1.1\n10,12\n"
    log = read(content)
    assert slips(log) == [(3, "1.1", "11", "12")] and log.reading.tolist() == [11, 1.1, 12]
    assert log.slips[0].time_us - log.first_us == 5 * MINUTE and log.slips[0].column == "gauge_psi"


@pytest.mark.parametrize(
    "readings",
    [(11, 15, 11), (11, 3, 11), (11, 1.1, 3), (0.2, 2, 0.2), (11, 1.1), (1.1, 11, 11), (11, 0, 11), (1, 11, 1),
     (11, 1.1, 1.1, 11)],
)  # fmt: skip
def test_a_swing_or_a_fall_is_no_slip(read, readings):
    assert slips(read("min,gauge_psi\n" + "".join(f"{i},{psi}\n" for i, psi in enumerate(readings)))) == []


def test_a_gauge_out_of_reach_is_refused_unless_it_stands_alone(read):
    for readings in ((11, 115, 116, 11), (115, 11, 11), (11, 11, 115), (11, 75.8, 11)):
        with pytest.raises(BadInput, match="is outside any home canner"):
            read("min,gauge_psi\n" + "".join(f"{i},{psi}\n" for i, psi in enumerate(readings)))


def test_a_slip_of_a_thermometer_is_named(read):
    assert slips(read("min,steam_F\n0,240\n5,24.1\n10,241\n")) == [(3, "24.1", "240", "241")]


# temperatures


def test_temperatures_stand_beside_the_readings(read):
    log = read("min,gauge_psi,steam_C,water_F\n0,0,100,\n5,,115.5,212\n5,11,115,211\n6,,,\n10,11,,\n")
    assert minutes(log) == [0, 5, 10] and minutes(log, log.noted_us) == [0, 5, 5, 6, 10]
    np.testing.assert_array_equal(log.reading, [0, 11, 11])
    np.testing.assert_allclose(log.steam_F, [212, 239, np.nan])  # 115 degC times 9/5 plus 32 (NIST SP 811, B.8)
    np.testing.assert_array_equal(log.water_F, [np.nan, 211, np.nan])


def test_a_temperature_between_two_readings_is_no_dip(write):
    log = "minute,gauge_psi,steam_F,event\n12,0,200,vent-start\n22,0,212,weight-on\n"
    log += "".join(f"{m},11,,\n{m}.5,,240,\n" for m in range(28, 49))
    found = stillroom.judge(str(write(log)))
    assert (found.verdict, found.longest_hold_min) == ("delivered", 20.5)  # 240 degF is more than 11 psi give there
    colder = stillroom.judge(str(write(log.replace("240", "239"))))
    assert colder.verdict == "short"  # and 239 degF is less


def test_a_row_with_only_a_temperature_has_no_reading(read):
    log = read("min,gauge_psi,steam_F\n0,11,\n5,,240\n")
    np.testing.assert_array_equal(log.reading, [11, np.nan])
    np.testing.assert_array_equal(log.highest, [11, np.nan])
    np.testing.assert_array_equal(log.steam_F, [np.nan, 240])
    log = read("min,water_C\n0,100\n5,99\n")
    assert np.isnan(log.reading).all() and log.water_F.tolist() == [212, 99 * 9 / 5 + 32]


@pytest.mark.parametrize(
    ("column", "value", "unit"),
    [("water_F", "231", "degF"), ("water_C", "212", "degC"), ("steam_F", "301", "degF"), ("steam_C", "240", "degC"),
     ("steam_F", "-41", "degF"), ("water_C", "-41", "degC")],
)  # fmt: skip
def test_a_temperature_out_of_reach_names_line_and_unit(read, column, value, unit):
    with pytest.raises(BadInput, match=rf"run\.csv:3: (water|steam) of {value} {unit} is outside -40 to \d+ degF"):
        read(f"min,{column}\n0,100\n5,{value}\n10,{value}\n")


@pytest.mark.parametrize(("column", "value"), [("water_F", "230"), ("steam_F", "300"), ("steam_F", "-40")])
def test_a_temperature_within_reach_is_read(read, column, value):
    assert len(read(f"min,{column}\n0,{value}\n").time_us) == 1


def test_a_temperature_in_the_other_unit_of_its_column_is_refused(read):
    with pytest.raises(BadInput, match=r'"100 C" is in c, and its column is steam_F'):
        read("min,steam_F\n0,100 C\n")
    assert read("min,steam_F\n0,212 °F\n5,240 F\n10,240degF\n").steam_F.tolist() == [212, 240, 240]
