"""Readings: every schedule cell is what the two separate readings of the publication say.

What it does
------------
Puts the two readings (schedules/readings/) side by side, place by place: food, form, canner, pack, jar, altitude and
option. Where they differ, a row of lost-cells.csv must say which of them lost the cell; a row there that explains
nothing is a finding, and so is a third reading of such a cell that says something else. From the two it rebuilds the
schedule tables and compares every cell with the files.

Why it matters
--------------
A number that two people, from two copies, read alike is very unlikely to be misread. An edit of a schedule alone, or
of one reading alone, cannot pass.

Example
-------
``schedules/vegetables.csv:3: readings: minutes "20" is 30 in both readings; lines 480 and 480 of the readings``

Source
------
The readings are of the USDA Complete Guide to Home Canning, 2015; each row of the first names its page.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from stillroom.findings.finding import Finding, shown

if TYPE_CHECKING:
    import pandas as pd

    from stillroom.findings.opened import CheckedPackage
    from stillroom.findings.table import Table

NAME = "readings"
MOST = 5000
"""Most rows of one table that are compared cell by cell."""
_KEY = ["food", "form", "pack", "jar", "method", "gauge", "altitude_from_ft"]


def check(package: CheckedPackage) -> Iterator[Finding]:
    """Yield conflicts of the readings, and schedule cells that are not what they say."""
    from stillroom.findings import metric, rebuilt

    for name in ("reading-schedules-first", "reading-schedules-second"):
        yield from metric.unconverted(package.table(name), package)
    reconciled = rebuilt.reconcile(package)
    yield from reconciled.needless
    for findings in rebuilt.conflicts(package, reconciled.both):
        yield from findings
    yield from _compared(package, rebuilt.rows(package, reconciled.both))


def _compared(package: CheckedPackage, built: pd.DataFrame) -> Iterator[Finding]:
    """Yield cells of the schedule files that the readings do not give, and rows that are missing."""
    from stillroom.findings import rebuilt
    from stillroom.package.tables import GROUPS

    for name in (*GROUPS, rebuilt.NOT_RECOMMENDED):
        table = package.table(name)
        columns = list(table.columns)
        actual = table.frame[[*columns, "line"]]
        wanted = built[built["table"] == name]
        have, want = _hashed(actual, columns), _hashed(wanted, columns)
        extra = actual[~have.isin(want) | have.duplicated(keep="last")].astype(dict.fromkeys(columns, object))
        missing = wanted[~want.isin(have)]
        yield from _paired(table, extra.head(MOST), missing.head(MOST), columns)
    for row in rebuilt.records(built[built["table"].isna()].head(1)):
        wrong = f'food "{row["food"]}" of captions.csv is missing'
        yield Finding(NAME, "schedules/foods.csv", None, "", "", wrong, "", "add the food again")


def _hashed(frame: pd.DataFrame, columns: list[str]) -> pd.Series[int]:
    """One number for each row, equal where all cells are equal."""
    import pandas as pd

    as_text = frame[columns].astype(dict.fromkeys(columns, "category"))
    return pd.Series(pd.util.hash_pandas_object(as_text, index=False).to_numpy(), index=frame.index)


def _paired(table: Table, extra: pd.DataFrame, missing: pd.DataFrame, columns: list[str]) -> Iterator[Finding]:
    """Tell which cells differ: rows of the file against rows of the readings of nearly the same key."""
    from stillroom.findings import rebuilt

    left = dict(enumerate(rebuilt.records(missing)))
    by_key: dict[tuple[str, ...], list[int]] = {}
    by_food: dict[str, list[int]] = {}
    for at, row in left.items():
        by_key.setdefault(tuple(row[name] for name in _KEY), []).append(at)
        by_food.setdefault(row["caption"], []).append(at)
    waiting: list[dict[str, Any]] = []
    for row in rebuilt.records(extra):
        found = next((a for a in by_key.get(tuple(row[name] for name in _KEY), ()) if a in left), None)
        if found is None:
            waiting.append(row)
        else:
            yield from _cells(table, row, left.pop(found), columns)
    for row in waiting:
        near = [a for a in by_food.get(row["caption"], ()) if a in left][:200]
        best: int | None = max(near, key=lambda a: sum(row[name] == left[a][name] for name in columns), default=None)
        if best is None or sum(row[name] != left[best][name] for name in columns) > 3:
            wrong = "is a row that the readings do not give"
            mend = "remove it, or add it to both readings from the printed page"
            yield Finding(NAME, table.file, int(row["line"]), "", "", wrong, "", mend)
        else:
            yield from _cells(table, row, left.pop(best), columns)
    for row in left.values():
        wrong = f"{rebuilt.said(row)}, {row['minutes']} min (page {row['page']}) is missing"
        yield Finding(NAME, table.file, None, "", "", wrong, "", "add the row that both readings give")


def _cells(table: Table, row: dict[str, Any], wanted: dict[str, Any], columns: list[str]) -> Iterator[Finding]:
    for name in columns:
        if row[name] != wanted[name]:
            given = f'is "{shown(wanted[name])}"' if wanted[name] else "is blank"
            lines = [f"{line:g}" for line in (wanted["first"], wanted["second"]) if line == line]
            wrong = f"{given} in the readings (line {' and '.join(dict.fromkeys(lines))})"
            mend = f"compare with page {wanted['page']}"
            yield Finding(NAME, table.file, int(row["line"]), name, row[name], wrong, "", mend)
