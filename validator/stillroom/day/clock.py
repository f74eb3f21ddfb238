"""Clock: stretches of minutes, added and told as times of day."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import NamedTuple

from stillroom.errors import BadInput

HOUR = 60
DAY = 24 * HOUR
_TIME = re.compile(r"([0-9]{1,2})(?::([0-9]{2}))?\s*(?:([ap])\.?m\.?)?", re.IGNORECASE)


class Span(NamedTuple):
    """A stretch of time that is known as a range.

    Attributes
    ----------
    from_min, to_min : int
        The shortest or earliest, and the longest or latest, minutes.
    """

    from_min: int
    to_min: int

    def plus(self, other: Span) -> Span:
        """Add another stretch: shortest to shortest, longest to longest."""
        return Span(self.from_min + other.from_min, self.to_min + other.to_min)

    def __str__(self) -> str:
        if self.from_min == self.to_min:
            return f"{self.from_min} min"
        return f"{self.from_min} to {self.to_min} min"


def total(spans: Iterable[Span]) -> Span:
    """Add stretches that follow each other."""
    added = Span(0, 0)
    for span in spans:
        added = added.plus(span)
    return added


def minute_of_day(text: object) -> int:
    """Read a time of day.

    Parameters
    ----------
    text : str
        Like ``"08:00"``, ``"20:30"`` or ``"8:00 am"``.

    Returns
    -------
    int
        Minutes after midnight.

    Raises
    ------
    BadInput
        No such time.
    """
    if not isinstance(text, str):
        raise BadInput(f'start {text!r} is not text: write it like "08:00"')
    written = _TIME.fullmatch(text.strip()) if len(text) <= 20 else None
    if written is None or (written[2] is None and written[3] is None):
        raise BadInput(f'start "{text[:20]}" is not a time of day: write it like "08:00" or "8:00 am"')
    hour, minute, half = int(written[1]), int(written[2] or 0), (written[3] or "").lower()
    if minute >= HOUR or hour >= 24 or (half and not 1 <= hour <= 12):
        raise BadInput(f'start "{text[:20]}" is not on the clock: write it like "08:00" or "8:00 am"')
    if half:
        hour = hour % 12 + (12 if half == "p" else 0)
    return hour * HOUR + minute


def told(minute: int) -> str:
    """Tell a minute counted from the midnight before the start: ``08:05``, ``00:10 (+1 day)``."""
    days, rest = divmod(minute, DAY)
    later = "" if not days else f" (+{days} day{'s' if days > 1 else ''})"
    return f"{rest // HOUR:02}:{rest % HOUR:02}{later}"


def told_span(start_min: int | None, span: Span) -> str:
    """Tell when a stretch of the day is over: times of day, or hours and minutes where no start was said."""
    if start_min is None:
        low, high = _counted(span.from_min), _counted(span.to_min)
    else:
        low, high = told(start_min + span.from_min), told(start_min + span.to_min)
    return low if low == high else f"{low} to {high}"


def long(span: Span) -> str:
    """Tell a long stretch in hours and minutes: ``3 h 51 min to 6 h``."""
    low, high = _hours(span.from_min), _hours(span.to_min)
    return low if low == high else f"{low} to {high}"


def _counted(minutes: int) -> str:
    return f"{minutes // HOUR}:{minutes % HOUR:02}"


def _hours(minutes: int) -> str:
    hours, rest = divmod(minutes, HOUR)
    return " ".join(
        part for part in (f"{hours} h" if hours else "", f"{rest} min" if rest or not hours else "") if part
    )
