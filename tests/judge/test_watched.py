"""Canners that are judged by what was seen and heard: a weight that rocks, water that boils, a full column of steam.

The rules are the publication's: pages 1-18 (boiling water), 1-20 and 1-22 (venting, the weight, beginning anew). The
judge in plain loops below is written from them, not from the code; it never agrees to a run that does not deliver.
"""

from __future__ import annotations

import random
from collections.abc import Sequence

import numpy as np
import pytest

from stillroom.run import watched
from stillroom.run.log_times import MINUTE
from stillroom.run.runlog import Event
from stillroom.run.verdict import DELIVERED, REASONS, SHORT, UNPROVEN, Judged, Needs
from stillroom.run.watched import SIGNS, Readings

REQUIRED, VENT = 25, 10
RUNS = 20_000
Said = Sequence[tuple[float, str]]
Read = Sequence[tuple[float, str]]
"""Readings that agree ("yes"), contradict ("no") or say nothing ("")."""


def judged(canner: str, said: Said, read: Read = (), required: float = REQUIRED) -> Judged:
    events = [Event(name, round(at * MINUTE)) for at, name in said]
    readings = Readings(
        np.array([round(at * MINUTE) for at, _ in read], np.int64),
        np.array([what == "yes" for _, what in read], np.bool_),
        np.array([what == "no" for _, what in read], np.bool_),
    )
    needs = Needs(round(required * MINUTE), VENT * MINUTE if canner == "weighted" else 0, 10 * MINUTE)
    return watched.judge(readings, events, needs, SIGNS[canner])


VENTED = [(12, "vent-start"), (22, "weight-on")]
ROCKS = [*VENTED, (26, "rocking")]


@pytest.mark.parametrize(
    ("canner", "said", "verdict", "reasons", "minutes"),
    [
        # boiling water, page 1-18: from the boil until the time is over; a lost boil begins it anew
        ("boiling-water", [(20, "boil"), (45, "heat-off")], DELIVERED, {"held"}, 25),
        ("boiling-water", [(20, "boil"), (44.99, "heat-off")], SHORT, {"hold-short"}, 24.99),
        ("boiling-water", [(20, "boil"), (30, "boil"), (45, "boil")], DELIVERED, {"held"}, 25),
        ("boiling-water", [(20, "boil"), (30, "boil")], UNPROVEN, {"log-ended"}, 10),
        ("boiling-water", [(20, "boil")], UNPROVEN, {"log-ended"}, 0),
        ("boiling-water", [], UNPROVEN, {"boil-unrecorded"}, None),
        ("boiling-water", [(45, "heat-off")], UNPROVEN, {"boil-unrecorded"}, None),
        (
            "boiling-water",
            [(20, "boil"), (30, "boil-stopped"), (35, "boil"), (55, "heat-off")],
            SHORT,
            {"hold-short", "boil-stopped"},
            20,
        ),
        (
            "boiling-water",
            [(20, "boil"), (30, "boil-stopped"), (35, "boil"), (60, "heat-off")],
            DELIVERED,
            {"held"},
            25,
        ),
        ("boiling-water", [(20, "boil"), (50, "boil-stopped")], UNPROVEN, {"heat-off-unrecorded"}, 0),
        ("boiling-water", [(20, "boil"), (44, "restart"), (60, "heat-off")], SHORT, {"hold-short", "boil-stopped"}, 16),
        ("boiling-water", [(20, "boil"), (30, "restart"), (55, "heat-off")], DELIVERED, {"held"}, 25),
        ("boiling-water", [(20, "boil"), (40, "heat-off"), (60, "heat-off")], SHORT, {"hold-short"}, 20),
        ("boiling-water", [(20, "boil"), (22, "weight-on"), (45, "heat-off")], DELIVERED, {"held"}, 25),
        # a full column of steam
        ("steam", [(15, "steam-full"), (40, "heat-off")], DELIVERED, {"held"}, 25),
        (
            "steam",
            [(15, "steam-full"), (30, "steam-stopped"), (41, "heat-off")],
            SHORT,
            {"hold-short", "steam-stopped"},
            0,
        ),
        ("steam", [(15, "boil"), (45, "heat-off")], UNPROVEN, {"steam-unrecorded"}, None),
        # a weight, pages 1-20 and 1-22: vented, then the weight rocks
        ("weighted", [*ROCKS, (51, "heat-off")], DELIVERED, {"vented", "held"}, 25),
        ("weighted", [*ROCKS, (50, "heat-off")], SHORT, {"hold-short"}, 24),
        ("weighted", [(14, "vent-start"), *ROCKS[1:], (60, "heat-off")], SHORT, {"vent-short"}, 34),
        ("weighted", [(22, "weight-on"), (26, "rocking"), (60, "heat-off")], UNPROVEN, {"vent-unrecorded"}, 34),
        ("weighted", [*VENTED, (60, "heat-off")], UNPROVEN, {"rocking-unrecorded"}, None),
        (
            "weighted",
            [*ROCKS, (40, "not-rocking"), (42, "rocking"), (60, "heat-off")],
            SHORT,
            {"hold-short", "rocking-stopped"},
            18,
        ),
        (
            "weighted",
            [*ROCKS, (40, "not-rocking"), (42, "rocking"), (67, "heat-off")],
            DELIVERED,
            {"vented", "held"},
            25,
        ),
        ("weighted", [*ROCKS, (90, "lock-dropped")], UNPROVEN, {"heat-off-unrecorded"}, 0),
        (
            "weighted",
            [*ROCKS, (40, "lock-dropped"), (45, "rocking"), (90, "heat-off")],
            UNPROVEN,
            {"vent-unrecorded"},
            45,
        ),
        ("weighted", [*ROCKS, (70, "not-rocking")], UNPROVEN, {"heat-off-unrecorded"}, 0),
        ("weighted", [*ROCKS, (52, "rocking"), (70, "not-rocking")], DELIVERED, {"vented", "held"}, 26),
        (
            "weighted",
            [(12, "vent-start"), (20, "rocking"), (22, "weight-on"), (60, "heat-off")],
            UNPROVEN,
            {"rocking-unrecorded"},
            None,
        ),
    ],
)
def test_a_run_gets_the_verdict_the_rules_give(canner, said, verdict, reasons, minutes):
    found = judged(canner, said)
    assert (found.verdict, set(found.reasons)) == (verdict, reasons)
    assert set(found.reasons) <= set(REASONS)
    assert (None if found.hold is None else found.hold.us / MINUTE) == (
        None if minutes is None else pytest.approx(minutes)
    )


def test_a_reading_that_contradicts_makes_it_unproven_and_one_that_agrees_shows_it_lasts():
    said = [(20, "boil"), (45, "heat-off")]
    assert judged("boiling-water", said, [(30, "no")]).reasons == ("boil-contradicted",)
    assert judged("boiling-water", said, [(30, "no")]).verdict == UNPROVEN
    assert judged("boiling-water", said, [(10, "no"), (20, "no"), (30, "yes"), (50, "no")]).verdict == DELIVERED
    assert judged("boiling-water", said[:1], [(45, "yes")]).verdict == DELIVERED  # no heat-off, but it boiled till then
    assert judged("boiling-water", said[:1], [(44, "yes")]).verdict == UNPROVEN
    assert judged("boiling-water", [(20, "boil"), (70, "heat-off")], [(50, "yes"), (60, "no")]).verdict == DELIVERED


# in plain loops


def delivers(canner: str, said: Said, read: Read) -> bool:
    """Whether two moments with the sign, the required time apart, have nothing between them that speaks against it."""
    sign = SIGNS[canner]
    opens = ("vent-start", "weight-on", "lock-dropped") if canner == "weighted" else ()
    stops = (sign.off, "heat-off", "restart", *opens)
    begins = []
    there = False
    for place, (at, name) in enumerate(said):
        if name == sign.on:
            there = True
            begins.append((place, at))
        elif name == "restart" and there:
            noted = max(time for time, each in said[:place] if each in (sign.on, "restart"))
            there = not any(what == "no" and noted < time <= at for time, what in read)
            begins += [(place, at)] if there else []
        elif name in stops:
            there = False
    for place, begin in begins:
        if canner == "weighted" and not vented(said[: place + 1]):
            continue
        ends = [begin]
        for at, name in said[place + 1 :]:
            if name == sign.on or name == "heat-off":
                ends.append(at)
            if name in stops:
                last = at
                break
        else:
            last = float("inf")
        wrong = min((at for at, what in read if what == "no" and begin < at <= last), default=float("inf"))
        ends += [at for at, what in read if what == "yes" and begin < at < last]
        if any(end < wrong and end - begin >= REQUIRED for end in ends):
            return True
    return False


def vented(said: Said) -> bool:
    """Whether the last thing that opened or closed the canner was a weight after ten minutes of venting."""
    told = [(at, name) for at, name in said if name in ("vent-start", "weight-on", "lock-dropped")]
    if not told or told[-1][1] != "weight-on":
        return False
    before = [(at, name) for at, name in told[:-1]]
    if before and before[-1][1] == "weight-on":  # set on twice: the first time closed it
        return vented(told[:-1])
    return bool(before) and before[-1][1] == "vent-start" and told[-1][0] - before[-1][0] >= VENT


def drawn(chance: random.Random, canner: str) -> tuple[list[tuple[float, str]], list[tuple[float, str]]]:
    """A random log: most often a proper beginning, then events and readings anywhere, half minutes."""
    sign = SIGNS[canner]
    said: list[tuple[float, str]] = []
    if canner == "weighted" and chance.random() < 0.8:
        start = chance.randint(0, 10) / 2
        said += [(start, "vent-start"), (start + chance.choice((8, 9.5, 10, 10, 11)), "weight-on")]
    names = [sign.on] * 4 + [sign.off, "heat-off", "restart", "vent-start", "weight-on", "lock-dropped", "boil"]
    said += [(chance.randint(20, 160) / 2, chance.choice(names)) for _ in range(chance.randint(0, 6))]
    if chance.random() < 0.6:
        said.append((chance.randint(90, 170) / 2, "heat-off"))
    said.sort(key=lambda told: told[0])
    times = sorted({chance.randint(0, 170) / 2 for _ in range(chance.choice((0, 0, 2, 8)))})
    return said, [(at, chance.choice(("yes", "yes", "yes", "no", ""))) for at in times]


@pytest.mark.parametrize("canner", sorted(SIGNS))
def test_no_random_log_is_delivered_that_does_not_deliver(canner):
    chance = random.Random(f"{canner} 20261126")
    seen = {DELIVERED: 0, SHORT: 0, UNPROVEN: 0}
    for _ in range(RUNS):
        said, read = drawn(chance, canner)
        found = judged(canner, said, read)
        assert (found.verdict == DELIVERED) is delivers(canner, said, read), (said, read)
        assert found.reasons and set(found.reasons) <= set(REASONS)
        seen[found.verdict] += 1
    assert min(seen.values()) > RUNS / 100, seen


@pytest.mark.parametrize("canner", sorted(SIGNS))
def test_a_worse_log_never_gets_a_better_verdict(canner):
    """A stop, a contradiction, an opened canner or a log that is cut off never makes a run delivered."""
    chance = random.Random(f"{canner} worse")
    for _ in range(RUNS // 4):
        said, read = drawn(chance, canner)
        if judged(canner, said, read).verdict == DELIVERED:
            continue
        at = chance.randint(0, 170) / 2
        for name in (SIGNS[canner].off, "lock-dropped", "restart"):
            more = sorted([*said, (at, name)], key=lambda told: told[0])
            assert judged(canner, more, read).verdict != DELIVERED, (said, read, at, name)
        if at not in {time for time, _ in read}:
            assert judged(canner, said, sorted([*read, (at, "no")])).verdict != DELIVERED
        assert judged(canner, [told for told in said if told[0] <= at], read).verdict != DELIVERED or read
