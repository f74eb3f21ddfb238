"""Bands: each combination has one published set of altitude bands, its times and pressures in a published pattern.

What it does
------------
Takes the rows of each food, form, pack, jar and canner along the altitude. The bands must be one of the sets that
their own publication prints for that canner (shared/altitude-bands.csv): no hole, no overlap, no band twice. Times and
pressures must run along them in one of its patterns (shared/band-patterns.csv). In the 2015 guide boiling-water times
rise by 0/5/10, 0/5/10/15 or 0/5/5/10 minutes over the first band; under pressure the time is the same in all bands, and
the pressure 11/12/13/14 or 6/7/8/9 psi on a dial gauge, 10/15 or 5/10 psi on a weighted gauge, or 15 psi and then
"not recommended". A publication that declares no bands for a canner has no rows for it. Bands printed in meters end on
the whole foot below; a pattern that no row keeps is a finding. Boiling water has neither gauge nor pressure. A row that
an erratum corrects (``amends`` in shared/sources.csv) may take more time or pressure than the pattern of the rows
beside it, never less.

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

from stillroom.findings import metric
from stillroom.findings.finding import Finding

if TYPE_CHECKING:
    import numpy as np
    import pandas as pd
    from numpy.typing import NDArray

    from stillroom.findings.opened import CheckedPackage
    from stillroom.findings.series import Band
    from stillroom.findings.table import Table

NAME = "bands"
GAUGES = ("", "dial", "weighted")
"""Gauges of a canner; blank for boiling water."""


class Pattern(NamedTuple):
    """A published run along the bands: minutes over the first band, psi (not a number: blank), recommended or not."""

    rise: tuple[float, ...]
    psi: tuple[float, ...]
    recommended: tuple[bool, ...]


Edges = tuple[tuple[float, float], ...]


class BandSet(NamedTuple):
    """One set of bands of one publication: its name, edges in feet (not a number where open), and its patterns."""

    name: str
    edges: Edges
    patterns: tuple[Pattern, ...]


Sets = dict[tuple[str, str], list[BandSet]]
"""Sets of bands by publication and gauge (blank: boiling water)."""


def gauge_of(band_set: str) -> str:
    """Gauge of a set of bands, by its name; blank for boiling water."""
    canner = metric.canner_of(band_set)
    return "" if canner == "boiling-water" else canner


def published(package: CheckedPackage) -> Sets:
    """Read the sets of bands that publications declare, with their patterns."""
    table = package.table("altitude-bands")
    froms, tos = table.number("altitude_from_ft"), table.number("altitude_to_ft")
    edges: dict[tuple[str, str], list[tuple[float, float]]] = {}
    for row, low, high in zip(table.rows, froms.tolist(), tos.tolist(), strict=True):
        edges.setdefault((row["source"], row["band_set"]), []).append((low, high))
    patterns = _patterns(package.table("band-patterns"))
    sets: Sets = {}
    for (source, name), ends in edges.items():
        runs = patterns.get((source, name), {})
        fitting = tuple(_pattern(runs[n], gauge_of(name)) for n in sorted(runs) if _meets(runs[n], ends))
        sets.setdefault((source, gauge_of(name)), []).append(BandSet(name, tuple(sorted(ends)), fitting))
    return sets


_Run = list[tuple[float, float, float]]
"""Rows of one pattern: lowest altitude, feet, minutes over the first band, and psi."""


def _patterns(table: Table) -> dict[tuple[str, str], dict[float, _Run]]:
    numbers = (table.number(name).tolist() for name in ("pattern", "altitude_from_ft", "rise_min", "pressure_psi"))
    patterns: dict[tuple[str, str], dict[float, _Run]] = {}
    for row, number, *cells in zip(table.rows, *numbers, strict=True):
        low, rise, psi = cells
        runs = patterns.setdefault((row["source"], row["band_set"]), {})
        runs.setdefault(number, []).append((low, rise, psi))
    return patterns


def _meets(run: _Run, ends: list[tuple[float, float]]) -> bool:
    return sorted(low for low, _, _ in run) == sorted(low for low, _ in ends)


def _pattern(run: _Run, gauge: str) -> Pattern:
    _, rise, psi = zip(*sorted(run), strict=True)
    return Pattern(rise, psi, tuple(not gauge or p == p for p in psi))


def check(package: CheckedPackage) -> Iterator[Finding]:
    """Yield rows that leave their bands or their pattern."""
    from stillroom.findings import series

    sets = published(package)
    yield from _sets_themselves(package)
    yield from _patterns_themselves(package, sets)
    frame = package.series
    kept = _kept(frame, sets, package.publications)
    yield from _needless(package, sets, kept.patterns)
    for rows in series.each(frame, kept.unpublished):
        yield from _why(rows, sets, package)


def _sets_themselves(package: CheckedPackage) -> Iterator[Finding]:
    """Yield sets with a hole or an overlap, and feet that are not those of the printed meters."""
    table = package.table("altitude-bands")
    sets: dict[tuple[str, str], list[dict[str, str]]] = {}
    for row in table.rows:
        sets.setdefault((row["source"], row["band_set"]), []).append(row)
    for (source, name), rows in sets.items():
        rows.sort(key=lambda row: _whole(row["altitude_from_ft"]))
        ends = [(_whole(row["altitude_from_ft"]), _whole(row["altitude_to_ft"])) for row in rows]
        joined = all(upper[0] == lower[1] + 1 and lower[1] > lower[0] for lower, upper in pairwise(ends))
        if ends[0][0] != 0 or not joined or not (rows[-1]["altitude_to_ft"] == "" or ends[-1][1] > ends[-1][0]):
            said = f"set {name} of {source} does not run from 0 ft without hole or overlap"
            yield Finding(NAME, table.file, None, "", "", said, "", "restore the bands of the tables")
        elif not _metric(rows):
            said = f"set {name} of {source}: its feet are not those of its printed meters"
            published = "a band ends on the whole foot below its last meter, and the next begins on the foot after it"
            yield Finding(NAME, table.file, None, "", "", said, published, "convert the printed meters again")
    known = {source for source, _ in sets}
    for source in {row["source"] for row in package.table("guides").rows} - known:
        said = f"{source} has guides and no altitude bands"
        yield Finding(NAME, table.file, None, "source", source, said, "", "declare the bands that it prints")


def _whole(text: str) -> int:
    """Whole number of a cell; far below any where it has none: the structure check names it."""
    return int(text) if text.isascii() and text.isdigit() else -(10**6)


def _metric(rows: list[dict[str, str]]) -> bool:
    """Whether the feet of one set are those of its meters, if it has any."""
    if not any(row["altitude_from_m"] or row["altitude_to_m"] for row in rows):
        return True
    ends = [(_whole(row["altitude_from_m"]), _whole(row["altitude_to_m"])) for row in rows]
    feet = [str(metric.top_ft(high)) if high >= 0 else "" for _, high in ends]
    joined = all(upper[0] - lower[1] in (0, 1) for lower, upper in pairwise(ends))
    return ends[0][0] == 0 and joined and feet == [row["altitude_to_ft"] for row in rows]


def _patterns_themselves(package: CheckedPackage, sets: Sets) -> Iterator[Finding]:
    """Yield patterns that do not have one row for each band of a declared set, or do not begin with no rise."""
    table = package.table("band-patterns")
    for (source, name), runs in _patterns(table).items():
        edges = next((s.edges for s in sets.get((source, gauge_of(name)), ()) if s.name == name), ())
        for number, run in runs.items():
            gauge = gauge_of(name)
            first = min(run)
            pressed = any(psi == psi for _, _, psi in run)
            good = _meets(run, list(edges)) and first[1] == 0 and pressed == bool(gauge)
            good = good and (not gauge or all(rise == 0 for _, rise, _ in run))
            if not good:
                said = f"pattern {number:g} of set {name} of {source} does not fit its bands"
                yield Finding(NAME, table.file, None, "", "", said, "", "restore the pattern of the tables")
    for (source, _), of_canner in sets.items():
        for one in of_canner:
            if not one.patterns:
                said = f"set {one.name} of {source} has no pattern"
                yield Finding(NAME, table.file, None, "", "", said, "", "declare how its rows run along the bands")


def _needless(package: CheckedPackage, sets: Sets, kept: set[str]) -> Iterator[Finding]:
    table = package.table("band-patterns")
    for (source, _), of_canner in sets.items():
        for one in of_canner:
            for number in range(len(one.patterns)):
                if _label(source, one.name, number) not in kept:
                    said = f"set {one.name} of {source}: no rows keep the pattern {_prints((one.patterns[number],))}"
                    yield Finding(NAME, table.file, None, "", "", said, "", "remove it, or compare it with the tables")


def _label(source: str, name: str, number: int) -> str:
    return f"{source} {name} {number}"


class _Allowed(NamedTuple):
    """One row of a published pattern. ``rise`` is minutes over the first band of its series."""

    pattern: str
    position: int
    publication: str
    gauge: str
    method: str
    altitude_from_ft: float
    altitude_to_ft: float
    rise: float
    pressure_psi: float
    status: str


def _allowed(sets: Sets) -> Iterator[_Allowed]:
    """Give all rows of all published patterns."""
    for (source, gauge), of_canner in sets.items():
        for one in of_canner:
            for number, pattern in enumerate(one.patterns):
                cells = zip(one.edges, pattern.rise, pattern.psi, pattern.recommended, strict=True)
                for position, ((low, high), rise, psi, recommended) in enumerate(cells):
                    yield _Allowed(
                        _label(source, one.name, number), position, source, gauge,
                        "pressure" if gauge else "boiling-water", low, high,
                        rise, psi, "tested" if recommended else "not-recommended",
                    )  # fmt: skip


class _Kept(NamedTuple):
    """Numbers of the series that keep no pattern, and the patterns that some series keeps."""

    unpublished: NDArray[np.int64]
    patterns: set[str]


def _kept(frame: pd.DataFrame, sets: Sets, publications: dict[str, str]) -> _Kept:
    """Hold each series to the patterns of its own publication."""
    import numpy as np
    import pandas as pd

    cells = list(_Allowed._fields[1:])
    allowed = pd.DataFrame(_allowed(sets), columns=list(_Allowed._fields))
    rows = frame.assign(
        rise=frame["minutes"] - frame.groupby("series", sort=False)["minutes"].transform("first"),
        publication=frame["source"].astype(object).map(publications),
    )
    for name in ("gauge", "method", "status"):
        rows[name] = rows[name].astype(object)
    both = pd.concat([allowed[cells], rows[cells]], ignore_index=True)
    kinds = both.groupby(cells, dropna=False, sort=False).ngroup().to_numpy()
    kinds_of_rows = kinds[len(allowed) :]
    series_of = frame["series"].to_numpy()
    lengths = np.bincount(series_of)
    published = np.zeros(len(lengths), dtype=bool)
    kept = set()
    for label, pattern in allowed.groupby("pattern"):
        wanted = np.zeros(len(both), dtype=bool)
        wanted[kinds[pattern.index]] = True
        met = np.bincount(series_of[wanted[kinds_of_rows]], minlength=len(lengths))
        whole = (met == len(pattern)) & (lengths == len(pattern))
        if whole.any():
            kept.add(str(label))
        published |= whole
    return _Kept(np.flatnonzero(~published).astype(np.int64), kept)


def _why(rows: list[Band], sets: Sets, package: CheckedPackage) -> Iterator[Finding]:
    """Say what is wrong with one series."""
    first = rows[0]
    if (first.method == "pressure") != bool(first.gauge) or first.gauge not in GAUGES:
        said = "is blank under pressure" if not first.gauge else "stands with boiling water"
        for row in rows:
            yield row.finding(
                NAME, "gauge", said, "pressure canners have a dial or a weighted gauge, boiling water none"
            )
        return
    of = [package.publications.get(row.source, row.source) for row in rows]
    own = max(dict.fromkeys(of), key=of.count)
    strange = [row for row, publication in zip(rows, of, strict=True) if publication != own]
    for row in strange:
        yield row.finding(NAME, "source", f"stands among rows of {own}", "a table is of one publication")
    usable = sets.get((own, first.gauge), [])
    if not usable:
        said = (
            f"declares no altitude bands for this canner ({first.gauge or first.method}) in shared/altitude-bands.csv"
        )
        yield first.finding(NAME, "source", said, "each publication is held to its own bands", "declare its bands")
        return
    nearest = min(usable, key=lambda one: len(set(_edges(rows)) ^ set(_blank(one.edges))))
    off = list(_off_bands(rows, nearest.edges, [one.edges for one in usable]))
    if off or strange or not nearest.patterns:
        yield from off
        return
    corrected = [row.source in package.amending for row in rows]
    if all(corrected):  # a whole table that an erratum prints anew keeps a pattern like any other
        corrected = [False] * len(rows)
    yield from _off_times(rows, nearest.patterns, corrected)
    yield from _off_pressures(rows, nearest.patterns, first.gauge, corrected)


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
        prints = " or ".join("/".join(f"{rise:g}" for rise in pattern.rise) for pattern in patterns)
        published = f"published times rise by {prints} min along the bands"
    else:
        published = "published times under pressure are the same in all bands"
    for row, minutes, by_erratum in zip(rows, run, corrected, strict=True):
        if row.minutes != minutes and not (by_erratum and row.minutes > minutes):
            yield row.finding(NAME, "minutes", f"is out of step; the other bands give {minutes:g}", published)


def _prints(patterns: tuple[Pattern, ...]) -> str:
    """Patterns in words: their pressures, or the rise of their times."""
    runs = [pattern.rise if all(p != p for p in pattern.psi) else pattern.psi for pattern in patterns]
    return " or ".join("/".join("-" if value != value else f"{value:g}" for value in run) for run in runs)


def _off(row: Band, psi: float) -> bool:
    return row.pressure_psi != psi and not (row.pressure_psi != row.pressure_psi and psi != psi)


def _off_pressures(
    rows: list[Band], patterns: tuple[Pattern, ...], gauge: str, corrected: list[bool]
) -> Iterator[Finding]:
    kept = [at for at, other in enumerate(corrected) if not other]
    best = min(patterns, key=lambda pattern: sum(_off(rows[at], pattern.psi[at]) for at in kept))
    if gauge:
        published = f"published pressures along the bands ({gauge}): {_prints(patterns)} psi"
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
