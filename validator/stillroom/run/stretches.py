"""Stretches: what a part of a log shows at pressure without a break, and what could have been so."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from stillroom.run.arrays import Real, Truth, Whole
from stillroom.run.periods import Period, Stretch


class Chain(NamedTuple):
    """A stretch that could have been at pressure, as far as the log can tell; ``inf`` where it has no known end."""

    us: float
    missing: frozenset[str]
    gaps: tuple[Stretch, ...]
    readings: int = 0


def longest(time_us: Whole, ok: Truth, max_gap_us: int, off_us: int | None = None) -> tuple[Stretch | None, int]:
    """Longest unbroken stretch at pressure (the first of equals), and the time of all of them, microseconds.

    Nothing counts after ``off_us``, when the heat was off; a stretch that reaches beyond it ends there.
    """
    if off_us is not None:
        ok = ok & (time_us <= time_us[np.searchsorted(time_us, off_us) :][:1].max(initial=off_us))
    if not ok.any():
        return None, 0
    linked = ok[:-1] & ok[1:] & (np.diff(time_us) <= max_gap_us)
    starts = time_us[ok & np.concatenate(([True], ~linked))]
    ends = time_us[ok & np.concatenate((~linked, [True]))]
    if off_us is not None:
        starts, ends = np.minimum(starts, off_us), np.minimum(ends, off_us)
    best = int(np.argmax(ends - starts))
    return Stretch(int(starts[best]), int(ends[best])), int((ends - starts).sum())


def dips(ok: Truth) -> list[tuple[int, int]]:
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


def chains(period: Period, time_us: Whole, ok: Truth, required_us: int, gap_us: int) -> list[Chain]:
    """Find the stretch of a period that could have been at pressure, and those that reach out of the log.

    A silence longer than the allowed gap may have been at pressure until the heat was off; so may the time from the
    last good reading to heat-off. A reading below the requirement ends every stretch. At the edges of the period, where
    the canner was open or the weight just set, there is no pressure.

    Parameters
    ----------
    period : Period
    time_us : array of int64
        Times of its readings from where they can count, microseconds.
    ok : array of bool
        Whether each is at pressure.
    required_us, gap_us : int
        Process time, and longest time between two readings of an unbroken stretch, microseconds.
    """
    off = math.inf if period.heat_off_us is None else float(period.heat_off_us)
    start = period.start_us if period.earliest_us is None else period.earliest_us
    end = period.end_us
    if end is None and period.heat_off_us is not None and (not len(time_us) or off > time_us[-1]):
        end = period.heat_off_us
    if not len(time_us) and (start is None or end is None):
        return [Chain(math.inf, frozenset(("no-readings",)), ())]
    endless = []
    if start is None and ok[0]:
        endless.append(Chain(math.inf, frozenset(), ()))
    if end is None and ok[-1] and period.heat_off_us is None:
        endless.append(Chain(math.inf, frozenset(("log-ended",)), ()))
    ended = math.inf if period.off_us is None else float(period.off_us)
    steps = _steps(time_us, ok, (start, end), (off, ended), gap_us)
    chain = _likeliest(steps, off, required_us, "gap" if len(time_us) else "no-readings")
    return endless if chain is None else [chain, *endless]


def _steps(
    time_us: Whole, ok: Truth, edges: tuple[int | None, int | None], heat: tuple[float, float], gap_us: int
) -> _Steps:
    """Cut a period into steps. ``heat``: when it is known to be off, and when it was turned off in this period."""
    (start, end), (off, ended) = edges, heat
    before, after = [] if start is None else [start], [] if end is None else [end]
    times = np.concatenate((before, time_us, after)).astype(np.float64)  # microseconds since 1970 are exact in a float
    good = np.concatenate((np.zeros(len(before), np.bool_), ok, np.zeros(len(after), np.bool_)))
    since, until = times[:-1], times[1:]
    actual = good[:-1] & good[1:] & (until - since <= gap_us)
    silent = ~actual & (until - since > gap_us)
    to_heat_off = ~actual & ~silent & good[:-1] & (since <= off) & (off <= until)
    maybe = silent | to_heat_off
    reach = np.where(actual, np.maximum(np.minimum(until, ended) - since, 0.0), 0.0)
    reach[maybe] = np.maximum(np.minimum(until[maybe], off) - since[maybe], 0.0)
    return _Steps(since, until, good, actual, maybe, reach)


def _likeliest(steps: _Steps, off: float, required_us: int, lacking: str) -> Chain | None:
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
    gaps = tuple(Stretch(int(since[i]), int(min(until[i], off))) for i in inside[maybe[inside]].tolist())
    readings = int(np.count_nonzero(good[begin : int(inside[-1]) + 2]))
    return Chain(float(lengths[best]), frozenset((lacking,) if gaps else ()), gaps, readings)
