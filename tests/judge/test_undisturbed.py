"""A run beside the same run without its dips: against arithmetic, and never against its verdict."""

from __future__ import annotations

import json
import xml.etree.ElementTree as ET

import jsonschema
import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import stillroom
from stillroom.answers import saturation
from stillroom.commands.main import main
from stillroom.run import undisturbed as beside
from stillroom.run.log_times import MINUTE
from tests.conftest import ROOT

SCHEMA = json.loads((ROOT / "schema/verdict.json").read_text(encoding="utf-8"))
CORN, BEANS = (str(ROOT / f"shared/demo/{name}.yaml") for name in ("corn", "beans"))
VENTED = [(0, 0, "vent-start"), (10, 0, "weight-on"), (14, 11)]
FEET = 1650.0


def compared(found):
    told = beside.undisturbed(found, stillroom.shelf().rules)
    assert told is not None
    return told


def said(told) -> dict[str, str]:
    return {noted.code: str(noted) for noted in told.because}


def lethal(psi: float) -> float:
    """Minutes at 250 degF of a minute of steam: general method, z 18 degF (Stumbo, 1973, from memory)."""
    return float(10 ** ((saturation.steam_F(psi, FEET) - 250) / 18))


# one dip, by hand


def test_a_dip_is_filled_up_to_the_requirement_and_no_further(judged):
    found = judged([*VENTED, (20, 12), (22, 9), (24, 8), (26, 13), (46, 12), (50, 0)])
    told = compared(found)
    assert [round(psi) for psi in found.true_psi] == [0, 0, 11, 12, 9, 8, 13, 12, 0]
    assert [round(psi) for psi in told.psi] == [0, 0, 11, 12, 11, 11, 13, 12, 0]
    assert told.lowest_psi == 8
    assert told.lowest_F == pytest.approx(saturation.steam_F(8, FEET))


def test_the_minutes_below_are_those_of_the_straight_lines(judged):
    """From 12 to 9 psi in 2 min the line is below 11 for 2/3 of the time; from 8 to 13 psi in 2 min for 3/5."""
    told = compared(judged([*VENTED, (20, 12), (22, 9), (24, 8), (26, 13), (46, 12), (50, 0)]))
    assert told.below_us / MINUTE == pytest.approx(2 * 2 / 3 + 2 + 2 * 3 / 5, abs=1e-6)


def test_lethality_of_both_is_the_trapezoid_by_hand(judged):
    rows = [(22, 12), (24, 9), (26, 13)]
    told = compared(judged([*VENTED, *rows, (46, 13)]))
    lost = 2 * (lethal(11) - lethal(9))  # the one reading that was raised counts half a step of 2 min on either side
    assert told.undisturbed_F0_min - told.lethality_F0_min == pytest.approx(lost, rel=1e-9)


def test_words_say_depth_length_and_cost_and_that_the_verdict_stands(judged):
    found = judged([*VENTED, (20, 12), (22, 9), (24, 8), (26, 13), (40, 12), (41, 0)])
    assert found.verdict != "delivered"
    words = said(compared(found))
    assert "below 11 psi once, 4 min 32 s" in words["dip-depth"] and "at the lowest it was 8 psi" in words["dip-depth"]
    assert "without the dip it would be" in words["dip-lethality"] and "not the food" in words["dip-lethality"]
    stands = next(noted for noted in compared(found).because if noted.code == "verdict-stands")
    rule = stillroom.shelf().rules.rule("restart-rule")
    assert (stands.page, stands.id) == (rule.page, rule.id) == ("1-22", "restart-rule")
    assert "starts the time again from zero" in stands.text


def test_two_dips_are_two(judged):
    told = compared(judged([*VENTED, (16, 10), (18, 11), (20, 9), (22, 11), (42, 11)]))
    assert told.dips == ((3, 4), (5, 6))
    assert told.lowest_psi == 9
    assert "2 times" in said(told)["dip-depth"] and "without the dips" in said(told)["dip-lethality"]


# near misses


def test_rising_and_cooling_are_no_dips(judged):
    found = judged([*VENTED, *[(m, 11.5) for m in range(16, 38, 2)], (40, 8), (44, 3), (50, 0)])
    told = compared(found)
    assert found.verdict == "delivered"
    assert told.dips == () and told.below_us == 0 and told.lowest_psi is None and told.lowest_F is None
    assert np.array_equal(told.psi, found.true_psi)
    assert told.undisturbed_F0_min == told.lethality_F0_min == found.lethality_F0_min
    assert list(said(told)) == ["undisturbed"] and "no dip below 11 psi:" in said(told)["undisturbed"]


def test_a_canner_that_was_opened_between_is_not_filled_up(judged):
    """At pressure, opened, vented again, at pressure: the time between is no dip, and a dip before it is another's."""
    first = [(16, 10), (18, 11), (19, 0, "lock-dropped")]
    again = [(20, 0, "vent-start"), (30, 0, "weight-on"), *[(m, 11) for m in range(34, 56, 2)], (57, 0)]
    found = judged([*VENTED, *first, *again])
    assert found.verdict == "delivered" and len(found.judged.dips) == 1
    told = compared(found)
    assert told.dips == ()
    assert "in the part of the log that the verdict speaks of" in said(told)["undisturbed"]


def test_without_venting_no_temperature_and_no_lethality_is_told(judged):
    told = compared(judged([(14, 11), (16, 9), (18, 11), (38, 11), (40, 0)]))
    assert told.dips and told.lowest_psi == 9
    assert told.lowest_F is None and told.lethality_F0_min is None and told.undisturbed_F0_min is None
    assert "degF" not in said(told)["dip-depth"] and "Venting is not shown" in said(told)["dip-lethality"]
    assert "verdict-stands" in said(told)


def test_a_gauge_that_must_be_replaced_has_nothing_beside_it(judged, write, capsys):
    rows = [*VENTED, (16, 9), (18, 11), (38, 11)]
    gauge = {"reads_high_by": "3 psi"}
    assert beside.undisturbed(judged(rows, gauge=gauge), stillroom.shelf().rules) is None
    lines = ["minute,gauge_psi,event", "0,0,vent-start", "10,0,weight-on", "14,11,", "16,9,", "18,11,", "38,11,"]
    batch = str(write("\n".join(lines) + "\n", gauge=gauge))
    assert main(["judge", batch, "--compare-undisturbed"]) == 1
    assert "nothing to set beside" in capsys.readouterr().out
    assert main(["judge", batch, "--compare-undisturbed", "--json"]) == 1
    document = json.loads(capsys.readouterr().out)
    assert document["undisturbed"] is None
    jsonschema.validate(document, SCHEMA)


def test_a_silence_beside_a_low_reading_counts_whole_as_below(judged):
    told = compared(judged([*VENTED, (16, 9), (30, 11), (50, 11)]))
    assert told.below_us / MINUTE == pytest.approx(2 + 14)


# laws


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=25, deadline=None)
@given(st.lists(st.integers(80, 140), min_size=3, max_size=25))
def test_the_undisturbed_run_is_never_less_and_the_verdict_is_the_same(judged, tenths):
    rows = [*VENTED, *[(16 + 2 * at, tenth / 10) for at, tenth in enumerate(tenths)], (90, 0)]
    found = judged(rows)
    before = (found.verdict, found.reasons, found.true_psi.copy())
    told = compared(found)
    assert (told.psi >= found.true_psi).all()
    assert told.undisturbed_F0_min >= told.lethality_F0_min - 1e-12
    between = slice(told.dips[0][0], told.dips[-1][1]) if told.dips else slice(0, 0)
    assert (told.psi[between] >= 11 - 1e-9).all()
    changed = np.flatnonzero(told.psi != found.true_psi)
    assert set(changed) == {at for first, last in told.dips for at in range(first, last)}
    assert (told.below_us > 0) == bool(told.dips) == (told.undisturbed_F0_min > told.lethality_F0_min)
    assert found.verdict == before[0] and found.reasons == before[1] and (found.true_psi == before[2]).all()


# the command


def test_the_document_has_the_key_only_where_it_was_asked_for(capsys):
    assert main(["judge", CORN, "--json"]) == 1
    plain = json.loads(capsys.readouterr().out)
    assert main(["judge", CORN, "--json", "--compare-undisturbed"]) == 1
    told = json.loads(capsys.readouterr().out)
    jsonschema.validate(told, SCHEMA)
    own = told.pop("undisturbed")
    assert told == plain
    assert (own["dip_count"], own["lowest_psi"], own["below_min"]) == (1, 9.5, 3.5)
    assert own["lethality_F0_min"] == plain["lethality_F0_min"] < own["undisturbed_F0_min"]


def test_the_sheet_tells_it_once_and_is_no_wider_than_a_terminal(capsys):
    assert main(["judge", CORN, "--compare-undisturbed"]) == 1
    out = capsys.readouterr().out
    assert out.count("Beside the same run without its dips") == 1 and "The verdict stands" in out
    assert max(map(len, out.splitlines())) <= 80
    assert main(["judge", CORN]) == 1
    assert "Beside the same run" not in capsys.readouterr().out
    assert main(["judge", BEANS, "--compare-undisturbed"]) == 0
    assert "no dip below 11 psi" in capsys.readouterr().out


def _texts(path) -> set[str]:
    return {"".join(node.itertext()).strip() for node in ET.parse(path).iter("{http://www.w3.org/2000/svg}text")}


def test_the_chart_has_a_panel_of_pressure_and_one_of_steam_and_is_the_same_twice(tmp_path, capsys):
    one, two = tmp_path / "one.svg", tmp_path / "two.svg"
    for path in (one, two):
        assert main(["judge", CORN, "--compare-undisturbed", "--chart", str(path)]) == 1
    assert one.read_bytes() == two.read_bytes()
    needed = f"11 psi: {saturation.steam_F(11, FEET):.1f} degF"
    assert {"true pressure, psi", "steam without air, degF", "without the dip", needed} <= _texts(one)
    assert b'<pattern id="' in one.read_bytes(), "a dip is hatched, so that it is seen without color"
    capsys.readouterr()


def test_the_chart_of_a_run_without_a_dip_has_no_other_line_and_without_the_option_one_panel(tmp_path, capsys):
    path = tmp_path / "beans.svg"
    assert main(["judge", BEANS, "--compare-undisturbed", "--chart", str(path)]) == 0
    assert "steam without air, degF" in _texts(path) and "without the dip" not in _texts(path)
    assert main(["judge", CORN, "--chart", str(path)]) == 1
    assert "steam without air, degF" not in _texts(path)
    capsys.readouterr()


@pytest.mark.parametrize("log", ["minute,gauge_psi\n5,3\n", "minute,gauge_psi\n5,\n", "minute,gauge_psi\n5,11\n6,11\n"])
def test_a_run_that_shows_nothing_has_no_dip_and_is_no_crash(log, tmp_path, write, capsys):
    words = ["judge", str(write(log)), "--compare-undisturbed", "--chart", str(tmp_path / "run.png")]
    assert main(words) == 1
    assert "no dip below 11 psi" in capsys.readouterr().out


def test_a_long_log_is_drawn_with_its_dip_and_not_point_by_point(tmp_path, write, capsys):
    rows = "".join(f"{28 + i / 4_000:.5f},{9.5 if 40_000 < i < 60_000 else 11.5},\n" for i in range(100_000))
    head = "minute,gauge_psi,event\n0,0,vent-start\n10,0,weight-on\n"
    path = tmp_path / "long.svg"
    assert main(["judge", str(write(head + rows)), "--compare-undisturbed", "--chart", str(path)]) == 1
    assert "once, 4 min 59 s by straight lines" in " ".join(capsys.readouterr().out.split())
    assert "without the dip" in _texts(path)
    assert path.stat().st_size < 2_000_000


def test_the_chart_of_a_run_without_shown_venting_says_so(tmp_path, write, capsys):
    lines = ["minute,gauge_psi", "14,11", "16,9", "18,11", "38,11", "40,0"]
    path = tmp_path / "air.svg"
    assert main(["judge", str(write("\n".join(lines) + "\n")), "--compare-undisturbed", "--chart", str(path)]) == 1
    assert any("venting is not shown" in text for text in _texts(path))
    capsys.readouterr()
