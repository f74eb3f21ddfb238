"""Run log: the readings and events of one canner load, from CSV to arrays.

Columns: ``time`` (ISO 8601, with or without zone, or a time of day like 9:15 on the day of the record), ``minute`` or
``second``; one of pressure (``gauge_psi``, ``gauge_kpa``, ``gauge_bar``, ``absolute_psi``, ``absolute_kpa``,
``absolute_bar``), one of steam (``steam_F``, ``steam_C``) and one of water (``water_F``, ``water_C``), where there are
any; ``rocking``, ``boiling`` or ``steaming`` with yes or no; ``event`` and ``note``. The file is cut into cells
(:mod:`stillroom.run.log_header`, :mod:`stillroom.run.log_cells`), and its times and numbers are read by position in
whole columns (:mod:`stillroom.run.log_when`, :mod:`stillroom.run.log_readings`), because a logger that writes every few
milliseconds makes a million rows in an afternoon.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from stillroom import screen
from stillroom.errors import BadInput
from stillroom.package import files
from stillroom.package.files import Stamp, Unread
from stillroom.run import log_cells, log_events, log_names
from stillroom.run.arrays import Real, Whole
from stillroom.run.log_about import AboutLog
from stillroom.run.log_events import Event
from stillroom.run.log_readings import readings
from stillroom.run.log_slips import Slip
from stillroom.run.log_times import Clock
from stillroom.run.log_when import when

__all__ = ["EVENTS", "Event", "RunLog", "likely_slips", "read"]

EVENTS = log_names.EVENTS
_NOTHING = AboutLog()


@dataclass(frozen=True)
class RunLog:
    """One log. Readings are in time order, one per time; a time without any reading has no row among them.

    Attributes
    ----------
    shown : str
        Name of the file for messages.
    clock : Clock
        How its times are shown.
    time_us : array of int64, shape (n,)
        Times of the readings, microseconds, strictly rising.
    reading : array of float64, shape (n,)
        Pressure as the gauge showed it, in ``unit``; of several at one time the lowest; NaN where there is none, and
        everywhere in a log without pressure. Of absolute pressure the air outside is taken off.
    highest : array of float64, shape (n,)
        The same, but of several at one time the highest.
    unit : str
        ``psi`` or ``kPa``; bar are given in kPa.
    decimals : int
        Most decimals a reading is printed with.
    events : tuple of Event
        In time order.
    rows : int
        Rows of the file that have a time, those without a reading among them.
    first_us, last_us : int
        Times of the first and last row, microseconds.
    path : str
        The file.
    stamp : Stamp
        Tells whether the file is still the one that was read.
    noted_us : array of int64, shape (rows,)
        Times of all rows, those without a reading among them, microseconds, never falling.
    steam_F, water_F : array of float64, shape (n,), or None
        Temperature of the steam in the canner and of the water, degrees Fahrenheit; of several at one time the lowest;
        NaN where there is none; None where the log has no such column.
    air_psi : float or None
        What was taken off absolute pressure, psi; None where the log has gauge pressure.
    slips : tuple of Slip
        Readings that stand ten times off between their neighbors; they count as they stand.
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
    noted_us: Whole
    steam_F: Real | None  # noqa: N815  (units stand in names)
    water_F: Real | None  # noqa: N815
    air_psi: float | None
    slips: tuple[Slip, ...]

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


def read(path: str, about: AboutLog = _NOTHING) -> RunLog:
    """Read a log.

    Parameters
    ----------
    path : str
        CSV file, UTF-8.
    about : AboutLog, optional
        What the record tells about it.

    Raises
    ------
    BadInput
        No such file, unknown columns, times that go backwards, a reading that is no number; names file and line.
    """
    shown = screen.name(path)
    found = when(log_cells.read(path, shown, about.columns), about)
    events = log_events.events(found, about)
    vented_us = next((event.time_us for event in events if event.name == "vent-start"), None)
    held = readings(found.cells, found.time_us, about, vented_us)
    return RunLog(
        shown=shown,
        clock=found.clock,
        time_us=held.time_us,
        reading=held.lowest,
        highest=held.highest,
        steam_F=held.steam_F,
        water_F=held.water_F,
        unit=held.unit,
        decimals=held.decimals,
        air_psi=held.air_psi,
        events=events,
        rows=len(found.time_us),
        first_us=int(found.time_us[0]),
        last_us=int(found.time_us[-1]),
        noted_us=found.time_us,
        slips=held.slips,
        path=path,
        stamp=found.cells.stamp,
    )


def likely_slips(log: RunLog) -> tuple[Slip, ...]:
    """Name the readings of a log that are likely slips of the pen, like 115 between 11 and 11.

    Parameters
    ----------
    log : RunLog

    Returns
    -------
    tuple of Slip
        With line, column and what is written there. They count as they stand.
    """
    return log.slips
