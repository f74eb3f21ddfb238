"""Run log: the readings and events of one canner load, from CSV to arrays.

Columns: ``time`` (ISO 8601, with or without zone) or ``minute``; ``gauge_psi`` or ``gauge_kpa``; and, where there are
any, ``event`` and ``note``. The file is cut into cells (:mod:`stillroom.run.log_cells`), and its times and numbers are
read by position in whole columns (:mod:`stillroom.run.log_times`, :mod:`stillroom.run.log_numbers`), because a logger
that writes every few milliseconds makes a million rows in an afternoon.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

import numpy as np

from stillroom import screen
from stillroom.answers import wording
from stillroom.answers.pressure import KPA_IN_PSI
from stillroom.errors import BadInput
from stillroom.package import files
from stillroom.package.files import Stamp, Unread
from stillroom.run import log_cells
from stillroom.run.arrays import Real, Whole
from stillroom.run.log_cells import EVENT, GAUGES, Cells
from stillroom.run.log_numbers import numbers
from stillroom.run.log_times import Clock, times

EVENTS = (
    "vent-start", "weight-on", "rocking", "not-rocking", "heat-off", "lock-dropped",
    "boil", "boil-stopped", "steam-full", "steam-stopped", "restart",
)  # fmt: skip
MOST_EVENTS = 1_000
HIGHEST_PSI = 30
"""No home canner gets here: a plain weight relieves near 15 psi, the plug blows near 20 (common practice, no source).
A reading above it is in another unit than its column says, and would make any run look well."""
LOWEST_PSI = -15
"""Below a vacuum: another unit, or a slip."""


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


@dataclass(frozen=True)
class RunLog:
    """One log. Readings are in time order, one per time; an empty reading has no row here.

    Attributes
    ----------
    shown : str
        Name of the file for messages.
    clock : Clock
        How its times are shown.
    time_us : array of int64, shape (n,)
        Times of the readings, microseconds, strictly rising.
    reading : array of float64, shape (n,)
        As the gauge showed it, in ``unit``; of several at one time the lowest.
    highest : array of float64, shape (n,)
        The same, but of several at one time the highest.
    unit : str
        ``psi`` or ``kPa``.
    decimals : int
        Most decimals a reading is printed with.
    events : tuple of Event
        In time order.
    rows : int
        Rows of the file, empty readings among them.
    first_us, last_us : int
        Times of the first and last row, microseconds.
    path : str
        The file.
    stamp : Stamp
        Tells whether the file is still the one that was read.
    steam_F, water_F : array of float64 or None
        Temperature of the steam in the canner and of its water at each of these times, degF, NaN where none was taken;
        None where the log has no such column.
    noted_us : array of int64 or None
        Times of all rows, those without any reading among them, microseconds.
    """

    shown: str
    clock: Clock
    time_us: Whole
    reading: Real
    highest: Real
    unit: str
    decimals: int
    events: tuple[Event, ...]
    rows: int
    first_us: int
    last_us: int
    path: str
    stamp: Stamp
    steam_F: Real | None = None  # noqa: N815
    water_F: Real | None = None  # noqa: N815
    noted_us: Whole | None = None

    def sha256(self) -> str:
        """Hash the file, byte for byte. It is made only where a load is kept: a long log takes as long to hash as to
        judge.

        Raises
        ------
        BadInput
            The file cannot be read any more, or has changed since.
        """
        try:
            digest = files.sha256(self.path, self.stamp)
        except Unread as error:
            raise error.told(self.shown, "log") from None
        if digest is None:
            raise BadInput(f"{self.shown}: has changed since it was judged: judge it again")
        return digest

    def date(self) -> date | None:
        """Day the log begins; None where it counts minutes."""
        moment = self.clock.moment(self.first_us)
        return None if moment is None else moment.date()


class _Readings(NamedTuple):
    """Readings, one per time: of several at one time the lowest, which claims least, and the highest."""

    time_us: Whole
    lowest: Real
    highest: Real


def read(path: str) -> RunLog:
    """Read a log.

    Parameters
    ----------
    path : str
        CSV file, UTF-8.

    Raises
    ------
    BadInput
        No such file, unknown columns, times that go backwards, a reading that is no number; names file and line.
    """
    shown = screen.name(path)
    cells = log_cells.read(path, shown)
    time_us, clock = times(cells)
    column = next(name for name in GAUGES if name in cells.columns)
    reading, decimals = numbers(cells, column, "reading")
    unit = "psi" if column == "gauge_psi" else "kPa"
    _within_reason(cells, column, reading, unit)
    events = _events(cells, time_us)
    kept = _one_per_time(time_us, reading)
    return RunLog(
        shown=shown,
        clock=clock,
        time_us=kept.time_us,
        reading=kept.lowest,
        highest=kept.highest,
        unit=unit,
        decimals=decimals,
        events=events,
        rows=len(time_us),
        first_us=int(time_us[0]),
        last_us=int(time_us[-1]),
        path=path,
        stamp=cells.stamp,
    )


def _within_reason(cells: Cells, column: str, reading: Real, unit: str) -> None:
    one_psi = 1.0 if unit == "psi" else float(KPA_IN_PSI)
    odd = np.flatnonzero((reading > HIGHEST_PSI * one_psi) | (reading < LOWEST_PSI * one_psi))
    if len(odd):
        row = int(odd[0])
        raise cells.refuse(row, f"reading {cells.text(column, row)} {unit} is outside any home canner: check the unit")


def _one_per_time(time_us: Whole, reading: Real) -> _Readings:
    """Drop empty readings, and join those of one time."""
    there = ~np.isnan(reading)
    time_us, reading = time_us[there], reading[there]
    first = np.flatnonzero(np.diff(time_us, prepend=time_us[:1] - 1))
    if len(first) == len(time_us):
        return _Readings(time_us, reading, reading)
    return _Readings(time_us[first], np.minimum.reduceat(reading, first), np.maximum.reduceat(reading, first))


def _events(cells: Cells, time_us: Whole) -> tuple[Event, ...]:
    if EVENT not in cells.columns:
        return ()
    starts, ends = cells.columns[EVENT]
    told = np.flatnonzero(starts < ends)
    if len(told) > MOST_EVENTS:
        raise cells.refuse(int(told[MOST_EVENTS]), f"more than {MOST_EVENTS:,} events: name each event once")
    events = []
    for row in map(int, told):
        name = cells.text(EVENT, row)
        if name not in EVENTS:
            raise cells.refuse(row, f'event "{name}" is unknown: events are {wording.listed(EVENTS)}')
        events.append(Event(name, int(time_us[row])))
    return tuple(events)
