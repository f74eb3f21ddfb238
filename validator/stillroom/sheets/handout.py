"""Handout: the printed cells of several foods side by side, a row for each food, pack and jar, a column for each band.

Foods are printed with different bands. A column never states less than is printed anywhere in it: where it covers
several printed bands, it has the processes that are at least as strong as a printed one in each of them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

import stillroom
from stillroom.answers import conditions, wording
from stillroom.answers.answer import Stated
from stillroom.answers.charts import Combination
from stillroom.answers.printed_table import TESTED, FoodTable, PrintedCell
from stillroom.answers.shelf import Shelf

Process = tuple[int, "int | None"]
"""Minutes, and psi; None in boiling water."""
NONE_TESTED, NOT_RECOMMENDED = "no tested process", "not recommended"
NO_ACID = "none"


class HandoutColumn(NamedTuple):
    """One column of altitudes.

    Attributes
    ----------
    above_ft : int or None
        Feet above which it begins; None: it has no lower limit.
    to_ft : int or None
        Feet up to and including which it holds; None: no upper limit.
    head : str
        As it is written, like ``1,001-3,000 ft``.
    at_ft : float or None
        Set where it is for one height, whose bands alone are in the tables.
    """

    above_ft: int | None
    to_ft: int | None
    head: str
    at_ft: float | None = None

    def covers(self, cell: PrintedCell) -> bool:
        """Tell whether a printed band has a height in common with it."""
        if self.at_ft is not None:
            return True
        begins = self.to_ft is None or cell.altitude_from_ft == 0 or cell.altitude_from_ft - 1 < self.to_ft
        return begins and (cell.altitude_to_ft is None or self.above_ft is None or self.above_ft < cell.altitude_to_ft)

    def within(self, cells: Iterable[PrintedCell]) -> bool:
        """Tell whether printed bands reach as high as it does."""
        if self.at_ft is not None:
            return True
        tops = [cell.altitude_to_ft for cell in cells]
        return None in tops or (self.to_ft is not None and self.to_ft <= max(top for top in tops if top is not None))


class HandoutCell(NamedTuple):
    """What one cell says.

    Attributes
    ----------
    processes : tuple of tuple
        Minutes and psi of each equal option, longest first; empty where there is none.
    text : str
        In words, like ``20 min at 6 psi or 15 min at 11 psi``.
    taken_from : tuple of tuple
        Printed bands, first and last foot, of the processes, where it covers several; else empty.
    """

    processes: tuple[Process, ...]
    text: str
    taken_from: tuple[tuple[int, int | None], ...] = ()


class HandoutRow(NamedTuple):
    """One row.

    Attributes
    ----------
    food, title, form : str
        Id and title of the food, and its form in words; blank where the publication names none.
    packs : tuple of str
        Ids of the packs that share the row; empty where the publication names none.
    jar, jars : str
        Jar id, and in words.
    cells : tuple of HandoutCell
        One for each column.
    headspace, acid, page : str
        In words; ``none`` where no acid is needed.
    by_rule : str
        Rule that carries the row to this jar, with its page; blank where the row is printed.
    """

    food: str
    title: str
    form: str
    packs: tuple[str, ...]
    jar: str
    jars: str
    cells: tuple[HandoutCell, ...]
    headspace: str
    acid: str
    page: str
    by_rule: str


class HandoutTable(NamedTuple):
    """The table of one canner.

    Attributes
    ----------
    canner, title : str
        Id, and in words.
    columns : tuple of HandoutColumn
    rows : tuple of HandoutRow
        By food, form and jar.
    notes : tuple of str
        Of columns that cover several printed bands, and of processes that are printed as not recommended.
    """

    canner: str
    title: str
    columns: tuple[HandoutColumn, ...]
    rows: tuple[HandoutRow, ...]
    notes: tuple[str, ...]


class Handout(NamedTuple):
    """A handout, whole.

    Attributes
    ----------
    title : str
    tables : tuple of HandoutTable
        One for each canner that has a row.
    notes : tuple of str
        What must hold, how a canner is vented, and which rules carry a row elsewhere; each a sentence with its page.
    caption : str
        Publication, and version of the data.
    caution : str
        The standing one.
    """

    title: str
    tables: tuple[HandoutTable, ...]
    notes: tuple[str, ...]
    caption: str
    caution: str


def handout(
    tables: Sequence[FoodTable], shelf: Shelf, columns: Sequence[HandoutColumn] = (), *, carried: bool = False
) -> Handout:
    """Lay out a handout.

    Parameters
    ----------
    tables : sequence of FoodTable
        Of each food, all for the same height, or for none.
    shelf : Shelf
    columns : sequence of HandoutColumn, optional
        Altitudes of the columns, for every canner. By default each canner has the columns that no printed band cuts;
        tables for one height have that alone.
    carried : bool, optional
        Rows for jars that take the time of another by a rule, too. A jar that needs acid of which no amount is printed
        for it has none.
    """
    laid = tuple(_tables(tables, shelf, columns, carried))
    return Handout(
        _title(tables), laid, tuple(_notes(tables, laid, shelf)), _caption(tables, shelf), str(shelf.standing)
    )


def _title(tables: Sequence[FoodTable]) -> str:
    named = [found.title for found in tables]
    what = wording.listed(named, "and") if len(named) < 4 else f"{len(named)} foods"
    height = tables[0].altitude_ft if tables else None
    return f"Tested processes: {what}" + ("" if height is None else f", at {wording.height(height)}")


def _tables(
    tables: Sequence[FoodTable], shelf: Shelf, columns: Sequence[HandoutColumn], carried: bool
) -> Iterator[HandoutTable]:
    for canner in shelf.canners:
        cells = [cell for found in tables for cell in found.cells if cell.canner == canner]
        if not cells:
            continue
        heights = {found.altitude_ft for found in tables} - {None}
        own = tuple(columns) or tuple(_at(heights)) or tuple(_uncut(cells))
        rows = tuple(row for found in tables for row in _rows(found, canner, own, shelf, carried))
        notes = (*_of_columns(own, rows), *_against(tables, canner, own, shelf))
        yield HandoutTable(canner, wording.capital(shelf.canners[canner].title), own, rows, notes)


def _at(heights: Iterable[float | None]) -> Iterator[HandoutColumn]:
    """The one column of tables that are for one height: their cells are those of that height alone."""
    for height in heights:
        if height is not None:
            yield HandoutColumn(None, None, f"at {wording.height(height)}", height)


def _uncut(cells: Iterable[PrintedCell]) -> Iterator[HandoutColumn]:
    """Columns from each printed edge to the next."""
    tops = {cell.altitude_to_ft for cell in cells}
    low = 0
    for edge in sorted(top for top in tops if top is not None):
        yield column(low, edge)
        low = edge + 1
    if None in tops:
        yield column(low, None)


def column(low: int, high: int | None) -> HandoutColumn:
    """Make a column from its first and last whole foot; it reaches down to just above the foot before."""
    head = wording.span(low, high).replace(" to ", "-")
    return HandoutColumn(low - 1 if low else None, high, head)


def shared_columns(tables: Iterable[FoodTable]) -> tuple[HandoutColumn, ...]:
    """Columns that no printed band of any canner cuts, so that all canners can stand in one table."""
    return tuple(_uncut(cell for found in tables for cell in found.cells))


def _rows(
    found: FoodTable, canner: str, columns: Sequence[HandoutColumn], shelf: Shelf, carried: bool
) -> Iterator[HandoutRow]:
    """Rows of one food; packs that have the same in every column share a row."""
    by_row: dict[Combination, list[PrintedCell]] = {}
    for cell in found.cells:
        if cell.canner == canner:
            by_row.setdefault(Combination(cell.form, cell.pack, cell.jar, canner), []).append(cell)
    shared: dict[HandoutRow, list[str]] = {}
    for at, cells in by_row.items():
        for row in (
            _row(found, at, at.jar, cells, columns, shelf),
            *_by_rule(found, at, by_row, columns, shelf, carried),
        ):
            if row is not None:
                shared.setdefault(row, []).extend([at.pack] if at.pack else [])
    order = sorted(shared, key=lambda row: (row.form, shelf.jars[row.jar].volume_fl_oz))
    for row in order:
        yield row._replace(packs=tuple(dict.fromkeys(shared[row])))


def _by_rule(
    found: FoodTable,
    at: Combination,
    by_row: dict[Combination, list[PrintedCell]],
    columns: Sequence[HandoutColumn],
    shelf: Shelf,
    carried: bool,
) -> Iterator[HandoutRow]:
    """Rows for jars that take the time of this one."""
    for jar in shelf.jars if carried else ():
        rule = shelf.jar_rule(found.food, jar)
        if rule is not None and rule.takes == at.jar and (other := at._replace(jar=jar)) not in by_row:
            row = _row(found, other, at.jar, by_row[at], columns, shelf)
            if row is not None:
                yield row._replace(by_rule=str(conditions.carried_by(shelf, rule)))


def _row(
    found: FoodTable,
    at: Combination,
    printed_jar: str,
    cells: list[PrintedCell],
    columns: Sequence[HandoutColumn],
    shelf: Shelf,
) -> HandoutRow | None:
    """One row, of no pack yet; None where it needs acid of which no amount is printed for the jar."""
    facts = conditions.facts(shelf, found.food, at, printed_jar, found.altitude_ft)
    if any(needed.jar not in (None, at.jar) for needed in facts.acid):
        return None
    said = [_headspace(row.inches, row.variety) for row in facts.headspace]
    pages = dict.fromkeys(shelf.cite(cell.page, cell.source).in_brackets for cell in cells)
    return HandoutRow(
        found.food,
        found.title,
        shelf.in_words("form", at.form),
        (),
        at.jar,
        shelf.jars[at.jar].plural,
        tuple(_cell(cells, one) for one in columns),
        wording.listed(said) or "not stated",
        _acid(facts.requires, shelf, at.jar),
        wording.listed([page.removeprefix("page ") for page in pages], "and"),
        "",
    )


def _headspace(inches: float, variety: str) -> str:
    return wording.units(inches, "inch") + (f" ({variety})" if variety else "")


def _is_bath(stated: Stated) -> bool:
    """Whether a sentence is of acid that is poured away again: it stands in the notes, beside nothing in the jar."""
    return stated.id == conditions.ACID and stated.text.startswith("Acid bath")


def _acid(requires: Iterable[Stated], shelf: Shelf, jar: str) -> str:
    """Acid that stays, in words; the jar left out, as its row names it."""
    said = [
        stated.text.removesuffix(".") for stated in requires if stated.id == conditions.ACID and not _is_bath(stated)
    ]
    own = f"Acid in each {shelf.jars[jar].title}: "
    return "; ".join(one.removeprefix(own).removeprefix("Acid: ") for one in said) or NO_ACID


def _cell(cells: Iterable[PrintedCell], one: HandoutColumn) -> HandoutCell:
    """State the processes that hold all over a column."""
    here = [cell for cell in cells if one.covers(cell)]
    if not here or not one.within(here):
        return HandoutCell((), NONE_TESTED)
    bands: dict[tuple[int, int | None], list[PrintedCell]] = {}
    for cell in here:
        tested = bands.setdefault((cell.altitude_from_ft, cell.altitude_to_ft), [])
        if cell.result == TESTED:
            tested.append(cell)
    if not all(bands.values()):
        return HandoutCell((), NOT_RECOMMENDED)
    holding = [(cell, band) for band, tested in bands.items() for cell in tested if _holds(cell, bands.values())]
    least = [(cell, band) for cell, band in holding if not any(_weaker(other, cell) for other, _ in holding)]
    processes = tuple(dict.fromkeys((cell.minutes or 0, cell.pressure_psi) for cell, _ in least))
    processes = tuple(sorted(processes, key=lambda process: -process[0]))
    if not processes:
        return HandoutCell((), NONE_TESTED)
    said = " or ".join(map(_said, processes))
    return HandoutCell(processes, said, tuple(dict.fromkeys(band for _, band in least)) if len(bands) > 1 else ())


def _holds(cell: PrintedCell, bands: Iterable[list[PrintedCell]]) -> bool:
    """Tell whether a process is at least as strong as one of each band."""
    return all(any(_at_least(cell, other) for other in tested) for tested in bands)


def _at_least(one: PrintedCell, other: PrintedCell) -> bool:
    return (one.minutes or 0) >= (other.minutes or 0) and (one.pressure_psi or 0) >= (other.pressure_psi or 0)


def _weaker(one: PrintedCell, other: PrintedCell) -> bool:
    same = (one.minutes, one.pressure_psi) == (other.minutes, other.pressure_psi)
    return not same and _at_least(other, one)


def _said(process: Process) -> str:
    minutes, psi = process
    return f"{minutes} min" + ("" if psi is None else f" at {psi} psi")


def _of_columns(columns: Sequence[HandoutColumn], rows: Sequence[HandoutRow]) -> Iterator[str]:
    """Say of each column that covers several printed bands whose processes it states."""
    for place, one in enumerate(columns):
        bands = sorted({band for row in rows for band in row.cells[place].taken_from}, key=lambda band: band[0])
        if bands:
            named = wording.listed([column(*band).head for band in bands])
            yield f"{one.head}: the process printed for {named}, the strongest of the bands it covers."


def _against(tables: Sequence[FoodTable], canner: str, columns: Sequence[HandoutColumn], shelf: Shelf) -> Iterator[str]:
    """Say where a further process is printed as not recommended, without its time."""
    told: dict[str, list[str]] = {}
    for found in tables:
        for cell in found.cells:
            if cell.canner == canner and cell.result != TESTED and any(one.covers(cell) for one in columns):
                band = wording.span(cell.altitude_from_ft, cell.altitude_to_ft)
                page = shelf.cite(cell.page, cell.source).in_brackets
                told.setdefault(f"{found.title} ({page})", []).append(band)
    if told:
        bands = wording.listed(list(dict.fromkeys(band for some in told.values() for band in some)), "and")
        yield f"{wording.capital(bands)}, a further process is printed as not recommended: {'; '.join(told)}."


def _notes(tables: Sequence[FoodTable], laid: Sequence[HandoutTable], shelf: Shelf) -> Iterator[str]:
    by_food = {found.title: [str(found.follows)] if found.follows else [] for found in tables}
    for found in tables:
        noted = (stated for stated in found.requires if stated.id != conditions.ACID or _is_bath(stated))
        by_food[found.title] += map(str, noted)
        by_food[found.title] += [*found.ends, *map(str, found.carried)]
    yield from _together(by_food)
    if any(row.by_rule for table in laid for row in table.rows):
        yield "Rows marked * are not printed: a rule carries another jar's time to theirs."
    guided = any(shelf.of_guide(found.food) for found in tables)
    if guided and any(cell.pressure_psi is not None for found in tables for cell in found.cells):
        yield str(conditions.venting(shelf, "a pressure canner"))


def _together(by_food: dict[str, list[str]]) -> Iterator[str]:
    """Notes, each once, with the foods that it is for; of all foods where none is named."""
    foods: dict[str, list[str]] = {}
    for title, notes in by_food.items():
        for note in notes:
            foods.setdefault(note, []).append(title)
    for note, titles in foods.items():
        yield note if len(titles) == len(by_food) else f"{'; '.join(titles)}: {note}"


def _caption(tables: Sequence[FoodTable], shelf: Shelf) -> str:
    sources = dict.fromkeys(shelf.foods[found.food].source for found in tables)
    named = "; ".join(shelf.cite("web", source).cite() for source in sources)
    return f"Published in: {named}. Stillroom data, version {stillroom.__version__}."


class Laid(NamedTuple):
    """A table as texts.

    Attributes
    ----------
    over : str
        Head over all columns of altitudes.
    heads : tuple of str
        Of every column.
    first, last : int
        Columns before those of altitudes, and after them.
    rows : tuple of tuple of str
        Cells of each row, as many as heads.
    """

    over: str
    heads: tuple[str, ...]
    first: int
    last: int
    rows: tuple[tuple[str, ...], ...]


def laid(table: HandoutTable, *, canner: bool = False) -> Laid:
    """Lay a table out as texts, the same for every form; ``canner``: with a column that names it in each row."""
    return laid_together((table,), canner=canner)


def laid_together(tables: Sequence[HandoutTable], *, canner: bool = True) -> Laid:
    """Lay tables with the same columns of altitudes out as one."""
    rows = [(table, row) for table in tables for row in table.rows]
    before = {
        "Canner": [table.title for table, _ in rows] if canner else [],
        "Food": [row.title + ("*" if row.by_rule else "") for _, row in rows],
        "Form": [row.form for _, row in rows],
        "Pack": [wording.listed(row.packs) for _, row in rows],
        "Jar": [row.jars for _, row in rows],
    }
    after = {
        "Headspace": [row.headspace for _, row in rows],
        "Acid": ["" if row.acid == NO_ACID else row.acid for _, row in rows],
        "Page": [row.page for _, row in rows],
    }
    first = [head for head, texts in before.items() if any(texts)]
    last = [head for head, texts in after.items() if any(texts)]
    columns = tables[0].columns
    every = {**before, **after, "Acid": [row.acid for _, row in rows]}
    unit = (
        "minutes and psi"
        if any(p is not None for _, row in rows for c in row.cells for _, p in c.processes)
        else "minutes"
    )
    return Laid(
        f"{tables[0].title if len(tables) == 1 else 'Each canner'}: {unit} at altitudes of",
        (*first, *(one.head for one in columns), *last),
        len(first),
        len(last),
        tuple(
            (
                *(every[head][at] for head in first),
                *(cell.text for cell in row.cells),
                *(every[head][at] for head in last),
            )
            for at, (_, row) in enumerate(rows)
        ),
    )
