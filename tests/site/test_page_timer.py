"""The timer of the page: what it holds for done is delivered, judged from the two files that it writes.

Invented days. Snap beans, raw pack, pints, 1,650 ft: 20 minutes at 11 psi on a dial, at 15 psi on a weight; peaches,
hot pack, quarts, 2,500 ft: 30 minutes in boiling water (Complete Guide 2015, pages 4-9 and 1-23).
"""

from __future__ import annotations

import random
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

import stillroom
from stillroom.run import batch
from tests.site.page import Page, by_library
from tests.trials import trials

MINUTE = 60_000
DAWN = 1_786_791_600_000
"""15 August 2026, 11:00 UTC, milliseconds."""
ZONE = -300
BEANS = {"food": "snap-beans", "pack": "raw", "jar": "pint", "altitude": "1650 ft"}
PEACHES = {"food": "peaches", "pack": "hot", "jar": "quart", "altitude": "2500 ft"}
LOADS = {"dial": BEANS, "weighted": BEANS, "boiling-water": PEACHES, "steam": PEACHES}
SIGNS = {"weighted": "rocking", "boiling-water": "boil", "steam": "steam-full"}
Step = list[Any]


def run_of(canner: str, steps: list[Step], until: float, **load: Any) -> dict[str, Any]:
    asked = {**LOADS[canner], "canner": canner}
    said = {"altitude": asked["altitude"], "date": "2026-08-15", "jars": 7, **load}
    if canner == "weighted":
        said["weight"] = "15 psi"
    if canner == "dial":
        said.setdefault("gauge", {"reads_high_by": "0.5 psi", "tested": "2026-06-01"})
    return {"play": {"answer": by_library(asked), "option": 0, "load": said, "steps": steps, "zone": ZONE,
                     "until": DAWN + until * MINUTE}}  # fmt: skip


def at(minute: float) -> int:
    return DAWN + round(minute * MINUTE)


def judged(found: dict[str, Any], folder: Path) -> stillroom.Judgement:
    folder.mkdir(parents=True)
    (folder / "batch.yaml").write_text(found["record"], encoding="utf-8")
    (folder / "run.csv").write_text(found["log"], encoding="utf-8")
    return stillroom.judge(str(folder / "batch.yaml"))


def begun(canner: str, vent: float = 10.0) -> tuple[list[Step], float]:
    """Steps up to the time at which the process may begin, and that minute."""
    if canner in ("dial", "weighted"):
        return [["did", "vent-start", at(0)], ["did", "weight-on", at(vent)]], vent + 4
    return [], 12.0


def held(canner: str, start: float, minutes: float, psi: str = "11.5") -> list[Step]:
    """Steps of a process without a drop, and the heat turned off at its end."""
    if canner == "dial":
        steps = [["reading", at(start + part * minutes / 4), psi] for part in range(5)]
    else:
        steps = [["did", SIGNS[canner], at(start)]]
    return [*steps, ["did", "heat-off", at(start + minutes) + 10]]


MINUTES = {"dial": 20, "weighted": 20, "boiling-water": 30, "steam": 30}


@pytest.mark.parametrize("canner", MINUTES)
def test_a_run_that_is_held_is_delivered_and_one_second_less_is_not(page: Page, tmp_path: Path, canner: str) -> None:
    before, start = begun(canner)
    minutes = MINUTES[canner]
    enough, short = page.said(
        [run_of(canner, [*before, *held(canner, start, length)], start + length + 1) for length in
         (minutes, minutes - 1 / 60)]
    )  # fmt: skip
    assert enough["refused"] == short["refused"] == []
    assert (enough["shows"]["isHeld"], enough["shows"]["isVented"], enough["shows"]["stage"]) == (True, True, "cooling")
    assert short["shows"]["isHeld"] is False
    assert judged(enough, tmp_path / "enough").verdict == "delivered"
    assert judged(short, tmp_path / "short").verdict in ("short", "unproven")


@pytest.mark.parametrize("canner", MINUTES)
def test_it_dropped_begins_the_time_anew(page: Page, tmp_path: Path, canner: str) -> None:
    before, start = begun(canner)
    minutes = MINUTES[canner]
    first = held(canner, start, minutes - 4)[:-1]
    drop = ["dropped", at(start + minutes - 2)]
    across = [*before, *first, drop, *held(canner, start + minutes, 8)]
    again = [*before, *first, drop, *held(canner, start + minutes, minutes)]
    running = [*before, *first, drop]
    one, two, three = page.said([run_of(canner, steps, 100) for steps in (across, again, running)])
    assert one["shows"]["isHeld"] is False
    assert judged(one, tmp_path / "across").verdict in ("short", "unproven")
    assert two["shows"]["isHeld"] is True
    assert judged(two, tmp_path / "again").verdict == "delivered"
    assert (three["shows"]["elapsed"], three["shows"]["left"]) == (0, minutes * MINUTE)
    assert three["shows"]["stage"] == ("rising" if canner in ("dial", "weighted") else "heating")


def test_a_gauge_that_reads_high_must_show_more(page: Page, tmp_path: Path) -> None:
    before, start = begun("dial")
    runs = {psi: [*before, *held("dial", start, 20, psi)] for psi in ("11.5", "11.4", "11")}
    found = dict(zip(runs, page.said([run_of("dial", steps, 60) for steps in runs.values()]), strict=True))
    assert [psi for psi, one in found.items() if one["shows"]["isHeld"]] == ["11.5"]
    verdicts = [judged(one, tmp_path / psi).verdict for psi, one in found.items()]
    assert [verdict == "delivered" for verdict in verdicts] == [True, False, False]


def test_a_load_that_no_run_could_deliver_is_not_begun(page: Page) -> None:
    answer = by_library({**BEANS, "canner": "weighted"})
    dial = by_library({**BEANS, "canner": "dial"})
    said = {"altitude": "1650 ft", "date": "2026-08-15"}
    for asked, more, wrong in (
        (answer, {}, "which weight"),
        (answer, {"weight": "10 psi"}, "lighter"),
        (answer, {"weight": "15"}, "not in psi"),
        (dial, {"gauge": {"reads_high_by": "2.5 psi"}}, "replaced"),
        (dial, {"gauge": {"reads_high_by": "-5/2 psi"}}, "replaced"),
        (dial, {"gauge": {"reads_high_by": "1/0 psi"}}, "not a figure"),
    ):
        tried = page.said([{"play": {"answer": asked, "option": 0, "load": {**said, **more}, "steps": [], "zone": 0,
                                     "until": 0}}])[0]  # fmt: skip
        assert (tried["kind"], wrong in tried["reason"]) == ("thrown", True), tried
    near = {"play": {"answer": dial, "option": 0, "load": {**said, "gauge": {"reads_high_by": "-2 psi"}}, "steps": [],
                     "zone": 0, "until": 0}}  # fmt: skip
    assert page.said([near])[0]["shows"]["stage"] == "heating"


def test_a_venting_that_was_too_short_is_told(page: Page, tmp_path: Path) -> None:
    before, start = begun("dial", vent=9.0)
    found = page.said([run_of("dial", [*before, *held("dial", start, 20)], 60)])[0]
    assert (found["shows"]["isVented"], found["shows"]["isHeld"]) == (False, True)
    assert "vent-short" in judged(found, tmp_path / "run").reasons


def test_what_cannot_come_now_is_refused_and_the_run_goes_on(page: Page) -> None:
    steps = [["did", "heat-off", at(1)], ["did", "vent-start", at(2)], ["did", "boil", at(3)], ["reading", at(4), "-1"]]
    steps += [["reading", at(4), "eleven"], ["undo"]]
    found = page.said([run_of("dial", steps, 5)])[0]
    assert len(found["refused"]) == 4
    assert '"heat-off" cannot come now: vent-start' in found["refused"]
    assert found["shows"]["stage"] == "heating"


def test_a_silent_dial_is_told_and_a_reading_falls_due(page: Page) -> None:
    before, start = begun("dial")
    steps = [*before, ["reading", at(start), "12"]]
    due, silent = page.said([run_of("dial", steps, start + 4), run_of("dial", steps, start + 10.5)])
    assert (due["shows"]["dueIn"], due["shows"]["isSilent"]) == (6 * MINUTE, False)
    assert (silent["shows"]["dueIn"], silent["shows"]["isSilent"]) == (0, True)
    assert batch.USUAL_GAP == 10 * 60 * 1_000_000


def test_a_clock_that_goes_back_gives_no_time(page: Page, tmp_path: Path) -> None:
    steps = [["did", "boil", at(50)], ["did", "heat-off", at(10)]]
    found = page.said([run_of("boiling-water", steps, 60)])[0]
    assert found["shows"]["isHeld"] is False
    assert judged(found, tmp_path / "run").verdict == "short"


def test_hostile_notes_and_words_come_through_both_files(page: Page, tmp_path: Path) -> None:
    note = 'said "stop", then: #1\n- [x] {a: b}, \u2028 <script>'
    before, start = begun("boiling-water")
    steps = [*before, ["remark", at(1), note], *held("boiling-water", start, 30)]
    found = page.said([run_of("boiling-water", steps, 60, note=note)])[0]
    assert judged(found, tmp_path / "run").verdict == "delivered"


def random_run(canner: str, chance: random.Random) -> list[Step]:
    """A run as it may go: short or long venting, drops, silences, a heat that is off early."""
    steps, now = begun(canner, vent=chance.choice((8.0, 10.0, 10.0, 12.5)))
    for _ in range(chance.randint(1, 3)):
        if canner != "dial":
            steps.append(["did", SIGNS[canner], at(now)])
        end = now + chance.choice((0.2, 0.6, 1.0, 1.0, 1.3)) * MINUTES[canner]
        while canner == "dial" and now <= end:
            psi = Fraction(chance.choice((11, 12, 12, 12, 12, 12, 12, 12))) + Fraction(chance.choice((0, 1, 2)), 2)
            steps.append(["reading", at(now), str(float(psi))])
            now += chance.choice((1, 2, 3, 5, 5, 5, 11)) * chance.choice((1, 1, 0.9))
        now = max(now, end)
        if chance.random() < 0.5:
            steps.append(["dropped", at(now)])
            now += 2
        else:
            break
    steps.append(["did", "heat-off", at(now) + 1])
    return steps


def test_what_the_timer_holds_for_done_is_delivered(page: Page, tmp_path: Path) -> None:
    """Never the other way: a run that the timer calls done and the judgement does not."""
    seed = random.randrange(10**9)
    chance = random.Random(seed)
    canners = [chance.choice(list(MINUTES)) for _ in range(trials(400))]
    runs = [random_run(canner, chance) for canner in canners]
    found = page.said([run_of(canner, steps, 400) for canner, steps in zip(canners, runs, strict=True)])
    seen = set()
    for place, (canner, one) in enumerate(zip(canners, found, strict=True)):
        verdict = judged(one, tmp_path / str(place)).verdict
        done = one["shows"]["isHeld"] and one["shows"]["isVented"]
        seen.add((done, verdict == "delivered"))
        if done:
            assert verdict == "delivered", (seed, place, canner, one["log"])
        elif canner != "dial" and not any(step[0] == "dropped" for step in runs[place]):
            assert verdict != "delivered", (seed, place, canner, one["log"])
    assert {(True, True), (False, False)} <= seen
