"""Bands: each combination has one published set of altitude bands, its times and pressures in a published pattern.

What it does
------------
Takes the rows of each food, form, pack, jar and canner along the altitude. The bands must be one of the published sets
for that canner (shared/altitude-bands.csv): no hole, no overlap, no band twice. Boiling-water times must rise by
0/5/10, 0/5/10/15 or 0/5/5/10 minutes over the first band. Under pressure the time must be the same in all bands, and
the pressure 11/12/13/14 or 6/7/8/9 psi on a dial gauge, 10/15 or 5/10 psi on a weighted gauge, or 15 psi and then
"not recommended". Boiling water has neither gauge nor pressure. A row that an erratum corrects (``amends`` in
shared/sources.csv) may take more time or pressure than the pattern of the rows beside it, never less.

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

from collections.abc import Iterator
from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

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
        yield from _why(rows, sets, package.amending)


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


class _Allowed(NamedTuple):
    """One row of a published pattern. ``rise`` is minutes over the first band of its series."""

    pattern: str
    position: int
    gauge: str
    method: str
    altitude_from_ft: float
    altitude_to_ft: float
    rise: float
    pressure_psi: float
    status: str


def _allowed(sets: dict[str, Edges]) -> Iterator[_Allowed]:
    """Give all rows of all published patterns."""
    for gauge, set_names in SETS.items():
        for name in set_names:
            for number, pattern in enumerate(PATTERNS[name]):
                edges = sets.get(name, ())
                if len(edges) != len(pattern.rise):
                    continue
                cells = zip(edges, pattern.rise, pattern.psi, pattern.recommended, strict=True)
                for position, ((low, high), rise, psi, recommended) in enumerate(cells):
                    yield _Allowed(
                        f"{name} {number}", position, gauge, "pressure" if gauge else "boiling-water", low, high,
                        float(rise), psi, "tested" if recommended else "not-recommended",
                    )  # fmt: skip


def _unpublished(frame: pd.DataFrame, sets: dict[str, Edges]) -> NDArray[np.int64]:
    """Numbers of the series that are none of the published ones."""
    import numpy as np
    import pandas as pd

    cells = list(_Allowed._fields[1:])
    allowed = pd.DataFrame(_allowed(sets), columns=list(_Allowed._fields))
    rows = frame.assign(rise=frame["minutes"] - frame.groupby("series", sort=False)["minutes"].transform("first"))
    for name in ("gauge", "method", "status"):
        rows[name] = rows[name].astype(object)
    both = pd.concat([allowed[cells], rows[cells]], ignore_index=True)
    kinds = both.groupby(cells, dropna=False, sort=False).ngroup().to_numpy()
    kinds_of_rows = kinds[len(allowed) :]
    series_of = frame["series"].to_numpy()
    lengths = np.bincount(series_of)
    published = np.zeros(len(lengths), dtype=bool)
    for _, pattern in allowed.groupby("pattern"):
        wanted = np.zeros(len(both), dtype=bool)
        wanted[kinds[pattern.index]] = True
        met = np.bincount(series_of[wanted[kinds_of_rows]], minlength=len(lengths))
        published |= (met == len(pattern)) & (lengths == len(pattern))
    return np.flatnonzero(~published).astype(np.int64)


def _why(rows: list[Band], sets: dict[str, Edges], amending: frozenset[str]) -> Iterator[Finding]:
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
    corrected = [row.source in amending for row in rows]
    if all(corrected):  # a whole table that an erratum prints anew keeps a pattern like any other
        corrected = [False] * len(rows)
    yield from _off_times(rows, PATTERNS[name], corrected)
    yield from _off_pressures(rows, PATTERNS[name], first.gauge, corrected)


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


def _off_times(rows: list[Band], patterns: tuple[Pattern, ...], corrected: list[bool]) -> Iterator[Finding]:
    kept = [at for at, other in enumerate(corrected) if not other]
    runs = {
        tuple(rows[at].minutes - pattern.rise[at] + other for other in pattern.rise)
        for pattern in patterns
        for at in kept
    }
    run = min(sorted(runs), key=lambda r: sum(rows[at].minutes != r[at] for at in kept))
    if patterns[0].rise[-1]:
        prints = " or ".join("/".join(map(str, pattern.rise)) for pattern in patterns)
        published = f"published times rise by {prints} min along the bands"
    else:
        published = "published times under pressure are the same in all bands"
    for row, minutes, by_erratum in zip(rows, run, corrected, strict=True):
        if row.minutes != minutes and not (by_erratum and row.minutes > minutes):
            yield row.finding(NAME, "minutes", f"is out of step; the other bands give {minutes:g}", published)


def _off(row: Band, psi: float) -> bool:
    return row.pressure_psi != psi and not (row.pressure_psi != row.pressure_psi and psi != psi)


def _off_pressures(
    rows: list[Band], patterns: tuple[Pattern, ...], gauge: str, corrected: list[bool]
) -> Iterator[Finding]:
    kept = [at for at, other in enumerate(corrected) if not other]
    best = min(patterns, key=lambda pattern: sum(_off(rows[at], pattern.psi[at]) for at in kept))
    if gauge:
        prints = " or ".join("/".join("-" if p != p else f"{p:g}" for p in pattern.psi) for pattern in patterns)
        published = f"published pressures along the bands ({gauge}): {prints} psi"
    else:
        published = "boiling water has no pressure"
    cells = zip(rows, best.psi, best.recommended, corrected, strict=True)
    for row, psi, recommended, by_erratum in cells:
        if by_erratum and (row.pressure_psi > psi or (recommended and row.status != "tested")):
            continue
        if _off(row, psi):
            given = "blank" if psi != psi else f"{psi:g}"
            yield row.finding(NAME, "pressure_psi", f"is out of step; the other bands give {given}", published)
        if (row.status == "tested") != recommended:
            said = (
                "tested, where the other bands give not recommended"
                if not recommended
                else ("printed as not recommended, where the other bands give a pressure")
            )
            yield row.finding(NAME, "", f"{row.said}: {said}", "not recommended is printed above 1,000 ft for 15 psi")
