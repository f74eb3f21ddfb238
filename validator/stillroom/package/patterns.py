"""Patterns: how times and pressures run along the altitude bands, as records (shared/band-patterns.csv).

Answers are not made from them, so that asking does not load this module. Annotations are read by the loader, as in
``records``: they are evaluated here.
"""

import os
from typing import NamedTuple

from stillroom.package.csv_table import read_table
from stillroom.package.records import Text
from stillroom.package.tables import TABLES


class BandPattern(NamedTuple):
    """One band of one pattern (schema/band-patterns.json)."""

    source: Text
    band_set: Text
    pattern: int
    altitude_from_ft: int
    rise_min: int
    pressure_psi: int | None


def band_patterns(root: str) -> tuple[BandPattern, ...]:
    """Read the patterns of a package.

    Parameters
    ----------
    root : str
        Folder of the package.

    Returns
    -------
    tuple of BandPattern
        In the order of the table.

    Raises
    ------
    BadPackage
        The table is damaged or missing.
    """
    shown = TABLES["band-patterns"].file
    return read_table(os.path.join(root, *shown.split("/")), BandPattern, shown)
