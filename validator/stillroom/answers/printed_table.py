"""Printed table: every cell that a publication prints for one food, as it stands there, and what goes with it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

from stillroom.answers import conditions, wording
from stillroom.answers.answer import Stated, written
from stillroom.answers.charts import Band, Combination, band_at
from stillroom.answers.names import Meaning
from stillroom.answers.shelf import Shelf
from stillroom.package.records import NotRecommended, Schedule

TESTED, NOT_RECOMMENDED = "tested", "not recommended"


class PrintedCell(NamedTuple):
    """One cell.

    Attributes
    ----------
    food, form, pack, jar, canner : str
        Ids; form and pack blank where the publication names none. The food is the one the table is printed for.
    altitude_from_ft, altitude_to_ft : int, int or None
        Printed band, feet; None: no upper limit.
    minutes : int
    pressure_psi : int or None
        None in boiling water, and in a cell that is not recommended.
    result : str
        ``tested``, or ``not recommended``: then the time is no answer.
    caption, source, page : str
        What the table calls the food, the source id and the printed page.
    """

    food: str
    form: str
    pack: str
    jar: str
    canner: str
    altitude_from_ft: int
    altitude_to_ft: int | None
    minutes: int
    pressure_psi: int | None
    result: str
    caption: str
    source: str
    page: str


class FoodTable(NamedTuple):
    """All that is printed for one food. Prints itself as text.

    Attributes
    ----------
    food, title : str
    altitude_ft : float or None
        The height whose bands are shown, feet; None: all bands.
    follows : Stated or None
        Set when the publication sends this food to the table of another.
    cells : tuple of PrintedCell
        By canner, form, pack, jar and band, equal options longest first.
    ends : tuple of str
        Where a height was asked for: tables that end below it, each in a sentence.
    carried : tuple of Stated
        Rules that carry printed times to other jars and other canners.
    requires : tuple of Stated
        Acid and other conditions, for whichever pack and jar they say.
    """

    food: str
    title: str
    altitude_ft: float | None
    follows: Stated | None
    cells: tuple[PrintedCell, ...]
    ends: tuple[str, ...]
    carried: tuple[Stated, ...]
    requires: tuple[Stated, ...]

    def to_dict(self) -> dict[str, Any]:
        """Lay the table out as plain values, in the shape of schema/answer.json."""
        return dict(written("table_document", self))

    def __str__(self) -> str:
        return str(written("table_text", self))


def printed(shelf: Shelf, meaning: Meaning, altitude_ft: float | None = None) -> FoodTable:
    """Collect what is printed for a food.

    Parameters
    ----------
    shelf : Shelf
    meaning : Meaning
        The food, and the form and pack that its name tells of, if it does: then those alone.
    altitude_ft : float, optional
        Height in feet whose bands are wanted; all bands by default.
    """
    food = meaning.food
    rows = {
        at: bands
        for at, bands in shelf.chart_of(food).items()
        if meaning.form in ("", at.form) and meaning.pack in ("", at.pack)
    }
    in_order = sorted(rows, key=lambda at: _place(shelf, at))
    return FoodTable(
        food,
        shelf.foods[food].title,
        altitude_ft,
        conditions.follows(shelf, food),
        tuple(cell for at in in_order for cell in _cells(at, rows[at], altitude_ft)),
        () if altitude_ft is None else tuple(dict.fromkeys(_ends(shelf, rows, altitude_ft))),
        tuple(_carried(shelf, food, rows)),
        tuple(_requires(shelf, food, rows, altitude_ft)),
    )


def _place(shelf: Shelf, at: Combination) -> tuple[object, ...]:
    canners = ("boiling-water", "dial", "weighted")
    return canners.index(at.canner), at.form, at.pack, shelf.jars[at.jar].volume_fl_oz


def _cells(at: Combination, bands: tuple[Band, ...], altitude_ft: float | None) -> Iterator[PrintedCell]:
    here = bands if altitude_ft is None else tuple(band for band in (band_at(bands, altitude_ft),) if band is not None)
    for band in here:
        yield from (_cell(at, cell, TESTED, cell.pressure_psi) for cell in band.cells)
        yield from (_cell(at, cell, NOT_RECOMMENDED, None) for cell in band.not_recommended)


def _cell(at: Combination, cell: Schedule | NotRecommended, result: str, psi: int | None) -> PrintedCell:
    return PrintedCell(
        cell.food,
        *at,
        cell.altitude_from_ft,
        cell.altitude_to_ft,
        cell.minutes,
        psi,
        result,
        cell.caption,
        cell.source,
        cell.page,
    )


def _ends(shelf: Shelf, rows: dict[Combination, tuple[Band, ...]], altitude_ft: float) -> Iterator[str]:
    for at, bands in rows.items():
        if band_at(bands, altitude_ft) is None:
            canner, top = shelf.canners[at.canner].title, bands[-1].to_ft
            yield f"The table for a {canner} ends at {top:,} ft; {wording.height(altitude_ft)} is above it."


def _carried(shelf: Shelf, food: str, rows: dict[Combination, tuple[Band, ...]]) -> Iterator[Stated]:
    jars = {at.jar for at in rows}
    for rule in shelf.package.jar_rules:
        if rule.food in ("", food, shelf.owner(food)) and rule.takes in jars and rule.jar not in jars:
            yield conditions.carried_by(shelf, rule)
    if any(at.canner == "boiling-water" for at in rows) and shelf.foods[food].acidity != "low-acid":
        yield from (shelf.rules.stated(canner.by_rule) for canner in shelf.canners.values() if canner.by_rule)


def _requires(
    shelf: Shelf, food: str, rows: dict[Combination, tuple[Band, ...]], altitude_ft: float | None
) -> Iterator[Stated]:
    given = set()
    for at in rows:
        for stated in conditions.facts(shelf, food, at, at.jar, altitude_ft).requires:
            if stated not in given:
                given.add(stated)
                yield stated
