"""Log minutes: times that a log counts itself, in minutes or seconds, and where the count began again."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from stillroom.run.arrays import Truth, Whole
from stillroom.run.log_cells import Cells
from stillroom.run.log_names import MINUTE
from stillroom.run.log_numbers import numbers
from stillroom.run.log_times import MINUTE as MINUTE_US
from stillroom.run.log_times import SECOND as SECOND_US

AFTER_US = 1
"""A start over comes this long after the row before it, microseconds: no time that could count, and what was read
before stays apart from what is read at the new 0."""
MOST_STARTS = 1_000
"""Most times that a count may begin again."""
_LAST_MINUTE = 100_000


class Counted(NamedTuple):
    """Counted times.

    Attributes
    ----------
    time_us : array of int64, shape (rows,)
        As counted, microseconds; 0 where nothing is written.
    told : array of bool, shape (rows,)
        Where something is.
    again : array of int64
        Rows at which the count began again at 0.
    """

    time_us: Whole
    told: Truth
    again: Whole


def counted(cells: Cells, column: str) -> Counted:
    """Read a column of minutes or seconds.

    After a start over a sheet counts from 0 again. Any other step back is a slip.

    Raises
    ------
    BadInput
        A cell that is no number, or a count that goes back to anything but 0; names file and line.
    """
    value = numbers(cells, column, column).value
    one_us = MINUTE_US if column == MINUTE else SECOND_US
    told = ~np.isnan(value)
    far = np.flatnonzero(np.abs(np.where(told, value, 0)) > _LAST_MINUTE * (MINUTE_US // one_us))
    if len(far):
        shown = cells.text(column, int(far[0]))
        raise cells.refuse(int(far[0]), f"{column} {shown} is too far: write {column}s since the start, like 12.5")
    time_us = np.rint(np.where(told, value, 0) * one_us).astype(np.int64)
    rows = np.flatnonzero(told)
    back = np.flatnonzero(np.diff(time_us[rows]) < 0)
    again = rows[back + 1]
    wrong = np.flatnonzero(time_us[again] != 0)
    if len(wrong):
        row, before = int(again[wrong[0]]), int(rows[back[wrong[0]]])
        told_back = f"time goes back from {cells.text(column, before)} to {cells.text(column, row)}"
        raise cells.refuse(row, f"{told_back}: put the rows in order; after a start over begin again at 0")
    if len(again) > MOST_STARTS:
        raise cells.refuse(int(again[MOST_STARTS]), f"begins again at 0 for more than {MOST_STARTS:,} times")
    return Counted(time_us, told, again)


def running_on(found: Counted) -> Whole:
    """Give the times of a log that has nothing but its count: after a start over it runs on from the row before.

    Parameters
    ----------
    found : Counted
        Every row is told.
    """
    if not len(found.again):
        return found.time_us
    added = np.zeros(len(found.time_us), np.int64)
    added[found.again] = found.time_us[found.again - 1] + AFTER_US
    return found.time_us + np.cumsum(added)
