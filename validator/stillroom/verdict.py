"""Verdict: did a run get its schedule? The rules, on arrays; nothing here reads files or prints.

A run is *delivered* when ten minutes of venting are shown (page 1-20) and then one unbroken stretch of at least the
required minutes, in which every reading is at or above the requirement and no two readings are further apart than the
allowed gap. A dip starts the clock again from zero (page 1-22); time is never added across one. Where the log cannot
show the schedule but the missing evidence could have, the run is *unproven*; else it is *short*.

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

from stillroom.arrays import Truth, Whole
from stillroom.log_times import MINUTE
from stillroom.runlog import Event

VENT_US = 10 * MINUTE
"""Venting before the weight goes on, microseconds (page 1-20)."""

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
    "gauge-replace": "the gauge is off by more than 2 psi and must be replaced",
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
    """

    start_us: int | None
    end_us: int | None
    vent: Span | None = None
    open: bool = False
    before: bool = False
    earliest_us: int | None = None
    heat_off_us: int | None = None
    pressed: int | None = None

    @property
    def vented(self) -> str:
        """``shown``, ``short``, ``contradicted`` or ``unrecorded``."""
        if self.vent is None:
            return "unrecorded"
        if self.vent.us < VENT_US:
            return "short"
        return "shown" if self.pressed is None else "contradicted"


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


def allowed_gap_us(required_us: int, max_gap_us: int) -> int:
    """Longest time between two readings of an unbroken stretch, microseconds: never more than half the process, so that
    no stretch counts on fewer than :data:`FEWEST_READINGS` (the project's own, no source)."""
    return min(max_gap_us, required_us // (FEWEST_READINGS - 1))


def judge(
    time_us: Whole,
    at_pressure: Truth,
    events: Sequence[Event],
    required_us: int,
    max_gap_us: int,
    pressing: Truth | None = None,
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
    required_us : int
        Process time, microseconds.
    max_gap_us : int
        Longest time between two readings of an unbroken stretch, microseconds; see :func:`allowed_gap_us`.
    pressing : array of bool, shape (n,), optional
        Whether each reading shows more than an open vent can; none by default.
    """
    gap_us = allowed_gap_us(required_us, max_gap_us)
    cuts = [period._replace(pressed=_pressed(period.vent, time_us, pressing)) for period in periods(events)]
    holds: list[tuple[Period, Span]] = []
    chains: list[tuple[Period, _Chain]] = []
    dips: list[tuple[int, int]] = []
    at_pressure_us = 0
    for period in cuts:
        low = 0 if period.start_us is None else int(np.searchsorted(time_us, period.start_us))
        high = len(time_us) if period.end_us is None else int(np.searchsorted(time_us, period.end_us))
        part, ok = time_us[low:high], at_pressure[low:high]
        if period.open or (period.before and not ok.any()):
            continue
        longest, total = _longest(part, ok, gap_us)
        at_pressure_us += total
        if longest is not None:
            holds.append((period, longest))
        dips += [(low + first, low + last) for first, last in _dips(ok)]
        if period.earliest_us is not None:
            late = int(np.searchsorted(part, period.earliest_us))
            part, ok = part[late:], ok[late:]
            longest, _ = _longest(part, ok, gap_us)
        chains += [(period, chain) for chain in _chains(period, part, ok, gap_us, required_us)]
        if longest is not None:
            chains.append((period, _Chain(longest.us, frozenset(), ())))
    holds.sort(key=lambda item: -item[1].us)
    judged = (
        _delivered(holds, required_us)
        or _unproven(holds, chains, required_us, max_gap_us)
        or _short(holds, bool(dips), bool(len(time_us)), required_us)
    )
    last = next((period for period in reversed(cuts) if period.vent is not None), None)
    chosen = judged.period or last
    told = chosen if chosen is not None and chosen.vent is not None else last
    vent, pressed = (None, None) if told is None else (told.vent, told.pressed)
    return replace(judged, vent=vent, pressed=pressed, period=chosen, dips=tuple(dips), at_pressure_us=at_pressure_us)


def _pressed(vent: Span | None, time_us: Whole, pressing: Truth | None) -> int | None:
    """First reading of a venting, its beginning and end among them, that shows pressure."""
    if vent is None or pressing is None:
        return None
    low, high = int(np.searchsorted(time_us, vent.start_us)), int(np.searchsorted(time_us, vent.end_us, side="right"))
    found = np.flatnonzero(pressing[low:high])
    return low + int(found[0]) if len(found) else None


def periods(events: Sequence[Event]) -> list[Period]:
    """Cut the log into periods. A ``weight-on`` without a venting before it cuts too, the first time."""
    found: list[Period] = []
    start: int | None = None
    vent: Span | None = None
    venting_from: int | None = None
    heat_off: int | None = None
    weight_on = False

    def close(end: int | None, open_: bool = False, before: bool = False) -> None:
        earliest = None if venting_from is None or open_ else venting_from + VENT_US
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


def _chains(period: Period, time_us: Whole, ok: Truth, max_gap_us: int, required_us: int) -> list[_Chain]:
    """Find the stretch of a period that could have been at pressure, and those that reach out of the log. Of several
    that are long enough it is the one with most readings at pressure, and then the longest.

    A silence longer than the allowed gap may have been at pressure until the heat was off; so may the time from the
    last good reading to heat-off. A reading below the requirement ends every stretch. At the edges of the period, where
    the canner was open or the weight just set, there is no pressure.
    """
    off = math.inf if period.heat_off_us is None else float(period.heat_off_us)
    start = period.start_us if period.earliest_us is None else period.earliest_us
    end = period.end_us
    if end is None and (not len(time_us) or off > time_us[-1]) and period.heat_off_us is not None:
        end = period.heat_off_us
    before, after = [] if start is None else [start], [] if end is None else [end]
    times = np.concatenate((before, time_us, after)).astype(np.float64)  # microseconds since 1970 are exact in a float
    good = np.concatenate((np.zeros(len(before), np.bool_), ok, np.zeros(len(after), np.bool_)))
    endless = []
    if not len(time_us) and (start is None or end is None):
        return [_Chain(math.inf, frozenset(("no-readings",)), ())]
    if start is None and good[0]:
        endless.append(_Chain(math.inf, frozenset(), ()))
    if end is None and good[-1] and period.heat_off_us is None:
        endless.append(_Chain(math.inf, frozenset(("log-ended",)), ()))
    if len(times) < 2:
        return endless
    since, until = times[:-1], times[1:]
    actual = good[:-1] & good[1:] & (until - since <= max_gap_us)
    silent = ~actual & (until - since > max_gap_us)
    to_heat_off = ~actual & ~silent & good[:-1] & (since <= off) & (off <= until)
    reach = np.where(actual, until - since, 0.0)
    maybe = silent | to_heat_off
    reach[maybe] = np.maximum(np.minimum(until[maybe], off) - since[maybe], 0.0)
    linked = reach > 0
    begins = linked.copy()
    begins[1:] &= ~linked[:-1] | ~good[1:-1] | (~actual[:-1] & (off < until[:-1]))
    first = np.flatnonzero(begins)
    if not len(first):
        return endless
    lengths = np.add.reduceat(reach, first)
    seen = np.add.reduceat(good[:-1] & linked, first)
    best = int(np.lexsort((lengths, seen * (lengths >= required_us), lengths >= required_us))[-1])
    stop = int(first[best + 1]) if best + 1 < len(first) else len(reach)
    inside = np.flatnonzero(maybe[first[best] : stop] & linked[first[best] : stop]) + first[best]
    gaps = tuple(Span(int(since[i]), int(min(until[i], off))) for i in inside.tolist())
    missing = ("gap" if len(time_us) else "no-readings",) if gaps else ()
    last = int(first[best] + np.flatnonzero(linked[first[best] : stop])[-1]) + 2
    readings = int(np.count_nonzero(good[first[best] : last]))
    return [_Chain(float(lengths[best]), frozenset(missing), gaps, readings), *endless]


# the verdict


def _delivered(holds: list[tuple[Period, Span]], required_us: int) -> Judged | None:
    for period, hold in holds:
        if period.vented == "shown" and hold.us >= required_us:
            return Judged(DELIVERED, ("vented", "held"), hold, period=period)
    return None


def _unproven(
    holds: list[tuple[Period, Span]], chains: list[tuple[Period, _Chain]], required_us: int, max_gap_us: int
) -> Judged | None:
    """Unproven, if what is missing could have made it delivered: the case in which least is missing."""
    possible = [(period, chain) for period, chain in chains if period.vented != "short" and chain.us >= required_us]
    if not possible:
        return None
    period, chain = min(possible, key=lambda item: (len(item[1].missing) + (item[0].vented != "shown"), -item[1].us))
    reasons = [] if period.vented == "shown" else [f"vent-{period.vented}"]
    missing = set(chain.missing)
    if missing == {"gap"} and 0 < chain.readings < FEWEST_READINGS and all(gap.us <= max_gap_us for gap in chain.gaps):
        missing = {"few-readings"}  # close enough for a longer process
    hold = holds[0][1] if holds else None
    return Judged(UNPROVEN, (*reasons, *sorted(missing)), hold, period=period, gaps=chain.gaps)


def _short(holds: list[tuple[Period, Span]], dipped: bool, any_readings: bool, required_us: int) -> Judged:
    if not holds:
        return Judged(SHORT, ("pressure-not-reached" if any_readings else "no-readings",))
    period, hold = holds[0]
    enough = hold.us >= required_us
    reasons = [] if enough else ["hold-short", *(["dip"] if dipped else [])]
    if period.vented == "short" or (enough and period.vented == "unrecorded"):
        reasons.append("vent-short")
    elif period.vented != "shown":
        reasons.append(f"vent-{period.vented}")
    return Judged(SHORT, tuple(reasons), hold, period=period)
