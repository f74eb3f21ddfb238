"""Verdict: did a run get its schedule? The rules, on arrays; nothing here reads files or prints.

A run is *delivered* when venting of the needed length is shown (page 1-20) and then one unbroken stretch of at least
the required minutes, in which every reading is at or above the requirement and no two readings are further apart than
the allowed gap. A dip starts the clock again from zero (page 1-22); time is never added across one. Where the log
cannot show the schedule but the missing evidence could have, the run is *unproven*; else it is *short*. How long each
must be is passed in: see :class:`Needs`.

A canner vents freely (page 1-20). Where the gauge shows pressure while the vent is said to be open, one of the two is
wrong, and the venting is not shown.

The log falls into periods, cut where the canner was open to the air: at ``vent-start``, at the ``weight-on`` that
ends a venting, and at ``lock-dropped``. A stretch never reaches across such a cut.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from stillroom.arrays import Real, Truth, Whole
from stillroom.runlog import Event

FEWEST_READINGS = 3
"""Readings that show a stretch: one at its beginning, one at its end and one between (the project's own, no source)."""

DELIVERED, SHORT, UNPROVEN, NO_VERDICT = "delivered", "short", "unproven", "no verdict"

REASONS = {
    "vented": "venting of the required minutes is shown",
    "held": "one unbroken stretch of the required minutes is shown",
    "vent-short": "venting is shown, and was too short",
    "hold-short": "the longest unbroken stretch at pressure is too short",
    "dip": "the pressure fell below the requirement and the clock started again from zero",
    "pressure-not-reached": "no reading is at or above the requirement",
    "vent-unrecorded": "the log does not tell when venting began and ended",
    "vent-contradicted": "the gauge shows pressure while the vent is said to be open",
    "gap": "readings are further apart than allowed",
    "few-readings": "fewer than three readings show the stretch that would count",
    "log-ended": "the log ends at pressure, without heat-off",
    "no-readings": "there is no reading where the process should be",
    "gauge-replace": "the gauge is too far off to be adjusted and must be replaced",
}
"""Every reason a verdict can have."""


class Span(NamedTuple):
    """A stretch of time, microseconds."""

    start_us: int
    end_us: int

    @property
    def us(self) -> int:
        """Length, microseconds."""
        return self.end_us - self.start_us


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


class Period(NamedTuple):
    """A part of the log in which the canner stayed closed.

    Attributes
    ----------
    start_us, end_us : int or None
        From an event to the next that cuts; None where the log itself begins or ends.
    vent : Span or None
        The venting before it, where beginning and end are recorded.
    open : bool
        The weight was still off: nothing counts.
    before : bool
        A venting follows and no weight was on: only readings at pressure tell of a process here, silence does not.
    earliest_us : int or None
        Nothing before this time can count, because venting was not over.
    heat_off_us : int or None
        When the heat is known to be off.
    pressed : int or None
        The first reading that shows pressure during that venting; None where none does.
    vented : str
        ``shown``, ``short``, ``contradicted`` or ``unrecorded``.
    """

    start_us: int | None
    end_us: int | None
    vent: Span | None = None
    open: bool = False
    before: bool = False
    earliest_us: int | None = None
    heat_off_us: int | None = None
    pressed: int | None = None
    vented: str = "unrecorded"


@dataclass(frozen=True)
class Judged:
    """What the rules say of one run.

    Attributes
    ----------
    verdict : str
        ``delivered``, ``short`` or ``unproven``.
    reasons : tuple of str
        Keys of :data:`REASONS`.
    hold : Span or None
        The stretch that counts: the longest unbroken one; None where no reading is at pressure.
    vent : Span or None
        The venting before it, or the last recorded.
    pressed : int or None
        The reading that contradicts that venting.
    period : Period or None
        The period that the verdict speaks of; None where no period was looked at.
    dips : tuple of (int, int)
        First and one-past-last reading of each dip.
    gaps : tuple of Span
        Silences without which an unproven run could have been delivered.
    at_pressure_us : int
        All time at or above the requirement, microseconds, dips left out.
    """

    verdict: str
    reasons: tuple[str, ...]
    hold: Span | None = None
    vent: Span | None = None
    pressed: int | None = None
    period: Period | None = None
    dips: tuple[tuple[int, int], ...] = ()
    gaps: tuple[Span, ...] = ()
    at_pressure_us: int = 0


class _Chain(NamedTuple):
    """A stretch that could have been at pressure, as far as the log can tell; ``inf`` where it has no known end."""

    us: float
    missing: frozenset[str]
    gaps: tuple[Span, ...]
    readings: int = 0


class _Seen(NamedTuple):
    """What one period shows: its longest unbroken stretch, what could have been one, its dips, and all its time at
    pressure, microseconds."""

    period: Period
    hold: Span | None
    chains: tuple[_Chain, ...]
    dips: tuple[tuple[int, int], ...]
    at_pressure_us: int


class _Hold(NamedTuple):
    """An unbroken stretch at pressure, and the period it lies in."""

    period: Period
    span: Span


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
    cuts = [_with_venting(cut, time_us, pressing, needs.vent_us) for cut in periods(events, needs.vent_us)]
    seen = [found for cut in cuts if (found := _seen(cut, time_us, at_pressure, needs)) is not None]
    holds = [_Hold(found.period, found.hold) for found in seen if found.hold is not None]
    holds.sort(key=lambda hold: -hold.span.us)
    dips = tuple(dip for found in seen for dip in found.dips)
    judged = (
        _delivered(holds, needs)
        or _unproven(holds, seen, needs)
        or _short(holds, needs, dipped=bool(dips), any_readings=bool(len(time_us)))
    )
    last = next((cut for cut in reversed(cuts) if cut.vent is not None), None)
    period = last if judged.period is None else judged.period
    told = last if period is None or period.vent is None else period
    return replace(
        judged,
        vent=None if told is None else told.vent,
        pressed=None if told is None else told.pressed,
        period=period,
        dips=dips,
        at_pressure_us=sum(found.at_pressure_us for found in seen),
    )


def _with_venting(period: Period, time_us: Whole, pressing: Truth | None, vent_us: int) -> Period:
    """Say of a period what is known of the venting before it."""
    if period.vent is None:
        return period
    pressed = _pressed(period.vent, time_us, pressing)
    if period.vent.us < vent_us:
        return period._replace(pressed=pressed, vented="short")
    return period._replace(pressed=pressed, vented="shown" if pressed is None else "contradicted")


def _pressed(vent: Span, time_us: Whole, pressing: Truth | None) -> int | None:
    """First reading of a venting, its beginning and end among them, that shows pressure."""
    if pressing is None:
        return None
    low, high = int(np.searchsorted(time_us, vent.start_us)), int(np.searchsorted(time_us, vent.end_us, side="right"))
    found = np.flatnonzero(pressing[low:high])
    return low + int(found[0]) if len(found) else None


def _seen(period: Period, time_us: Whole, at_pressure: Truth, needs: Needs) -> _Seen | None:
    """Look at one period; None where nothing in it tells of a process."""
    low = 0 if period.start_us is None else int(np.searchsorted(time_us, period.start_us))
    high = len(time_us) if period.end_us is None else int(np.searchsorted(time_us, period.end_us))
    part, ok = time_us[low:high], at_pressure[low:high]
    if period.open or (period.before and not ok.any()):
        return None
    hold, total = _longest(part, ok, needs.gap_us)
    dips = tuple((low + first, low + last) for first, last in _dips(ok))
    shown = hold
    if period.earliest_us is not None:
        late = int(np.searchsorted(part, period.earliest_us))
        part, ok = part[late:], ok[late:]
        shown, _ = _longest(part, ok, needs.gap_us)
    chains = _chains(period, part, ok, needs)
    if shown is not None:
        chains.append(_Chain(shown.us, frozenset(), ()))
    return _Seen(period, hold, tuple(chains), dips, total)


def periods(events: Sequence[Event], vent_us: int) -> list[Period]:
    """Cut the log into periods. A ``weight-on`` without a venting before it cuts too, the first time.

    Parameters
    ----------
    events : sequence of Event
        In time order.
    vent_us : int
        Venting that is needed, microseconds.
    """
    found: list[Period] = []
    start: int | None = None
    vent: Span | None = None
    venting_from: int | None = None
    heat_off: int | None = None
    weight_on = False

    def close(end: int | None, open_: bool = False, before: bool = False) -> None:
        earliest = None if venting_from is None or open_ else venting_from + vent_us
        found.append(Period(start, end, vent, open_, before, earliest, heat_off))

    for event in events:
        at = event.time_us
        if event.name == "heat-off":
            heat_off = at if heat_off is None else heat_off
        elif event.name == "vent-start":
            close(at, before=not weight_on)
            start, vent, venting_from, heat_off, weight_on = at, None, at, None, False
        elif event.name == "weight-on" and venting_from is not None:
            close(at, open_=True)
            start, vent, venting_from, heat_off, weight_on = at, Span(venting_from, at), None, None, True
        elif event.name == "weight-on" and not weight_on:
            close(at, open_=True)
            start, vent, heat_off, weight_on = at, None, None, True
        elif event.name == "lock-dropped":
            close(at)
            start, vent, venting_from, heat_off, weight_on = at, None, None, at, False
    close(None)
    return found


# stretches


def _longest(time_us: Whole, ok: Truth, max_gap_us: int) -> tuple[Span | None, int]:
    """Longest unbroken stretch at pressure (the first of equals), and the time of all of them, microseconds."""
    if not ok.any():
        return None, 0
    linked = ok[:-1] & ok[1:] & (np.diff(time_us) <= max_gap_us)
    starts = time_us[ok & np.concatenate(([True], ~linked))]
    ends = time_us[ok & np.concatenate((~linked, [True]))]
    best = int(np.argmax(ends - starts))
    return Span(int(starts[best]), int(ends[best])), int((ends - starts).sum())


def _dips(ok: Truth) -> list[tuple[int, int]]:
    """First and one-past-last reading of each fall below the requirement that came back to it."""
    at = np.flatnonzero(ok)
    fell = np.flatnonzero(np.diff(at) > 1)
    return list(zip((at[fell] + 1).tolist(), at[fell + 1].tolist(), strict=True))


class _Steps(NamedTuple):
    """The times from each point of a period to the next; points are its readings, and its edges where they are known.

    Attributes
    ----------
    since, until : array of float64, shape (n,)
        Beginning and end of each step, microseconds.
    good : array of bool, shape (n + 1,)
        Whether each point is at pressure.
    actual, maybe : array of bool, shape (n,)
        Whether a step is shown to be at pressure, and whether it could have been.
    reach : array of float64, shape (n,)
        How long it was or could have been, microseconds.
    """

    since: Real
    until: Real
    good: Truth
    actual: Truth
    maybe: Truth
    reach: Real


def _chains(period: Period, time_us: Whole, ok: Truth, needs: Needs) -> list[_Chain]:
    """Find the stretch of a period that could have been at pressure, and those that reach out of the log.

    A silence longer than the allowed gap may have been at pressure until the heat was off; so may the time from the
    last good reading to heat-off. A reading below the requirement ends every stretch. At the edges of the period, where
    the canner was open or the weight just set, there is no pressure.
    """
    off = math.inf if period.heat_off_us is None else float(period.heat_off_us)
    start = period.start_us if period.earliest_us is None else period.earliest_us
    end = period.end_us
    if end is None and period.heat_off_us is not None and (not len(time_us) or off > time_us[-1]):
        end = period.heat_off_us
    if not len(time_us) and (start is None or end is None):
        return [_Chain(math.inf, frozenset(("no-readings",)), ())]
    endless = []
    if start is None and ok[0]:
        endless.append(_Chain(math.inf, frozenset(), ()))
    if end is None and ok[-1] and period.heat_off_us is None:
        endless.append(_Chain(math.inf, frozenset(("log-ended",)), ()))
    steps = _steps(time_us, ok, start, end, off, needs.gap_us)
    chain = _likeliest(steps, off, needs.required_us, "gap" if len(time_us) else "no-readings")
    return endless if chain is None else [chain, *endless]


def _steps(time_us: Whole, ok: Truth, start: int | None, end: int | None, off: float, gap_us: int) -> _Steps:
    before, after = [] if start is None else [start], [] if end is None else [end]
    times = np.concatenate((before, time_us, after)).astype(np.float64)  # microseconds since 1970 are exact in a float
    good = np.concatenate((np.zeros(len(before), np.bool_), ok, np.zeros(len(after), np.bool_)))
    since, until = times[:-1], times[1:]
    actual = good[:-1] & good[1:] & (until - since <= gap_us)
    silent = ~actual & (until - since > gap_us)
    to_heat_off = ~actual & ~silent & good[:-1] & (since <= off) & (off <= until)
    maybe = silent | to_heat_off
    reach = np.where(actual, until - since, 0.0)
    reach[maybe] = np.maximum(np.minimum(until[maybe], off) - since[maybe], 0.0)
    return _Steps(since, until, good, actual, maybe, reach)


def _likeliest(steps: _Steps, off: float, required_us: int, lacking: str) -> _Chain | None:
    """Join the steps to stretches. Of several that are long enough it is the one with most readings at pressure, and
    then the longest; None where there is none."""
    since, until, good, actual, maybe, reach = steps
    linked = reach > 0
    begins = linked.copy()
    begins[1:] &= ~linked[:-1] | ~good[1:-1] | (~actual[:-1] & (off < until[:-1]))
    first = np.flatnonzero(begins)
    if not len(first):
        return None
    lengths = np.add.reduceat(reach, first)
    seen = np.add.reduceat(good[:-1] & linked, first)
    best = int(np.lexsort((lengths, seen * (lengths >= required_us), lengths >= required_us))[-1])
    begin, stop = int(first[best]), int(first[best + 1]) if best + 1 < len(first) else len(reach)
    inside = np.flatnonzero(linked[begin:stop]) + begin
    gaps = tuple(Span(int(since[i]), int(min(until[i], off))) for i in inside[maybe[inside]].tolist())
    readings = int(np.count_nonzero(good[begin : int(inside[-1]) + 2]))
    return _Chain(float(lengths[best]), frozenset((lacking,) if gaps else ()), gaps, readings)


# the verdict


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


def _short(holds: Sequence[_Hold], needs: Needs, *, dipped: bool, any_readings: bool) -> Judged:
    if not holds:
        return Judged(SHORT, ("pressure-not-reached" if any_readings else "no-readings",))
    period, hold = holds[0]
    enough = hold.us >= needs.required_us
    reasons = [] if enough else ["hold-short", *(["dip"] if dipped else [])]
    if period.vented == "short" or (enough and period.vented == "unrecorded"):
        reasons.append("vent-short")
    elif period.vented != "shown":
        reasons.append(f"vent-{period.vented}")
    return Judged(SHORT, tuple(reasons), hold, period=period)
