"""Coverage: every food has a schedule in the table of its group or follows one that has, and no jar is left out.

What it does
------------
Each food of foods.csv must have rows in the schedule table of its group, or a relation to a food that has. A food with
rows must stand in foods.csv, and only in the table of its group. A food in a pressure canner must have both gauges for
each pack and jar, if its publication has bands for both. A food that has acid, headspace, yields or conditions must
exist.

Why it matters
--------------
A food without a schedule answers nothing; a schedule without its food, or in another guide's table, is never found.

Example
-------
``schedules/foods.csv:12: coverage: id "beets" has no schedule in schedules/vegetables.csv and follows no food``

Source
------
USDA Complete Guide to Home Canning, 2015: each pressure table is printed for dial and for weighted gauges, for example
page 4-5.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from stillroom.findings.finding import Finding

if TYPE_CHECKING:
    from stillroom.findings.opened import CheckedPackage

NAME = "coverage"


def check(package: CheckedPackage) -> Iterator[Finding]:
    """Yield foods without schedules, and schedules without their food or in the wrong table."""
    yield from _foods(package)
    yield from _gauges(package)


def _foods(package: CheckedPackage) -> Iterator[Finding]:
    import numpy as np

    from stillroom.findings import series

    foods = package.table("foods")
    groups = {row["id"]: row["group"] for row in foods.rows}
    follows = {row["food"] for row in package.table("relations").rows}
    frame = package.schedules
    frame = frame[frame["status"] == "tested"]
    pairs = frame[["food", "file"]].drop_duplicates()
    own = set(pairs["food"])
    files = {group: package.table(group).file for group in set(groups.values()) if group in package.tables}
    wrong = [files.get(groups.get(food, "")) != file for food, file in pairs.itertuples(index=False)]
    for band in series.bands(frame.merge(pairs[np.array(wrong, dtype=bool)], on=["food", "file"], how="inner")):
        group = groups.get(band.food)
        said = f"is not in {foods.file}" if group is None else f"belongs to group {group}, not to this table"
        yield band.finding(NAME, "food", said)
    for line, row in foods.numbered():
        if row["id"] not in own and row["id"] not in follows:
            said = f"has no schedule in {files.get(row['group'], row['group'])} and follows no food"
            yield Finding(NAME, foods.file, line, "id", row["id"], said, "", f"compare with page {row['page']}")


def _gauges(package: CheckedPackage) -> Iterator[Finding]:
    from stillroom.findings import series

    frame = package.schedules
    pressed = frame[frame["method"] == "pressure"]
    same = ["food", "form", "pack", "jar"]
    pressed = pressed[pressed["source"].astype(object).map(package.publications).isin(package.both_gauges)]
    kinds = pressed.drop_duplicates([*same, "gauge"])
    count = kinds.groupby(same, observed=True)["gauge"].transform("size")
    for row in series.bands(kinds[count == 1]):
        said = f"is the only gauge of {row.said}"
        yield row.finding(NAME, "gauge", said, "each pressure table is printed for both gauges")
