"""Refusal: why a question has no tested answer, and the tested combinations that come nearest to it."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, NamedTuple

from stillroom.answers import wording
from stillroom.answers.answer import Citation, NoTestedSchedule, Process, Stated, Tested
from stillroom.answers.charts import Band, Chart, Combination, Left, band_at
from stillroom.package.records import Schedule

if TYPE_CHECKING:
    from stillroom.answers.heard import Heard
    from stillroom.answers.names import Meaning
    from stillroom.answers.shelf import Shelf


_LARGEST = {"smoked-fish-jars": "pint"}
"""Statements that name the largest jar of a food."""


class _Why(NamedTuple):
    code: str
    reason: str
    rule: str | None = None
    source: Citation | None = None


def _earlier(shelf: Shelf, food: str, asked: Combination) -> Stated | None:
    from stillroom.answers import earlier

    return earlier.of_way(shelf.package, food, asked, shelf.canners[asked.canner].method, shelf.cite)


class Why(NamedTuple):
    """Why a combination is refused at any altitude, in a whole sentence; kept, so that asking again costs nothing."""

    code: str
    reason: str
    source: Citation | None


def why_untested(shelf: Shelf, food: str, asked: Combination, about: Left) -> Why:
    """Say why a combination has no row: the first thing that is untested names the code.

    Parameters
    ----------
    shelf : Shelf
    food : str
        Food id.
    asked : Combination
        What was looked up; blank where it was left out.
    about : dict
        What was asked, None where it was left out.
    """
    rows = shelf.chart_of(food)
    why = _canner(shelf, food, rows, asked) or _pack(shelf, rows, asked, about["pack"])
    why = why or _jar(shelf, food, rows, asked, about)
    cited = shelf.rules.cite(why.rule) if why.rule else why.source
    return Why(why.code, f"{shelf.foods[food].title}: {why.reason}", cited)


def untested(
    shelf: Shelf, food: str, why: Why, asked: Combination, about: Left, altitude_ft: float
) -> NoTestedSchedule:
    """Refuse a combination without a row; altitude in feet, only to say what differs."""
    near = partial(nearest, shelf, food, about, altitude_ft)
    return NoTestedSchedule(*why, near, partial(_earlier, shelf, food, asked))


def untested_word(shelf: Shelf, food: str, heard: Heard, about: Left, altitude_ft: float) -> NoTestedSchedule:
    """Refuse a jar that people have and that no publication here has tested."""
    have = {combination.jar for combination in shelf.chart_of(food)}
    by_size = sorted(shelf.jars.values(), key=lambda jar: jar.volume_fl_oz)
    tested = wording.listed([jar.plural for jar in by_size if jar.id in have], "and")
    reason = f"{shelf.foods[food].title}: {heard.untested} Tested jars: {tested}."
    return NoTestedSchedule("jar-not-tested", reason, None, partial(nearest, shelf, food, about, altitude_ft))


def other_kind(shelf: Shelf, meaning: Meaning, asked: Combination, altitude_ft: float | None) -> NoTestedSchedule:
    """Refuse a pack that is tested for other kinds of the food than the one that was named.

    Parameters
    ----------
    shelf : Shelf
    meaning : Meaning
        What was named, with the only pack it is tested in.
    asked : Combination
    altitude_ft : float or None
        Altitude, feet; None where none was asked for, and then nothing near is named.
    """
    row = next(
        (
            row
            for row in shelf.package.conditions
            if (row.food, row.pack) == (meaning.food, asked.pack) and shelf.statements[row.statement].kind == "must"
        ),
        None,
    )
    why = "" if row is None else f" {shelf.statements[row.statement].text}"
    return NoTestedSchedule(
        "pack-not-tested",
        f"{wording.capital(meaning.said)}: {asked.pack} pack is not tested for them.{why}",
        None if row is None else shelf.cite(row.page, row.source),
        ()
        if altitude_ft is None
        else partial(nearest, shelf, meaning.food, asked._asdict(), altitude_ft, pack=meaning.pack),
    )


def too_high(
    shelf: Shelf, food: str, asked: Combination, bands: tuple[Band, ...], altitude_ft: float
) -> NoTestedSchedule:
    """Refuse an altitude above the last published band."""
    return NoTestedSchedule(
        "altitude-not-tested",
        f"{shelf.foods[food].title}: the table for a {shelf.canners[asked.canner].title} ends at "
        f"{bands[-1].to_ft:,} ft; {wording.height(altitude_ft)} is above it.",
        _cited_band(shelf, bands[-1]),
        partial(nearest, shelf, food, asked._asdict(), altitude_ft),
    )


def not_recommended(shelf: Shelf, food: str, asked: Combination, band: Band, altitude_ft: float) -> NoTestedSchedule:
    """Refuse a band in which the table prints nothing but not recommended."""
    return NoTestedSchedule(
        "not-recommended",
        f"{shelf.foods[food].title}: the table prints not recommended for "
        f"{wording.span(band.from_ft, band.to_ft)} in a {shelf.canners[asked.canner].title}.",
        _cited_band(shelf, band),
        partial(nearest, shelf, food, asked._asdict(), altitude_ft),
    )


def _cited_band(shelf: Shelf, band: Band) -> Citation:
    page, source = next((cell.page, cell.source) for cells in (band.cells, band.not_recommended) for cell in cells)
    return shelf.cite(page, source)


def _canner(shelf: Shelf, food: str, rows: Chart, asked: Combination) -> _Why | None:
    canner = shelf.canners[asked.canner]
    if shelf.foods[food].acidity == "low-acid" and canner.method != "pressure":
        return _Why(
            "method-unsafe",
            "a low-acid food. Boiling water and steam without pressure do not get hot enough to make it safe; only a "
            "pressure canner does.",
            "low-acid-limit",
        )
    if any(row.canner == asked.canner for row in rows):
        return None
    tested = [shelf.canners[name].title for name in dict.fromkeys(row.canner for row in rows)]
    return _Why("canner-not-tested", f"not tested in a {canner.title}; tested in a {wording.listed(tested)}.")


def _pack(shelf: Shelf, rows: Chart, asked: Combination, pack: str | None) -> _Why | None:
    packs = list(dict.fromkeys(row.pack for row in rows if row.pack and row.canner == asked.canner))
    if not pack or pack in packs:
        return None
    if not packs:
        return _Why("pack-not-tested", "the publication names no hot or raw pack here; leave the pack out.")
    canner = shelf.canners[asked.canner].title
    return _Why("pack-not-tested", f"{pack} pack is not tested in a {canner}; {wording.listed(packs)} pack is.")


def _jar(shelf: Shelf, food: str, rows: Chart, asked: Combination, about: Left) -> _Why:
    have = {
        row.jar
        for row in rows
        if row.canner == asked.canner
        and (about["form"] is None or row.form == asked.form)
        and (about["pack"] is None or row.pack == asked.pack)
    }
    by_size = sorted(shelf.jars.values(), key=lambda jar: jar.volume_fl_oz)
    tested = wording.listed([jar.plural for jar in by_size if jar.id in have], "and")
    wanted = shelf.jars[asked.jar].plural if about["jar"] is not None else "any jar so"
    for_what = "this canner" if about["pack"] is None else "this pack and canner"
    reason = f"not tested in {wanted}; tested jars for {for_what}: {tested}."
    for row in shelf.package.conditions:
        largest = _LARGEST.get(row.statement) if row.food == food else None
        if largest and shelf.jars[asked.jar].volume_fl_oz > shelf.jars[largest].volume_fl_oz:
            said = shelf.statement(row.statement).text
            return _Why("jar-not-tested", f"{reason} {said}", source=shelf.cite(row.page, row.source))
    return _Why("jar-not-tested", reason)


def nearest(
    shelf: Shelf, food: str, asked: Left, altitude_ft: float, most: int = 6, pack: str = ""
) -> tuple[Tested, ...]:
    """Rank the tested combinations of one food: fewest differences first, then the jar nearest in size.

    Parameters
    ----------
    shelf : Shelf
    food : str
        Food id.
    asked : dict
        Form, pack, jar and canner as asked; None where it was left out.
    altitude_ft : float
        Altitude asked for, feet.
    most : int
        How many to give at most.
    pack : str
        The only pack to look at; blank: every pack.
    """
    size = {jar.id: jar.volume_fl_oz for jar in shelf.jars.values()}
    ranked = []
    for combination, bands in shelf.chart_of(food).items():
        cells = [cell for band in bands for cell in band.cells]
        if not cells or pack not in ("", combination.pack):
            continue
        differs = _differences(combination, asked)
        here = band_at(bands, altitude_ft)
        if here is None or not here.cells:
            differs.append(f"altitude: {_reach(cells)} instead of {wording.height(altitude_ft)}")
        if differs:
            off = abs(size[combination.jar] - size[asked["jar"] or combination.jar])
            processes = () if here is None else tuple(Process(cell.minutes, cell.pressure_psi) for cell in here.cells)
            near = _tested(food, combination, cells, tuple(differs))._replace(processes=processes)
            ranked.append(((len(differs), off, combination), near))
    return tuple(tested for _, tested in sorted(ranked, key=lambda item: item[0])[:most])


def _differences(combination: Combination, asked: Left) -> list[str]:
    differs = []
    for field, has in zip(combination._fields, combination, strict=True):
        want = asked[field]
        if want is None and has:
            differs.append(f"{field}: {has}")
        elif want is not None and want != has:
            differs.append(f"{field}: {has or 'none named'} instead of {want or 'none named'}")
    return differs


def _reach(cells: list[Schedule]) -> str:
    low = min(cell.altitude_from_ft for cell in cells)
    highs = [cell.altitude_to_ft for cell in cells]
    return wording.span(low, None if None in highs else max(high for high in highs if high is not None))


def _tested(food: str, combination: Combination, cells: list[Schedule], differs: tuple[str, ...]) -> Tested:
    highs = [cell.altitude_to_ft for cell in cells]
    return Tested(
        food,
        combination.form or None,
        combination.pack or None,
        combination.jar,
        combination.canner,
        min(cell.altitude_from_ft for cell in cells),
        None if None in highs else max(high for high in highs if high is not None),
        cells[0].page,
        differs,
        source=cells[0].source,
    )
