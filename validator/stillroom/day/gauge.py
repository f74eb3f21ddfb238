"""Gauge: what the dial must show for the true pressure, when the gauge is off.

Sums are exact: a gauge that reads 0.3 psi high shows 11.3 psi at 11 psi, not 11.299999.
"""

from __future__ import annotations

import datetime
import math
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from stillroom.answers import dates, wording
from stillroom.answers.answer import Option, Stated
from stillroom.answers.pressure import in_psi
from stillroom.errors import BadInput

if TYPE_CHECKING:
    from stillroom.answers.shelf import Shelf

WEIGHTED = (
    "this schedule is for a weighted gauge, which has no dial to correct: leave the gauge error out; "
    "a weight in place of the dial takes the weighted table"
)


def error_psi(reads_high_by: Any) -> Fraction:
    """Read by how much a gauge is off: psi, exact; positive where it reads high. Errors as for ``pressure.in_psi``."""
    return in_psi(reads_high_by, "gauge error")


def reading_for(option: Option, reads_high_by: Any, shelf: Shelf) -> float:
    """Say what the dial must show.

    Parameters
    ----------
    option : Option
        A schedule for a dial gauge.
    reads_high_by : str or pint quantity
        With its unit; negative for a gauge that reads low.
    shelf : Shelf

    Returns
    -------
    float
        Psi on the dial. The printed pressure where the gauge reads low: then an adjustment is possible, but not
        needed (page 1-20). Where it reads high, the exact sum.

    Raises
    ------
    BadInput
        A boiling-water or weighted schedule; a gauge off by more than 2 psi either way, which must be replaced
        (page 1-20); a figure that cannot be read.
    """
    rules = shelf.rules
    off = error_psi(reads_high_by)
    if option.pressure_psi is None:
        raise BadInput("this schedule is for boiling water, where there is no gauge: leave the gauge error out")
    if is_weighted(option, shelf):
        raise BadInput(WEIGHTED)
    limit = rules.rule("gauge-adjust-limit")
    if abs(off) > rules.figure("gauge-adjust-limit"):
        way = "high" if off > 0 else "low"
        raise BadInput(
            f"a gauge that reads {shown(abs(off))} psi {way} is more than {limit.value} psi off: "
            f"replace the gauge (page {limit.page})"
        )
    return float(option.pressure_psi + max(off, Fraction(0)))


def is_weighted(option: Option, shelf: Shelf) -> bool:
    """Tell whether a pressure schedule is for a weighted gauge: its publication has its band for these alone."""
    publication = shelf.publication(option.source.id)
    sets = {
        row.band_set.partition("-")[0]
        for row in shelf.package.altitude_bands
        if row.source == publication
        and (row.altitude_from_ft, row.altitude_to_ft) == (option.altitude_from_ft, option.altitude_to_ft)
    }
    return option.pressure_psi is not None and "weighted" in sets and "dial" not in sets


def shown(psi: Fraction | float) -> str:
    """Write a pressure: ``11``, ``11.5``, ``11.25``; rounded up to the hundredth, never below what is needed."""
    exact = Fraction(repr(psi)) if isinstance(psi, float) else psi
    return f"{math.ceil(exact * 100) / 100:.2f}".rstrip("0").rstrip(".")


def overdue(tested: object, on: datetime.date, shelf: Shelf) -> Stated | None:
    """Say that a dial gauge was last tested more than a year ago; None where it was not.

    Parameters
    ----------
    tested : str or date
        Day of the last test, like ``"2026-06-01"``.
    on : date
        Day the gauge is to be used.
    shelf : Shelf

    Raises
    ------
    BadInput
        No date, or one that is yet to come.
    """
    last = dates.day("gauge test", tested)
    if last > on:
        raise BadInput(f'gauge test "{last}" is after {on}: write the day of the last test')
    years = shelf.rules.whole("gauge-check")
    if not lapsed(last, on, years):
        return None
    told = f"The gauge was last tested on {last}, more than {wording.years(years)} ago: have it tested before use."
    return shelf.rules.worded("gauge-check", told, "gauge-overdue")


def lapsed(last: datetime.date, on: datetime.date, years: int) -> bool:
    """Tell whether a test is more than so many years old, by the calendar: the same day of the year is not."""
    return (on.year - years, on.month, on.day) > (last.year, last.month, last.day)
