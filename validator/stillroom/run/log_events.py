"""Log events: what happened to the canner, from the log, from yes and no on a sheet, and from the record."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta, timezone
from typing import NamedTuple

import numpy as np

from stillroom import screen
from stillroom.errors import BadInput
from stillroom.run import log_daytime
from stillroom.run.arrays import Whole
from stillroom.run.log_about import AboutLog
from stillroom.run.log_daytime import DAY
from stillroom.run.log_names import EVENT, NO, RESTART, SAID, YES
from stillroom.run.log_times import MINUTE, Clock
from stillroom.run.log_when import MOST_EVENTS, When, event_of

_MINUTE = re.compile(r"(-?[0-9]{1,6}(?:\.[0-9]{1,6})?)(?: ?(?:min|minutes?))?")
_ANEW = ("vent-start", "weight-on", "lock-dropped", RESTART)
"""Events after which an answer of before holds no longer."""
_ADVICE = 'write it like "9:15", or the minute where the log counts minutes'


class Event(NamedTuple):
    """Something the canner did.

    Attributes
    ----------
    name : str
        An event of the log, like ``vent-start`` or ``heat-off``.
    time_us : int
        When, microseconds, on the clock of the log.
    """

    name: str
    time_us: int


class _Told(NamedTuple):
    """An event with its place: by time, then by row, then by what is told first within a row."""

    time_us: int
    row: int
    rank: int
    name: str


def events(found: When, about: AboutLog) -> tuple[Event, ...]:
    """Gather the events of a log, in time order.

    Parameters
    ----------
    found : When
        The log and its times.
    about : AboutLog
        Events that the record tells.

    Raises
    ------
    BadInput
        An event that is unknown, a time that is none, an answer that is neither yes nor no, or too many events; names
        file and line.
    """
    told = sorted((*_written(found), *_of_record(found, about)))
    told = sorted((*told, *_started_over(found, told)))
    told = sorted((*told, *_answered(found, told)))
    if len(told) > MOST_EVENTS:
        at = min(max(told[MOST_EVENTS].row, 0), len(found.time_us) - 1)
        raise found.cells.refuse(at, f"more than {MOST_EVENTS:,} events: name each event once")
    return tuple(Event(one.name, one.time_us) for one in told)


def _written(found: When) -> Iterator[_Told]:
    rows = np.flatnonzero(found.cells.filled(EVENT))
    if len(rows) > MOST_EVENTS:
        raise found.cells.refuse(int(rows[MOST_EVENTS]), f"more than {MOST_EVENTS:,} events: name each event once")
    for row in rows.tolist():
        yield _Told(int(found.time_us[row]), row, 1, event_of(found.cells, row))


def _started_over(found: When, told: list[_Told]) -> Iterator[_Told]:
    """A sheet whose minutes begin again at 0 was started over, be it written or not."""
    starts = [one.time_us for one in told if one.name == RESTART]
    for row in found.again.tolist():
        now = int(found.time_us[row])
        at = bisect_left(starts, int(found.time_us[row - 1]))
        if at == len(starts) or starts[at] > now:
            yield _Told(now, row, 0, RESTART)


def _answered(found: When, told: list[_Told]) -> Iterator[_Told]:
    """Turn the answers of a sheet into events: the first, and each change. After a start over, or where the canner was
    open, they are told anew."""
    cells = found.cells
    for column, (yes, no) in SAID.items():
        events = iter([one for one in told if one.name in (yes, no, *_ANEW)])
        coming = next(events, None)
        state, count = "", 0
        for row in np.flatnonzero(cells.filled(column)).tolist():
            answer = cells.text(column, row).casefold()
            if answer not in YES and answer not in NO:
                raise cells.refuse(row, f'{column} "{cells.text(column, row)}" is neither yes nor no')
            place = _Told(int(found.time_us[row]), row, 2, yes if answer in YES else no)
            while coming is not None and coming < place:
                state, coming = "" if coming.name in _ANEW else coming.name, next(events, None)
            if place.name != state:
                state, count = place.name, count + 1
                if count > MOST_EVENTS:
                    raise cells.refuse(row, f"more than {MOST_EVENTS:,} changes of {column}")
                yield place


# of the record


def _of_record(found: When, about: AboutLog) -> Iterator[_Told]:
    for rank, (name, written) in enumerate(about.events):
        yield _Told(_time_us(name, written, found, about), len(found.time_us), rank, name)


def _time_us(name: str, written: str, found: When, about: AboutLog) -> int:
    told = f'{about.shown}: events.{name} "{screen.shown(written)}"'
    counted, of_day = _MINUTE.fullmatch(written), log_daytime.of_day_us(written)
    moment = None if counted or of_day is not None else _moment(written)
    if counted is None and of_day is None and moment is None:
        raise BadInput(f"{told} is no time: {_ADVICE}")
    if (counted is not None) != (found.clock.kind == "minute"):
        tells = "counts minutes" if found.clock.kind == "minute" else "has times of the clock"
        raise BadInput(f"{told} does not fit its log, which {tells}: {_ADVICE}")
    if counted is not None:
        return round(float(counted[1]) * MINUTE)
    if of_day is not None:
        return _nearest(of_day, found.time_us, found.clock, told)
    assert moment is not None
    zone = timezone(timedelta(minutes=found.clock.offset_min)) if found.clock.kind == "zone" else UTC
    if moment.tzinfo is not None and found.clock.kind == "naive":
        raise BadInput(f"{told} has a zone where its log has none: write both alike")
    moment = moment if moment.tzinfo is not None else moment.replace(tzinfo=zone)
    return (moment - datetime(1970, 1, 1, tzinfo=UTC)) // timedelta(microseconds=1)


def _moment(written: str) -> datetime | None:
    try:
        found = datetime.fromisoformat(written)
    except ValueError:
        return None
    return found if 1900 <= found.year <= 2200 and ":" in written else None


def _nearest(of_day_us: int, time_us: Whole, clock: Clock, told: str) -> int:
    """Give a time of day its day: the one on which it lies in the log, else the one on which it is nearest to it."""
    east = clock.offset_min * MINUTE
    first, last = int(time_us[0]), int(time_us[-1])
    day = (first + east) // DAY * DAY - DAY
    ways = [day + number * DAY + of_day_us - east for number in range((last - first) // DAY + 4)]
    inside = [way for way in ways if first <= way <= last]
    if len(inside) > 1:
        raise BadInput(f"{told} is on several days of its log: write it with its day, like 2026-08-15T10:24")
    return inside[0] if inside else min(ways, key=lambda way: max(first - way, way - last))
