"""Columns: what each column of a block holds, told from its heads, its units and its own values.

A column whose heads and values leave two readings, or none, is not read; why stands with it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from stillroom.answers import wording
from stillroom.answers.shelf import Shelf
from stillroom.foreign import figures, layout, notation
from stillroom.foreign.facets import Facets, Vocabulary
from stillroom.foreign.foods_named import NOTHING, FoodNames, Named
from stillroom.foreign.grid import Grid
from stillroom.foreign.layout import Block
from stillroom.foreign.spans import in_feet

LABEL, VALUE, FROM, TO, TEXT, UNREAD = "label", "value", "from", "to", "text", "unread"
MINUTES, PRESSURE, PROCESS, ACID, HEADSPACE = "minutes", "pressure", "process", "acid", "headspace"
_LABELS = frozenset(("food", "jar", "pack", "canner", "form", "altitude"))
_ROW_WIDE = (ACID, HEADSPACE)


class Column(NamedTuple):
    """One column.

    Attributes
    ----------
    at : int
        Place in the grid, from zero.
    head : str
        Its heads as they stand, upper first; ``column 3`` where it has none.
    role : str
        label, value, from, to, text or unread.
    kind : str
        Of a value: minutes, pressure, process (both), acid or headspace; of a label: what it mostly tells.
    facets : Facets
        What its heads say of its cells.
    unit : str
        ``hours``, ``kpa``, ``centimeters``; of an altitude ``ft`` or ``m``; blank for minutes, psi and inches.
    assumed : str
        What was taken without being written; blank where nothing was.
    why : str
        Of one that is not read: the reason, as the end of a sentence.
    named : Named
        The food that its head names; nothing where it names none.
    """

    at: int
    head: str
    role: str
    kind: str = ""
    facets: Facets = Facets()
    unit: str = ""
    assumed: str = ""
    why: str = ""
    named: Named = NOTHING


class Printed(NamedTuple):
    """Every time and pressure that is printed anywhere."""

    minutes: frozenset[int]
    psi: frozenset[int]

    @classmethod
    def of(cls, shelf: Shelf) -> Printed:
        """Collect them."""
        cells = [
            cell
            for group in dict.fromkeys(food.group for food in shelf.package.foods)
            for cell in shelf.package.schedules(group)
        ]
        return cls(
            frozenset(cell.minutes for cell in cells),
            frozenset(cell.pressure_psi for cell in cells if cell.pressure_psi is not None),
        )  # fmt: skip


class Columns:
    """Understands the columns of one block.

    Parameters
    ----------
    grid : Grid
    block : Block
    words : Vocabulary
    names : FoodNames
    printed : Printed
    context : Facets
        What titles say for the whole table.
    """

    def __init__(
        self, grid: Grid, block: Block, words: Vocabulary, names: FoodNames, printed: Printed, context: Facets
    ) -> None:
        self._words, self._names, self._printed, self._context = words, names, printed, context
        self._parts = layout.head_parts(grid, block.heads)
        data = [at for kind, at in block.rows if kind == layout.DATA]
        self._values = [
            [grid.rows[at].cells[column].text for at in data if _own(grid, at, column)]
            for column in range(len(self._parts))
        ]
        self._kinds = [[layout.kind_of(text, words) for text in values] for values in self._values]

    def understood(self) -> tuple[Column, ...]:
        """Give each column its role and kind."""
        first = [self._column(at, parts) for at, parts in enumerate(self._parts)]
        first = self._alike(first)
        timed = any(column.role == VALUE and column.kind == MINUTES and not column.facets.spans for column in first)
        second = self._gauged([self._settled(column, timed) for column in first])
        second = [self._unit_of_altitude(column, second) for column in second]
        return tuple(self._boiled(second))

    def _column(self, at: int, parts: Sequence[str]) -> Column:
        """First look: what the heads say, and where they say nothing, what the values are."""
        facets = joined(self._words.read(part) for part in parts)
        head = " / ".join(" ".join(part.split()) for part in parts) or f"column {at + 1}"
        column = Column(at, head, TEXT, "", facets)
        kinds = facets.kinds
        values = [kind for kind in self._kinds[at] if kind not in (layout.EMPTY, layout.NOTHING_SAID)]
        figured = values.count(layout.FIGURE) * 2 > len(values)
        if kinds & {"page", "note"} and not kinds & {"minutes", "pressure", "process", "acid", "headspace"}:
            return column
        for role in (FROM, TO):
            if role in kinds and figured and not facets.spans:
                return column._replace(role=role, unit=_height_unit(kinds))
        if "headspace" in kinds:
            return column._replace(role=VALUE, kind=HEADSPACE, unit="centimeters" if "centimeters" in kinds else "")
        if "acid" in kinds:
            return column._replace(role=VALUE, kind=ACID)
        if not values:
            return self._empty(column)
        over_values = bool(
            facets.spans or facets.pressure or kinds & {"minutes", "pressure", "process", "hours", "kpa"}
        )
        over_values = over_values or (facets.says and layout.FIGURE in values)
        if (figured or (over_values and not kinds & _LABELS)) and not self._label_of_figures(column):
            return self._figures(column)
        return self._label(column)

    def _empty(self, column: Column) -> Column:
        """A column without a value: one of values where its heads say so, else nothing."""
        kinds = column.facets.kinds
        if kinds & {"minutes", "pressure", "process", "hours"} or (column.facets.says and not kinds & _LABELS):
            return self._figures(column)
        return column

    def _label_of_figures(self, column: Column) -> bool:
        kinds = column.facets.kinds
        return bool(kinds & {"altitude", "jar"}) and not kinds & {"minutes", "pressure", "process"} and (
            not column.facets.spans
        )  # fmt: skip

    def _label(self, column: Column) -> Column:
        """A column of words: a label where it names foods, packs, jars, canners or altitudes."""
        kinds = column.facets.kinds & _LABELS
        told = [self._told(text) for text in self._values[column.at] if text.strip()]
        if kinds:
            return column._replace(role=LABEL, kind="food" if "food" in kinds else sorted(kinds)[0])
        if sum(map(bool, told)) * 2 >= len(told) and told:
            return column._replace(role=LABEL, kind=max(dict.fromkeys(told), key=told.count))
        if column.at == 0 or ("group" in column.facets.kinds and not column.facets.left):
            return column._replace(role=LABEL, kind="food")
        return column

    def _told(self, text: str) -> str:
        """What one cell of words tells."""
        facets = self._words.read(text)
        if self._names.named(text).known:
            return "food"
        for kind, said in (("pack", facets.packs), ("jar", facets.jars), ("canner", facets.canners)):
            if said and not facets.names:
                return kind
        return "altitude" if facets.spans and not facets.names else ""

    def _figures(self, column: Column) -> Column:
        """A column of figures: what its own heads and values say they are; the rest is settled with the others."""
        kinds, facets = column.facets.kinds, column.facets
        found = [figures.read(notation.folded(text)) for text in self._values[column.at]]
        units = {unit for options in found for one in options for unit in _units(one)}
        column = column._replace(role=VALUE, named=self._named(column))
        if not self._words.agree(facets.spans):
            return column._replace(role=UNREAD, why="its head says altitudes that contradict each other")
        if any(char.isdigit() for char in facets.left):
            return column._replace(role=UNREAD, why=f'"{facets.left}" in its head is not understood')
        if "process" in kinds or {MINUTES, PRESSURE} <= units or "two" in units:
            return column._replace(kind=PROCESS)
        if kinds & {"minutes", "hours"} and kinds & {"pressure", "kpa"}:
            return column._replace(kind=MINUTES if units == {MINUTES} else PRESSURE if units == {PRESSURE} else PROCESS)
        if kinds & {"minutes", "hours"} or units == {MINUTES}:
            hours = "hours" in kinds and "minutes" not in kinds
            return column._replace(kind=MINUTES, unit="hours" if hours else "")
        if kinds & {"pressure", "kpa"} or units == {PRESSURE}:
            return column._replace(kind=PRESSURE, unit="kpa" if "kpa" in kinds and "pressure" not in kinds else "")
        return column._replace(kind=MINUTES) if facets.pressure is not None else column

    def _named(self, column: Column) -> Named:
        """The food that a head names."""
        for part in reversed(self._parts[column.at]):
            facets = self._words.read(part)
            found = self._names.named(part) if facets.left else NOTHING
            if found.known:
                return found
        return NOTHING

    def _alike(self, every: Sequence[Column]) -> list[Column]:
        """Take a column under an altitude that does not tell what it holds for what the one before it holds.

        Where it begins a row of altitudes without telling, and its values tell nothing either, for the next one.
        """
        out = list(every)
        for at, column in enumerate(every):
            if column.role != VALUE or column.kind or not column.facets.spans:
                continue
            before = out[at - 1] if at else None
            if before is not None and before.kind and before.role == VALUE and _rises(before, column):
                out[at] = column._replace(kind=before.kind, unit=before.unit)
                continue
            if any(kind == layout.FIGURE for kind in self._kinds[column.at]):
                continue
            beside = [other for other in (*reversed(every[:at]), *every[at + 1 :]) if other.facets.spans and other.kind]
            if beside:
                out[at] = column._replace(kind=beside[0].kind, unit=beside[0].unit)
        return out

    def _boiled(self, every: Sequence[Column]) -> list[Column]:
        """Take times under all altitude bands of boiling water for its own, where no canner or pressure is named."""
        timed = [column for column in every if column.role == VALUE and column.kind == MINUTES and column.facets.spans]
        labeled = next((column for column in every if column.role == LABEL and column.kind == "altitude"), None)
        if labeled is not None and not timed:
            timed = [column for column in every if column.role == VALUE and column.kind == MINUTES]
        named = self._context.canners or any(column.facets.canners for column in every)
        named = named or any(column.kind in (PRESSURE, PROCESS, "canner") for column in every)
        if named or any(column.facets.pressure for column in every) or self._context.pressure:
            return list(every)
        said = [span for column in timed for span in column.facets.spans[:1]]
        if labeled is not None:
            said += [span for text in self._values[labeled.at] for span in self._words.read(text).spans[:1]]
        spans = {in_feet(span, span.unit or "ft", self._words.edges) for span in said}
        if spans not in self._words.boiled:
            return list(every)
        return [
            column._replace(
                facets=column.facets._replace(canners=("boiling-water",)),
                assumed=f"{column.head}: taken as boiling water, by its altitude bands",
            )
            if column in timed
            else column
            for column in every
        ]

    def _settled(self, column: Column, timed: bool) -> Column:
        """Second look: figures without a unit, by the canner, by what stands beside them, and by the printed values."""
        if column.role != VALUE or column.kind:
            return column
        facets = column.facets
        canners = facets.canners or self._context.canners
        boiled = bool(canners) and set(canners) <= {"boiling-water", "steam"}
        if not (facets.says or column.facets.kinds or boiled or not column.head.startswith("column ")):
            return column._replace(role=UNREAD, why="its head says nothing, and its figures have no unit")
        if boiled:
            return column._replace(kind=MINUTES, assumed=f"{column.head}: taken as minutes (no unit is written)")
        context = self._context.kinds & {MINUTES, PRESSURE}
        if len(context) == 1 and not timed:
            return column._replace(kind=next(iter(context)))
        return self._guessed(column, timed)

    def _gauged(self, every: Sequence[Column]) -> list[Column]:
        """Lend columns of pressures that name no canner that of the column before, while altitudes go on rising."""
        out: list[Column] = []
        for column in every:
            before = out[-1] if out else None
            follows = (
                before is not None
                and column.role == before.role == VALUE
                and column.kind == before.kind
                and not column.facets.canners
                and bool(before.facets.canners)
                and _rises(before, column)
            )
            if follows and before is not None:
                column = column._replace(facets=column.facets._replace(canners=before.facets.canners))
            out.append(column)
        return out

    def _guessed(self, column: Column, timed: bool) -> Column:
        values = {value for text in self._values[column.at] for value in _bare(text)}
        times, pressures = values <= self._printed.minutes, values <= self._printed.psi
        kind = ""
        if pressures and timed and (column.facets.says or column.facets.canners):
            kind = PRESSURE
        elif times and not pressures and not timed:
            kind = MINUTES
        elif pressures and not times:
            kind = PRESSURE
        if not kind:
            odd = sorted(values - self._printed.minutes)
            what = "minutes and psi both fit" if not odd else f"{', '.join(map(str, odd[:3]))} is no printed time"
            return column._replace(role=UNREAD, why=f"its figures have no unit, and {what}")
        said = "minutes" if kind == MINUTES else "psi"
        return column._replace(kind=kind, assumed=f"{column.head}: taken as {said}; every value is a printed one")

    def _unit_of_altitude(self, column: Column, every: Sequence[Column]) -> Column:
        """Lend a head without a unit of altitude that of the table, or refuse it."""
        unwritten = any(not said.unit for said in column.facets.spans)
        if column.role in (FROM, TO) and not column.unit:
            unwritten = True
        if column.role == LABEL and column.kind == "altitude" and not column.unit:
            return column._replace(unit=_height_unit(column.facets.kinds) or self._table_unit(every))
        if not unwritten or column.role in (TEXT, UNREAD):
            return column
        unit = _height_unit(column.facets.kinds) or self._table_unit(every)
        if unit:
            return column._replace(unit=unit if column.role in (FROM, TO) else column.unit, facets=_with(column, unit))
        return column._replace(role=UNREAD, why="its altitude has no unit: write ft or m")

    def _table_unit(self, every: Sequence[Column]) -> str:
        said = {span.unit for column in every for span in column.facets.spans if span.unit}
        said |= {_height_unit(column.facets.kinds) for column in every if column.facets.kinds & {"altitude", FROM, TO}}
        said |= {_height_unit(self._context.kinds)} | {span.unit for span in self._context.spans}
        said.discard("")
        return said.pop() if len(said) == 1 else ""


def _rises(before: Column, column: Column) -> bool:
    one, other = before.facets.spans, column.facets.spans
    return bool(one and other) and (other[0].low or 0) > (one[0].low or 0)


def _own(grid: Grid, row: int, column: int) -> bool:
    """Whether a cell stands for itself, or begins a merged one."""
    return grid.rows[row].cells[column].first == (row, column)


def _with(column: Column, unit: str) -> Facets:
    spans = tuple(said if said.unit else said._replace(unit=unit) for said in column.facets.spans)
    return column.facets._replace(spans=spans)


def _height_unit(kinds: Iterable[str]) -> str:
    return "ft" if "feet" in kinds else "m" if "meters" in kinds else ""


def _units(one: figures.Figure) -> Iterable[str]:
    if one.minutes is not None:
        yield MINUTES
    if one.pressure is not None:
        yield PRESSURE
    if len(one.bare) == 2 or (one.bare and (one.minutes is not None or one.pressure is not None)):
        yield "two"


def _bare(text: str) -> Iterable[int]:
    for one in figures.read(notation.folded(text)):
        yield from (int(value) if value.denominator == 1 else -1 for value in one.bare)


def joined(facets: Iterable[Facets]) -> Facets:
    """Put together what several heads of one column say; what stands nearer to the cells counts."""
    out = Facets()
    for one in facets:
        out = under(out, one)
    return out


def under(outer: Facets, inner: Facets) -> Facets:
    """What holds for something inner that stands under something outer."""
    return Facets(
        inner.packs or outer.packs,
        inner.jars or (() if inner.jar_words else outer.jars),
        narrowed(outer.canners, inner.canners),
        inner.jar_words or (() if inner.jars else outer.jar_words),
        (*outer.practices, *inner.practices),
        inner.spans or outer.spans,
        inner.pressure or outer.pressure,
        outer.kinds | inner.kinds,
        f"{outer.left} {inner.left}".strip(),
        f"{outer.named} {inner.named}".strip(),
    )


def narrowed(outer: tuple[str, ...], inner: tuple[str, ...]) -> tuple[str, ...]:
    """Canners of an inner text, within those of the outer where they meet."""
    if not inner:
        return outer
    return tuple(canner for canner in inner if canner in outer) or inner


def told(column: Column, words: Vocabulary) -> str:
    """Say how a column is read, like ``minutes, pints, dial gauge``."""
    shelf = words.shelf
    if column.role == UNREAD:
        return f"not read: {column.why}"
    if column.role == TEXT:
        return "text"
    if column.role == LABEL:
        return column.kind
    if column.role in (FROM, TO):
        return f"altitude, {'lowest' if column.role == FROM else 'highest'}, {column.unit}"
    facets = column.facets
    unit = {"": "", "centimeters": " (cm)", "hours": " (hours)", "kpa": " (kPa)"}[column.unit]
    named = {PROCESS: "minutes and psi", PRESSURE: "pressure"}.get(column.kind, column.kind) + unit
    parts = [
        wording.listed([shelf.foods[meaning.food].title for food in column.named.foods for meaning in food], "or"),
        wording.listed([shelf.jars[jar].plural for jar in facets.jars]) if facets.jars else "",
        wording.listed([f"{pack} pack" for pack in facets.packs]) if facets.packs else "",
        wording.listed([shelf.canners[canner].title for canner in facets.canners]) if facets.canners else "",
        str(facets.pressure) if facets.pressure else "",
        ", ".join(said.text for said in facets.spans),
    ]
    return ", ".join(part for part in (named, *parts) if part)
