"""Log readings: what the columns of a log measured, one row for each time, and held to what a canner can show."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from stillroom.answers import saturation, wording
from stillroom.answers.pressure import KPA_IN_PSI
from stillroom.run import log_slips
from stillroom.run.arrays import Real, Truth, Whole
from stillroom.run.log_about import AboutLog
from stillroom.run.log_cells import Cells
from stillroom.run.log_names import READINGS, Measured
from stillroom.run.log_numbers import numbers
from stillroom.run.log_slips import Slip

HIGHEST_PSI = 30
"""No home canner gets here: a plain weight relieves near 15 psi, the plug blows near 20 (common practice, no source).
A reading above it is in another unit than its column says, and would make any run look well."""
LOWEST_PSI = -15
"""Below a vacuum: another unit, or a slip."""
HIGHEST_F = {"steam": 300, "water": 230}
"""Hotter, degF, no canner gets: steam at 30 psi above the air at the sea is near 274 degF (IAPWS R7-97(2012)), and
water boils at 212 degF there; some is left for a thermometer that is off (the project's own, no source)."""
LOWEST_F = -40
"""Colder, degF, no kitchen is."""
_IN_PSI = {"psi": 1.0, "kPa": float(KPA_IN_PSI), "bar": float(KPA_IN_PSI) / 100}
_KPA_IN_BAR = 100


class Readings(NamedTuple):
    """Readings, one row per time.

    Attributes
    ----------
    time_us : array of int64, shape (n,)
        Times with any reading, microseconds, strictly rising.
    lowest, highest : array of float64, shape (n,)
        Pressure above the air outside, in ``unit``: of several at one time the lowest, which claims least, and the
        highest; NaN where a time has none.
    steam_F, water_F : array of float64, shape (n,), or None
        Temperatures, degrees Fahrenheit, of several at one time the lowest; None where the log has no such column.
    unit : str
        ``psi`` or ``kPa``.
    decimals : int
        Most decimals a pressure is printed with, in that unit.
    air_psi : float or None
        What was taken off absolute pressure, psi; None where the log has pressure above the air outside.
    slips : tuple of Slip
    """

    time_us: Whole
    lowest: Real
    highest: Real
    steam_F: Real | None  # noqa: N815  (units stand in names)
    water_F: Real | None  # noqa: N815
    unit: str
    decimals: int
    air_psi: float | None
    slips: tuple[Slip, ...]


class _Pressure(NamedTuple):
    """Pressure of every row above the air outside, in ``unit``, and what was taken off for the air, psi."""

    value: Real
    unit: str
    decimals: int
    air_psi: float | None
    slips: tuple[Slip, ...]


def readings(cells: Cells, time_us: Whole, about: AboutLog, vented_us: int | None) -> Readings:
    """Read what a log measured.

    Parameters
    ----------
    cells : Cells
    time_us : array of int64, shape (rows,)
        Times of the rows, microseconds, never falling.
    about : AboutLog
        The air outside, or the altitude.
    vented_us : int or None
        The first ``vent-start``, microseconds.

    Raises
    ------
    BadInput
        A reading that is no number or is in another unit, or absolute pressure with no air to take off; names file and
        line.
    """
    named = {READINGS[name].kind: name for name in cells.columns if name in READINGS}
    if "pressure" in named:
        pressure = _pressure(cells, named["pressure"], time_us, about, vented_us)
    else:
        pressure = _Pressure(np.full(len(time_us), np.nan), "psi", 0, None, ())
    warm = [_temperature(cells, named[kind], time_us) if kind in named else None for kind in ("steam", "water")]
    slips = [*pressure.slips, *(slip for found in warm if found is not None for slip in found[1])]
    columns = [pressure.value, *(found[0] for found in warm if found is not None)]
    kept = _one_per_time(time_us, columns)
    lows = iter(kept.lowest[1:])
    steam_F, water_F = (None if found is None else next(lows) for found in warm)  # noqa: N806
    return Readings(
        kept.time_us,
        kept.lowest[0],
        kept.highest,
        steam_F,
        water_F,
        pressure.unit,
        pressure.decimals,
        pressure.air_psi,
        tuple(slips),
    )


class _Kept(NamedTuple):
    """One row per time: the lowest of each column, and the highest of the first."""

    time_us: Whole
    lowest: list[Real]
    highest: Real


def _one_per_time(time_us: Whole, columns: list[Real]) -> _Kept:
    """Drop rows without a reading, and join those of one time."""
    empty = np.isnan(columns[0])
    for column in columns[1:]:
        empty &= np.isnan(column)
    if empty.any():
        time_us, columns = time_us[~empty], [column[~empty] for column in columns]
    first = np.flatnonzero(np.diff(time_us, prepend=time_us[:1] - 1))
    if len(first) == len(time_us):
        return _Kept(time_us, columns, columns[0])
    lowest = [np.fmin.reduceat(column, first) for column in columns]
    return _Kept(time_us[first], lowest, np.fmax.reduceat(columns[0], first))


# pressure


def _pressure(cells: Cells, column: str, time_us: Whole, about: AboutLog, vented_us: int | None) -> _Pressure:
    measured = READINGS[column]
    value, decimals = numbers(cells, column, "reading")
    air_psi = _air_psi(cells, column, value, time_us, about, vented_us) if measured.absolute else None
    off = 0.0 if air_psi is None else air_psi * _IN_PSI[measured.unit]
    found = log_slips.between(value, measured.unit)
    one_psi = _IN_PSI[measured.unit]
    _within_reason(cells, column, (value > HIGHEST_PSI * one_psi + off) | (value < LOWEST_PSI * one_psi + off), found)
    if off:
        value = value - off
    unit = measured.unit
    if unit == "bar":
        value, unit, decimals = value * _KPA_IN_BAR, "kPa", max(0, decimals - 2)
    return _Pressure(value, unit, decimals, air_psi, log_slips.named(cells, column, found, time_us))


def _within_reason(cells: Cells, column: str, odd: Truth, slips: log_slips.Between) -> None:
    """Refuse a reading that no canner shows, unless it stands alone between two that one shows."""
    if not odd.any():
        return
    alone = slips.rows[~odd[slips.before] & ~odd[slips.after]]
    rows = np.setdiff1d(np.flatnonzero(odd), alone)
    if len(rows):
        row, unit = int(rows[0]), READINGS[column].unit
        shown = _with_unit(cells.text(column, row), unit)
        raise cells.refuse(row, f"reading {shown} is outside any home canner: check the unit")


def _with_unit(written: str, unit: str) -> str:
    return written if written[-1:].isalpha() else f"{written} {unit}"


def _air_psi(cells: Cells, column: str, value: Real, time_us: Whole, about: AboutLog, vented_us: int | None) -> float:
    """Pressure of the air to take off, psi: what was measured, else that of the standard atmosphere, and never less
    than the log itself shows before the vent was opened to the steam, which claims least."""
    if about.air_psi is not None:
        air_psi = float(about.air_psi)
    elif about.altitude_ft is not None:
        air_psi = saturation.outside_psi(about.altitude_ft)
    else:
        said = "absolute pressure, and neither the air outside nor the altitude is known"
        raise cells.refuse(0, f"{column} is {said}: write air: 14.2 psi")
    before = value[time_us < vented_us] if vented_us is not None else value[:0]
    before = before[~np.isnan(before)]
    lowest = float(before.min()) / _IN_PSI[READINGS[column].unit] if len(before) else air_psi
    return max(air_psi, lowest)


# temperature


def _temperature(cells: Cells, column: str, time_us: Whole) -> tuple[Real, tuple[Slip, ...]]:
    """Temperatures, degrees Fahrenheit, and likely slips among them."""
    measured = READINGS[column]
    value = numbers(cells, column, f"{measured.kind} temperature").value
    found = log_slips.between(value, measured.unit)
    fahrenheit = value * 9 / 5 + 32 if measured.unit == "degC" else value
    odd = np.flatnonzero((fahrenheit > HIGHEST_F[measured.kind]) | (fahrenheit < LOWEST_F))
    if len(odd):
        raise _too_hot(cells, column, int(odd[0]), measured)
    return fahrenheit, log_slips.named(cells, column, found, time_us)


def _too_hot(cells: Cells, column: str, row: int, measured: Measured) -> Exception:
    shown = _with_unit(cells.text(column, row), measured.unit)
    other = [name for name, one in READINGS.items() if one.kind == measured.kind and name != column]
    most, kind = HIGHEST_F[measured.kind], measured.kind
    said = f"{kind} of {shown} is outside {LOWEST_F} to {most} degF"
    return cells.refuse(row, f"{said}: is it a slip, or is the column {wording.listed(other)}?")
