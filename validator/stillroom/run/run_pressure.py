"""Run pressure: what the readings of a log show of the pressure, the gauge's error taken off."""

from __future__ import annotations

from fractions import Fraction

import numpy as np

from stillroom.answers import saturation
from stillroom.answers.pressure import KPA_IN_PSI
from stillroom.run.arrays import Real, Truth
from stillroom.run.runlog import RunLog

VENT_PSI = 1
"""Most that a dial may show, psi, while the canner vents freely (the project's own, no source; page 1-20 has the vent
open, and an open vent holds no pressure). A dial may rest a little above zero, and a strong flow of steam lifts it a
little; canning pressures begin at 5 psi. The gauge's error is taken off first where it reads high. Where it reads low
it is not added: such a gauge rests on its pin at zero all the same."""
_PRINTED_F = 0.05
"""Half of the last digit that a thermometer prints, degF (the project's own, no source)."""
_PRINTED = Fraction(1, 10**9)
"""Left for loggers that print 10.999999999999998."""


def true_psi(log: RunLog, error_psi: Fraction) -> Real:
    """Pressure at each reading, psi.

    Parameters
    ----------
    log : RunLog
    error_psi : Fraction
        What the gauge shows too much, psi.

    Returns
    -------
    array of float64
    """
    return in_psi(log, log.reading) - float(error_psi)


def in_psi(log: RunLog, reading: Real) -> Real:
    """Give readings of a log in psi."""
    return reading if log.unit == "psi" else reading / float(KPA_IN_PSI)


def shown(log: RunLog) -> Truth:
    """Tell at which times a pressure was read, or the temperature of the steam that stands for it."""
    read = ~np.isnan(log.reading)
    there: Truth = read if log.steam_F is None else read | ~np.isnan(log.steam_F)
    return there


def reaches(log: RunLog, required_psi: int, error_psi: Fraction, altitude_ft: float | None = None) -> Truth:
    """Tell which readings are at or above the requirement; a reading at it counts.

    Steam in the canner is as hot as the requirement makes saturated steam at this altitude, else it is below; where a
    gauge was read too, both must be.

    The comparison is made in the unit of the log: the gauge must show the requirement plus its error. In psi that sum
    is exact and so is the comparison; a billionth is left for loggers that print 10.999999999999998. In kPa no printed
    figure is 11 psi: a gauge that shows 75.8 for 75.842 is at 11 psi as nearly as its last digit can say, so half of
    that digit is allowed, and never more than 0.05 kPa (0.007 psi, far less than a dial can be read to). A log in whole
    kPa gets no allowance: half of its last digit would be 0.07 psi.

    Parameters
    ----------
    log : RunLog
    required_psi : int
        Required pressure, psi.
    error_psi : Fraction
        What the gauge shows too much, psi.
    altitude_ft : float, optional
        Feet above sea level; needed where the log has temperatures of steam.

    Returns
    -------
    array of bool
    """
    wanted = required_psi + error_psi
    slack = _PRINTED
    if log.unit == "kPa":
        wanted *= KPA_IN_PSI
        if log.decimals:
            slack = max(slack, Fraction(1, 2 * 10**log.decimals))
    found: Truth = log.reading >= float(wanted - slack)
    if log.steam_F is None or altitude_ft is None:
        return found
    hot = log.steam_F >= saturation.steam_F(required_psi, altitude_ft) - _PRINTED_F
    either: Truth = np.where(np.isnan(log.steam_F), found, hot & (found | np.isnan(log.reading)))
    return either


def presses(log: RunLog, error_psi: Fraction) -> Truth:
    """Tell which readings show more pressure than an open vent can hold; see :data:`VENT_PSI`.

    Of several readings at one time the highest speaks. Only at the very times at which the vent is opened or closed the
    lowest does: a log in whole minutes has readings from before and after under one time.

    Parameters
    ----------
    log : RunLog
    error_psi : Fraction
        What the gauge shows too much, psi.

    Returns
    -------
    array of bool
    """
    unit = KPA_IN_PSI if log.unit == "kPa" else 1
    most = float((VENT_PSI + max(error_psi, Fraction(0)) + _PRINTED) * unit)
    found: Truth = log.highest > most
    if log.highest is not log.reading:
        edges = [event.time_us for event in log.events if event.name in ("vent-start", "weight-on")]
        at = np.flatnonzero(np.isin(log.time_us, edges))
        found[at] = log.reading[at] > most
    return found


def vent_psi(log: RunLog, at: int, error_psi: Fraction) -> float:
    """Pressure at one reading of an open vent, psi: the highest of its time, the gauge's error taken off where it reads
    high."""
    return float(in_psi(log, log.highest[at : at + 1])[0]) - max(float(error_psi), 0.0)
