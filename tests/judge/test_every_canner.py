"""Records and logs of every canner, judged from their files, as people write them; invented.

Peaches, hot pack, quarts, boiling water, 1,001 to 3,000 ft: 30 minutes (Complete Guide 2015, example A, page 1-23);
hot pack, quarts, weighted gauge, above 1,000 ft: 10 minutes at 10 lb (example C, page 1-24); dial gauge, 2,001 to 4,000
ft: 10 minutes at 7 lb (example B). Steam takes the boiling-water process by its derived rule.
"""

from __future__ import annotations

from typing import Any

import pytest

import stillroom
from stillroom.answers import saturation

PEACHES: dict[str, Any] = {"food": "peaches", "pack": "hot", "jar": "quart", "altitude": "2500 ft", "gauge": None}


@pytest.fixture
def judged(write):
    def of(canner: str, log: str, **changes: Any):
        return stillroom.judge(str(write(log, **{**PEACHES, "canner": canner, **changes})))

    return of


def codes(found) -> set[str]:
    return {noted.code for noted in found.cautions}


def test_boiling_water_from_the_boil_to_heat_off(judged):
    """Thirty minutes of unbroken boiling (page 1-23); if the boil is lost, from the beginning (page 1-18)."""
    found = judged("boiling-water", "time,event\n9:40,boil\n9:50,boil\n10:10,heat-off\n")
    assert (found.verdict, found.reasons, found.longest_hold_min) == ("delivered", ("held",), 30)
    assert str(found.because[0]) == "Boiled 30 minutes, from 09:40 to 10:10; 30 are needed (page 1-18)."
    assert found.vent_min is None and found.lethality_F0_min is None and found.by_sign
    lost = judged("boiling-water", "time,event\n9:40,boil\n9:50,boil-stopped\n9:55,boil\n10:10,heat-off\n")
    assert (lost.verdict, lost.reasons) == ("short", ("hold-short", "boil-stopped"))
    assert [noted.page for noted in lost.because] == ["1-18", "1-18"]


def test_a_thermometer_may_contradict_a_boil_and_never_makes_one(judged):
    boils = saturation.steam_F(0, 2500)
    assert 207 < boils < 208
    log = "minute,water_F,event\n0,207,boil\n10,{},\n20,207,\n30,207,heat-off\n"
    assert judged("boiling-water", log.format(206)).verdict == "delivered"
    cold = judged("boiling-water", log.format(180))
    assert (cold.verdict, cold.reasons) == ("unproven", ("boil-contradicted",))
    assert "180 degF, where water boils at 207.4 degF" in cold.because[0].text
    without = judged("boiling-water", log.format(207).replace("boil", ""))
    assert (without.verdict, without.reasons) == ("unproven", ("boil-unrecorded",))
    in_celsius = "minute,water_C,event\n0,97,boil\n10,82,\n30,97,heat-off\n"
    assert judged("boiling-water", in_celsius).reasons == ("boil-contradicted",)


def test_a_weight_that_rocks_after_shown_venting(judged):
    """Ten minutes at 10 lb (page 1-24); its sound tells that the pressure is kept (page 1-20)."""
    log = "time,event\n9:15,vent-start\n9:25,weight-on\n9:30,rocking\n9:40,heat-off\n"
    found = judged("weighted", log, weight="10 psi")
    assert (found.verdict, found.reasons) == ("delivered", ("vented", "held"))
    assert "The weight of 10 psi rocked 10 minutes" in found.because[1].text and found.because[1].page == "1-22"
    assert "two-notes" in codes(found)
    assert judged("weighted", log, weight="15 psi").verdict == "delivered"
    unnamed = judged("weighted", log)
    assert (unnamed.verdict, unnamed.reasons) == ("unproven", ("weight-unnamed",))
    light = judged("weighted", log, weight="5 psi")
    assert (light.verdict, light.reasons) == ("short", ("weight-too-light",))
    unvented = judged("weighted", log.replace("9:15", "9:17"), weight="10 psi")
    assert (unvented.verdict, unvented.reasons) == ("short", ("vent-short",))


def test_a_gauge_beside_a_weight_counts_and_may_contradict_it(judged):
    head = "minute,gauge_psi,event\n0,0,vent-start\n5,0,\n10,0,weight-on\n14,10,{}\n"
    good = "16,10.5,\n18,11,\n20,10,\n22,10.5,\n24,10,\n26,10,heat-off\n40,0,\n"
    by_gauge = judged("weighted", head.format("") + good)
    assert (by_gauge.verdict, by_gauge.by_sign) == ("delivered", False)  # no weight need be named: the gauge shows it
    assert judged("weighted", head.format("rocking") + good, weight="10 psi").verdict == "delivered"
    low = good.replace("18,11,", "18,8,")
    against = judged("weighted", head.format("rocking") + low, weight="10 psi")
    assert (against.verdict, against.reasons) == ("unproven", ("rocking-contradicted",))
    assert "but a gauge shows 8 psi" in against.because[0].text
    assert judged("weighted", head.format("") + low).verdict == "short"
    stopped = judged("weighted", head.format("rocking") + good.replace("18,11,", "18,11,not-rocking"), weight="10 psi")
    assert stopped.verdict == "unproven"


def test_the_weight_tells_which_of_several_equal_processes_was_used(judged):
    """Tomato juice, weighted gauge, quarts, above 1,000 ft: 20 minutes at 10 lb or 15 at 15 lb (page 3-6)."""
    log = "time,event\n9:15,vent-start\n9:25,weight-on\n9:30,rocking\n9:45,heat-off\n"
    tomatoes = {"food": "tomato juice", "pack": "hot"}
    assert judged("weighted", log, **tomatoes, weight="15 psi").option.minutes == 15
    assert judged("weighted", log, **tomatoes, weight="15 psi").verdict == "delivered"
    short = judged("weighted", log, **tomatoes, weight="10 psi")
    assert (short.option.minutes, short.verdict) == (20, "short")


def test_a_canner_full_of_steam(judged):
    found = judged("steam", "minute,event\n0,steam-full\n15,steam-full\n30,heat-off\n")
    assert (found.verdict, found.longest_hold_min) == ("delivered", 30)
    assert judged("steam", "minute,event\n0,steam-full\n29.9,heat-off\n").verdict == "short"


def test_a_thermocouple_in_a_pressure_canner_stands_for_its_pressure_after_shown_venting(judged):
    """Seven pounds at 2,500 ft (page 1-24): steam there is as hot as IAPWS R7-97(2012) says."""
    needed = saturation.steam_F(7, 2500)
    rows = "".join(f"{minute},{needed + 0.2:.1f},\n" for minute in range(14, 26, 2))
    log = f"minute,steam_F,event\n0,205,vent-start\n10,206,weight-on\n{rows}25,{needed:.1f},heat-off\n60,190,\n"
    dial = {"gauge": {"reads_high_by": "0 psi", "tested": "2026-06-01"}}
    assert judged("dial", log, **dial).verdict == "delivered"
    cold = log.replace(f"{needed + 0.2:.1f}", f"{needed - 0.3:.1f}")
    assert judged("dial", cold, **dial).verdict == "short"
    assert judged("dial", log.replace("vent-start", ""), **dial).reasons == ("vent-unrecorded",)


def test_what_an_honest_log_seldom_shows_is_told(judged):
    dial = {"gauge": {"reads_high_by": "0 psi", "tested": "2020-06-01"}}
    vent = "minute,gauge_psi,event\n0,0,\n30,0,\n70,0,vent-start\n75,0,\n80,0,weight-on\n"
    rows = "".join(f"{minute},{psi},\n" for minute, psi in ((84, 7), (86, 8), (88, 16), (90, 8), (92, 7.5), (95, 7)))
    found = judged("dial", f"{vent}{rows}96,7,heat-off\n120,0,\n", **dial)
    assert {"long-at-zero", "above-15", "gauge-untested"} <= codes(found)
    old = next(noted for noted in found.cautions if noted.code == "gauge-untested")
    assert "6 years before" in old.text
    silent = judged(
        "weighted", "minute,event\n0,vent-start\n10,weight-on\n130,rocking\n141,heat-off\n", weight="10 psi"
    )
    assert "long-silence" in codes(silent) and silent.verdict == "delivered"
    high = judged("boiling-water", "minute,event\n0,boil\n20,boil\n40,heat-off\n", altitude="10500 ft")
    assert "very-high" in codes(high)
    other_day = judged(
        "boiling-water", "time,event\n2026-08-16T00:10,boil\n2026-08-16T00:40,heat-off\n", date="2026-08-15"
    )
    assert "date-differs" in codes(other_day)
    slip = judged("dial", f"{vent}84,7,\n86,7.5,\n88,75,\n".replace("88,75", "88,29") + "90,7.5,\n92,7,\n", **dial)
    assert "likely-slip" not in codes(slip)
    slip = judged("dial", f"{vent}84,7,\n86,7.5,\n88,0.75,\n90,7.5,\n92,7,\n94,7,\n96,7,heat-off\n", **dial)
    assert "likely-slip" in codes(slip) and slip.verdict == "short"


@pytest.mark.parametrize("canner", ["boiling-water", "steam", "weighted"])
def test_every_verdict_can_be_shown_and_kept(judged, canner, tmp_path, capsys):
    from stillroom.commands.main import main

    on = {"boiling-water": "boil", "steam": "steam-full", "weighted": "rocking"}[canner]
    log = f"minute,event\n0,vent-start\n10,weight-on\n20,{on}\n35,{on}\n50,heat-off\n"
    weight = {"weight": "10 psi"} if canner == "weighted" else {}
    found = judged(canner, log, jars=7, seals={"sealed": 7}, **weight)
    assert found.verdict == "delivered"
    record = str(next(iter({found.log.path})).replace("run.csv", "batch.yaml"))
    saved, chart = str(tmp_path / "season"), str(tmp_path / "run.svg")
    assert main(["judge", record, "--chart", chart, "--save", saved]) == 0
    assert "DELIVERED" in capsys.readouterr().out and (tmp_path / "run.svg").stat().st_size > 1000
    assert main(["judge", record, "--json"]) == 0
    assert main(["season", saved]) == 0
    assert "7" in capsys.readouterr().out
