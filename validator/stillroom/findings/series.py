"""Series: the rows of one combination along its altitude bands, one series for each equal option."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import pandas as pd

from stillroom.findings.finding import Finding

if TYPE_CHECKING:
    from numpy.typing import NDArray

COMBINATION = ["food", "form", "pack", "jar", "method", "gauge"]
"""Columns that make one combination."""


class Band(NamedTuple):
    """One schedule row, numbers as floats (not a number where blank): feet, minutes, psi."""

    food: str
    form: str
    pack: str
    jar: str
    method: str
    gauge: str
    altitude_from_ft: float
    altitude_to_ft: float
    minutes: float
    pressure_psi: float
    status: str
    source: str
    page: str
    caption: str
    file: str
    line: int

    @property
    def said(self) -> str:
        """The combination in words."""
        return " ".join(w for w in (self.food, self.form, self.pack, self.jar, self.gauge or self.method) if w)

    def finding(self, check: str, column: str, wrong: str, published: str = "", mend: str = "") -> Finding:
        """Make a finding on this row; by default the way to mend it is to compare with the printed page."""
        value = getattr(self, column) if column else ""
        text = value if isinstance(value, str) else plain(value)
        return Finding(
            check, self.file, int(self.line), column, text, wrong, published,
            mend or f"compare with page {self.page} of {self.source}",
        )  # fmt: skip


def plain(number: float) -> str:
    """Write a number as the tables do; blank for not a number."""
    return "" if number != number else f"{number:g}" if number < 1e6 else f"{number:.0f}"


def sorted_series(schedules: pd.DataFrame) -> pd.DataFrame:
    """Order rows by combination and altitude, and number the series.

    Parameters
    ----------
    schedules : DataFrame
        As :attr:`stillroom.findings.opened.CheckedPackage.schedules`.

    Returns
    -------
    DataFrame
        The same rows with ``combination`` (a number), ``option`` (from 0: rank of the time among the equal options of
        one band), ``series`` (a number for combination and option) and ``position`` (of the band in its series).
    """
    frame = schedules.copy(deep=False)
    frame["combination"] = frame.groupby(COMBINATION, observed=True, sort=False).ngroup()
    order = np.lexsort([
        frame["pressure_psi"].fillna(0).to_numpy(),
        frame["minutes"].to_numpy(),
        frame["altitude_from_ft"].to_numpy(),
        frame["combination"].to_numpy(),
    ])  # fmt: skip
    frame = frame.iloc[order].reset_index(drop=True)
    frame["option"] = frame.groupby(["combination", "altitude_from_ft"], sort=False).cumcount()
    keys = [frame["combination"], frame["option"]]
    frame["series"] = frame.groupby(keys, sort=False).ngroup()
    frame["position"] = frame.groupby("series", sort=False).cumcount()
    return frame


def bands(frame: pd.DataFrame) -> Iterator[Band]:
    """Give rows of a frame as records, made as they are asked for."""
    for start in range(0, len(frame), 1000):
        texts = [frame[name].iloc[start : start + 1000].astype(object) for name in Band._fields]
        yield from (Band(*row) for row in zip(*texts, strict=True))


def each(frame: pd.DataFrame, wanted: NDArray[np.int64]) -> Iterator[list[Band]]:
    """Give the wanted series one by one, rows in order of altitude.

    Parameters
    ----------
    frame : DataFrame
        As :func:`sorted_series` gives it.
    wanted : array of int
        Numbers of series.
    """
    rows = frame[frame["series"].isin(wanted)]
    for _, part in rows.groupby("series", sort=True):
        yield list(bands(part))
