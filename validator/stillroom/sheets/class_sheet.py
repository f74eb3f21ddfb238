"""Class sheet: the printed tables of foods, cell for cell, with the column of the class's own altitude boxed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from stillroom.answers import conditions, wording
from stillroom.answers.charts import Band, band_at
from stillroom.answers.names import Meaning
from stillroom.answers.printed_table import FoodTable, printed
from stillroom.answers.shelf import Shelf
from stillroom.sheets.class_page import OWN, Block, ClassPage, Columns, Heading, Listed, NewPage, Said
from stillroom.sheets.table_sheet import Grid, grids

MOST_TITLES = 3
"""Foods named in the title of a page; more are counted."""


def class_sheet(shelf: Shelf, foods: Iterable[Meaning], altitude_ft: float | None, *, large: bool) -> ClassPage:
    """Lay out the tables of foods for a class.

    Parameters
    ----------
    shelf : Shelf
    foods : iterable of Meaning
        In the order in which they are shown.
    altitude_ft : float or None
        Altitude of the class, feet: every band stays on the sheet, and its own is boxed.
    large : bool
        Set it to be read from the last row.
    """
    foods = tuple(foods)
    blocks: list[Block] = list(_place(altitude_ft))
    for number, meaning in enumerate(foods):
        found = printed(shelf, meaning)
        here = found if altitude_ft is None else printed(shelf, meaning, altitude_ft)
        if large and number:
            blocks.append(NewPage())
        if len(foods) > 1:
            blocks.append(Heading(found.title))
        blocks += _food(shelf, found, here)
    blocks.append(Said(f"Caution: {shelf.standing}", strong=True))
    return ClassPage("class sheet", titled(shelf, foods), "large" if large else "normal", tuple(blocks))


def titled(shelf: Shelf, foods: Iterable[Meaning]) -> str:
    """Name the foods of a page, or count them where they are many."""
    titles = list(dict.fromkeys(shelf.foods[meaning.food].title for meaning in foods))
    return "; ".join(titles) if len(titles) <= MOST_TITLES else f"{len(titles)} foods"


def own_column(edges: Iterable[tuple[int, int | None]], altitude_ft: float | None) -> int | None:
    """Place of the band that an altitude in feet falls in; None where none does, or no altitude was said."""
    bands = tuple(Band(low, high, (), ()) for low, high in edges)
    found = None if altitude_ft is None else band_at(bands, altitude_ft)
    return None if found is None else bands.index(found)


def _place(altitude_ft: float | None) -> Iterator[Block]:
    if altitude_ft is None:
        yield Said("Every printed cell. Find the column of your own altitude first.")
    else:
        yield Said(f'Our altitude: {wording.height(altitude_ft)}. Every printed cell; "{OWN}" is the one to read here.')


def _food(shelf: Shelf, found: FoodTable, here: FoodTable) -> Iterator[Block]:
    """Lay out one food; ``here`` is its table at the altitude of the class, which has what holds there alone."""
    if found.follows:
        yield Said(str(found.follows))
    acid = tuple(str(stated) for stated in here.requires if stated.id == conditions.ACID)
    others = tuple(str(stated) for stated in here.requires if stated.id != conditions.ACID)
    if acid:
        yield Listed("Acid, never less", acid, boxed=True)
    if others:
        yield Listed("Required for safety", others)
    if shelf.of_guide(found.food) and any(cell.pressure_psi is not None for cell in found.cells):
        yield Said(str(conditions.venting(shelf, "a pressure canner")))
    for grid in grids(found, shelf):
        yield _columns(grid, here.altitude_ft)
    for end in here.ends:
        yield Said(f"{end} No column of it is ours.", strong=True)
    if found.carried:
        yield Listed("Carried by a rule, not printed as cells", tuple(map(str, found.carried)))


def _columns(grid: Grid, altitude_ft: float | None) -> Columns:
    return Columns(grid.heading, grid.bands, grid.rows, own_column(grid.edges, altitude_ft), grid.foot)
