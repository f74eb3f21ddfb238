"""Own clock: how long one's own canner takes to heat, come up, hold and cool, from the loads of a season.

What the publication fixes (venting, the process, the waits) is never taken from it. A load tells what its log shows:
heating from the first row to ``vent-start``, ``boil`` or ``steam-full``; coming up from ``weight-on`` to the stretch
that counts; cooling from ``heat-off`` to ``lock-dropped``, or to the first reading without pressure.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Iterable, Mapping
from typing import NamedTuple, Protocol

from stillroom.day.clock import Span
from stillroom.run.judgement import Judgement
from stillroom.run.log_times import MINUTE, cut_min
from stillroom.run.run_cautions import FORCED_MIN, fall_us

HEAT, COME_UP, HOLD, COOL = "heat", "come-up", "hold", "cool"
STAGES = (HEAT, COME_UP, HOLD, COOL)
"""Stretches that are one's own, named as the steps of a plan are; how long one held is told and never planned with."""
FEWEST_LOADS = 3
"""Loads from which on their times stand in for the printed ranges (the project's own, no source)."""
LONGEST_MIN = 180
"""A longer stretch is no usual one: a log that began early, or was closed late (the project's own, no source)."""


class Load(Protocol):
    """What is asked of a load of a season."""

    @property
    def canner(self) -> str:
        """Id of its canner."""

    @property
    def jar(self) -> str:
        """Id of its jars."""

    @property
    def jars(self) -> int:
        """How many jars."""

    @property
    def verdict(self) -> str:
        """Its verdict."""

    @property
    def stages(self) -> Mapping[str, float]:
        """What its log shows, minutes."""


class Stage(NamedTuple):
    """How long one stretch took.

    Attributes
    ----------
    loads : int
        Loads that show it.
    median_min, from_min, to_min : float
        Their median, the shortest and the longest, minutes.
    """

    loads: int
    median_min: float
    from_min: float
    to_min: float

    @property
    def span(self) -> Span:
        """The range in whole minutes, none of it cut off."""
        return Span(math.floor(self.from_min), math.ceil(self.to_min))


class OwnClock(NamedTuple):
    """The times of one canner with jars of one size.

    Attributes
    ----------
    canner, jar : str
    jars_from, jars_to : int
        Jars of the loads that it is made of.
    stages : dict of str to Stage
    """

    canner: str
    jar: str
    jars_from: int
    jars_to: int
    stages: Mapping[str, Stage]


def stages(found: Judgement) -> dict[str, float]:
    """Tell what the log of one load shows of its stretches, minutes; a stretch that it does not show is left out."""
    log, hold = found.log, found.judged.hold
    at: dict[str, int] = {}
    for event in log.events:
        at.setdefault(event.name, event.time_us)
    if hold is None:
        return {}
    hot = next((at[name] for name in ("vent-start", "boil", "steam-full") if name in at), None)
    spans: dict[str, int | None] = {HEAT: None if hot is None else hot - log.first_us, HOLD: hold.us}
    if found.option.pressure_psi is not None:
        closed = [event.time_us for event in log.events if event.name == "weight-on" and event.time_us <= hold.start_us]
        spans[COME_UP] = hold.start_us - closed[-1] if closed else None
        spans[COOL] = _cooled(found)
    known = {name: span for name, span in spans.items() if span is not None and 0 < span <= LONGEST_MIN * MINUTE}
    return {name: cut_min(span) for name, span in known.items()}


def _cooled(found: Judgement) -> int | None:
    """Time from heat-off until the canner is without pressure; None where nobody can tell, or it was forced."""
    off = next((event.time_us for event in found.log.events if event.name == "heat-off"), None)
    if off is None or found.judged.hold is None:
        return None
    dropped = next(
        (event.time_us for event in found.log.events if event.name == "lock-dropped" and event.time_us > off), None
    )
    fell = fall_us(found.log, found.true_psi, found.judged.hold._replace(end_us=off))
    took = dropped - off if dropped is not None else fell
    return None if took is None or took < FORCED_MIN * MINUTE else took


def clocks(entries: Iterable[Load]) -> tuple[OwnClock, ...]:
    """Bring the loads of a season together, by canner and size of jar; only those that got their schedule."""
    loads = [entry for entry in entries if entry.stages and entry.verdict == "delivered"]
    kinds = sorted({(load.canner, load.jar) for load in loads})
    return tuple(_clock(*kind, [load for load in loads if (load.canner, load.jar) == kind]) for kind in kinds)


def _clock(canner: str, jar: str, loads: list[Load]) -> OwnClock:
    of_stage = {name: [load.stages[name] for load in loads if name in load.stages] for name in STAGES}
    told = {
        name: Stage(len(took), statistics.median(took), min(took), max(took)) for name, took in of_stage.items() if took
    }
    return OwnClock(canner, jar, min(load.jars for load in loads), max(load.jars for load in loads), told)


def _lendable(name: str, stage: Stage) -> bool:
    return name != HOLD and stage.loads >= FEWEST_LOADS


def lent(entries: Iterable[Load], canner: str, jar: str) -> dict[str, tuple[Span, int]]:
    """Give the ranges that stand in for the printed ones, each with its number of loads; none of fewer than three."""
    own = next((each for each in clocks(entries) if (each.canner, each.jar) == (canner, jar)), None)
    if own is None:
        return {}
    return {name: (stage.span, stage.loads) for name, stage in own.stages.items() if _lendable(name, stage)}
