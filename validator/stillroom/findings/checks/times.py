"""Times: every process time is one that the tables print: a multiple of five minutes, or 8 or 1 under pressure.

What it does
------------
Looks at the minutes alone. In boiling water every printed time is a multiple of 5. Under pressure it is too, but for
the 8 minutes of some fruits and the 1 minute of whole tomatoes at 15 psi.

Why it matters
--------------
A table whose times are all off by the same few minutes keeps every pattern along the bands and between the jars. It
does not keep the round figures in which the publication prints its times.

Example
-------
``schedules/spreads.csv:2: times: minutes "6" is no time that the tables print for boiling-water``

Source
------
USDA Complete Guide to Home Canning, 2015, all tables; 8 minutes on page 2-31, 1 minute on page 3-10.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from stillroom.findings.finding import Finding
    from stillroom.findings.opened import CheckedPackage

NAME = "times"
STEP_MIN = 5
"""Minutes; printed times are multiples of it."""
ODD_MIN = (8, 1)
"""Minutes that are printed all the same, under pressure only (pages 2-31 and 3-10)."""


def check(package: CheckedPackage) -> Iterator[Finding]:
    """Yield rows with a time that no table prints."""
    from stillroom.findings import series

    frame = package.series
    round_figure = frame["minutes"] % STEP_MIN == 0
    odd_figure = (frame["method"] == "pressure") & frame["minutes"].isin(ODD_MIN)
    for row in series.bands(frame[~(round_figure | odd_figure)]):
        said = f"is no time that the tables print for {row.method}"
        yield row.finding(NAME, "minutes", said, "printed times are multiples of 5, or 8 or 1 under pressure")
