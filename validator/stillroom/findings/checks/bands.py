"""Bands: each combination has one published set of altitude bands, its times and pressures in a published pattern.

What it does
------------
Takes the rows of each food, form, pack, jar and canner along the altitude. The bands must be one of the published sets
for that canner (shared/altitude-bands.csv): no hole, no overlap, no band twice. Boiling-water times must rise by
0/5/10, 0/5/10/15 or 0/5/5/10 minutes over the first band. Under pressure the time must be the same in all bands, and
the pressure 11/12/13/14 or 6/7/8/9 psi on a dial gauge, 10/15 or 5/10 psi on a weighted gauge, or 15 psi and then
"not recommended". Boiling water has neither gauge nor pressure.

Why it matters
--------------
A hole leaves a canner without an answer, an overlap gives two; a time or a pressure that steps out of its pattern is
nearly always a slip of one digit, and one digit too low leaves spores alive.

Example
-------
``schedules/vegetables.csv:13: bands: pressure_psi "10" is not 11; published on a dial gauge: 11/12/13/14 or 6/7/8/9``

Source
------
USDA Complete Guide to Home Canning, 2015: the altitude bands and patterns are those of all its tables, for example
pages 2-6 (three bands), 2-7 (four bands) and 4-5 (dial and weighted gauges).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, Any, NamedTuple

if TYPE_CHECKING:
    import numpy as np
    import pandas as pd
    from numpy.typing import NDArray

    from stillroom.findings.finding import Finding
    from stillroom.findings.opened import CheckedPackage
    from stillroom.findings.series import Band
    from stillroom.findings.table import Table

NAME = "bands"
_NAN = float("nan")


class Pattern(NamedTuple):
    """A published run along the bands: minutes over the first band, psi (not a number: blank), recommended or not."""

    rise: tuple[int, ...]
    psi: tuple[float, ...]
    recommended: tuple[bool, ...]


def _rising(*rise: int) -> Pattern:
    return Pattern(rise, (_NAN,) * len(rise), (True,) * len(rise))


def _pressing(*psi: float) -> Pattern:
    return Pattern((0,) * len(psi), psi, tuple(p == p for p in psi))


PATTERNS: dict[str, tuple[Pattern, ...]] = {
    "boiling-water-three": (_rising(0, 5, 10),),
    "boiling-water-four": (_rising(0, 5, 10, 15), _rising(0, 5, 5, 10)),
    "dial": (_pressing(11, 12, 13, 14), _pressing(6, 7, 8, 9)),
    "weighted": (_pressing(10, 15), _pressing(5, 10), _pressing(15, _NAN)),
}
"""Published patterns of each set of bands (all tables of the 2015 guide)."""

SETS = {"": ("boiling-water-three", "boiling-water-four"), "dial": ("dial",), "weighted": ("weighted",)}
"""Sets of bands by gauge."""

Edges = tuple[tuple[float, float], ...]


def published(table: Table) -> dict[str, Edges]:
    """Read the sets of bands: edges in feet, not a number where the band is open."""
    froms, tos = table.number("altitude_from_ft"), table.number("altitude_to_ft")
    sets: dict[str, list[tuple[float, float]]] = {}
    for row, low, high in zip(table.rows, froms.tolist(), tos.tolist(), strict=True):
        sets.setdefault(row["band_set"], []).append((low, high))
    return {name: tuple(sorted(edges)) for name, edges in sets.items()}


def check(package: CheckedPackage) -> Iterator[Finding]:
    """Yield rows that leave their bands or their pattern."""
    from stillroom.findings import series

    table = package.table("altitude-bands")
    sets = published(table)
    yield from _sets_themselves(table, sets)
    frame = package.series
    for rows in series.each(frame, _unpublished(frame, sets)):
        yield from _why(rows, sets)


def _sets_themselves(table: Table, sets: dict[str, Edges]) -> Iterator[Finding]:
    from stillroom.findings.finding import Finding

    for name, patterns in PATTERNS.items():
        edges = sets.get(name, ())
        good = (
            len(edges) == len(patterns[0].rise)
            and edges[0][0] == 0
            and all(upper[0] == lower[1] + 1 for lower, upper in pairwise(edges))
        )
        if not good:
            said = f"set {name} does not run from 0 ft in {len(patterns[0].rise)} bands without hole or overlap"
            yield Finding(NAME, table.file, None, "", "", said, "", "restore the bands of the tables")


def _unpublished(frame: pd.DataFrame, sets: dict[str, Edges]) -> NDArray[np.int64]:
    """Numbers of the series that are none of the published ones."""
    import numpy as np

    base = frame.groupby("series", sort=False)["minutes"].transform("first").to_numpy()
    gauge = frame["gauge"].map({"": 0, "dial": 1, "weighted": 2}).astype(float).to_numpy()
    method = frame["method"].map({"boiling-water": 0, "pressure": 1}).astype(float).to_numpy()
    status = frame["status"].map({"tested": 1, "not-recommended": 0}).astype(float).to_numpy()
    columns = (
        gauge, method, frame["altitude_from_ft"].to_numpy(), frame["altitude_to_ft"].to_numpy(),
        frame["minutes"].to_numpy() - base, frame["pressure_psi"].to_numpy(), status,
    )  # fmt: skip
    known: dict[int, int] = {}
    allowed = []
    for kind, (name, set_names) in enumerate(SETS.items()):
        for set_name in set_names:
            for pattern in PATTERNS[set_name]:
                signature = len(pattern.rise)
                cells = zip(sets.get(set_name, ()), pattern.rise, pattern.psi, pattern.recommended, strict=False)
                for position, ((low, high), rise, psi, recommended) in enumerate(cells):
                    parts = (kind, 1 if name else 0, low, high, rise, psi, recommended)
                    key = int(_keys(tuple(np.array([float(p)]) for p in parts))[0])
                    signature += known.setdefault(key, len(known) + 1) << (8 * (position + 1))
                allowed.append(signature)
    keys = _keys(columns)
    all_known = np.array(sorted(known), dtype=np.int64)
    numbers = np.array([known[key] for key in sorted(known)], dtype=np.int64)
    at = np.searchsorted(all_known, keys).clip(max=len(all_known) - 1)
    codes = np.where(all_known[at] == keys, numbers[at], 255)
    position = np.minimum(frame["position"].to_numpy(), 5)
    series_of = frame["series"].to_numpy()
    count = int(series_of.max()) + 1 if len(frame) else 0
    signatures = np.bincount(series_of, minlength=count).astype(np.int64)
    np.add.at(signatures, series_of, codes.astype(np.int64) << (8 * (position + 1)))
    return np.flatnonzero(~np.isin(signatures, allowed)).astype(np.int64)


def _keys(columns: Sequence[NDArray[Any]]) -> NDArray[np.int64]:
    """Pack the numbers of each row into one; anything out of the ordinary becomes the largest value of its field."""
    import numpy as np

    packed = np.zeros(len(columns[0]), dtype=np.int64)
    for values, bits in zip(columns, (2, 2, 14, 14, 10, 7, 2), strict=True):
        most = (1 << bits) - 1
        odd = (values < 0) | (values >= most - 1) | (values % 1 != 0)
        whole = np.where(np.isnan(values), most - 1, np.where(odd, most, values)).astype(np.int64)
        packed = (packed << bits) | whole
    return packed


def _why(rows: list[Band], sets: dict[str, Edges]) -> Iterator[Finding]:
    """Say what is wrong with one series."""
    first = rows[0]
    if (first.method == "pressure") != bool(first.gauge) or first.gauge not in SETS:
        said = "is blank under pressure" if not first.gauge else "stands with boiling water"
        for row in rows:
            yield row.finding(
                NAME, "gauge", said, "pressure canners have a dial or a weighted gauge, boiling water none"
            )
        return
    names = [name for name in SETS[first.gauge] if sets.get(name)]
    if not names:
        return
    name = min(names, key=lambda n: len(set(_edges(rows)) ^ set(_blank(sets[n]))))
    off = list(_off_bands(rows, sets[name], [sets[n] for n in names]))
    if off:
        yield from off
        return
    yield from _off_times(rows, PATTERNS[name])
    yield from _off_pressures(rows, PATTERNS[name], first.gauge)


def _blank(edges: Edges) -> tuple[tuple[float, float | None], ...]:
    return tuple((low, None if high != high else high) for low, high in edges)


def _edges(rows: list[Band]) -> list[tuple[float, float | None]]:
    return [
        (row.altitude_from_ft, None if row.altitude_to_ft != row.altitude_to_ft else row.altitude_to_ft) for row in rows
    ]


def _off_bands(rows: list[Band], edges: Edges, all_edges: list[Edges]) -> Iterator[Finding]:
    wanted = dict(_blank(edges))
    prints = " or ".join(", ".join(_said(low, high) for low, high in _blank(e)) for e in all_edges)
    published = f"published bands: {prints} ft"
    seen = set()
    for row, (low, high) in zip(rows, _edges(rows), strict=True):
        if low not in wanted:
            yield row.finding(NAME, "altitude_from_ft", "begins no published band", published)
        elif low in seen:
            yield row.finding(NAME, "altitude_from_ft", "stands twice for the same combination", published)
        elif high != wanted[low]:
            end = "open" if wanted[low] is None else f"{wanted[low]:g}"
            yield row.finding(NAME, "altitude_to_ft", f"is not the end of its band, which is {end}", published)
        seen.add(low)
    for low, high in wanted.items():
        if low not in seen:
            yield rows[0].finding(NAME, "", f"{rows[0].said}: no row for {_said(low, high)} ft", published)


def _said(low: float, high: float | None) -> str:
    return f"{low:g}-{high:g}" if high is not None else f"above {low - 1:g}"


def _off_times(rows: list[Band], patterns: tuple[Pattern, ...]) -> Iterator[Finding]:
    runs = {
        tuple(row.minutes - rise + other for other in pattern.rise)
        for pattern in patterns
        for row, rise in zip(rows, pattern.rise, strict=True)
    }
    run = min(sorted(runs), key=lambda r: sum(row.minutes != m for row, m in zip(rows, r, strict=True)))
    if patterns[0].rise[-1]:
        prints = " or ".join("/".join(map(str, pattern.rise)) for pattern in patterns)
        published = f"published times rise by {prints} min along the bands"
    else:
        published = "published times under pressure are the same in all bands"
    for row, minutes in zip(rows, run, strict=True):
        if row.minutes != minutes:
            yield row.finding(NAME, "minutes", f"is out of step; the other bands give {minutes:g}", published)


def _off_pressures(rows: list[Band], patterns: tuple[Pattern, ...], gauge: str) -> Iterator[Finding]:
    def off(row: Band, psi: float) -> bool:
        return row.pressure_psi != psi and not (row.pressure_psi != row.pressure_psi and psi != psi)

    best = min(patterns, key=lambda pattern: sum(map(off, rows, pattern.psi)))
    if gauge:
        prints = " or ".join("/".join("-" if p != p else f"{p:g}" for p in pattern.psi) for pattern in patterns)
        published = f"published pressures along the bands ({gauge}): {prints} psi"
    else:
        published = "boiling water has no pressure"
    for row, psi, recommended in zip(rows, best.psi, best.recommended, strict=True):
        if off(row, psi):
            given = "blank" if psi != psi else f"{psi:g}"
            yield row.finding(NAME, "pressure_psi", f"is out of step; the other bands give {given}", published)
        if (row.status == "tested") != recommended:
            said = (
                "tested, where the other bands give not recommended"
                if not recommended
                else ("printed as not recommended, where the other bands give a pressure")
            )
            yield row.finding(NAME, "", f"{row.said}: {said}", "not recommended is printed above 1,000 ft for 15 psi")
