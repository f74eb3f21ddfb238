"""Log when: the time of every row of a log, from whichever columns tell it, and the rows that have none.

A printed sheet that is typed in has lines that were never filled in. A line without a time and without a reading is
passed over, but for an event that takes something away (:data:`stillroom.run.log_names.STOPS`): when the boiling
stopped must be known.
"""

from __future__ import annotations

import itertools
from typing import NamedTuple

import numpy as np

from stillroom.answers import wording
from stillroom.errors import BadInput
from stillroom.run import log_daytime, log_minutes, log_names
from stillroom.run.arrays import Truth, Whole
from stillroom.run.log_about import AboutLog
from stillroom.run.log_cells import Cells
from stillroom.run.log_minutes import Counted
from stillroom.run.log_names import COUNTED, EVENT, EVENTS, NOTE, READINGS, RESTART, SAID, STOPS, TIME
from stillroom.run.log_times import Clock, Times, wall_times

MOST_EVENTS = 1_000


class When(NamedTuple):
    """The rows that have a time.

    Attributes
    ----------
    cells : Cells
        Without the rows that have none.
    time_us : array of int64, shape (rows,)
        Microseconds, never falling.
    clock : Clock
    again : array of int64
        Rows at which the minutes of a sheet begin again at 0.
    """

    cells: Cells
    time_us: Whole
    clock: Clock
    again: Whole


def when(cells: Cells, about: AboutLog) -> When:
    """Read the times of a log.

    Parameters
    ----------
    cells : Cells
    about : AboutLog
        The day of times that have no date.

    Raises
    ------
    BadInput
        A row with a reading and no time, a cell that is no time, times of two sorts, or times that go backwards; names
        file and line.
    """
    cells = _with_times(cells)
    count = _count_of(cells)
    if count is None:
        found = _by_clock(cells, about)
        again = np.empty(0, np.int64)
    elif TIME not in cells.columns:
        read = log_minutes.counted(cells, count)
        found, again = Times(log_minutes.running_on(read), Clock("minute")), read.again
    else:
        read = log_minutes.counted(cells, count)
        found, again = _beside(cells, read, count, about), read.again
    _in_order(cells, found)
    return When(cells, found.time_us, found.clock, again)


def _count_of(cells: Cells) -> str | None:
    return next((name for name in COUNTED if name in cells.columns), None)


def event_of(cells: Cells, row: int) -> str:
    """Read the event of a row.

    Raises
    ------
    BadInput
        It is none that is known; names file and line.
    """
    written = cells.text(EVENT, row)
    name = log_names.folded(written)
    if name not in EVENTS:
        raise cells.refuse(row, f'event "{written}" is unknown: events are {wording.listed(EVENTS)}')
    return name


# rows without a time


def _with_times(cells: Cells) -> Cells:
    """Leave out the rows that have no time, once it is seen that they tell nothing."""
    timed, count = cells.filled(TIME), _count_of(cells)
    if TIME in cells.columns and count is not None:
        counted = cells.filled(count)
        written = counted & _told(cells, (*READINGS, *SAID, EVENT, NOTE))  # a minute alone was printed there
        if not counted.any():
            cells = cells.without(count)
        elif not timed.any():
            cells, timed = cells.without(TIME), written
        else:
            timed |= written
    elif count is not None:
        timed = cells.filled(count)
    if timed.all():
        return cells
    lost = ~timed
    readings = np.flatnonzero(lost & _told(cells, (*READINGS, *SAID)))
    if len(readings):
        column = TIME if TIME in cells.columns else str(_count_of(cells))
        advice = "like 2026-08-15T10:24 or 10:24" if column == TIME else f"{column}s since the start, like 12.5"
        raise cells.refuse(int(readings[0]), f"{column} is empty: write {advice}")
    _no_stops(cells, np.flatnonzero(lost & cells.filled(EVENT)))
    if not timed.any():
        raise BadInput(f"{cells.shown}: no row is filled in with a time: nothing to judge")
    return cells.only(timed)


def _told(cells: Cells, columns: tuple[str, ...]) -> Truth:
    told = np.zeros(len(cells.lines), np.bool_)
    for name in columns:
        if name in cells.columns:
            told |= cells.filled(name)
    return told


def _no_stops(cells: Cells, rows: Whole) -> None:
    """See that no event without a time takes something away; a start over may be told by the 0 that follows it."""
    if len(rows) > MOST_EVENTS:
        raise cells.refuse(int(rows[MOST_EVENTS]), f"more than {MOST_EVENTS:,} events: name each event once")
    for row in rows.tolist():
        name = event_of(cells, row)
        if name in STOPS and not (name == RESTART and _begins_again(cells, row + 1)):
            raise cells.refuse(row, f'event "{name}" has no time: write when it was')


def _begins_again(cells: Cells, row: int) -> bool:
    """Tell whether the next row that counts is a 0."""
    count = _count_of(cells)
    if count is None:
        return False
    after = np.flatnonzero(cells.filled(count)[row : row + MOST_EVENTS])
    text = cells.text(count, row + int(after[0])) if len(after) else ""
    return bool(text) and not text.strip("0.")


# columns


def _by_clock(cells: Cells, about: AboutLog) -> Times:
    if log_daytime.looks_like(cells.text(TIME, 0)):
        return Times(log_daytime.daytimes(cells, about.day), Clock("naive"))
    return wall_times(cells)


def _beside(cells: Cells, count: Counted, column: str, about: AboutLog) -> Times:
    """Times by the clock, and where a row has none, by its minutes from the row that ties them to the clock."""
    clocked = cells.filled(TIME)
    read = _by_clock(cells.only(clocked), about)
    if clocked.all():
        return read
    time_us = np.zeros(len(clocked), np.int64)
    time_us[clocked] = read.time_us
    edges = [0, *count.again.tolist(), len(clocked)]
    for first, last in itertools.pairwise(edges):
        rows = first + np.flatnonzero(count.told[first:last] & ~clocked[first:last])
        ties = first + np.flatnonzero(count.told[first:last] & clocked[first:last])
        if not len(rows):
            continue
        if len(ties):
            tie = ties[np.maximum(np.searchsorted(ties, rows) - 1, 0)]
            time_us[rows] = time_us[tie] + count.time_us[rows] - count.time_us[tie]
        elif first:
            time_us[rows] = time_us[first - 1] + log_minutes.AFTER_US + count.time_us[rows]
        else:
            row = int(rows[0])
            said = f"{column} {cells.text(column, row)} has no time beside it, nor has another {column}"
            raise cells.refuse(row, f"{said}: write the time of one of them")
    return Times(time_us, read.clock)


def _in_order(cells: Cells, found: Times) -> None:
    back = np.flatnonzero(np.diff(found.time_us) < 0)
    if not len(back):
        return
    row = int(back[0]) + 1
    before, after = (cells.text(TIME, at) if TIME in cells.columns else "" for at in (row - 1, row))
    show = found.clock.show
    told = f"time goes back from {before or show(int(found.time_us[row - 1]))}"
    told += f" to {after or show(int(found.time_us[row]))}"
    advice = "put the rows in order"
    if found.clock.kind == "naive" and log_daytime.looks_like(before or after):
        advice += "; write an hour after noon like 13:05 or 1:05 pm"
    elif found.clock.kind == "naive":
        advice += "; if the clocks were changed, write the zone too, like 2026-11-01T01:30-05:00"
    raise cells.refuse(row, f"{told}: {advice}")
