"""Verdict: did a run get its schedule? The rules, on arrays; nothing here reads files or prints.

A run is *delivered* when venting of the needed length is shown (page 1-20) and then one unbroken stretch of at least
the required minutes, in which every reading is at or above the requirement and no two readings are further apart than
the allowed gap. A dip starts the clock again from zero (page 1-22); time is never added across one. Where the log
cannot show the schedule but the missing evidence could have, the run is *unproven*; else it is *short*. How long each
must be is passed in: see :class:`Needs`.

A canner vents freely (page 1-20). Where the gauge shows pressure while the vent is said to be open, one of the two is
wrong, and the venting is not shown.

The log falls into periods, cut where the canner was open to the air: at ``vent-start``, at the ``weight-on`` that
ends a venting, and at ``lock-dropped``; and at ``restart``, where the time was begun anew. A stretch never reaches
across such a cut, nor beyond ``heat-off``: what a canner still holds while it cools was not processed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final, NamedTuple

import numpy as np

from stillroom.run.arrays import Truth, Whole
from stillroom.run.noted import Verdict
from stillroom.run.periods import Period, Stretch, periods, with_venting
from stillroom.run.runlog import Event
from stillroom.run.stretches import Chain, chains, dips, longest

FEWEST_READINGS = 3
"""Readings that show a stretch: one at its beginning, one at its end and one between (the project's own, no source)."""

DELIVERED: Final = "delivered"
SHORT: Final = "short"
UNPROVEN: Final = "unproven"
NO_VERDICT: Final = "no verdict"

REASONS = {
    "vented": "venting of the required minutes is shown",
    "held": "one unbroken stretch of the required minutes is shown",
    "vent-short": "venting is shown, and was too short",
    "hold-short": "the longest unbroken stretch at pressure is too short",
    "heat-off-early": "the heat was off before the time was over, and nothing after that counts",
    "dip": "the pressure fell below the requirement and the clock started again from zero",
    "pressure-not-reached": "no reading is at or above the requirement",
    "vent-unrecorded": "the log does not tell when venting began and ended",
    "vent-contradicted": "the gauge shows pressure while the vent is said to be open",
    "gap": "readings are further apart than allowed",
    "few-readings": "fewer than three readings show the stretch that would count",
    "log-ended": "the log ends at pressure, without heat-off",
    "no-readings": "there is no reading where the process should be",
    "gauge-replace": "the gauge is too far off to be adjusted and must be replaced",
    "heat-off-unrecorded": "the log does not tell when the heat was off",
    "rocking-unrecorded": "the log does not tell when the weight rocked",
    "rocking-stopped": "the weight stopped rocking, and the time started again from zero",
    "rocking-contradicted": "the gauge shows too little pressure while the weight is said to rock",
    "weight-unnamed": "the record does not tell which weight was on",
    "weight-too-light": "the weight that was on is lighter than required",
    "boil-unrecorded": "the log does not tell when the water boiled",
    "boil-stopped": "the water stopped boiling, and the time started again from zero",
    "boil-contradicted": "the water is too cold to boil while it is said to",
    "steam-unrecorded": "the log does not tell when the canner was full of steam",
    "steam-stopped": "the steam stopped, and the time started again from zero",
    "steam-contradicted": "the canner is too cold to be full of steam while it is said to be",
}
"""Every reason a verdict can have."""


@dataclass(frozen=True)
class Needs:
    """What a run must show. Where a figure is printed, the rule and its page are named by whoever passes it in.

    Attributes
    ----------
    required_us : int
        Process time, microseconds.
    vent_us : int
        Venting before the weight goes on, microseconds.
    max_gap_us : int
        Longest time between two readings that is asked for, microseconds.
    """

    required_us: int
    vent_us: int
    max_gap_us: int

    @property
    def gap_us(self) -> int:
        """Longest time between two readings of an unbroken stretch, microseconds: never more than half the process, so
        that no stretch counts on fewer than :data:`FEWEST_READINGS` (the project's own, no source)."""
        return min(self.max_gap_us, self.required_us // (FEWEST_READINGS - 1))


@dataclass(frozen=True)
class Judged:
    """What the rules say of one run.

    Attributes
    ----------
    verdict : Verdict
        ``delivered``, ``short`` or ``unproven``.
    reasons : tuple of str
        Keys of :data:`REASONS`.
    hold : Stretch or None
        The stretch that counts: the longest unbroken one; None where no reading is at pressure.
    vent : Stretch or None
        The venting before it, or the last recorded.
    pressed : int or None
        The reading that contradicts that venting.
    period : Period or None
        The period that the verdict speaks of; None where no period was looked at.
    dips : tuple of (int, int)
        First and one-past-last reading of each dip.
    gaps : tuple of Stretch
        Silences without which an unproven run could have been delivered.
    at_pressure_us : int
        All time at or above the requirement, microseconds, dips left out.
    stops : tuple of int
        Times at which the sign of a canner that is judged by one (a weight that rocks, water that boils) was gone.
    against_us : int or None
        First reading that contradicts such a sign.
    """

    verdict: Verdict
    reasons: tuple[str, ...]
    hold: Stretch | None = None
    vent: Stretch | None = None
    pressed: int | None = None
    period: Period | None = None
    dips: tuple[tuple[int, int], ...] = ()
    gaps: tuple[Stretch, ...] = ()
    at_pressure_us: int = 0
    stops: tuple[int, ...] = ()
    against_us: int | None = None


class _Seen(NamedTuple):
    """What one period shows: its longest unbroken stretch, what could have been one, its dips, all its time at
    pressure, microseconds, and whether it would be long enough if what follows heat-off counted."""

    period: Period
    hold: Stretch | None
    chains: tuple[Chain, ...]
    dips: tuple[tuple[int, int], ...]
    at_pressure_us: int
    with_cooling: bool


class _Hold(NamedTuple):
    """An unbroken stretch at pressure, and the period it lies in."""

    period: Period
    span: Stretch


def judge(
    time_us: Whole, at_pressure: Truth, events: Sequence[Event], needs: Needs, pressing: Truth | None = None
) -> Judged:
    """Judge one run.

    Parameters
    ----------
    time_us : array of int64, shape (n,)
        Times of the readings, microseconds, strictly rising.
    at_pressure : array of bool, shape (n,)
        Whether each reading is at or above the requirement.
    events : sequence of Event
        In time order.
    needs : Needs
        Lengths of time the run is held against.
    pressing : array of bool, shape (n,), optional
        Whether each reading shows more than an open vent can; none by default.
    """
    cuts = [with_venting(cut, time_us, pressing, needs.vent_us) for cut in periods(events, needs.vent_us)]
    seen = [found for cut in cuts if (found := _seen(cut, time_us, at_pressure, needs)) is not None]
    holds = [_Hold(found.period, found.hold) for found in seen if found.hold is not None]
    holds.sort(key=lambda hold: -hold.span.us)
    fallen = tuple(dip for found in seen for dip in found.dips)
    judged = (
        _delivered(holds, needs)
        or _unproven(holds, seen, needs)
        or _short(holds, seen, needs, any_readings=bool(len(time_us)))
    )
    last = next((cut for cut in reversed(cuts) if cut.vent is not None), None)
    period = last if judged.period is None else judged.period
    told = last if period is None or period.vent is None else period
    return replace(
        judged,
        vent=None if told is None else told.vent,
        pressed=None if told is None else told.pressed,
        period=period,
        dips=fallen,
        at_pressure_us=sum(found.at_pressure_us for found in seen),
    )


def _seen(period: Period, time_us: Whole, at_pressure: Truth, needs: Needs) -> _Seen | None:
    """Look at one period; None where nothing in it tells of a process."""
    low = 0 if period.start_us is None else int(np.searchsorted(time_us, period.start_us))
    high = len(time_us) if period.end_us is None else int(np.searchsorted(time_us, period.end_us))
    part, ok = time_us[low:high], at_pressure[low:high]
    if period.open or (period.before and not ok.any()):
        return None
    hold, total = longest(part, ok, needs.gap_us, period.off_us)
    fallen = tuple((low + first, low + last) for first, last in dips(ok))
    shown = hold
    if period.earliest_us is not None:
        late = int(np.searchsorted(part, period.earliest_us))
        part, ok = part[late:], ok[late:]
        shown, _ = longest(part, ok, needs.gap_us, period.off_us)
    found = chains(period, part, ok, needs.required_us, needs.gap_us)
    if shown is not None:
        found.append(Chain(shown.us, frozenset(), ()))
    with_cooling, _ = longest(time_us[low:high], at_pressure[low:high], needs.gap_us)
    long_enough = with_cooling is not None and with_cooling.us >= needs.required_us
    return _Seen(period, hold, tuple(found), fallen, total, long_enough)


def _delivered(holds: Sequence[_Hold], needs: Needs) -> Judged | None:
    for period, hold in holds:
        if period.vented == "shown" and hold.us >= needs.required_us:
            return Judged(DELIVERED, ("vented", "held"), hold, period=period)
    return None


def _unproven(holds: Sequence[_Hold], seen: Sequence[_Seen], needs: Needs) -> Judged | None:
    """Unproven, if what is missing could have made it delivered: the case in which least is missing."""
    possible = [
        (found.period, chain)
        for found in seen
        for chain in found.chains
        if found.period.vented != "short" and chain.us >= needs.required_us
    ]
    if not possible:
        return None
    period, chain = min(possible, key=lambda item: (len(item[1].missing) + (item[0].vented != "shown"), -item[1].us))
    reasons = [] if period.vented == "shown" else [f"vent-{period.vented}"]
    missing = set(chain.missing)
    near = all(gap.us <= needs.max_gap_us for gap in chain.gaps)  # close enough for a longer process
    if missing == {"gap"} and 0 < chain.readings < FEWEST_READINGS and near:
        missing = {"few-readings"}
    hold = holds[0].span if holds else None
    return Judged(UNPROVEN, (*reasons, *sorted(missing)), hold, period=period, gaps=chain.gaps)


def _short(holds: Sequence[_Hold], seen: Sequence[_Seen], needs: Needs, *, any_readings: bool) -> Judged:
    if not holds:
        return Judged(SHORT, ("pressure-not-reached" if any_readings else "no-readings",))
    period, hold = holds[0]
    enough = hold.us >= needs.required_us
    told = {"dip": any(found.dips for found in seen), "heat-off-early": any(found.with_cooling for found in seen)}
    reasons = [] if enough else ["hold-short", *(code for code, is_so in told.items() if is_so)]
    if period.vented == "short" or (enough and period.vented == "unrecorded"):
        reasons.append("vent-short")
    elif period.vented != "shown":
        reasons.append(f"vent-{period.vented}")
    return Judged(SHORT, tuple(reasons), hold, period=period)
