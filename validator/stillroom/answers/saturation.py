"""Saturation: how hot saturated, air-free steam is in a canner, and how hard the air outside presses.

Steam by the industrial formulation of water and steam (IAPWS R7-97(2012), "IF97"); air by the U.S. Standard Atmosphere,
1976, geometric altitude.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from stillroom.answers.pressure import KPA_IN_PSI

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

FEET_IN_METERS = 0.3048
"""Meters in one international foot, exactly (NIST Special Publication 811, 2008, appendix B.8)."""
STEP_PSI = 0.001
"""Readings of a log are taken to the nearest thousandth of a psi before steam is looked up: under 0.002 degF, and a log
of a million readings asks for a few thousand temperatures."""
LEAST_PSI = 0.1
"""Lowest absolute pressure that steam is looked up at, psi: a gauge that says there is less is off."""

CRITICAL_KPA = 22_063.0
"""Just under the critical point of water, 22,064 kPa (IAPWS R7-97(2012)), above which no steam is saturated."""


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


def steam_F(gauge_psi: float, altitude_ft: float) -> float:  # noqa: N802  (units stand in names)
    """Temperature of saturated, air-free steam.

    Parameters
    ----------
    gauge_psi : float
        True pressure above the air outside, psi.
    altitude_ft : float
        Feet above sea level.

    Returns
    -------
    float
        Degrees Fahrenheit.
    """
    return _steam_F(max(gauge_psi + outside_psi(altitude_ft), LEAST_PSI) * float(KPA_IN_PSI))


def gauge_psi(temperature_F: float, altitude_ft: float) -> float:  # noqa: N803
    """Gauge pressure at which saturated, air-free steam has a temperature.

    Parameters
    ----------
    temperature_F : float
        Degrees Fahrenheit, above freezing and below 700.
    altitude_ft : float
        Feet above sea level.

    Returns
    -------
    float
        Psi above the air outside; negative where less than that is enough.
    """
    import seuif97

    megapascals: float = seuif97.tx2p((temperature_F - 32) / 1.8, 1.0)
    return megapascals * 1000 / float(KPA_IN_PSI) - outside_psi(altitude_ft)


def steam_of_each_F(gauge_psi: NDArray[np.float64], altitude_ft: float) -> NDArray[np.float64]:  # noqa: N802
    """Temperature of saturated, air-free steam at each of many readings, taken to the nearest ``STEP_PSI``.

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
    import numpy as np

    step = np.rint(gauge_psi / STEP_PSI).astype(np.int64)
    low = int(step.min(initial=0))
    asked = np.flatnonzero(np.bincount(step - low)) if len(step) else step
    outside = outside_psi(altitude_ft)
    kilopascals = np.maximum((asked + low) * STEP_PSI + outside, LEAST_PSI) * float(KPA_IN_PSI)
    table = np.full(int(asked.max(initial=0)) + 1, np.nan)
    table[asked] = [_steam_F(p) for p in kilopascals.tolist()]
    found: NDArray[np.float64] = table[step - low]
    return found


def _steam_F(kilopascals: float) -> float:  # noqa: N802
    """Temperature of saturated steam at an absolute pressure in kPa, degrees Fahrenheit."""
    import seuif97

    celsius: float = seuif97.px2t(min(kilopascals, CRITICAL_KPA) / 1000, 1.0)
    return celsius * 1.8 + 32
