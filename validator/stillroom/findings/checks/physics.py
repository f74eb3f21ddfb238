"""Physics: steam at the published pressure is hot enough at the very top of each altitude band.

What it does
------------
Takes the lowest air pressure of each band (at its top; at 10,000 ft where the band is open) from the 1976 standard
atmosphere, adds the published gauge pressure, and takes the temperature of saturated steam from the industrial
formulation of water and steam (IAPWS-IF97). It must reach 238 degF where the food takes the pressures 11-14 psi (dial)
or 10/15 psi (weighted), and 225 degF where it takes 6-9 or 5/10 psi. A publication other than the 2015 guide has its
own pressures: with it the steam must reach 238 degF for a low-acid food, and 225 degF for any other.

Why it matters
--------------
Pressure matters only for the temperature it gives. A pressure typed one line too low, or a band drawn too wide, keeps
the table tidy and the spores alive.

Example
-------
``schedules/vegetables.csv:13: physics: pressure_psi "9" gives 234.7 degF at 4,000 ft; floor 238 degF``

Source
------
USDA Complete Guide to Home Canning, 2015, page 1-19 (pressures for altitude). The floors are the lowest steam
temperatures that its own tables give at the tops of their bands, rounded down. IAPWS R7-97; U.S. Standard Atmosphere,
1976.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    import pandas as pd
    from numpy.typing import NDArray

    from stillroom.findings.finding import Finding
    from stillroom.findings.opened import CheckedPackage

NAME = "physics"
OPEN_TOP_FT = 10_000.0
"""Altitude at which an open band is looked at, feet."""
HIGHEST_FT = 30_000.0
"""Altitude above which steam is not computed; no kitchen stands there, but a mistyped band may."""
FLOORS = {
    ("dial", (11.0, 12.0, 13.0, 14.0)): 238.0,
    ("weighted", (10.0, 15.0)): 238.0,
    ("weighted", (15.0,)): 238.0,
    ("dial", (6.0, 7.0, 8.0, 9.0)): 225.0,
    ("weighted", (5.0, 10.0)): 225.0,
}
"""Lowest steam temperature, degF, by gauge and pressures of the 2015 guide along the bands, psi."""
LOW_ACID_F, ACID_F = 238.0, 225.0
"""Lowest steam temperature, degF, of any other publication, for low-acid foods and for all others."""


def check(package: CheckedPackage) -> Iterator[Finding]:
    """Yield rows whose steam is too cool."""
    from stillroom.answers import saturation
    from stillroom.findings import series

    frame = package.series
    pressed = frame[frame["gauge"].isin(("dial", "weighted")) & (frame["method"] == "pressure")]
    rows = pressed.assign(top=pressed["altitude_to_ft"].fillna(OPEN_TOP_FT), floor=_floors(pressed, package))
    rows = rows[rows["pressure_psi"].notna()]
    kinds = rows.drop_duplicates(["pressure_psi", "top"])[["pressure_psi", "top"]]
    kinds["steam"] = [
        saturation.steam_F(psi, min(top, HIGHEST_FT))
        for psi, top in zip(kinds["pressure_psi"], kinds["top"], strict=True)
    ]
    rows = rows.merge(kinds, on=["pressure_psi", "top"], how="left")
    cool = rows[rows["steam"] < rows["floor"]]
    for row, top, steam, floor in zip(series.bands(cool), cool["top"], cool["steam"], cool["floor"], strict=True):
        yield row.finding(
            NAME, "pressure_psi", f"gives steam of {steam:.1f} degF at {top:,.0f} ft",
            f"its pressures keep at least {floor:.0f} degF to the top of each band",
        )  # fmt: skip


def _floors(pressed: pd.DataFrame, package: CheckedPackage) -> NDArray[np.float64]:
    """Floor of each row, degF: by the pressures of the guide, or by the food where another publication prints it."""
    import numpy as np

    acidity = {row["id"]: row["acidity"] for row in package.table("foods").rows}
    low_acid = ~pressed["food"].astype(object).map(acidity).isin(("acid", "acidified")).to_numpy()
    of_guide = (pressed["source"].astype(object).map(package.publications) == package.guide).to_numpy()
    by_pressures: NDArray[np.float64] = _by_pressures(pressed)
    return np.where(of_guide, by_pressures, np.where(low_acid, LOW_ACID_F, ACID_F))


def _by_pressures(pressed: pd.DataFrame) -> NDArray[np.float64]:
    """Floor of each row, degF: of the published pressures that its series comes nearest to, the hotter of equals."""
    import numpy as np

    codes, numbers = np.unique(pressed["series"].to_numpy(), return_inverse=True)
    psi, position = pressed["pressure_psi"].to_numpy(), pressed["position"].to_numpy()
    best = np.full(len(codes), -1.0)
    floors = np.zeros(len(codes))
    for (gauge, pattern), floor in sorted(FLOORS.items(), key=lambda item: -item[1]):
        wanted = np.array([*pattern, np.nan])[np.minimum(position, len(pattern))]
        fits = (psi == wanted) & (pressed["gauge"] == gauge).to_numpy()
        score = np.where(
            np.bincount(numbers, weights=pressed["gauge"] == gauge, minlength=len(codes)) > 0,
            np.bincount(numbers, weights=fits, minlength=len(codes)),
            -1.0,
        )
        floors = np.where(score > best, floor, floors)
        best = np.maximum(best, score)
    return floors[numbers]
