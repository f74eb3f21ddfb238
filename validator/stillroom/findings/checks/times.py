"""Times: every process time is one that its publication prints: multiples of five minutes, and few others.

What it does
------------
Looks at the minutes alone. In boiling water every printed time is a multiple of 5. Under pressure it is too, but for
the 8 minutes of some fruits and the 1 minute of whole tomatoes at 15 psi. Those two are of the 2015 guide; of another
publication a time that is no multiple of 5 is a row of shared/exceptions.csv with its page, and one that excuses
nothing is a finding.

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

from stillroom.findings.finding import Finding

if TYPE_CHECKING:
    from stillroom.findings.opened import CheckedPackage

NAME = "times"
STEP_MIN = 5
"""Minutes; printed times are multiples of it."""
ODD_MIN = (8, 1)
"""Minutes that are printed all the same, under pressure only (pages 2-31 and 3-10)."""


_EXCEPTION = ("food", "form", "pack", "jar", "gauge", "minutes")


def check(package: CheckedPackage) -> Iterator[Finding]:
    """Yield rows with a time that no table prints, and exceptions that excuse none."""
    from stillroom.findings import series

    frame = package.series
    round_figure = frame["minutes"] % STEP_MIN == 0
    odd_figure = (frame["method"] == "pressure") & frame["minutes"].isin(ODD_MIN)
    odd_figure &= frame["source"].astype(object).map(package.publications) == package.guide
    table = package.table("exceptions")
    excused = {tuple(row[n] for n in _EXCEPTION): line for line, row in table.numbered() if row["check"] == NAME}
    used = set()
    for row in series.bands(frame[~(round_figure | odd_figure)]):
        key = (row.food, row.form, row.pack, row.jar, row.gauge, series.plain(row.minutes))
        if key in excused and package.publications.get(row.source) != package.guide:
            used.add(key)
            continue
        said = f"is no time that the tables print for {row.method}"
        yield row.finding(NAME, "minutes", said, "printed times are multiples of 5, or 8 or 1 under pressure")
    for at, line in excused.items():
        if at not in used:
            yield Finding(NAME, table.file, line, "", "", "excuses nothing", "", "remove this exception")
