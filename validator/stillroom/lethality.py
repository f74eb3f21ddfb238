"""Lethality: what the steam of a run amounts to in minutes at 250 degF (F0), by the general method. For information.

It is the lethality of the canner's steam, not of the food in the jars, which lags behind it and is not measured here.
It never changes a verdict: the publication gives minutes and pressures, and only those are tested.

Reference temperature 250 degF and z = 18 degF are the usual ones for spores of *Clostridium botulinum* (C. R. Stumbo,
*Thermobacteriology in Food Processing*, 2nd edition, Academic Press, 1973; cited from memory).
"""

from __future__ import annotations

import numpy as np

from stillroom.arrays import Real, Whole
from stillroom.log_times import MINUTE
from stillroom.pressure import KPA_IN_PSI

REFERENCE_F = 250.0
Z_F = 18.0
FEET_IN_METERS = 0.3048
_STEP_PSI = 0.001
"""Readings are taken to the nearest thousandth of a psi before steam is looked up: under 0.002 degF, and a log of a
million readings asks for a few thousand temperatures."""


def outside_psi(altitude_ft: float) -> float:
    """Pressure of the air in the 1976 standard atmosphere.

    Parameters
    ----------
    altitude_ft : float
        Feet above sea level.

    Returns
    -------
    float
        Psi, absolute.
    """
    from fluids.atmosphere import ATMOSPHERE_1976

    pascals: float = ATMOSPHERE_1976(altitude_ft * FEET_IN_METERS).P
    return pascals / 1000 / float(KPA_IN_PSI)


def steam_F(gauge_psi: Real, altitude_ft: float) -> Real:  # noqa: N802  (units stand in names)
    """Temperature of saturated, air-free steam (IAPWS-IF97).

    Parameters
    ----------
    gauge_psi : array of float64
        True pressure above the air outside, psi.
    altitude_ft : float
        Feet above sea level.

    Returns
    -------
    array of float64
        Degrees Fahrenheit.
    """
    import seuif97

    step = np.rint(gauge_psi / _STEP_PSI).astype(np.int64)
    low = int(step.min(initial=0))
    asked = np.flatnonzero(np.bincount(step - low)) if len(step) else step
    outside = outside_psi(altitude_ft)
    kilopascals = np.maximum((asked + low) * _STEP_PSI + outside, 0.1) * float(KPA_IN_PSI)
    table = np.full(int(asked.max(initial=0)) + 1, np.nan)
    table[asked] = [seuif97.px2t(p / 1000, 1.0) * 1.8 + 32 for p in kilopascals.tolist()]
    found: Real = table[step - low]
    return found


def lethal_rate(temperature_F: Real) -> Real:  # noqa: N803
    """Minutes at 250 degF that one minute at a temperature (degF) is worth."""
    rate: Real = np.power(10.0, (temperature_F - REFERENCE_F) / Z_F)
    return rate


def F0_min(time_us: Whole, temperature_F: Real, max_gap_us: int) -> float:  # noqa: N802, N803
    """Add up lethality by the trapezoid rule; a silence longer than the allowed gap counts nothing.

    Parameters
    ----------
    time_us : array of int64
        Microseconds, rising.
    temperature_F : array of float64
        Degrees Fahrenheit.
    max_gap_us : int
        Longest time between two readings that are joined, microseconds.

    Returns
    -------
    float
        Minutes at 250 degF.
    """
    rate = lethal_rate(temperature_F)
    span = np.diff(time_us)
    joined = np.where(span <= max_gap_us, span, 0) / MINUTE
    return float((joined * (rate[1:] + rate[:-1])).sum() / 2)
