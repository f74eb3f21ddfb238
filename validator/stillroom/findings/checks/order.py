"""Order: a larger jar never takes less time, raw pack never less than hot, and both gauges share their times.

What it does
------------
Compares rows of one food and canner at one altitude and pressure: by jar (half-pint, 12-ounce, pint, pint-and-half,
quart, half-gallon) the time must not fall, and raw pack must not take less than hot. Then it compares the two gauges:
each time of a food, pack and jar on one gauge must stand on the other too, if its publication has bands for both.
Published exceptions are rows of shared/exceptions.csv with their page; one that excuses nothing is a finding. A row
that an erratum raises (``amends`` in shared/sources.csv) binds no other row; one that it lowers is compared like any
other.

Why it matters
--------------
Heat needs longer to reach the middle of a larger jar or a colder pack. A quart under its pint was mistyped, or read
from the wrong line.

Example
-------
``schedules/vegetables.csv:30: order: minutes "20" is less than 25 for a pint jar of the same food and pack``

Source
------
USDA Complete Guide to Home Canning, 2015: holds for every row of its tables. The exceptions are the third options, at
15 psi on a weighted gauge, of some tomato products (pages 3-5 to 3-13).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import pandas as pd

    from stillroom.findings.finding import Finding
    from stillroom.findings.opened import CheckedPackage
    from stillroom.findings.series import Band

NAME = "order"
_SAME = ["food", "form", "method", "gauge", "altitude", "psi"]
_COMPARED = ["food", "form", "pack", "jar", "method", "gauge", "minutes", "pressure_psi", "source"]
_EXCEPTION = ["food", "form", "pack", "jar", "gauge", "minutes"]


def check(package: CheckedPackage) -> Iterator[Finding]:
    """Yield times that fall where they must not, and times that one gauge has alone."""
    spread = _spread(package)
    volumes = {row["id"]: volume for row, volume in zip(*_volumes(package), strict=True)}
    spread["size"] = spread["jar"].map(volumes).astype(float)
    by_jar = spread.sort_values("size", kind="stable")
    yield from _falls(package, by_jar, [*_SAME, "pack"], "jar", "a larger jar never takes less time")
    packed = spread[spread["pack"].isin(("hot", "raw"))]
    by_pack = packed.sort_values("pack", kind="stable", key=lambda pack: pack == "raw")
    yield from _falls(package, by_pack, [*_SAME, "jar"], "pack", "raw pack never takes less time than hot")
    yield from _gauges(package)


def _volumes(package: CheckedPackage) -> tuple[list[dict[str, str]], list[float]]:
    table = package.table("jars")
    return table.rows, table.number("volume_fl_oz").tolist()


def _spread(package: CheckedPackage) -> pd.DataFrame:
    """Lay each row out over the altitudes at which any band of its canner begins, so that band sets compare."""
    import numpy as np

    frame = package.schedules
    edges = package.table("altitude-bands")
    starts = np.unique(edges.number("altitude_from_ft"))
    low = frame["altitude_from_ft"].to_numpy()
    high = frame["altitude_to_ft"].fillna(np.inf).to_numpy()
    rows, altitudes = [np.zeros(0, dtype=np.int64)], [np.zeros(0)]
    for start in starts[~np.isnan(starts)]:
        rows.append(np.flatnonzero((low <= start) & (start <= high)))
        altitudes.append(np.full(len(rows[-1]), start))
    at = np.concatenate(rows)
    spread = frame[_COMPARED].iloc[at].reset_index(drop=True)
    return spread.assign(row=at, altitude=np.concatenate(altitudes), psi=spread["pressure_psi"].fillna(0))


def _falls(
    package: CheckedPackage, ordered: pd.DataFrame, same: list[str], by: str, published: str
) -> Iterator[Finding]:
    """Yield rows with less time than a row before them in the same group."""
    from stillroom.findings import series

    binding = ordered["minutes"].where(~ordered["source"].isin(package.amending), 0)
    most = binding.groupby([ordered[name] for name in same], observed=True, sort=False).cummax()
    wrong = ordered.assign(most=most)[ordered["minutes"] < most].drop_duplicates("row")
    rows = package.schedules.iloc[wrong["row"].to_numpy()]
    for row, longest in zip(series.bands(rows), wrong["most"].tolist(), strict=True):
        said = f"is less than {longest:g} for another {by} of the same food"
        yield row.finding(NAME, "minutes", said, published)


def _gauges(package: CheckedPackage) -> Iterator[Finding]:
    """Yield times that stand on one gauge only, and exceptions that excuse nothing."""
    from stillroom.findings import series
    from stillroom.findings.finding import Finding

    frame = package.schedules
    paired = frame["source"].astype(object).map(package.publications).isin(package.both_gauges)
    times = frame[(frame["method"] == "pressure") & paired].drop_duplicates(_EXCEPTION)
    other = times[_EXCEPTION].assign(gauge=times["gauge"].map({"dial": "weighted", "weighted": "dial"}), both=True)
    met = times.merge(other, on=_EXCEPTION, how="left")
    alone = met[met["both"].isna()]
    table = package.table("exceptions")
    excused = {_key(row): (line, row["page"]) for line, row in table.numbered() if row["check"] == NAME}
    used = set()
    for row in _unexplained(package, times, alone):
        key: tuple[str, ...] = (row.food, row.form, row.pack, row.jar, row.gauge, series.plain(row.minutes))
        if key in excused:
            used.add(key)
            line, page = excused[key]
            if page != row.page:
                wrong = f"is not the page of the excused row, {row.page}"
                yield Finding(NAME, table.file, line, "page", page, wrong, "", "write the page of the row")
            continue
        elsewhere = "weighted" if row.gauge == "dial" else "dial"
        yield row.finding(
            NAME, "minutes", f"stands on a {row.gauge} gauge only, not on a {elsewhere} gauge",
            "both gauges share their times", f"compare with page {row.page} of {row.source}, or add the published row "
            "to shared/exceptions.csv",
        )  # fmt: skip
    for key, (line, _) in excused.items():
        if key not in used:
            yield Finding(NAME, table.file, line, "", "", "excuses nothing", "", "remove this exception")


def _unexplained(package: CheckedPackage, times: pd.DataFrame, alone: pd.DataFrame) -> Iterator[Band]:
    """Yield times of one gauge that no erratum explains: it raised this one, or the one that stood beside it."""
    from stillroom.findings import series

    amended = bool(package.amending) and package.schedules["source"].isin(package.amending).any()
    places: dict[tuple[str, ...], list[Band]] = {}
    for row in series.bands(times) if amended else ():
        places.setdefault((row.food, row.form, row.pack, row.jar), []).append(row)
    for row in series.bands(alone):
        others = [o for o in places.get((row.food, row.form, row.pack, row.jar), ()) if o.gauge != row.gauge]
        raised = row.source in package.amending and any(other.minutes < row.minutes for other in others)
        if not raised and not any(o.source in package.amending and o.minutes > row.minutes for o in others):
            yield row


def _key(row: dict[str, str]) -> tuple[str, ...]:
    return tuple(row[name] for name in _EXCEPTION)
