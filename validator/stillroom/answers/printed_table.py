"""Printed table: every cell that a publication prints for one food, as it stands there, and what goes with it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any, NamedTuple

from stillroom.answers import conditions, derived, wording
from stillroom.answers.answer import Stated, written
from stillroom.answers.charts import Band, Combination, band_at
from stillroom.answers.names import Meaning
from stillroom.answers.shelf import Shelf
from stillroom.package.records import JarRule, NotRecommended, Schedule

TESTED, NOT_RECOMMENDED = "tested", "not recommended"
Rows = dict[Combination, tuple[Band, ...]]


class PrintedCell(NamedTuple):
    """One cell.

    Attributes
    ----------
    food, form, pack, jar, canner : str
        Ids; form and pack blank where the publication names none. The food is the one the table is printed for.
    altitude_from_ft, altitude_to_ft : int, int or None
        Printed band, feet; None: no upper limit.
    minutes : int or None
        None in a cell that is not recommended.
    pressure_psi : int or None
        None in boiling water, and in a cell that is not recommended.
    result : str
        ``tested`` or ``not recommended``.
    caption, source, page : str
        What the table calls the food, the source id and the printed page.
    not_recommended_minutes : int or None
        The time that is printed as not recommended: no answer.
    """

    food: str
    form: str
    pack: str
    jar: str
    canner: str
    altitude_from_ft: int
    altitude_to_ft: int | None
    minutes: int | None
    pressure_psi: int | None
    result: str
    caption: str
    source: str
    page: str
    not_recommended_minutes: int | None = None


class FoodTable(NamedTuple):
    """All that is printed for one food. Prints itself as text.

    Attributes
    ----------
    food, title : str
        Food id, and its title.
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
        Acid and other conditions; one that is not for every row begins with the pack, jars or canner it is for.
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
        if meaning.form in ("", at.form) and (not meaning.pack or at.pack in ("", meaning.pack))
    }
    in_order = sorted(rows, key=lambda at: _place(shelf, at))
    return FoodTable(
        food,
        shelf.foods[food].title,
        altitude_ft,
        conditions.follows(shelf, food),
        tuple(cell for at in in_order for cell in _cells(at, rows[at], altitude_ft)),
        () if altitude_ft is None else tuple(dict.fromkeys(_ends(shelf, rows, altitude_ft))),
        tuple(_carried(shelf, food, rows, altitude_ft)),
        tuple(_requires(shelf, meaning, rows, altitude_ft)),
    )


def _place(shelf: Shelf, at: Combination) -> tuple[object, ...]:
    return list(shelf.canners).index(at.canner), at.form, at.pack, shelf.jars[at.jar].volume_fl_oz


def _cells(at: Combination, bands: tuple[Band, ...], altitude_ft: float | None) -> Iterator[PrintedCell]:
    here = bands if altitude_ft is None else tuple(band for band in (band_at(bands, altitude_ft),) if band is not None)
    for band in here:
        yield from (_cell(at, cell, TESTED, cell.minutes, cell.pressure_psi) for cell in band.cells)
        yield from (
            _cell(at, cell, NOT_RECOMMENDED, None, None)._replace(not_recommended_minutes=cell.minutes)
            for cell in band.not_recommended
        )


def _cell(
    at: Combination, cell: Schedule | NotRecommended, result: str, minutes: int | None, psi: int | None
) -> PrintedCell:
    return PrintedCell(
        cell.food,
        *at,
        cell.altitude_from_ft,
        cell.altitude_to_ft,
        minutes,
        psi,
        result,
        cell.caption,
        cell.source,
        cell.page,
    )


def _ends(shelf: Shelf, rows: Rows, altitude_ft: float) -> Iterator[str]:
    for at, bands in rows.items():
        if band_at(bands, altitude_ft) is None:
            canner, top = shelf.canners[at.canner].title, bands[-1].to_ft
            yield f"The table for a {canner} ends at {top:,} ft; {wording.height(altitude_ft)} is above it."


def _carried(shelf: Shelf, food: str, rows: Rows, altitude_ft: float | None) -> Iterator[Stated]:
    """Rules that carry what is printed elsewhere: to jars, and to a canner that may take one of the times at all."""
    taken = tuple(_taken(shelf, food, rows))
    for rule in dict.fromkeys(rule for _, rule in taken):
        yield conditions.carried_by(shelf, rule)
    without = [
        shelf.jars[rule.jar].plural
        for at, rule in taken
        if any(
            needed.jar not in (None, rule.jar) for needed in conditions.facts(shelf, food, at, rule.takes, None).acid
        )
    ]
    if without:
        said = f"No amount of acid is printed for {wording.listed(list(dict.fromkeys(without)), 'and')}."
        yield Stated("acid-not-printed", said, None, None)
    boiled = [
        cell.minutes
        for at, bands in rows.items()
        if at.canner == derived.TAKES
        for cell in _cells(at, bands, altitude_ft)
        if cell.minutes is not None
    ]
    for canner in shelf.canners.values():
        if (
            canner.by_rule
            and shelf.of_guide(food)
            and any(minutes <= shelf.rules.whole(canner.by_rule) for minutes in boiled)
        ):
            yield shelf.rules.stated(canner.by_rule)


def _taken(shelf: Shelf, food: str, rows: Rows) -> Iterator[tuple[Combination, JarRule]]:
    """Jars that take the time of another by a rule, as ``find`` carries it: where their own row is not printed."""
    for jar in shelf.jars:
        rule = shelf.jar_rule(food, jar)
        if rule is not None:
            yield from (
                (other, rule) for at in rows if at.jar == rule.takes and (other := at._replace(jar=jar)) not in rows
            )


def _requires(shelf: Shelf, meaning: Meaning, rows: Rows, altitude_ft: float | None) -> Iterator[Stated]:
    """What must hold, acid first; a sentence that is not for every row says for which, and stands once."""
    holds: dict[Stated, list[Combination]] = {}
    pages: dict[Stated, list[Stated]] = {}
    every = [*((at, at.jar) for at in rows)]
    every += [(other, rule.takes) for other, rule in _taken(shelf, meaning.food, rows)]
    for at, jar in every:
        facts = conditions.facts(shelf, meaning.food, at, jar, altitude_ft)
        lent = at.jar != jar and any(needed.jar not in (None, at.jar) for needed in facts.acid)
        for stated in facts.requires:
            if not (lent and stated.id == conditions.ACID):
                once = stated._replace(page=None, source=stated.source and stated.source._replace(page=""))
                holds.setdefault(once, []).append(at)
                pages.setdefault(once, []).append(stated)
    if meaning.pack:
        yield Stated("only-pack", f"{wording.capital(meaning.said)}: only {meaning.pack} pack is tested.", None, None)
    for once in sorted(holds, key=lambda stated: stated.id != conditions.ACID):
        label = "" if once.id == conditions.ACID else _for_what(shelf, holds[once], [at for at, _ in every])
        printed_on = [stated.page for stated in pages[once] if stated.page]
        where = wording.listed(list(dict.fromkeys(printed_on)), "and") or None
        yield pages[once][0]._replace(text=wording.labeled(label, once.text) if label else once.text, page=where)


def _for_what(shelf: Shelf, some: list[Combination], every: list[Combination]) -> str:
    """Name the form, pack, jars and canners of some rows where they are not those of all."""
    named: dict[str, Callable[[str], str]] = {
        "form": lambda form: shelf.in_words("form", form) or "no form named",
        "pack": lambda pack: shelf.in_words("pack", pack) or "no pack named",
        "jar": lambda jar: shelf.jars[jar].plural,
        "canner": lambda canner: f"{shelf.canners[canner].method} canner",
    }
    parts = []
    for field, told in named.items():
        here = {getattr(at, field) for at in some}
        if here != {getattr(at, field) for at in every}:
            parts.append(wording.listed(sorted({told(one) for one in here}), "and"))
    return ", ".join(parts)
