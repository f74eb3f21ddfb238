"""Periods: a log cut where the canner was open to the air, and what each part tells of the venting before it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from stillroom.run.arrays import Truth, Whole
from stillroom.run.runlog import Event


class Stretch(NamedTuple):
    """A stretch of time in a log.

    Attributes
    ----------
    start_us, end_us : int
        Beginning and end, microseconds, on the clock of the log.
    """

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
    vent : Stretch or None
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
    vent: Stretch | None = None
    open: bool = False
    before: bool = False
    earliest_us: int | None = None
    heat_off_us: int | None = None
    pressed: int | None = None
    vented: str = "unrecorded"


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
    vent: Stretch | None = None
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
            start, vent, venting_from, heat_off, weight_on = at, Stretch(venting_from, at), None, None, True
        elif event.name == "weight-on" and not weight_on:
            close(at, open_=True)
            start, vent, heat_off, weight_on = at, None, None, True
        elif event.name == "restart":  # the clock begins again; what was vented stays vented
            close(at)
            start = at
        elif event.name == "lock-dropped":
            close(at)
            start, vent, venting_from, heat_off, weight_on = at, None, None, at, False
    close(None)
    return found


def with_venting(period: Period, time_us: Whole, pressing: Truth | None, vent_us: int) -> Period:
    """Say of a period what is known of the venting before it.

    Parameters
    ----------
    period : Period
    time_us : array of int64
        Times of the readings, microseconds.
    pressing : array of bool, optional
        Whether each reading shows more pressure than an open vent can.
    vent_us : int
        Venting that is needed, microseconds.
    """
    if period.vent is None:
        return period
    pressed = _pressed(period.vent, time_us, pressing)
    if period.vent.us < vent_us:
        return period._replace(pressed=pressed, vented="short")
    return period._replace(pressed=pressed, vented="shown" if pressed is None else "contradicted")


def _pressed(vent: Stretch, time_us: Whole, pressing: Truth | None) -> int | None:
    """First reading of a venting, its beginning and end among them, that shows pressure."""
    if pressing is None:
        return None
    low, high = int(np.searchsorted(time_us, vent.start_us)), int(np.searchsorted(time_us, vent.end_us, side="right"))
    found = np.flatnonzero(pressing[low:high])
    return low + int(found[0]) if len(found) else None
