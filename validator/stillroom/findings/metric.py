"""Metric: what a publication prints in meters and kilopascals, as the feet and psi of the schedule tables.

The readings keep what is printed. Its bands are found in shared/altitude-bands.csv, which has their feet beside their
meters; a pressure is rounded up to the whole psi. Nothing is rounded the other way: who is asked for a little more
loses nothing by it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import TYPE_CHECKING, Any, NamedTuple

from stillroom.answers.pressure import KPA_IN_PSI
from stillroom.findings.finding import Finding

if TYPE_CHECKING:
    import pandas as pd

    from stillroom.findings.opened import CheckedPackage
    from stillroom.findings.table import Table

NAME = "readings"
METERS_IN_FOOT = Fraction("0.3048")
"""Meters in one foot, exactly (international foot; NIST Special Publication 811, 2008, appendix B.8)."""
_FEET, _METERS = ("altitude_from_ft", "altitude_to_ft"), ("alt_lo_m", "alt_hi_m")
_PRINTED = (*_METERS, "kpa")


class Printed(NamedTuple):
    """A band of a publication as it prints it: its canner and its ends in meters as text, blank where it is open."""

    publication: str
    canner: str
    from_m: str
    to_m: str


def top_ft(to_m: int) -> int:
    """Whole feet that a height in meters does not fall short of: 300 m is above 984 ft and below 985 ft."""
    return int(to_m / METERS_IN_FOOT)


def psi(kpa: str) -> str:
    """Whole psi that are no less than a pressure in kPa: 76 kPa is 12 psi. Text that is no number stays as it is."""
    return str(-int(-int(kpa) // KPA_IN_PSI)) if kpa.isascii() and kpa.isdigit() else kpa


def canner_of(band_set: str) -> str:
    """Canner of a set of bands: boiling-water, dial or weighted, by the name of the set."""
    return next(canner for canner in ("boiling-water", "dial", "weighted", band_set) if band_set.startswith(canner))


def bands(package: CheckedPackage) -> dict[Printed, tuple[str, str]]:
    """Feet, as text, of each band that is printed in meters."""
    return {
        Printed(row["source"], canner_of(row["band_set"]), row["altitude_from_m"], row["altitude_to_m"]): (
            row["altitude_from_ft"],
            row["altitude_to_ft"],
        )
        for row in package.table("altitude-bands").rows
        if row["altitude_from_m"]
    }


def converted(frame: pd.DataFrame, package: CheckedPackage) -> pd.DataFrame:
    """Fill feet and psi of rows that were read in meters and kPa.

    Parameters
    ----------
    frame : DataFrame
        Rows of a reading as text, its columns named as in the schedule tables, with its own for meters and kPa.
    package : CheckedPackage

    Returns
    -------
    DataFrame
        The same rows. A band that the publication does not declare keeps its feet blank: :func:`unconverted` tells it.
    """
    printed = (frame[list(_PRINTED)] != "").any(axis=1).to_numpy()
    if not printed.any():
        return frame
    known = bands(package)
    frame = frame.copy()
    rows = frame.loc[printed, ["source", "method", "gauge", *_FEET, "pressure_psi", *_PRINTED]].to_dict("records")
    ends = [known.get(_printed(row, package), (row[_FEET[0]], row[_FEET[1]])) for row in rows]
    for at, name in enumerate(_FEET):
        frame.loc[printed, name] = [pair[at] for pair in ends]
    frame.loc[printed, "pressure_psi"] = [row["pressure_psi"] or psi(row["kpa"]) for row in rows]
    return frame


def unconverted(table: Table, package: CheckedPackage) -> Iterator[Finding]:
    """Yield rows of a reading without a band, or with one in both units or in meters that its publication has not."""
    known = bands(package)
    frame = table.frame
    asked = frame[(frame[list(_PRINTED)] != "").any(axis=1) | (frame["alt_lo_ft"] == "")]
    for row in asked.astype(object).to_dict("records"):
        meters, feet = row["alt_lo_m"], row["alt_lo_ft"]
        both = [name for name, other in (("alt_lo_m", feet), ("alt_hi_m", row["alt_hi_ft"]), ("kpa", row["psi"]))
                if row[name] and other]  # fmt: skip
        said = ""
        if both or bool(meters) == bool(feet) or (row["alt_hi_m"] and not meters):
            said = "its band or pressure is in two units, or in none"
        elif meters and _printed(row, package) not in known:
            said = f"no band of {row['source']} in shared/altitude-bands.csv is printed so"
        if said:
            mend = "write what is printed, in its own unit, and declare the band"
            yield Finding(NAME, table.file, int(row["line"]), "alt_lo_m", meters, said, "", mend)


def _printed(row: Mapping[Any, str], package: CheckedPackage) -> Printed:
    publication = package.publications.get(row["source"], row["source"])
    canner = row["gauge"] or row["method"].replace("_", "-")
    return Printed(publication, canner, row["alt_lo_m"], row["alt_hi_m"])
