"""Venting that the gauge contradicts, lethality without venting, and stretches shown by too few readings.

Page 1-20: the canner vents freely for 10 minutes before it is pressurized. A gauge that shows pressure while the vent
is said to be open tells of another run than the events do. Snap beans, raw pack, pints, to 2,000 ft on a dial: 20
minutes at 11 psi (page 4-9). Tomatoes packed in water, weighted gauge to 1,000 ft: 1 minute at 15 psi (page 3-10).
"""

from __future__ import annotations

import json

import numpy as np
import pytest

from stillroom.answers import saturation
from stillroom.commands.main import main
from stillroom.run import runlog, verdict
from stillroom.run.log_times import MINUTE
from stillroom.run.runlog import Event
from stillroom.run.verdict import Needs

COOL = [(50, 8), (55, 5), (60, 2), (70, 0)]
HOLD = [(minute, 11) for minute in range(28, 49)]
ONE_MINUTE = {"food": "tomatoes-in-water", "pack": "hot", "canner": "weighted", "altitude": "500 ft", "gauge": None}


def vented(*while_open, at_start=0, at_end=0):
    return [(12, at_start, "vent-start"), *while_open, (22, at_end, "weight-on"), (26, 9), *HOLD, *COOL]


def gauge(error):
    return {"reads_high_by": error, "tested": "2026-06-01"}


def because(found, code):
    return next(noted for noted in found.because if noted.code == code)


# pressure while the vent is said to be open


@pytest.mark.parametrize(
    "rows",
    [
        vented(*[(minute, 6) for minute in range(13, 22)]),
        vented(*[(minute, 11) for minute in range(13, 22)]),
        vented((17, 6)),
        vented(*[(minute, 14) for minute in range(13, 22)], at_start=14, at_end=14),
        vented(at_start=6),
        vented(at_end=6),
    ],
    ids=["6 psi", "11 psi", "one reading", "absolute pressure", "at its beginning", "at its end"],
)
def test_pressure_while_the_vent_is_open_shows_no_venting(judged, rows):
    found = judged(rows)
    assert (found.verdict, found.reasons) == ("unproven", ("vent-contradicted",))
    noted = because(found, "vent-contradicted")
    assert noted.page == "1-20" and "vent" in noted.text and "psi" in noted.text
    assert found.vent_min is None and found.lethality_F0_min is None


@pytest.mark.parametrize(
    ("reading", "error", "delivered"),
    [
        (0, "0 psi", True),
        (0.5, "0 psi", True),
        (1, "0 psi", True),
        (1.1, "0 psi", False),
        (2, "0 psi", False),
        (2, "2 psi", True),
        (3, "2 psi", True),
        (3.1, "2 psi", False),
        (0, "-2 psi", True),  # a gauge that reads low rests on its pin all the same
        (1, "-2 psi", True),
        (1.1, "-2 psi", False),
        (-0.5, "0 psi", True),
    ],
)
def test_a_dial_that_rests_a_little_above_zero_contradicts_nothing(judged, reading, error, delivered):
    rows = [(at, psi if at != 17 else reading, *event) for at, psi, *event in vented((17, reading))]
    high = [(at, 13.5 if 28 <= at <= 48 else psi, *event) for at, psi, *event in rows]
    found = judged(high, gauge=gauge(error))
    assert (found.verdict == "delivered") is delivered
    assert ("vent-contradicted" in found.reasons) is not delivered


@pytest.mark.parametrize(("kpa", "delivered"), [("6.8", True), ("7.0", False), ("101.3", False)])
def test_kilopascals_are_held_against_the_same_pressure(write, kpa, delivered):
    import stillroom

    rows = [f"12,{kpa},vent-start", f"17,{kpa},", f"22,{kpa},weight-on", *(f"{m},90,\n" for m in range(28, 49))]
    found = stillroom.judge(str(write("minute,gauge_kpa,event\n" + "\n".join(rows))))
    assert found.verdict == ("delivered" if delivered else "unproven")


def test_of_several_readings_in_one_minute_of_venting_the_highest_speaks(judged):
    assert judged(vented((17, 0), (17, 6), (17, 0))).reasons == ("vent-contradicted",)


def test_where_the_vent_is_closed_within_the_minute_of_a_rising_reading_nothing_is_contradicted(judged):
    rows = vented()
    rows.insert(2, (22, 3))  # a log in whole minutes: open at first, closed then
    assert judged(rows).verdict == "delivered"


def test_pressure_before_the_vent_was_opened_and_after_it_was_closed_contradicts_nothing(judged):
    assert judged([(2, 3), (8, 5), *vented((17, 0)), (90, 3)]).verdict == "delivered"


def test_a_contradicted_venting_that_could_not_have_helped_leaves_the_run_short(judged):
    found = judged([(12, 6, "vent-start"), (22, 0, "weight-on"), *HOLD[:12], (41, 8), (50, 2), (60, 0)])
    assert found.verdict == "short" and set(found.reasons) == {"hold-short", "vent-contradicted"}


def test_a_contradicted_venting_that_was_too_short_anyway_leaves_the_run_short(judged):
    found = judged([(12, 0, "vent-start"), (15, 6), (21, 0, "weight-on"), *HOLD, *COOL])
    assert found.verdict == "short" and found.reasons == ("vent-short",)


def test_a_second_venting_that_is_shown_counts_after_a_first_that_is_not(judged):
    rows = [(0, 0, "vent-start"), (5, 6), (11, 0, "weight-on"), *vented((17, 0))]
    assert judged(rows).verdict == "delivered"
    rows = [(0, 0, "vent-start"), (5, 0), (11, 0, "weight-on"), *vented((17, 6))]
    assert judged(rows).reasons == ("vent-contradicted",)


def test_a_log_of_absolute_pressure_is_told_what_it_looks_like(judged):
    absolute = judged(vented(*[(minute, 14) for minute in range(13, 22)], at_start=14, at_end=14))
    assert any("absolute" in noted.text for noted in absolute.cautions)
    assert not any("absolute" in noted.text for noted in judged(vented((17, 6))).cautions)


def test_the_text_the_json_and_the_chart_do_not_call_it_venting(write, tmp_path, capsys):
    log = "minute,gauge_psi,event\n" + "".join(f"{','.join(map(str, (*row, '')[:3]))}\n" for row in vented((17, 6)))
    path = str(write(log))
    assert main(["judge", path, "--chart", str(tmp_path / "run.svg")]) == 1
    told = capsys.readouterr().out
    assert told.startswith("UNPROVEN.") and "F0" not in told and "1-20" in told
    drawn = (tmp_path / "run.svg").read_text()
    assert "venting:" not in drawn and "vent said to be open" in drawn and "F0" not in drawn
    assert main(["judge", "--json", path]) == 1
    said = json.loads(capsys.readouterr().out)
    assert said["reasons"] == ["vent-contradicted"]
    assert said["vent_min"] is None and said["lethality_F0_min"] is None


# lethality only where venting is shown: with air among the steam, pressure tells no temperature


@pytest.mark.parametrize(
    ("before", "given"),
    [
        ([(12, 0, "vent-start"), (22, 0, "weight-on")], True),
        ([(12, 0, "vent-start"), (21, 0, "weight-on")], False),
        ([(22, 0, "weight-on")], False),
        ([(12, 0, "vent-start")], False),
        ([(22, 0)], False),
    ],
    ids=["vented", "vented too short", "no vent-start", "no weight-on", "no events"],
)
def test_lethality_is_given_only_where_venting_is_shown(judged, write, capsys, before, given):
    found = judged([*before, (26, 9), *HOLD, *COOL])
    assert (found.lethality_F0_min is not None) is given
    log = "\n".join(",".join(map(str, (*row, "")[:3])) for row in [*before, (26, 9), *HOLD, *COOL])
    main(["judge", str(write("minute,gauge_psi,event\n" + log + "\n"))])
    assert ("F0" in capsys.readouterr().out) is given


def test_a_short_run_that_was_vented_has_its_lethality(judged):
    assert judged([*vented()[:12], (45, 2), (60, 0)]).lethality_F0_min > 0


def test_lethality_after_the_canner_was_opened_and_not_vented_again_does_not_count(judged):
    opened = [(70, 0, "lock-dropped"), (75, 5), *[(m, 11) for m in range(80, 101)], (109, 0)]
    first = judged(vented())
    both = judged([*vented()[:-1], *opened])
    assert both.verdict == "delivered"
    assert first.lethality_F0_min - 0.3 < both.lethality_F0_min <= first.lethality_F0_min
    second = judged([*vented()[:10], (45, 2), (54, 0), (62, 0), *opened])
    assert second.verdict == "unproven" and second.lethality_F0_min is None


def test_a_constant_run_has_the_lethality_of_its_minutes(judged):
    rows = [(12, 0, "vent-start"), (22, None, "weight-on"), *[(m, 11) for m in range(23, 44)]]
    steam = float(saturation.steam_of_each_F(np.array([11.0]), 1650.0)[0])
    assert judged(rows).lethality_F0_min == pytest.approx(20 * 10 ** ((steam - 250) / 18), rel=1e-6)


# fewer than three readings


def short_process(*rows):
    rise = [(22 + half / 2, half) for half in range(1, 12)]
    return [(12, 0, "vent-start"), (22, 0, "weight-on"), *rise, *rows, (40, 4), (50, 0)]


@pytest.mark.parametrize(
    ("rows", "verdict_", "reasons"),
    [
        ([(28, 15), (29, 15)], "unproven", {"few-readings"}),
        ([(28, 15)], "unproven", {"few-readings"}),
        ([(28, 15), (28.5, 15), (29, 15)], "delivered", {"vented", "held"}),
        ([(28, 15), (28.5, 15), (28.98, 15)], "unproven", {"gap"}),
        ([(28, 15), (28.5, 15), (28.98, 15), (28.99, 14, "heat-off")], "short", {"hold-short"}),
        ([(28, 15), (29, 15), (30, 15)], "unproven", {"gap"}),
        ([(28, 15), (28.4, 15), (29, 15)], "unproven", {"gap"}),
    ],
)
def test_a_process_of_one_minute_needs_three_readings(judged, rows, verdict_, reasons):
    found = judged(short_process(*rows, (30.5, 13)), **ONE_MINUTE, option={"minutes": 1})
    assert (found.verdict, set(found.reasons)) == (verdict_, reasons)


def test_too_few_readings_are_told_with_what_is_needed(judged):
    found = judged(short_process((28, 15), (29, 15), (30.5, 13)), **ONE_MINUTE, option={"minutes": 1})
    told = because(found, "few-readings").text
    assert "2 readings" in told and "3" in told and "30 s" in told


@pytest.mark.parametrize("required", [1, 2, 5, 8, 10, 11, 19, 20, 25])
def test_no_process_is_delivered_on_two_readings(required):
    events = [Event("vent-start", 0), Event("weight-on", 10 * MINUTE)]
    for count in range(1, 12):
        time_us = 12 * MINUTE + np.linspace(0, required * MINUTE, count).astype(np.int64)
        found = verdict.judge(
            time_us, np.ones(count, np.bool_), events, Needs(required * MINUTE, 10 * MINUTE, 10 * MINUTE)
        )
        enough = count >= 3 and required / (count - 1) <= min(10, required / 2)
        assert (found.verdict == "delivered") is enough, (required, count)
        assert found.verdict in ("delivered", "unproven")


def test_the_reasons_of_the_schema_are_those_of_the_rules():
    from stillroom.package import schemas

    schema = schemas.schema("verdict")
    assert set(schema["properties"]["reasons"]["items"]["enum"]) == set(verdict.REASONS)


def test_the_highest_of_one_time_is_kept_beside_the_lowest(tmp_path):
    (tmp_path / "run.csv").write_text("minute,gauge_psi\n0,1\n1,5\n1,2\n1,\n2,3\n")
    log = runlog.read(str(tmp_path / "run.csv"))
    assert log.reading.tolist() == [1, 2, 3] and log.highest.tolist() == [1, 5, 3]
