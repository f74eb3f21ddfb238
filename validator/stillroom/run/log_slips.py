"""Log slips: readings that stand ten times off between their neighbors, as a lost or doubled digit leaves them."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from stillroom.run.arrays import Real, Whole
from stillroom.run.log_cells import Cells

MOST_SLIPS = 100
"""Slips that are named; a log with more is another thing than a sheet with a slip."""
NEAR = 1.25
"""A tenth, or ten times, of a slip lies this near to both neighbors, as a ratio (the project's own, no source)."""
LEAST = {"psi": 3.0, "kPa": 20.0, "bar": 0.2, "degF": 50.0, "degC": 20.0}
"""Neighbors below this say nothing of what stands between them: a gauge near zero moves tenfold by itself."""


class Slip(NamedTuple):
    """A reading that is likely a slip. It counts as it stands.

    Attributes
    ----------
    line : int
        Line of the file.
    column : str
        Column of the log.
    written : str
        What stands there.
    before, after : str
        What stands in the readings around it.
    time_us : int
        When, microseconds, on the clock of the log.
    """

    line: int
    column: str
    written: str
    before: str
    after: str
    time_us: int


class Between(NamedTuple):
    """Rows of slips, and of the readings before and after each."""

    rows: Whole
    before: Whole
    after: Whole


def between(value: Real, unit: str) -> Between:
    """Find readings that are ten times their neighbors, or a tenth of them.

    Parameters
    ----------
    value : array of float64, shape (rows,)
        Readings of one column; NaN where there is none.
    unit : str
        A key of :data:`LEAST`.
    """
    there = np.flatnonzero(~np.isnan(value))
    held = value if len(there) == len(value) else value[there]
    first, here, last = held[:-2], held[1:-1], held[2:]
    far = (here > 5 * first) | (5 * here < first)
    at = np.flatnonzero(far & (first >= LEAST[unit]) & (last >= LEAST[unit]))
    low, high, odd = np.minimum(first[at], last[at]), np.maximum(first[at], last[at]), here[at]
    wanted = np.where(odd > high, odd / 10, odd * 10)
    at = at[(wanted * NEAR >= high) & (wanted <= low * NEAR)]
    return Between(there[at + 1], there[at], there[at + 2])


def named(cells: Cells, column: str, found: Between, time_us: Whole) -> tuple[Slip, ...]:
    """Name slips by line and by what stands there.

    Parameters
    ----------
    cells : Cells
    column : str
    found : Between
    time_us : array of int64
        Times of the rows, microseconds.
    """
    rows = zip(*(part[:MOST_SLIPS].tolist() for part in found), strict=True)
    text = cells.text
    return tuple(
        Slip(
            int(cells.lines[row]),
            column,
            text(column, row),
            text(column, before),
            text(column, after),
            int(time_us[row]),
        )
        for row, before, after in rows
    )
