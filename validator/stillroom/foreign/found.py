"""Found: from judged claims to findings, one for each cause in a row, with the cells and the published values."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from typing import NamedTuple

from stillroom.answers import wording
from stillroom.answers.answer import Citation, Option, Stated
from stillroom.answers.charts import Combination
from stillroom.answers.shelf import Shelf
from stillroom.foreign import judged as verdicts
from stillroom.foreign import looks
from stillroom.foreign.audited import AuditFinding, Published
from stillroom.foreign.claims import Claim, RowSaid
from stillroom.foreign.judged import BOTH, MINUTES, PRESSURE, Judged, Sample
from stillroom.foreign.spans import Span

Recognize = Callable[[str, Combination, Judged, str], "Stated | None"]
"""Names the older publication that printed what a claim states, for a food, a row, and the part that is wrong."""


class Row(NamedTuple):
    """A row that was judged.

    Attributes
    ----------
    said : RowSaid
    judged : tuple of Judged
        Its processes.
    amounts : tuple
        Its acids and headspaces: column, part, verdict, published, why, and the text of the cell.
    """

    said: RowSaid
    judged: tuple[Judged, ...]
    amounts: tuple[AmountHeld, ...]


class AmountHeld(NamedTuple):
    """An acid or a headspace of a row with its verdict; column None where no column has one."""

    column: int | None
    part: str
    verdict: str
    stated: str
    published: str
    why: str
    page: Citation | None


class Causes:
    """Makes the findings of one table.

    Parameters
    ----------
    shelf : Shelf
    ask : callable
        Looks up published options.
    heads : sequence of str
        Heads of the columns.
    place : callable
        From a row and a column to the cell: grid, row, column, of a merged cell its upper left corner.
    line : callable
        From a row to its line, as a person counts it.
    text : callable
        From a row and a column to the text of the cell.
    table : str
        Name of the table.
    recognize : callable
        Names the older publication that printed a stated value.
    weights : collection of int
        Weights that there are, psi.
    """

    def __init__(
        self,
        shelf: Shelf,
        ask: looks.Ask,
        heads: Sequence[str],
        place: Callable[[int, int], tuple[int, int, int]],
        line: Callable[[int], int],
        text: Callable[[int, int], str],
        table: str,
        recognize: Recognize,
        weights: Collection[int],
    ) -> None:
        self._shelf, self._ask, self._heads = shelf, ask, heads
        self._place, self._line, self._text, self._table = place, line, text, table
        self._recognize, self._weights = recognize, weights

    def of(self, row: Row, below: Row | None) -> Iterable[AuditFinding]:
        """Make the findings of one row."""
        groups: dict[tuple[object, ...], list[Judged]] = {}
        for judged in row.judged:
            if judged.verdict not in (verdicts.SAME, verdicts.NOTHING):
                groups.setdefault(_cause(judged), []).append(judged)
        for group in groups.values():
            yield self._finding(row, group, below)
        for amount in row.amounts:
            if amount.verdict not in (verdicts.SAME, verdicts.NOTHING):
                yield self._of_amount(row, amount)

    def _finding(self, row: Row, group: Sequence[Judged], below: Row | None) -> AuditFinding:
        first = group[0]
        samples = [sample for judged in group for sample in judged.deciding]
        cells = self._cells(row, group)
        published = self._published(samples, group)
        spans = [judged.claim.span for judged in group if judged.claim.span is not None]
        looks_like = None
        if first.verdict in (verdicts.WEAKER, verdicts.STRONGER):
            looks_like = looks.slip(group, row.judged, () if below is None else below.judged, self._ask)
        why, instead, page = self._reason(row, group, samples, published)
        at = [sample.at for sample in samples]
        return AuditFinding(
            verdict=first.verdict,
            table=self._table,
            row=self._line(row.said.row),
            column=", ".join(dict.fromkeys(self._heads[column] for *_, column in cells)),
            cell=self._text(row.said.row, cells[0][2]) if cells else "",
            label=" ".join(row.said.label.split()),
            food=_one(sample.food for sample in samples) or _one(m.food for f in first.claim.foods for m in f),
            form=_one(one.form for one in at),
            pack=_one(one.pack for one in at) or _one(first.claim.facets.packs),
            jar=_one(one.jar for one in at) or _one(first.claim.facets.jars),
            canner=_one(one.canner for one in at) or _one(first.claim.facets.canners),
            altitude_from_ft=_least(spans),
            altitude_to_ft=_most(spans),
            stated=_stated(group, samples),
            published=published,
            page=page,
            why=why,
            looks_like=looks_like,
            instead=instead,
            history=self._history(group, samples),
            cells=cells,
        )

    def _cells(self, row: Row, group: Sequence[Judged]) -> tuple[tuple[int, int, int], ...]:
        places = [self._place(judged.claim.row, column) for judged in group for column in blamed(judged, self._text)]
        named = group[0].claim.withheld or group[0].verdict == verdicts.WITHHELD
        if named and row.said.label_at is not None:
            places.append(self._place(row.said.row, row.said.label_at))
        return tuple(dict.fromkeys(places))

    def _published(self, samples: Sequence[Sample], group: Sequence[Judged]) -> tuple[Published, ...]:
        if group[0].verdict in (verdicts.WITHHELD, verdicts.UNTESTED, verdicts.UNREAD):
            return ()
        found: dict[Published, None] = {}
        for sample in sorted(samples, key=_strictness, reverse=True):
            options = sample.options if sample.option is None or sample.wrong == BOTH else (sample.option,)
            for option in options:
                found[_published_as(sample, option, self._shelf)] = None
        if len({(one.pack, one.jar, one.canner, one.text) for one in found}) == 1:
            first, last = min(found, key=_from), max(found, key=_from)
            return (first._replace(altitude_to_ft=last.altitude_to_ft),)
        return tuple(found)

    def _reason(
        self, row: Row, group: Sequence[Judged], samples: Sequence[Sample], published: Sequence[Published]
    ) -> tuple[str, str | None, str | None]:
        """Why, what to do instead, and the page."""
        first = group[0]
        withheld = first.claim.withheld or next(iter(first.claim.facets.practices), "")
        if withheld:
            entry = next(entry for entry in self._shelf.package.withheld if entry.id == withheld)
            cited = self._shelf.cite(entry.page, entry.source)
            return entry.reason, entry.instead or None, cited.in_brackets
        if first.why:
            return first.why, None, None
        refused = next((sample.refusal for sample in samples if sample.refusal is not None), None)
        if refused is not None:
            page = refused.source.in_brackets if refused.source else None
            return refused.reason, None, page
        against = next((s for s in samples if s.option is not None and first.verdict == verdicts.WITHHELD), None)
        if against is not None and against.option is not None:
            page = self._shelf.cite(against.option.page, against.option.source.id).in_brackets
            return "The table prints this time as not recommended.", None, page
        page = published[0].page.in_brackets if published else None
        return _why(group, samples, self._shelf, self._weights), None, page

    def _history(self, group: Sequence[Judged], samples: Sequence[Sample]) -> Stated | None:
        """What an older publication printed, where a stated value is one of its."""
        if group[0].verdict in (verdicts.STRONGER, verdicts.MISSING, verdicts.UNREAD):
            return None
        for judged in group:
            for sample in judged.deciding:
                found = self._recognize(sample.food, sample.at, judged, sample.wrong)
                if found is not None:
                    return found
            for at in _unpublished(judged.claim):
                found = self._recognize(judged.claim.withheld, at, judged, "")
                if found is not None:
                    return found
        return None

    def _of_amount(self, row: Row, amount: AmountHeld) -> AuditFinding:
        column = amount.column if amount.column is not None else row.said.label_at
        cells = () if column is None else (self._place(row.said.row, column),)
        foods = [meaning.food for food in row.said.named.foods for meaning in food]
        shown = () if amount.page is None else (
            Published("", "", "", None, None, None, None, amount.published, amount.page),
        )  # fmt: skip
        return AuditFinding(
            verdict=amount.verdict,
            table=self._table,
            row=self._line(row.said.row),
            column="" if column is None else self._heads[column],
            cell="" if column is None else self._text(row.said.row, column),
            label=" ".join(row.said.label.split()),
            food=_one(foods),
            form="",
            pack="",
            jar=_one(row.said.facets.jars),
            canner="",
            altitude_from_ft=None,
            altitude_to_ft=None,
            stated=amount.stated,
            published=shown,
            page=amount.page.in_brackets if amount.page else None,
            why=amount.why,
            looks_like=None,
            instead=None,
            history=None,
            cells=cells,
        )


def blamed(judged: Judged, text: Callable[[int, int], str]) -> tuple[int, ...]:
    """Columns of the cells that carry the verdict of a claim."""
    claim = judged.claim
    if judged.verdict == verdicts.MISSING:
        blank = tuple(column for column in claim.columns if not _filled(text(claim.row, column)))
        return blank or claim.columns
    if judged.verdict in (verdicts.WITHHELD, verdicts.UNTESTED):
        return tuple(column for column in claim.columns if _filled(text(claim.row, column)))
    if judged.verdict not in (verdicts.WEAKER, verdicts.STRONGER):
        return claim.columns
    wrong = {sample.wrong for sample in judged.deciding}
    part = wrong.pop() if len(wrong) == 1 else BOTH
    if part == MINUTES and claim.minutes_at is not None:
        return (claim.minutes_at,)
    if part == PRESSURE and claim.pressure_at is not None:
        return (claim.pressure_at,)
    return claim.columns


def _unpublished(claim: Claim) -> Iterator[Combination]:
    """Rows that a claim of a withheld food is about."""
    if claim.withheld:
        for pack in claim.facets.packs or ("",):
            for jar in claim.facets.jars:
                for canner in claim.facets.canners or ("dial", "weighted", "boiling-water"):
                    yield Combination("", pack, jar, canner)


def _filled(text: str) -> bool:
    return any(char.isalnum() for char in text)


def _cause(judged: Judged) -> tuple[object, ...]:
    claim = judged.claim
    part = tuple(sorted({sample.wrong for sample in judged.deciding}))
    refused = next((sample.refusal.code for sample in judged.deciding if sample.refusal is not None), "")
    of_no_jar = judged.verdict in (verdicts.WITHHELD, verdicts.UNREAD) or part == (PRESSURE,)
    jars = () if of_no_jar else claim.facets.jars
    canners = (
        claim.facets.canners if judged.verdict in (verdicts.WEAKER, verdicts.STRONGER) and PRESSURE in part else ()
    )
    return judged.verdict, part, refused, jars, canners, judged.why, claim.withheld


def _one(values: Iterable[str]) -> str:
    seen = set(values)
    return seen.pop() if len(seen) == 1 else ""


def _least(spans: Sequence[Span]) -> int | None:
    if not spans:
        return None
    low = [span.above_ft for span in spans]
    return 0 if any(one is None for one in low) else round(min(one for one in low if one is not None))


def _most(spans: Sequence[Span]) -> int | None:
    high = [span.to_ft for span in spans]
    return None if not high or any(one is None for one in high) else round(max(one for one in high if one is not None))


def _stated(group: Sequence[Judged], samples: Sequence[Sample]) -> str:
    wrong = {sample.wrong for sample in samples}
    told: dict[str, None] = {}
    for judged in group:
        for process in judged.claim.processes:
            if wrong == {MINUTES}:
                process = process._replace(pressure=None)
            elif wrong == {PRESSURE}:
                process = process._replace(minutes=None)
            said = verdicts.process_in_words(process)
            if said:
                told[said] = None
    return ", ".join(told)


def _strictness(sample: Sample) -> tuple[int, int]:
    option = sample.option
    return (0, 0) if option is None else (option.minutes, option.pressure_psi or 0)


def _from(published: Published) -> int:
    return published.altitude_from_ft or 0


def _published_as(sample: Sample, option: Option, shelf: Shelf) -> Published:
    if sample.wrong == MINUTES:
        text = f"{option.minutes} min"
    elif sample.wrong == PRESSURE and option.pressure_psi is not None:
        text = f"{option.pressure_psi} psi"
    else:
        text = f"{option.minutes} min" + ("" if option.pressure_psi is None else f" at {option.pressure_psi} psi")
    return Published(
        sample.at.pack,
        sample.at.jar,
        sample.at.canner,
        option.altitude_from_ft,
        option.altitude_to_ft,
        option.minutes,
        option.pressure_psi,
        text,
        shelf.cite(option.page, option.source.id),
    )


def _why(group: Sequence[Judged], samples: Sequence[Sample], shelf: Shelf, weights: Collection[int]) -> str:
    """Where a stated value is less than published, and where it is not; blank where it is less everywhere."""
    first = group[0]
    if first.verdict == verdicts.MISSING:
        return ""
    if first.verdict == verdicts.STRONGER:
        return _stronger(group, samples, weights)
    parts = []
    for judged in group:
        fine = [sample for sample in judged.samples if sample.verdict in (verdicts.SAME, verdicts.STRONGER)]
        if not fine or judged.verdict != verdicts.WEAKER:
            continue
        heights = sorted({sample.altitude_ft for sample in fine})
        worse = sorted({sample.altitude_ft for sample in judged.deciding})
        if heights[-1] < worse[0]:
            parts.append(f"As published to {heights[-1]:,.0f} ft, weaker above.")
        packs = {sample.at.pack for sample in judged.deciding} - {sample.at.pack for sample in fine}
        if packs and not judged.claim.facets.packs:
            parts.append(f"No pack is stated, and {wording.listed(sorted(packs), 'and')} pack takes more.")
        jars = {sample.at.jar for sample in judged.deciding} - {sample.at.jar for sample in fine}
        if jars:
            parts.append(f"Too little for {wording.listed([shelf.jars[jar].plural for jar in sorted(jars)], 'and')}.")
    if any(sample.wrong == BOTH and len(sample.options) > 1 for sample in samples):
        parts.append("The time of one tested option with the pressure of another is not tested.")
    return " ".join(dict.fromkeys(parts))


def _stronger(group: Sequence[Judged], samples: Sequence[Sample], weights: Collection[int]) -> str:
    if any(judged.claim.content == "refused" for judged in group):
        return "The handout speaks against what is tested."
    heats = [process.pressure for judged in group for process in judged.claim.processes]
    if any(sample.at.canner == "weighted" and sample.wrong != MINUTES for sample in samples):
        for heat in heats:
            if heat is not None and not any(heat.is_psi(weight) for weight in weights):
                return f"There is no weight of {heat}."
    return ""
