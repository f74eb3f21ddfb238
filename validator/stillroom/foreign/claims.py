"""Claims: what each row of a foreign table says: this food, so packed, in this jar and canner, here, so long, so hot.

A claim keeps the cells it was read from. What cannot be read is a claim too, with the reason; nothing is judged here.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import NamedTuple

from stillroom.answers import wording
from stillroom.answers.names import Meaning
from stillroom.foreign import columns as kinds
from stillroom.foreign import figures, layout, notation, spans
from stillroom.foreign.columns import Column, under
from stillroom.foreign.facets import Facets, Vocabulary
from stillroom.foreign.figures import Pressure
from stillroom.foreign.foods_named import NOTHING, FoodNames, Named
from stillroom.foreign.grid import Grid
from stillroom.foreign.layout import Block
from stillroom.foreign.spans import Span


class Process(NamedTuple):
    """A time and a pressure as stated; None for the one that is not."""

    minutes: Fraction | None
    pressure: Pressure | None


class Claim(NamedTuple):
    """One thing that a row states.

    Attributes
    ----------
    row : int
        Place of the row in the grid.
    kind : str
        process, acid, headspace, or unread.
    content : str
        figure, empty, none or refused; words for an acid and for what is not read.
    foods : tuple of tuple of Meaning
        As :attr:`Named.foods`.
    withheld : str
        Id of what is withheld that the row names.
    facets : Facets
        All that head, section, row and title say of it.
    span : Span or None
        Altitudes in feet; None where none is stated.
    processes : tuple of Process
        Equal options; empty without a figure.
    minutes_at, pressure_at : int or None
        Columns of the time and of the pressure; the same where one cell holds both; None where another place says it.
    why : str
        Of one that is not read: the reason, as the end of a sentence.
    disagree : bool
        Two figures of one cell contradict each other.
    """

    row: int
    kind: str
    content: str
    foods: tuple[tuple[Meaning, ...], ...]
    withheld: str
    facets: Facets
    span: Span | None
    processes: tuple[Process, ...]
    minutes_at: int | None
    pressure_at: int | None
    why: str = ""
    disagree: bool = False

    @property
    def states(self) -> bool:
        """Whether it says anything of a process, if only a part of one."""
        return self.content in (layout.FIGURE, layout.WORDS) or any(
            process.minutes is not None or process.pressure is not None for process in self.processes
        )

    @property
    def columns(self) -> tuple[int, ...]:
        """Columns that it was read from."""
        return tuple(dict.fromkeys(at for at in (self.minutes_at, self.pressure_at) if at is not None))


class RowSaid(NamedTuple):
    """What the labels of a row say.

    Attributes
    ----------
    row : int
    named : Named
        The food, from its own label, the section or the title.
    label_at : int or None
        Column whose cell names the food, or should.
    label : str
        Text of that cell, or of the section.
    facets : Facets
        What labels, sections and titles say; spans are in ``span``.
    span : Span or None
    unknown : str
        A label that should name a food and does not; blank where none.
    """

    row: int
    named: Named
    label_at: int | None
    label: str
    facets: Facets
    span: Span | None
    unknown: str


class Claims:
    """Reads the claims of one block.

    Parameters
    ----------
    grid : Grid
    block : Block
    every : sequence of Column
    words : Vocabulary
    names : FoodNames
    context : Facets
        What titles say for all rows.
    title : Named
        The food that a title names.
    """

    def __init__(
        self,
        grid: Grid,
        block: Block,
        every: Sequence[Column],
        words: Vocabulary,
        names: FoodNames,
        context: Facets,
        title: Named,
    ) -> None:
        self._grid, self._block, self._columns = grid, block, every
        self._words, self._names, self._context = words, names, context
        self._title = title
        self._labels = [column for column in every if column.role == kinds.LABEL]
        self._values = [column for column in every if column.role == kinds.VALUE]
        self._edges = words.edges
        self._section = Facets()
        self._section_food: tuple[str, Named] | None = None
        self._above: dict[int, str] = {}

    def read(self) -> Iterator[tuple[RowSaid, tuple[Claim, ...]]]:
        """Read the rows in their order."""
        for kind, at in self._block.rows:
            if kind == layout.SECTION:
                self._begin(layout.filled_cells(self._grid.rows[at])[0])
            elif kind == layout.DATA:
                said = self._said(at)
                yield said, tuple(self._claims(said))

    # sections and labels

    def _begin(self, text: str) -> None:
        """Begin a section: what it says holds for the rows below, until another says otherwise."""
        facets = self._words.read(text)
        named = self._names.named(text)
        if facets.says and not facets.names:
            outer = self._section
            if facets.canners or facets.practices:
                outer = Facets()
                self._section_food = None
            self._section = under(outer, facets)
            return
        self._section = Facets(
            facets.packs, facets.jars, facets.canners or self._section.canners, facets.jar_words, facets.practices,
            facets.spans, facets.pressure,
        )  # fmt: skip
        group = "group" in facets.kinds and not facets.left
        self._section_food = None if group and not named.known else (text, named)
        self._above = {}

    def _said(self, row: int) -> RowSaid:
        named, label_at, label, unknown = NOTHING, None, "", ""
        forms = []
        facets, span = Facets(), None
        for column, text in self._label_texts(row):
            read = self._words.read(text)
            if column.kind == "form":
                forms.append(text)
                continue
            found = self._names.named(text) if read.names else NOTHING
            if found.known and not named.known:
                named, label_at, label = found, column.at, text
            elif read.names and not found.known and column.kind == "food" and not unknown:
                unknown, label_at = text, column.at if label_at is None else label_at
            facets = under(facets, read._replace(spans=()))
            span = self._label_span(column, read, text) or span
        span = self._from_to(row) or span
        if not named.known and not unknown and self._section_food is not None:
            label, named = self._section_food
            unknown = "" if named.known else label
        if not named.known and not unknown and self._title.known:
            named = self._title
        for text in forms:
            named = self._names.in_form(named, text)
        return RowSaid(row, named, label_at, label, facets, span, unknown)

    def _label_texts(self, row: int) -> Iterator[tuple[Column, str]]:
        """Labels of a row; leading blank ones are those of the row above."""
        leading = True
        for column in self._labels:
            text = self._grid.rows[row].cells[column.at].text.strip()
            if text:
                if leading and column.kind == "food":
                    self._above = {}
                self._above[column.at] = text
                leading = False
                yield column, text
            elif leading and column.at in self._above:
                yield column, self._above[column.at]

    def _label_span(self, column: Column, read: Facets, text: str) -> Span | None:
        if read.spans:
            said = read.spans[0]
            unit = said.unit or column.unit
            return spans.in_feet(said, unit, self._edges) if unit else None
        value = notation.number(notation.folded(text)) if column.kind == "altitude" else None
        if value is None or not column.unit:
            return None
        return spans.in_feet(spans.Said(value, value, column.unit, True, text), column.unit, self._edges)

    def _from_to(self, row: int) -> Span | None:
        low = high = None
        unit = ""
        for column in self._columns:
            if column.role in (kinds.FROM, kinds.TO):
                value = notation.number(notation.folded(self._grid.rows[row].cells[column.at].text))
                unit = column.unit or unit
                low, high = (value, high) if column.role == kinds.FROM else (low, value)
        if (low is None and high is None) or not unit:
            return None
        return spans.in_feet(spans.Said(low, high, unit, False, ""), unit, self._edges)

    # values

    def _claims(self, said: RowSaid) -> Iterator[Claim]:
        pieces = [piece for column in self._values if (piece := self._piece(said, column)) is not None]
        times = [piece for piece in pieces if _only(piece, kinds.MINUTES, self._columns)]
        heats = [piece for piece in pieces if _only(piece, kinds.PRESSURE, self._columns)]
        paired: set[tuple[int, ...]] = set()
        for time in times:
            beside = _nearest(time, [heat for heat in heats if _together(time, heat)])
            for heat in beside:
                paired.add(heat.columns)
                yield _pair(time, heat)
            if beside and (time.content != layout.FIGURE or any(heat.content == layout.FIGURE for heat in beside)):
                paired.add(time.columns)
        yield from (piece for piece in pieces if piece.columns not in paired)

    def _piece(self, said: RowSaid, column: Column) -> Claim | None:
        """Claim of one cell alone."""
        cell = self._grid.rows[said.row].cells[column.at]
        if cell.first[1] != column.at and cell.first[0] == said.row:
            return None  # the rest of a cell that is merged across: its first column speaks
        facets = under(under(self._context, self._section), under(said.facets, column.facets))
        span = self._span(column) or said.span or self._outer_span()
        where = (column.at, None) if column.kind != kinds.PRESSURE else (None, column.at)
        named = said.named if said.named.known or said.unknown else column.named
        claim = Claim(said.row, "process", "", named.foods, named.withheld, facets, span, (), where[0], where[1])
        if column.kind == kinds.PROCESS:
            claim = claim._replace(pressure_at=column.at)
        against = _contradicts(said.facets, column.facets)
        content = layout.kind_of(cell.text, self._words)
        if column.kind in (kinds.ACID, kinds.HEADSPACE):
            return claim._replace(kind=column.kind, content=content, minutes_at=column.at, pressure_at=None)
        if against and content != layout.FIGURE:
            return None  # the cell is not for this row
        if against:
            return claim._replace(kind="unread", content=content, why=against)
        if content == layout.WORDS:
            return self._of_words(claim, cell.text)
        if content != layout.FIGURE:
            return claim._replace(content=content)
        return self._of_figures(claim, column, figures.read(notation.folded(cell.text)))

    def _of_words(self, claim: Claim, text: str) -> Claim:
        read = self._words.read(text)
        if read.practices:
            return claim._replace(content=layout.WORDS, withheld=read.practices[0])
        return claim._replace(kind="unread", content=layout.WORDS, why="what the cell says is not understood")

    def _of_figures(self, claim: Claim, column: Column, found: Sequence[figures.Figure]) -> Claim:
        if any(len(one.bare) > 1 for one in found) and (len(claim.facets.jars) > 1 or _boiled(claim.facets)):
            why = "two figures in one cell, and no pressure: give each jar a column of its own"
            return claim._replace(kind="unread", content=layout.FIGURE, why=why)
        processes = [_process(one, column, claim.facets.pressure) for one in found]
        if any(one is None for one in processes):
            return claim._replace(kind="unread", content=layout.FIGURE, why="its figures do not fit the column")
        known = tuple(one for one in processes if one is not None)
        both = any(one.minutes is not None and one.pressure is not None for one in known)
        own = any(one.pressure is not None or len(one.bare) == 2 for one in found)
        if both and own and column.kind != kinds.PROCESS:
            claim = claim._replace(minutes_at=column.at, pressure_at=column.at)
        return claim._replace(
            content=layout.FIGURE, processes=known, disagree=any(one.disagree for one in found)
        )  # fmt: skip

    def _span(self, column: Column) -> Span | None:
        said = column.facets.spans
        return spans.in_feet(said[0], said[0].unit, self._edges) if said and said[0].unit else None

    def _outer_span(self) -> Span | None:
        for facets in (self._section, self._context):
            for said in facets.spans:
                if said.unit:
                    return spans.in_feet(said, said.unit, self._edges)
        return None


def _boiled(facets: Facets) -> bool:
    return bool(facets.canners) and set(facets.canners) <= {"boiling-water", "steam"}


def _only(piece: Claim, kind: str, every: Sequence[Column]) -> bool:
    """Whether a piece is of a column of times alone, or of pressures alone, and says no more itself."""
    if piece.kind != "process" or len(piece.columns) != 1:
        return False
    column = every[piece.columns[0]]
    if column.kind != kind:
        return False
    if kind == kinds.MINUTES:
        return not _boiled(piece.facets) and all(one.pressure is None for one in piece.processes)
    return all(one.minutes is None for one in piece.processes)


def _together(time: Claim, heat: Claim) -> bool:
    """Whether a time and a pressure of one row are of one process."""
    for one, other in (
        (time.facets.packs, heat.facets.packs),
        (time.facets.jars, heat.facets.jars),
        (time.facets.canners, heat.facets.canners),
    ):
        if one and other and not set(one) & set(other):
            return False
    return time.span is None or heat.span is None or time.span == heat.span


def _nearest(time: Claim, heats: Sequence[Claim]) -> list[Claim]:
    """Of pressures that are for the same row, jar, canner and altitude, the one that stands next after a time."""
    kept: dict[tuple[object, ...], Claim] = {}
    for heat in heats:
        key = (heat.facets.packs, heat.facets.jars, heat.facets.canners, heat.span)
        if key not in kept or _distance(time, heat) < _distance(time, kept[key]):
            kept[key] = heat
    return list(kept.values())


def _distance(time: Claim, heat: Claim) -> int:
    """How far a pressure stands behind a time; one before it is farther than any behind."""
    apart = heat.columns[0] - time.columns[0]
    return apart if apart > 0 else 1_000_000 - apart


def _pair(time: Claim, heat: Claim) -> Claim:
    facets = under(time.facets, heat.facets)
    facets = facets._replace(
        packs=_both(time.facets.packs, heat.facets.packs),
        jars=_both(time.facets.jars, heat.facets.jars),
        canners=_both(time.facets.canners, heat.facets.canners),
    )
    span = heat.span if heat.span is not None else time.span
    contents = {time.content, heat.content}
    content = next(
        (one for one in (layout.REFUSED, layout.EMPTY, layout.NOTHING_SAID) if one in contents), layout.FIGURE
    )
    processes = tuple(
        Process(one.minutes, other.pressure)
        for one in time.processes or (Process(None, None),)
        for other in heat.processes or (Process(None, None),)
    )
    return heat._replace(
        facets=facets,
        span=span,
        content=content,
        processes=processes,
        minutes_at=time.minutes_at,
        disagree=time.disagree or heat.disagree,
    )


def _both(one: tuple[str, ...], other: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(each for each in one if each in other) if one and other else one or other


def _process(one: figures.Figure, column: Column, over: Pressure | None) -> Process | None:
    """Time and pressure of one option, by what the column holds; None where they do not fit it."""
    bare = list(one.bare)
    minutes, pressure = one.minutes, one.pressure
    if column.kind == kinds.PRESSURE:
        if pressure is None and len(bare) == 1:
            pressure = Pressure(bare.pop(), column.unit == "kpa")
    elif minutes is None and bare:
        minutes = bare.pop(0) * (60 if column.unit == "hours" else 1)
    if pressure is None and len(bare) == 1 and column.kind != kinds.PRESSURE:
        pressure = Pressure(bare.pop())
    if (
        bare
        or (column.kind == kinds.MINUTES and minutes is None)
        or (column.kind == kinds.PRESSURE and pressure is None)
    ):
        return None
    if pressure is None and minutes is not None and column.kind != kinds.PRESSURE:
        pressure = over
    if minutes is not None and not 0 < minutes <= figures.MOST_MINUTES:
        return None
    return Process(minutes, pressure)


def _contradicts(row: Facets, column: Facets) -> str:
    """What a row and the head of a column say against each other, as the end of a sentence."""
    for what, one, other in (
        ("jar", row.jars, column.jars),
        ("pack", row.packs, column.packs),
        ("canner", row.canners, column.canners),
    ):
        if one and other and not set(one) & set(other):
            said = wording.listed(list(one), "and"), wording.listed(list(other), "and")
            return f"the row says {what} {said[0]}, its column {said[1]}"
    return ""
