"""Charts: the published rows of one food, laid out by form, pack, jar, canner and altitude band."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from stillroom.records import Schedule


class Combination(NamedTuple):
    """What a printed row is for: ids, blank where the publication names none."""

    form: str
    pack: str
    jar: str
    canner: str


class Band(NamedTuple):
    """An altitude band in feet with its printed cells, in print order. ``to_ft`` None: no upper limit is published."""

    from_ft: int
    to_ft: int | None
    cells: tuple[Schedule, ...]


Chart = dict[Combination, tuple[Band, ...]]


def canner_of(cell: Schedule) -> str:
    """Canner a cell is for: its gauge, or boiling-water where it has none."""
    return cell.gauge or cell.method


def chart(cells: Iterable[Schedule]) -> Chart:
    """Lay out the cells of one food."""
    laid: dict[Combination, dict[tuple[int, int | None], list[Schedule]]] = {}
    for cell in cells:
        bands = laid.setdefault(Combination(cell.form, cell.pack, cell.jar, canner_of(cell)), {})
        bands.setdefault((cell.altitude_from_ft, cell.altitude_to_ft), []).append(cell)
    return {
        combination: tuple(
            Band(low, high, tuple(sorted(cells, key=lambda cell: -cell.minutes)))
            for (low, high), cells in sorted(bands.items(), key=lambda item: item[0][0])
        )
        for combination, bands in laid.items()
    }


def band_at(bands: tuple[Band, ...], altitude_ft: float) -> Band | None:
    """Band an altitude falls in; below the first counts as the first; None above the last published limit.

    A band reaches up to and including its upper limit, and the next begins just above it: 1,000.5 ft is in the band
    that is printed from 1,001 ft.
    """
    for band in bands:
        if band.to_ft is None or altitude_ft <= band.to_ft:
            return band
    return None
