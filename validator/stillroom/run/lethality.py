"""Lethality: what the steam of a run amounts to in minutes at 250 degF (F0), by the general method. For information.

It is the lethality of the canner's steam, not of the food in the jars, which lags behind it and is not measured here.
It never changes a verdict: the publication gives minutes and pressures, and only those are tested.

Reference temperature 250 degF and z = 18 degF are the usual ones for spores of *Clostridium botulinum* (C. R. Stumbo,
*Thermobacteriology in Food Processing*, 2nd edition, Academic Press, 1973; cited from memory).
"""

from __future__ import annotations

import numpy as np

from stillroom.run.arrays import Real, Whole
from stillroom.run.log_times import MINUTE

REFERENCE_F = 250.0
Z_F = 18.0


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
