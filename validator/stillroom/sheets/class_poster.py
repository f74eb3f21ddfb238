"""Class poster: one page for the wall: venting, the altitude bands of the class's foods, and three nevers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from stillroom.answers import conditions, wording
from stillroom.answers.names import Meaning
from stillroom.answers.printed_table import NOT_RECOMMENDED, TESTED, PrintedCell, printed
from stillroom.answers.shelf import Shelf
from stillroom.answers.withheld_names import refusal_of
from stillroom.sheets.class_page import OWN, Block, ClassPage, Columns, Heading, Listed, Said
from stillroom.sheets.class_sheet import own_column, titled

NEVERS = ("boiling-water-low-acid", "oven-canning", "open-kettle")
"""What is shown as never: ids of schedules/withheld.csv, each a way of processing that leaves food unsafe."""
_VENTING = ("restart-rule",)
"""Rules that go with venting, ids of shared/rules.csv."""
_MOST_PAGES, _MOST_NAMED = 6, 1
"""Pages named under the tables, where there are no more; foods named in a row, where more are counted."""
_LINES_OF_TABLE, _LINES_OF_ROW, _LETTERS = 4, 2, 14
"""Lines that a table takes without its rows, and a row at least; letters of a label in one line."""
_ROOM = {12: "large poster", 20: "poster"}
"""Lines of tables that a page has room for, by its type, the largest first; found by printing many posters."""
_FOOT = (
    "Under pressure: psi by band, a row for each printed choice. In boiling water: minutes more than in the first "
    "column. The minutes themselves stand in the table of the food"
)
Edges = tuple[int, "int | None"]
Steps = tuple[str, ...]


def class_poster(shelf: Shelf, foods: Iterable[Meaning], altitude_ft: float | None) -> ClassPage:
    """Lay out a poster; one page, whatever foods are asked for.

    Parameters
    ----------
    shelf : Shelf
    foods : iterable of Meaning
        Whose steps from band to band are shown.
    altitude_ft : float or None
        Altitude of the class, feet, whose column is boxed.
    """
    foods = tuple(foods)
    here = "Find your altitude" if altitude_ft is None else f'Our altitude: {wording.height(altitude_ft)} ("{OWN}")'
    blocks: list[Block] = [Said(f"For {titled(shelf, foods)}.")]
    guide = any(shelf.of_guide(meaning.food) for meaning in foods)
    if guide:
        rules = (conditions.venting(shelf, "a pressure canner"), *(shelf.rules.stated(name) for name in _VENTING))
        blocks += [Heading("1. Vent"), Listed("", tuple(map(str, rules)), boxed=True)]
    blocks.append(Heading(f"{1 + guide}. {here}"))
    tables = tuple(_steps(shelf, foods, altitude_ft))
    pages = _pages(shelf, foods)
    blocks += [
        *tables,
        Said(f"{_FOOT} ({wording.listed(pages, 'and')})." if len(pages) <= _MOST_PAGES else f"{_FOOT}."),
    ]
    blocks += [
        Heading(f"{2 + guide}. Three nevers"),
        Listed("", tuple(_never(shelf, name) for name in NEVERS), boxed=True),
    ]
    blocks.append(Said(f"Caution: {shelf.standing}", strong=True))
    lines = _LINES_OF_TABLE * len(tables) + sum(_lines(label) for table in tables for label, _ in table.rows)
    size = next((size for room, size in _ROOM.items() if lines <= room), "full poster")
    return ClassPage("poster", "Can it safely", size, tuple(blocks))


def _lines(label: str) -> int:
    return max(_LINES_OF_ROW, len(label) // _LETTERS + 1)


def _never(shelf: Shelf, name: str) -> str:
    entry = next(row for row in shelf.package.withheld if row.id == name)
    refusal = refusal_of(entry, shelf.cite)
    where = f" ({refusal.source.in_brackets})" if refusal.source else ""
    return f"{refusal.reason.removesuffix('.')}{where}."


def _steps(shelf: Shelf, foods: tuple[Meaning, ...], altitude_ft: float | None) -> Iterator[Columns]:
    """Lay out, for each canner and set of bands, what each band asks for; foods with the same steps share a row."""
    tables: dict[tuple[str, tuple[Edges, ...]], dict[Steps, dict[str, None]]] = {}
    for meaning in foods:
        found = printed(shelf, meaning)
        for cells in _rows(found.cells):
            edges = tuple(dict.fromkeys((cell.altitude_from_ft, cell.altitude_to_ft) for cell in cells))
            for steps in _climbs(cells, edges):
                at = tables.setdefault((cells[0].canner, edges), {})
                at.setdefault(steps, {})[found.title] = None
    for (canner, edges), rows in sorted(tables.items(), key=lambda item: list(shelf.canners).index(item[0][0])):
        yield Columns(
            wording.capital(shelf.canners[canner].title),
            tuple(wording.span(*edge).replace(" to ", "-") for edge in edges),
            tuple((_named(list(titles)), tuple((step,) for step in steps)) for steps, titles in rows.items()),
            own_column(edges, altitude_ft),
            "",
        )


def _pages(shelf: Shelf, foods: Iterable[Meaning]) -> list[str]:
    cells = (cell for meaning in foods for cell in printed(shelf, meaning).cells)
    return list(dict.fromkeys(shelf.cite(cell.page, cell.source).in_brackets for cell in cells))


def _named(titles: list[str]) -> str:
    if len(titles) <= _MOST_NAMED:
        return "; ".join(titles)
    return f"{titles[0]} and {len(titles) - 1} more"


def _rows(cells: Iterable[PrintedCell]) -> list[list[PrintedCell]]:
    """Cells by printed row: form, pack, jar and canner."""
    rows: dict[tuple[str, ...], list[PrintedCell]] = {}
    for cell in cells:
        rows.setdefault((cell.form, cell.pack, cell.jar, cell.canner), []).append(cell)
    return list(rows.values())


def _climbs(cells: list[PrintedCell], edges: tuple[Edges, ...]) -> Iterator[Steps]:
    """Steps of a printed row from band to band: more minutes in boiling water; under pressure psi, for each time."""
    by_band = [[cell for cell in cells if (cell.altitude_from_ft, cell.altitude_to_ft) == edge] for edge in edges]
    if all(cell.pressure_psi is None and cell.result == TESTED for cell in cells):
        minutes = [cell.minutes or 0 for band in by_band for cell in band[:1]]
        yield tuple("the printed time" if not at else f"+{time - minutes[0]} min" for at, time in enumerate(minutes))
        return
    for option in by_band[0]:
        steps = []
        for band in by_band:
            same = (cell for cell in band if option.minutes in (cell.minutes, cell.not_recommended_minutes))
            cell = next(same, None)
            steps.append(NOT_RECOMMENDED if cell is None or cell.result != TESTED else f"{cell.pressure_psi} psi")
        yield tuple(steps)
