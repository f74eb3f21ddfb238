"""Auditing: a foreign table from its cells to a finished audit. Every cell ends in one class."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from stillroom.answers import wording
from stillroom.answers.answer import AcidFor, Citation, NoTestedSchedule, Option, Stated
from stillroom.answers.charts import Combination
from stillroom.answers.lookup import Lookup
from stillroom.answers.names import Meaning
from stillroom.errors import BadInput
from stillroom.foreign import amounts, columns, corrections, found, layout, mapping, titles
from stillroom.foreign import judged as verdicts
from stillroom.foreign.audited import WORST_FIRST, Audit, AuditCell, AuditFinding, ReadYourself
from stillroom.foreign.claims import Claim, Claims, RowSaid
from stillroom.foreign.columns import Column, Columns, Printed, under
from stillroom.foreign.facets import Facets, Vocabulary
from stillroom.foreign.foods_named import NOTHING, FoodNames, Named
from stillroom.foreign.found import AmountHeld, Causes, Row
from stillroom.foreign.grid import Foreign, Grid
from stillroom.foreign.judged import Judge, Judged
from stillroom.foreign.layout import Block, Rows
from stillroom.foreign.mapping import Mapped
from stillroom.foreign.spans import Span

Place = tuple[int, int, int]


class Given(NamedTuple):
    """What a person says of a table beside it.

    Attributes
    ----------
    altitude_ft : float or None
        The height for which alone it is judged, feet.
    facets : Facets
        Canner, pack and jar where the table names none.
    columns : Mapped
        What its columns are, where the guess was wrong.
    names : mapping
        Foods by names of the user's own, in plain words.
    missing : bool
        Whether to tell what the publication has and the table lacks.
    """

    altitude_ft: float | None = None
    facets: Facets = Facets()
    columns: Mapped = Mapped()
    names: Mapping[str, Meaning] = {}
    missing: bool = False


class Part(NamedTuple):
    """One block of a grid as it was read and judged."""

    grid_at: int
    grid: Grid
    block: Block
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]


class Auditor:
    """Audits foreign tables against one lookup; safe to keep for many.

    Parameters
    ----------
    lookup : Lookup
    version : str
        Version of the data.
    """

    def __init__(self, lookup: Lookup, version: str) -> None:
        self._lookup, self._shelf, self._version = lookup, lookup.shelf, version
        self._words = Vocabulary(self._shelf)
        self._printed = Printed.of(self._shelf)
        self._judge = Judge(lookup, self._words.edges)
        self._warnings = titles.Warnings(self._shelf, self._words)
        self._kept: dict[tuple[str, Combination, float], tuple[Option, ...]] = {}

    def audit(self, foreign: Foreign, given: Given | None = None) -> Audit:
        """Audit a file that was read.

        Parameters
        ----------
        foreign : Foreign
        given : Given, optional

        Raises
        ------
        BadInput
            There is no table in it, or no column of any table can be understood.
        """
        return _One(self, foreign, given or Given()).audit()

    @property
    def words(self) -> Vocabulary:
        """The words that heads are read with."""
        return self._words

    def ask(self, food: str, at: Combination, altitude_ft: float) -> tuple[Option, ...]:
        """Look published options up; empty where there are none."""
        key = (food, at, altitude_ft)
        if key not in self._kept:
            try:
                self._kept[key] = self._lookup.options(food, at, altitude_ft)
            except NoTestedSchedule:
                self._kept[key] = ()
        return self._kept[key]


class _One:
    """The audit of one file."""

    def __init__(self, auditor: Auditor, foreign: Foreign, given: Given) -> None:
        self._auditor, self._foreign, self._given = auditor, foreign, given
        self._shelf, self._words = auditor._shelf, auditor._words
        self._names = FoodNames(self._words, given.names)
        self._warnings = auditor._warnings
        self._verdicts: dict[Place, str] = {}
        self._blamed: dict[Place, list[Judged]] = {}
        self._said: dict[Place, str] = {}
        self._struck: set[tuple[int, int]] = set()
        self._left_out: dict[str, None] = {}
        self._notes: list[tuple[int, str]] = []
        self._bare: dict[tuple[int, int], bool] = {}

    def audit(self) -> Audit:
        parts = [part for at, grid in enumerate(self._foreign.grids) for part in self._parts(at, grid)]
        if not parts:
            raise BadInput(f"{self._foreign.name}: there is no table in it")
        if not any(column.role == columns.VALUE for part in parts for column in part.columns):
            raise BadInput(f"{self._foreign.name}: {self._not_understood(parts)}")
        findings = [finding for part in parts for finding in self._findings(part)]
        findings.sort(key=lambda finding: WORST_FIRST.index(finding.verdict))
        cells = tuple(self._cells(parts))
        counts = Counter(cell.verdict for cell in cells)
        rows = {(part.grid_at, row.said.row) for part in parts for row in part.rows}
        wrong = {place[:2] for one in findings if one.verdict != verdicts.STRONGER for place in one.cells}
        return Audit(
            self._foreign.name,
            self._foreign.sha256,
            self._auditor._version,
            self._source(),
            tuple(line for part in parts for line in self._reading(part)),
            tuple(column.assumed for part in parts for column in part.columns if column.assumed),
            sum(_judged_in(row) for part in parts for row in part.rows),
            {name: counts.get(name, 0) for name in (verdicts.SAME, *reversed(WORST_FIRST), verdicts.NOTHING)},
            len(rows),
            len(rows & wrong),
            tuple(findings),
            cells,
            self._read_yourself(),
            tuple(self._not_here(parts)) if self._given.missing else (),
            self._given.altitude_ft,
            tuple(self._left_out),
            self._foreign,
            columns=mapping.written((column for part in parts for column in part.columns), self._words),
        )

    def _source(self) -> Citation:
        source = next(source for source in self._shelf.package.sources if not source.short)
        return self._shelf.cite("web", source.id)

    def _not_understood(self, parts: Sequence[Part]) -> str:
        unread = [column for part in parts for column in part.columns if column.role == columns.UNREAD]
        if unread:
            told = "; ".join(f'"{column.head}": {column.why}' for column in unread[:4])
            return f"its columns are not understood: {told}. --columns-out writes what was guessed, to be corrected"
        return "no column of times or pressures is understood: give the columns heads, or a map with --columns"

    # reading

    def _parts(self, at: int, grid: Grid) -> Iterator[Part]:
        beside = [said.text for said in self._foreign.said if said.before == at]
        self._note_beside(at)
        for block in Rows(grid, self._words, self._names).blocks():
            own = [layout.filled_cells(grid.rows[row])[0] for kind, row in block.rows if kind == layout.TITLE]
            above = [text for text in (*beside, *own) if not titles.is_note(text, self._words)]
            context = under(self._given.facets, titles.context((*above, grid.name), self._words))
            title = next((named for text in reversed(above) if (named := self._title(text)).known), NOTHING)
            part = self._part(at, grid, block, context, title)
            self._note_rows(part)
            yield part

    def _title(self, text: str) -> Named:
        """The food that a title names, with the words of heads around it or without."""
        if len(text.split()) > layout.LONGEST_TITLE:
            return NOTHING
        named = self._names.named(text)
        left = (word for word in self._words.read(text).left.split() if not word.isdigit())
        return named if named.foods else self._names.named(" ".join(left))

    def _note_beside(self, at: int) -> None:
        last = at == len(self._foreign.grids) - 1
        for said in self._foreign.said:
            here = said.before == at or (last and said.before > at)
            if here and (titles.is_note(said.text, self._words) or said.before > at or self._warnings.of(said.text)):
                self._notes.append((said.line, said.text))

    def _note_rows(self, part: Part) -> None:
        for kind, row in part.block.rows:
            if kind in (layout.NOTE, layout.TITLE, layout.SECTION):
                text = layout.filled_cells(part.grid.rows[row])[0]
                if kind == layout.NOTE or titles.is_note(text, self._words) or self._warnings.of(text):
                    self._notes.append((part.grid.rows[row].line, text))
        for column in part.columns:
            if column.role == columns.TEXT:
                for kind, row in part.block.rows:
                    text = part.grid.rows[row].cells[column.at].text
                    if kind == layout.DATA and text.strip() and self._warnings.of(text):
                        self._notes.append((part.grid.rows[row].line, text))

    def _urged(self, part: Part) -> Iterator[AuditFinding]:
        """A note in a row that tells to do what is withheld."""
        for column in part.columns:
            for kind, row in part.block.rows:
                cell = part.grid.rows[row].cells[column.at]
                if column.role != columns.TEXT or kind != layout.DATA or cell.first != (row, column.at):
                    continue
                which = self._warnings.urged(cell.text) if cell.text.strip() else ""
                if which:
                    at = (part.grid_at, row, column.at)
                    self._worse(at, verdicts.WITHHELD)
                    entry = next(entry for entry in self._shelf.package.withheld if entry.id == which)
                    page = self._shelf.cite(entry.page, entry.source).in_brackets
                    yield AuditFinding(
                        verdicts.WITHHELD, part.grid.name, part.grid.rows[row].line, column.head, cell.text, "",
                        "", "", "", "", "", None, None, "", (), page, f"{entry.title}: {entry.reason}", None,
                        entry.instead or None, None, (at,),
                    )  # fmt: skip

    def _read_yourself(self) -> tuple[ReadYourself, ...]:
        return self._warnings.notes(dict.fromkeys(self._notes))

    def _part(self, at: int, grid: Grid, block: Block, context: Facets, title: Named) -> Part:
        guessed = Columns(grid, block, self._words, self._names, self._auditor._printed, context).understood()
        every = self._given.columns.applied(grid.name, guessed, self._words)
        claims = Claims(grid, block, every, self._words, self._names, context, title)
        said_acid = self._acid_is_said()
        rows = []
        foods_told: set[str] = set()
        for said, row_claims in claims.read():
            here = tuple(self._here(claim, every) for claim in row_claims)
            kept = [claim for claim in here if claim is not None]
            processes = tuple(
                self._auditor._judge.judge(claim) for claim in kept if claim.kind in ("process", "unread")
            )
            held = tuple(self._amounts(said, kept, processes, grid, every, said_acid, foods_told))
            rows.append(Row(said, processes, held))
        for column in every:
            texts = [grid.rows[row].cells[column.at].text for kind, row in block.rows if kind == layout.DATA]
            figured = [text for text in texts if layout.kind_of(text, self._words) == layout.FIGURE]
            self._bare[at, column.at] = bool(figured) and not any(c.isalpha() for text in figured for c in text)
        return Part(at, grid, block, every, tuple(rows))

    def _here(self, claim: Claim, every: Sequence[Column]) -> Claim | None:
        """A claim at the height that is asked for; None where it does not hold there."""
        height = self._given.altitude_ft
        if height is None:
            return claim
        span = claim.span
        inside = span is None or (span.point and span.to_ft == height) or (
            (span.above_ft is None or height > span.above_ft) and (span.to_ft is None or height <= span.to_ft)
        )  # fmt: skip
        if inside:
            return claim._replace(span=Span(height, height))
        for at in claim.columns:
            if every[at].facets.spans:
                self._left_out[every[at].head] = None
        return None

    # acid and headspace

    def _acid_is_said(self) -> bool:
        texts = [said.text for said in self._foreign.said]
        texts += [text for grid in self._foreign.grids for row in grid.rows for text in layout.filled_cells(row)]
        return any("acid" in self._words.read(text).kinds for text in texts if len(text) > 3)

    def _amounts(
        self,
        said: RowSaid,
        claims: Sequence[Claim],
        judged: Sequence[Judged],
        grid: Grid,
        every: Sequence[Column],
        said_acid: bool,
        foods_told: set[str],
    ) -> Iterator[AmountHeld]:
        options: dict[str, list[Option]] = {}
        for one in judged:
            for sample in one.samples:
                options.setdefault(sample.at.jar, []).extend(sample.options)
        flat = [option for found_here in options.values() for option in found_here]
        acid_at = [claim for claim in claims if claim.kind == columns.ACID]
        yield from self._acids(said, acid_at, options, grid, every, said_acid, foods_told)
        for claim in claims:
            if claim.kind == columns.HEADSPACE:
                yield from self._headspace(claim, flat, grid, every)

    def _acids(
        self,
        said: RowSaid,
        claims: Sequence[Claim],
        options: Mapping[str, Sequence[Option]],
        grid: Grid,
        every: Sequence[Column],
        said_acid: bool,
        foods_told: set[str],
    ) -> Iterator[AmountHeld]:
        by_jar: dict[str, tuple[AcidFor, ...]] = {}
        for here in options.values():
            for acid in amounts.needed(here):
                by_jar.setdefault(acid.jar or "", ())
                by_jar[acid.jar or ""] = (*by_jar[acid.jar or ""], acid)
        if not by_jar:
            return
        words = "; ".join(f"{_acid_words(acids)} in each {jar} jar" for jar, acids in by_jar.items())
        page = self._shelf.cite(*_page(next(iter(by_jar.values()))[0]))
        filled = [claim for claim in claims if claim.content not in (layout.EMPTY, layout.NOTHING_SAID)]
        for claim in filled:
            column = claim.columns[0]
            text = grid.rows[claim.row].cells[column].text
            stated = amounts.acids(text, every[column].head, self._words)
            for_jars = {jar: acids for jar, acids in by_jar.items() if jar in claim.facets.jars} or by_jar
            held = amounts.hold_acid(stated, for_jars, words)
            yield AmountHeld(column, "acid", held.verdict, text, words, held.why, page)
        food = next((meaning.food for food in said.named.foods for meaning in food), "")
        if filled or food in foods_told:
            return
        if claims:
            why = "No acid is stated, and the food needs it in each jar."
            yield AmountHeld(claims[0].columns[0], "acid", verdicts.MISSING, "", words, why, page)
        elif not said_acid:
            foods_told.add(food)
            yield AmountHeld(
                None, "acid", verdicts.MISSING, "", words, "No acid is stated, and the food needs it in each jar.", page
            )

    def _headspace(
        self, claim: Claim, options: Sequence[Option], grid: Grid, every: Sequence[Column]
    ) -> Iterator[AmountHeld]:
        column = claim.columns[0]
        text = grid.rows[claim.row].cells[column].text
        known = next((option for option in options if option.headspace), None)
        if known is None:
            return
        page = self._shelf.cite(known.headspace[0].page, known.source.id)
        if claim.content in (layout.EMPTY, layout.NOTHING_SAID):
            held = amounts.hold_headspace(None, options)
            if held is not None:
                yield AmountHeld(column, "headspace", verdicts.MISSING, "", held.published, "", page)
            return
        held = amounts.hold_headspace(amounts.headspace(text, every[column].unit), options)
        if held is not None:
            yield AmountHeld(column, "headspace", held.verdict, text, held.published, held.why, page)

    # from rows to findings and cells

    def _findings(self, part: Part) -> Iterator[AuditFinding]:
        grid = part.grid

        def place(row: int, column: int) -> Place:
            first = grid.rows[row].cells[column].first
            return (part.grid_at, *first)

        def text(row: int, column: int) -> str:
            return grid.rows[row].cells[column].text

        def line(row: int) -> int:
            return grid.rows[row].line

        causes = Causes(
            self._shelf, self._auditor.ask, [column.head for column in part.columns], place, line, text, grid.name,
            self._recognized, self._auditor._judge.heats["weighted"],
        )  # fmt: skip
        for number, row in enumerate(part.rows):
            below = part.rows[number + 1] if number + 1 < len(part.rows) else None
            self._mark(part, row, place)
            told = row.said.named.known or any(one.claim.foods or one.claim.withheld for one in row.judged)
            if row.said.unknown or not told:
                yield from self._unknown(part, row, place, line)
                continue
            yield from causes.of(row, below)
        yield from self._unread_columns(part, place, line)
        yield from self._urged(part)

    def _recognized(self, food: str, at: Combination, judged: Judged, wrong: str) -> Stated | None:
        """Name the superseded leaflet that printed a stated value; it is read only when a value is wrong."""
        from stillroom.answers import superseded

        span = judged.claim.span
        low = 0.0 if span is None or span.above_ft is None else span.above_ft
        high = None if span is None else span.to_ft
        for process in judged.claim.processes:
            minutes = None if process.minutes is None or wrong == verdicts.PRESSURE else float(process.minutes)
            psi = None if process.pressure is None or wrong == verdicts.MINUTES else float(process.pressure.psi())
            if minutes is None and psi is None:
                continue
            form, pack = at.form or None, at.pack or None
            found = superseded.recognized(self._shelf, food, form, pack, at.jar, at.canner, low, high, minutes, psi)
            if found is not None:
                return found
        return None

    def _mark(self, part: Part, row: Row, place: object) -> None:
        """Put the verdicts of a row on its cells."""
        grid = part.grid
        for one in row.judged:
            blamed = set(found.blamed(one, lambda r, c: grid.rows[r].cells[c].text))
            for column in one.claim.columns:
                at: Place = (part.grid_at, *grid.rows[one.claim.row].cells[column].first)
                verdict = one.verdict if column in blamed else verdicts.SAME
                if not grid.rows[one.claim.row].cells[column].text.strip() and column not in blamed:
                    verdict = verdicts.NOTHING
                self._worse(at, verdict)
                if verdict == one.verdict:
                    self._blamed.setdefault(at, []).append(one)
                self._say(at, one, part.columns[column].kind)
        for amount in row.amounts:
            where = amount.column if amount.column is not None else row.said.label_at
            if where is not None:
                at = (part.grid_at, *grid.rows[row.said.row].cells[where].first)
                self._worse(at, amount.verdict)
                if amount.column is not None and amount.verdict in (verdicts.WEAKER, verdicts.MISSING):
                    self._said[at] = amount.published
        if {one.verdict for one in row.judged} - {verdicts.NOTHING} == {verdicts.WITHHELD}:
            self._struck.add((part.grid_at, row.said.row))
        named = row.said.named.withheld or (part.grid_at, row.said.row) in self._struck
        if named and row.said.label_at is not None and row.judged:
            at = (part.grid_at, *grid.rows[row.said.row].cells[row.said.label_at].first)
            self._worse(at, max((one.verdict for one in row.judged), key=verdicts.RANK.index))

    def _worse(self, at: Place, verdict: str) -> None:
        before = self._verdicts.get(at, verdicts.NOTHING)
        self._verdicts[at] = max(before, verdict, key=verdicts.RANK.index)

    def _say(self, at: Place, one: Judged, kind: str) -> None:
        options = [option for sample in one.deciding for option in sample.options] if one.samples else []
        texts = dict.fromkeys(_short(option, kind) for option in options)
        if options and (at not in self._said or one.verdict not in (verdicts.SAME, verdicts.NOTHING)):
            self._said[at] = " or ".join(texts) if len(texts) <= 3 else ""

    def _unknown(self, part: Part, row: Row, place: object, line: object) -> Iterator[AuditFinding]:
        grid = part.grid
        filled = [one.claim for one in row.judged if one.claim.content in (layout.FIGURE, layout.WORDS)]
        cells: list[Place] = [
            (part.grid_at, *grid.rows[claim.row].cells[column].first)
            for claim in filled
            for column in claim.columns
            if grid.rows[claim.row].cells[column].text.strip()
        ]
        if not cells:
            return
        label = row.said.label_at
        if label is not None and row.said.unknown:
            cells.insert(0, (part.grid_at, *grid.rows[row.said.row].cells[label].first))
        for at in cells:
            self._worse(at, verdicts.UNREAD)
        shown = " ".join(row.said.unknown.split())
        why = f'"{shown}" is no name that is known here.' if shown else "No food is named in this row."
        heads = dict.fromkeys(part.columns[at[2]].head for at in cells)
        yield AuditFinding(
            verdicts.UNREAD, grid.name, grid.rows[row.said.row].line, ", ".join(heads),
            grid.rows[cells[0][1]].cells[cells[0][2]].text, shown, "", "", "", "", "", None, None, "", (), None,
            f"{why} --names tells what a name of your own means.", None, None, None, tuple(dict.fromkeys(cells)),
        )  # fmt: skip

    def _unread_columns(self, part: Part, place: object, line: object) -> Iterator[AuditFinding]:
        grid = part.grid
        for column in part.columns:
            if column.role != columns.UNREAD:
                continue
            rows = [
                row for kind, row in part.block.rows
                if kind == layout.DATA and grid.rows[row].cells[column.at].text.strip()
            ]  # fmt: skip
            cells = tuple(dict.fromkeys((part.grid_at, *grid.rows[row].cells[column.at].first) for row in rows))
            for at in cells:
                self._worse(at, verdicts.UNREAD)
            if cells:
                yield AuditFinding(
                    verdicts.UNREAD, grid.name, grid.rows[rows[0]].line, column.head,
                    grid.rows[rows[0]].cells[column.at].text, "", "", "", "", "", "", None, None, "", (), None,
                    f"The column is not read: {column.why}.", None, None, None, cells,
                )  # fmt: skip

    def _cells(self, parts: Sequence[Part]) -> Iterator[AuditCell]:
        by_place = {
            (part.grid_at, row, column.at): column
            for part in parts
            for _, row in part.block.rows
            for column in part.columns
        }
        for at, grid in enumerate(self._foreign.grids):
            for number, row in enumerate(grid.rows):
                for place, cell in enumerate(row.cells):
                    if cell.first == (number, place):
                        yield self._cell((at, number, place), row.line, cell.text, by_place)

    def _cell(self, at: Place, line: int, text: str, by_place: Mapping[Place, Column]) -> AuditCell:
        verdict = self._verdicts.get(at, verdicts.NOTHING)
        column = by_place.get(at)
        blamed = [one for one in self._blamed.get(at, ()) if one.verdict == verdict]
        said = self._said.get(at, "")
        bare = column is not None and self._bare.get((at[0], column.at), False)
        new = corrections.corrected(text, column, blamed, bare) if column is not None and blamed else None
        if new is None and verdict in (verdicts.WEAKER, verdicts.MISSING) and column is not None and not blamed:
            new = said if column.kind in (columns.ACID, columns.HEADSPACE) and said else None
        return AuditCell(*at, line, text, verdict, said, new, (at[0], at[1]) in self._struck)

    # how it was read

    def _reading(self, part: Part) -> Iterator[str]:
        prefix = f"{part.grid.name}: " if part.grid.name and len(self._foreign.grids) > 1 else ""
        groups: dict[tuple[object, ...], list[Column]] = {}
        for column in part.columns:
            if column.role == columns.TEXT and column.head.startswith("column "):
                continue
            facets = column.facets
            same = (column.role, column.kind, facets.jars, facets.packs, facets.canners, column.why, column.unit)
            one = same if facets.spans or facets.pressure else (*same, column.at)
            groups.setdefault(one, []).append(column)
        for group in groups.values():
            yield prefix + self._told(group)

    def _told(self, group: Sequence[Column]) -> str:
        first = group[0]
        if len(group) == 1:
            return f"{first.head} -> {columns.told(first, self._words)}"
        bare = first._replace(facets=first.facets._replace(spans=(), pressure=None))
        bands = sum(1 for column in group if column.facets.spans)
        heads = " | ".join(column.head for column in group[:2]) + (" ..." if len(group) > 2 else "")
        counted = f", {wording.units(bands, 'band')}" if bands else ""
        return f"{heads} -> {columns.told(bare, self._words)}{counted}"

    # what it lacks

    def _not_here(self, parts: Sequence[Part]) -> Iterator[str]:
        stated: dict[str, set[tuple[Combination, int]]] = {}
        canners: set[str] = set()
        for part in parts:
            for row in part.rows:
                for one in row.judged:
                    for sample in one.samples:
                        if one.claim.content == layout.FIGURE and sample.options:
                            low = sample.options[0].altitude_from_ft
                            stated.setdefault(sample.food, set()).add((sample.at, low))
                            canners.add(sample.at.canner)
        for food, have in stated.items():
            lacking = [
                f"{self._row_in_words(at)} {wording.span(band.from_ft, band.to_ft)}"
                for at, bands in self._shelf.chart_of(food).items()
                if at.canner in canners
                for band in bands
                if band.cells and (at, band.from_ft) not in have and self._at_height(band.from_ft, band.to_ft)
            ]
            if lacking:
                yield f"{self._shelf.foods[food].title}: {'; '.join(_whole_rows(lacking))}"

    def _at_height(self, low: int, high: int | None) -> bool:
        height = self._given.altitude_ft
        return height is None or (height > low - 1 and (high is None or height <= high))

    def _row_in_words(self, at: Combination) -> str:
        parts = (
            self._shelf.in_words("form", at.form),
            self._shelf.in_words("pack", at.pack),
            self._shelf.jars[at.jar].plural,
            self._shelf.canners[at.canner].title,
        )
        return ", ".join(part for part in parts if part) + ","


def _whole_rows(lacking: Sequence[str]) -> list[str]:
    """Name each row once, with its bands."""
    rows: dict[str, list[str]] = {}
    for one in lacking:
        row, _, band = one.rpartition(", ")
        rows.setdefault(row, []).append(band)
    return [f"{row} ({'; '.join(bands)})" for row, bands in rows.items()]


def _short(option: Option, kind: str) -> str:
    """A published option as a cell of a kind says it."""
    if kind == columns.PRESSURE and option.pressure_psi is not None:
        return f"{option.pressure_psi} psi"
    if kind == columns.MINUTES or option.pressure_psi is None:
        return f"{option.minutes} min"
    return f"{option.minutes} min at {option.pressure_psi} psi"


def _judged_in(row: Row) -> int:
    return len(row.amounts) + sum(one.verdict not in (verdicts.NOTHING, verdicts.UNREAD) for one in row.judged)


def _page(acid: AcidFor) -> tuple[str, str]:
    return acid.page, acid.source.id


def _acid_words(acids: Sequence[AcidFor]) -> str:
    return wording.listed([wording.units(acid.quantity, acid.unit) + f" of {acid.acid}" for acid in acids])
