"""Charts: the published rows of one food, laid out by form, pack, jar, canner and altitude band."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple, TypeVar

from stillroom.package.records import NotRecommended, Schedule


class Combination(NamedTuple):
    """What a printed row is for: ids, blank where the publication names none."""

    form: str
    pack: str
    jar: str
    canner: str


Left = dict[str, str | None]
"""Form, pack, jar and canner as asked; None where it was left out."""


class Band(NamedTuple):
    """An altitude band in feet with its printed cells, longest time first.

    ``to_ft`` None: no upper limit is published. ``not_recommended``: cells printed so, which answer nothing.
    """

    from_ft: int
    to_ft: int | None
    cells: tuple[Schedule, ...]
    not_recommended: tuple[NotRecommended, ...]


Chart = dict[Combination, tuple[Band, ...]]


def canner_of(cell: Schedule | NotRecommended) -> str:
    """Canner a cell is for: its gauge, or boiling-water where it has none."""
    return cell.gauge or cell.method


def chart(cells: Iterable[Schedule], not_recommended: Iterable[NotRecommended] = ()) -> Chart:
    """Lay out the cells of one food, and those printed as not recommended beside them."""
    tested, against = _laid(cells), _laid(not_recommended)
    return {
        at: tuple(
            Band(low, high, _longest_first(tested, at, (low, high)), _longest_first(against, at, (low, high)))
            for low, high in sorted({*tested.get(at, ()), *against.get(at, ())}, key=lambda edges: edges[0])
        )
        for at in (*tested, *(other for other in against if other not in tested))
    }


Edges = tuple[int, int | None]
Cell = TypeVar("Cell", Schedule, NotRecommended)


def _laid(cells: Iterable[Cell]) -> dict[Combination, dict[Edges, list[Cell]]]:
    laid: dict[Combination, dict[Edges, list[Cell]]] = {}
    for cell in cells:
        bands = laid.setdefault(Combination(cell.form, cell.pack, cell.jar, canner_of(cell)), {})
        bands.setdefault((cell.altitude_from_ft, cell.altitude_to_ft), []).append(cell)
    return laid


def _longest_first(
    laid: dict[Combination, dict[Edges, list[Cell]]], combination: Combination, edges: Edges
) -> tuple[Cell, ...]:
    return tuple(sorted(laid.get(combination, {}).get(edges, ()), key=lambda cell: -cell.minutes))


def band_at(bands: tuple[Band, ...], altitude_ft: float) -> Band | None:
    """Band an altitude falls in; below the first counts as the first; None above the last published limit.

    A band reaches up to and including its upper limit, and the next begins just above it: 1,000.5 ft is in the band
    that is printed from 1,001 ft.
    """
    for band in bands:
        if band.to_ft is None or altitude_ft <= band.to_ft:
            return band
    return None
