"""Watched: what was seen and heard of a canner: a weight that rocks, water that boils, a full column of steam.

The publication takes the sound of a rocking weight as a sign that the pressure is kept (page 1-20), and an unbroken
boil as the process in boiling water (page 1-18). A stretch begins where the sign is noted and lasts until the heat is
off, the sign is said to have stopped, the time is begun anew or the canner is opened. What ends it otherwise than
heat-off tells only that the sign was gone by then: shown is the stretch up to the last time at which it was noted
again, or at which a reading agrees with it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Final, NamedTuple

import numpy as np

from stillroom.run.arrays import Truth, Whole
from stillroom.run.periods import Period, Stretch, periods, with_venting
from stillroom.run.runlog import Event
from stillroom.run.verdict import DELIVERED, SHORT, UNPROVEN, Judged, Needs


class Sign(NamedTuple):
    """The sign of a canner, and the codes of what is said of it.

    Attributes
    ----------
    on, off : str
        Events: it is there, and it is there no more.
    stopped, unrecorded, contradicted : str
        Reasons: it stopped, it was never noted, readings say otherwise.
    """

    on: str
    off: str
    stopped: str
    unrecorded: str
    contradicted: str


def _sign(on: str, off: str, name: str) -> Sign:
    return Sign(on, off, f"{name}-stopped", f"{name}-unrecorded", f"{name}-contradicted")


SIGNS: Final[Mapping[str, Sign]] = {
    "weighted": _sign("rocking", "not-rocking", "rocking"),
    "boiling-water": _sign("boil", "boil-stopped", "boil"),
    "steam": _sign("steam-full", "steam-stopped", "steam"),
}
"""The sign of each canner that is judged by one."""
_OPENS = ("vent-start", "weight-on", "lock-dropped")
"""Events after which a pressure canner is open, or was."""
_HEAT_OFF, _RESTART, _LOG_ENDED = "heat-off", "restart", ""


class Shown(NamedTuple):
    """One stretch with the sign of the canner.

    Attributes
    ----------
    start_us, shown_us : int
        Where it begins, and the last time at which it is shown, microseconds.
    until_us : float
        The last time at which it may have been there, microseconds; infinite where the log ends.
    ended : str
        What ended it: an event, or blank where the log ended.
    against_us : int or None
        First reading that contradicts it.
    period : Period
        The part of the log it lies in.
    """

    start_us: int
    shown_us: int
    until_us: float
    ended: str
    against_us: int | None
    period: Period

    @property
    def us(self) -> int:
        """Length that is shown, microseconds."""
        return max(self.shown_us - self.start_us, 0)

    @property
    def possible_us(self) -> float:
        """Length that it may have had, microseconds."""
        return max(self.until_us - self.start_us, 0.0)


class Readings(NamedTuple):
    """Times of readings, microseconds, and whether each agrees with the sign or contradicts it; it may do neither."""

    time_us: Whole
    agree: Truth
    against: Truth


def judge(
    readings: Readings, events: Sequence[Event], needs: Needs, sign: Sign, pressing: Truth | None = None
) -> Judged:
    """Judge one run by the sign of its canner.

    Parameters
    ----------
    readings : Readings
    events : sequence of Event
        In time order.
    needs : Needs
        Lengths of time; no venting is asked for where ``vent_us`` is 0.
    sign : Sign
    pressing : array of bool, optional
        Whether each reading shows more pressure than an open vent can.
    """
    cuts = _cuts(events, readings.time_us, needs, pressing)
    found = _stretches(events, readings, cuts, sign, vented=needs.vent_us > 0)
    shown = [each for each in found if not each.period.open]  # no weight rocks on an open vent, whatever is noted
    judged = _delivered(shown, needs) or _unproven(shown, cuts, needs, sign) or _short(shown, cuts, events, needs, sign)
    period = judged.period
    return replace(
        judged,
        vent=None if period is None else period.vent,
        pressed=None if period is None else period.pressed,
        at_pressure_us=sum(each.us for each in shown),
        stops=tuple(event.time_us for event in events if event.name == sign.off),
        against_us=next((each.against_us for each in shown if each.against_us is not None), None),
    )


def _cuts(events: Sequence[Event], time_us: Whole, needs: Needs, pressing: Truth | None) -> list[Period]:
    if not needs.vent_us:
        return [Period(None, None, vented="shown")]
    return [with_venting(cut, time_us, pressing, needs.vent_us) for cut in periods(events, needs.vent_us)]


def _stretches(
    events: Sequence[Event], readings: Readings, cuts: Sequence[Period], sign: Sign, *, vented: bool
) -> Iterator[Shown]:
    """Find the stretches with the sign. Where the time is begun anew with the sign there, a new one begins; so does one
    where the sign is noted again after a reading that contradicts it."""
    ends = (sign.off, _HEAT_OFF, _RESTART, *(_OPENS if vented else ()))
    noted: list[int] = []
    for event in [*events, None]:
        if event is not None and event.name == sign.on:
            noted.append(event.time_us)
        elif event is None or event.name in ends:
            last = None
            while noted:
                last = _shown(noted, event, readings, cuts)
                yield last
                noted = [] if last.against_us is None else [at for at in noted if at >= last.against_us]
            if event is not None and event.name == _RESTART and last is not None and last.against_us is None:
                noted = [event.time_us]


def _shown(noted: Sequence[int], end: Event | None, readings: Readings, cuts: Sequence[Period]) -> Shown:
    start, until = noted[0], math.inf if end is None else float(end.time_us)
    period = next(cut for cut in reversed(cuts) if cut.start_us is None or cut.start_us <= start)
    first, last = (
        np.searchsorted(readings.time_us, start, side="right"),
        np.searchsorted(readings.time_us, until, "right"),
    )
    time_us, agree, against = (each[first:last] for each in readings)
    wrong = np.flatnonzero(against)
    against_us = int(time_us[wrong[0]]) if len(wrong) else None
    limit = until if against_us is None else against_us
    before = noted if against_us is None else [at for at in noted if at < against_us]
    marks = [*before, start, *time_us[agree & (time_us < limit)][-1:].tolist()]
    ended = _LOG_ENDED if end is None else end.name
    if ended == _HEAT_OFF and against_us is None:
        marks.append(int(until))
    if ended == _RESTART:  # whoever began anew did not hold this time for enough
        until = float(max(marks))
    begins = start if period.earliest_us is None else max(start, period.earliest_us)
    return Shown(begins, max(marks), until, ended, against_us, period)


def _delivered(shown: Sequence[Shown], needs: Needs) -> Judged | None:
    for each in shown:
        if each.period.vented == "shown" and each.us >= needs.required_us:
            reasons = ("vented", "held") if needs.vent_us else ("held",)
            return Judged(DELIVERED, reasons, Stretch(each.start_us, each.shown_us), period=each.period)
    return None


def _unproven(shown: Sequence[Shown], cuts: Sequence[Period], needs: Needs, sign: Sign) -> Judged | None:
    """Unproven, if what is missing could have made it delivered: the case in which least is missing."""
    if not shown:
        period = next((cut for cut in reversed(cuts) if cut.vented == "shown"), cuts[-1])
        if all(cut.vented == "short" for cut in cuts if cut.vent is not None) and any(cut.vent for cut in cuts):
            return None
        return Judged(UNPROVEN, (*_venting(period), sign.unrecorded), period=period)
    possible = [each for each in shown if each.period.vented != "short" and each.possible_us >= needs.required_us]
    if not possible:
        return None
    likeliest = min(possible, key=lambda each: (len(_missing(each, needs, sign)), -each.us))
    hold = Stretch(likeliest.start_us, max(likeliest.start_us, likeliest.shown_us))
    return Judged(UNPROVEN, tuple(_missing(likeliest, needs, sign)), hold, period=likeliest.period)


def _missing(each: Shown, needs: Needs, sign: Sign) -> list[str]:
    """Say what is missing of a stretch."""
    missing = _venting(each.period)
    if each.us >= needs.required_us:
        return missing
    if each.against_us is not None:
        return [*missing, sign.contradicted]
    return [*missing, "log-ended" if each.ended == _LOG_ENDED else "heat-off-unrecorded"]


def _venting(period: Period) -> list[str]:
    return [] if period.vented == "shown" else [f"vent-{period.vented}"]


def _short(shown: Sequence[Shown], cuts: Sequence[Period], events: Sequence[Event], needs: Needs, sign: Sign) -> Judged:
    if not shown:
        return Judged(SHORT, ("vent-short",), period=next(cut for cut in reversed(cuts) if cut.vented == "short"))
    longest = max(shown, key=lambda each: each.us)
    enough = longest.us >= needs.required_us
    stopped = any(event.name in (sign.off, _RESTART) for event in events)
    reasons = [] if enough else ["hold-short", *([sign.stopped] if stopped else [])]
    reasons += _venting(longest.period)
    return Judged(
        SHORT, tuple(reasons), Stretch(longest.start_us, longest.start_us + longest.us), period=longest.period
    )
