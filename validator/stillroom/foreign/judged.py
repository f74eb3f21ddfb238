"""Judged: each claim of a foreign table held against every published row that it touches; the weakest decides.

The publication is asked as :func:`stillroom.find` asks it: no row is compared that would not be an answer.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from typing import NamedTuple

from stillroom.answers import wording
from stillroom.answers.answer import NoTestedSchedule, Option
from stillroom.answers.charts import Combination
from stillroom.answers.lookup import Lookup
from stillroom.answers.names import Meaning
from stillroom.foreign import layout
from stillroom.foreign.claims import Claim, Process
from stillroom.foreign.spans import Span

SAME, STRONGER, WEAKER, UNTESTED, WITHHELD, MISSING, UNREAD, NOTHING = (
    "same", "stronger", "weaker", "untested", "withheld", "missing", "unread", "text",
)  # fmt: skip
RANK = (NOTHING, SAME, STRONGER, UNREAD, MISSING, WEAKER, UNTESTED, WITHHELD)
"""From what needs no change to the worst."""
MINUTES, PRESSURE, BOTH = "minutes", "pressure", "both"
_REFUSED_AS = {"not-recommended": WITHHELD, "method-unsafe": WITHHELD, "withheld": WITHHELD}
OPEN_NAME, NO_ALTITUDE, NO_CANNER = "several foods", "no altitude", "no canner"


class Sample(NamedTuple):
    """One published place that a claim touches.

    Attributes
    ----------
    food : str
    at : Combination
    altitude_ft : float
        A height within the published band, feet.
    verdict : str
        One of :data:`RANK`.
    wrong : str
        minutes, pressure or both, where one is; else blank.
    option : Option or None
        What is published there: the option that decides; None where nothing is.
    options : tuple of Option
        All that is published there.
    refusal : NoTestedSchedule or None
        Why nothing is.
    """

    food: str
    at: Combination
    altitude_ft: float
    verdict: str
    wrong: str
    option: Option | None
    options: tuple[Option, ...]
    refusal: NoTestedSchedule | None


class Judged(NamedTuple):
    """A claim with its verdict.

    Attributes
    ----------
    claim : Claim
    verdict : str
        One of :data:`RANK`.
    samples : tuple of Sample
        Every place it was held against.
    why : str
        A reason that no sample tells, as a whole sentence; blank where the samples tell it.
    """

    claim: Claim
    verdict: str
    samples: tuple[Sample, ...] = ()
    why: str = ""

    @property
    def deciding(self) -> tuple[Sample, ...]:
        """Places with the verdict of the whole."""
        return tuple(sample for sample in self.samples if sample.verdict == self.verdict)


class Judge:
    """Holds claims against one lookup.

    Parameters
    ----------
    lookup : Lookup
    edges : sequence of int
        Published upper edges of bands, feet.

    Attributes
    ----------
    heats : dict
        Every printed pressure of a dial and of a weighted gauge, psi.
    """

    def __init__(self, lookup: Lookup, edges: Sequence[int]) -> None:
        self._lookup, self._shelf, self._edges = lookup, lookup.shelf, tuple(edges)
        self.heats = {
            canner: frozenset(
                cell.pressure_psi
                for group in dict.fromkeys(food.group for food in self._shelf.package.foods)
                for cell in self._shelf.package.schedules(group)
                if cell.gauge == canner and cell.pressure_psi is not None
            )
            for canner in ("dial", "weighted")
        }

    def judge(self, claim: Claim) -> Judged:
        """Judge one claim of a process, or of nothing where one may be published."""
        if claim.kind == "unread" or not (claim.foods or claim.withheld or claim.facets.practices):
            return Judged(claim, UNREAD if claim.content in (layout.FIGURE, layout.WORDS) else NOTHING, (), claim.why)
        if claim.withheld or claim.facets.practices:
            return Judged(claim, self._withheld_as(claim) if claim.states else NOTHING)
        if claim.disagree:
            return Judged(claim, UNREAD, (), "The figures in this cell contradict each other.")
        if claim.content == layout.FIGURE and claim.facets.jar_words and not claim.facets.jars:
            return Judged(claim, UNTESTED, (), f'Nothing is tested in a jar of "{claim.facets.jar_words[0]}".')
        canners = self._canners(claim)
        if not canners:
            figure = claim.content == layout.FIGURE
            return Judged(claim, UNREAD if figure else NOTHING, (), "It says no canner: --canner names it.")
        each = [self._food(claim, meanings, canners) for meanings in claim.foods]
        return max(each, key=lambda one: RANK.index(one.verdict)) if each else Judged(claim, NOTHING)

    def _withheld_as(self, claim: Claim) -> str:
        """What no publication gives a process for is untested; what one speaks against is withheld."""
        which = claim.withheld or claim.facets.practices[0]
        entry = next(entry for entry in self._shelf.package.withheld if entry.id == which)
        return WITHHELD if entry.code == "withheld" else UNTESTED

    # what the claim leaves open

    def _canners(self, claim: Claim) -> tuple[str, ...]:
        said = claim.facets.canners
        heats = [process.pressure for process in claim.processes if process.pressure is not None]
        under_pressure = [canner for canner in said if canner in self.heats]
        if said and (not heats or not under_pressure):
            return said
        open_to = under_pressure or list(self.heats)
        fits = [
            canner
            for canner in open_to
            if heats and all(any(heat.is_psi(psi) for psi in self.heats[canner] if psi) for heat in heats)
        ]
        if fits:
            return tuple(fits)
        return tuple(open_to) if heats else said

    def _food(self, claim: Claim, meanings: Sequence[Meaning], canners: Sequence[str]) -> Judged:
        judged = [self._meaning(claim, meaning, canners) for meaning in meanings]
        if len({one.verdict for one in judged}) == 1:
            return judged[0]
        if claim.content != layout.FIGURE:
            return min(judged, key=lambda one: RANK.index(one.verdict))
        if all(one.verdict in (SAME, STRONGER) for one in judged):
            return max(judged, key=lambda one: RANK.index(one.verdict))
        titles = dict.fromkeys(self._shelf.foods[meaning.food].title for meaning in meanings)
        return Judged(claim, UNREAD, (), f"The name stands for several tested foods: {'; '.join(titles)}.")

    def _meaning(self, claim: Claim, meaning: Meaning, canners: Sequence[str]) -> Judged:
        samples = tuple(
            sample
            for canner in canners
            for at in self._combinations(claim, meaning, canner)
            for sample in self._samples(claim, meaning, at)
        )
        if claim.content == layout.FIGURE:
            return self._of_figure(claim, samples)
        published = [sample for sample in samples if sample.options and sample.options[0].by_rule is None]
        if claim.content == layout.REFUSED:
            against = [sample for sample in samples if sample.option is not None and sample.option.not_recommended]
            clear = not published or against
            return Judged(claim, NOTHING if clear else STRONGER, () if clear else tuple(published))
        timed = any(process.minutes is not None for process in claim.processes)
        heated = any(process.pressure is not None for process in claim.processes)
        wrong = PRESSURE if timed and not heated else MINUTES if heated and not timed else ""
        wanted = tuple(sample._replace(verdict=MISSING, wrong=wrong) for sample in published)
        return Judged(claim, MISSING if wanted else NOTHING, wanted)

    def _of_figure(self, claim: Claim, samples: tuple[Sample, ...]) -> Judged:
        if not samples:
            return Judged(claim, UNTESTED, (), "Nothing is published for it.")
        verdicts = {sample.verdict for sample in samples}
        worst = max(verdicts, key=RANK.index)
        if claim.span is None and worst == WEAKER and verdicts & {SAME, STRONGER}:
            heights = {sample.altitude_ft for sample in samples if sample.verdict == WEAKER}
            if not heights >= {sample.altitude_ft for sample in samples}:
                return Judged(claim, UNREAD, (), 'It says no altitude, and times rise with it: --at "1650 ft" says it.')
        return Judged(claim, worst, samples)

    def _combinations(self, claim: Claim, meaning: Meaning, canner: str) -> Iterator[Combination]:
        """Rows a claim is about; what it leaves open is every row that is published."""
        chart = self._shelf.chart_of(meaning.food)
        own = [at for at in chart if at.canner == ("boiling-water" if canner == "steam" else canner)]
        rows = own or list(chart)
        forms = (meaning.form,) if meaning.form else tuple(dict.fromkeys(at.form for at in rows))
        for form in forms:
            here = [at for at in rows if at.form == form] or rows
            packs = claim.facets.packs or ((meaning.pack,) if meaning.pack else None)
            for pack in packs or tuple(dict.fromkeys(at.pack for at in here)):
                jars = claim.facets.jars or tuple(
                    dict.fromkeys(at.jar for at in here if at.pack == pack or not any(o.pack == pack for o in here))
                )
                for jar in jars:
                    yield Combination(form, pack, jar, canner)

    def _samples(self, claim: Claim, meaning: Meaning, at: Combination) -> Iterator[Sample]:
        for altitude_ft in self._heights(claim.span, meaning, at):
            try:
                if meaning.pack and at.pack not in ("", meaning.pack):
                    from stillroom.answers import refusal

                    raise refusal.other_kind(self._shelf, meaning, at, altitude_ft)
                options = self._lookup.options(meaning.food, at, altitude_ft)
            except NoTestedSchedule as error:
                verdict = _REFUSED_AS.get(error.code, UNTESTED)
                yield Sample(meaning.food, at, altitude_ft, verdict, "", None, (), error)
                continue
            if claim.content == layout.FIGURE:
                verdict, wrong, option = held(claim.processes, options)
            else:
                verdict, wrong, option = SAME, "", options[0]
            yield Sample(meaning.food, at, altitude_ft, verdict, wrong, option, options, None)

    def _heights(self, span: Span | None, meaning: Meaning, at: Combination) -> Iterable[float]:
        """A height in each published band that is touched, and one beyond the last where the claim goes on."""
        if span is not None and span.point:
            return (span.to_ft or 0.0,)
        low = -1.0 if span is None or span.above_ft is None else span.above_ft
        high = None if span is None else span.to_ft
        inside = [float(edge) for edge in self._edges if edge > low and (high is None or edge < high)]
        if high is not None:
            return (*inside, high)
        if span is None:
            top = self._top(meaning, at)
            return tuple(edge for edge in inside if top is None or edge <= top) + (() if top else (self._above(),))
        return (*inside, self._above())

    def _above(self) -> float:
        return float(self._edges[-1] + 1)

    def _top(self, meaning: Meaning, at: Combination) -> int | None:
        """Where the published bands of a food end in a canner, feet; None without an end."""
        bands = [bands for row, bands in self._shelf.chart_of(meaning.food).items() if row.canner == at.canner]
        return bands[0][-1].to_ft if bands else None


def held(processes: Sequence[Process], options: Sequence[Option]) -> tuple[str, str, Option]:
    """Hold stated options against published ones: each stated one must be as safe as a published one.

    Returns
    -------
    tuple
        Verdict, what is wrong, and the published option that decides.
    """
    return max((_one(process, options) for process in processes), key=lambda found: RANK.index(found[0]))


def _one(process: Process, options: Sequence[Option]) -> tuple[str, str, Option]:
    against = next((o for o in options if process.minutes is not None and process.minutes in o.not_recommended), None)
    exact = next((option for option in options if _same_time(process, option) and _same_heat(process, option)), None)
    if exact is not None:
        return SAME, "", exact
    if against is not None:
        return WITHHELD, BOTH, against
    safe = [option for option in options if _time(process, option) >= 0 and _heat(process, option) >= 0]
    if process.pressure is None or process.minutes is None:
        safe = safe if len(safe) == len(options) else []
    if safe:
        option = safe[0]
        return STRONGER, _differs(process, option), option
    return _weaker(process, options)


def _weaker(process: Process, options: Sequence[Option]) -> tuple[str, str, Option]:
    by_heat = next((option for option in options if process.pressure is not None and _same_heat(process, option)), None)
    by_time = next((option for option in options if process.minutes is not None and _same_time(process, option)), None)
    if by_heat is not None and by_time is not None and len(options) > 1:
        return WEAKER, BOTH, by_heat
    if by_heat is not None or process.pressure is None:
        return WEAKER, MINUTES, by_heat or options[0]
    if by_time is not None or process.minutes is None:
        return WEAKER, PRESSURE, by_time or options[0]
    option = next((o for o in options if _heat(process, o) >= 0 or _time(process, o) >= 0), options[0])
    wrong = BOTH if _heat(process, option) < 0 and _time(process, option) < 0 else (
        MINUTES if _time(process, option) < 0 else PRESSURE
    )  # fmt: skip
    return WEAKER, wrong, option


def _differs(process: Process, option: Option) -> str:
    time, heat = _time(process, option) > 0, _heat(process, option) > 0
    return BOTH if time and heat else MINUTES if time else PRESSURE


def _time(process: Process, option: Option) -> int:
    """Whether a stated time is less (-1), the same or not stated (0), or more (1)."""
    if process.minutes is None:
        return 0
    return (process.minutes > option.minutes) - (process.minutes < option.minutes)


def _heat(process: Process, option: Option) -> int:
    if process.pressure is None or option.pressure_psi is None or process.pressure.is_psi(option.pressure_psi):
        return 0
    psi: Fraction = process.pressure.psi()
    return (psi > option.pressure_psi) - (psi < option.pressure_psi)


def _same_time(process: Process, option: Option) -> bool:
    return _time(process, option) == 0


def _same_heat(process: Process, option: Option) -> bool:
    return _heat(process, option) == 0


def process_in_words(process: Process) -> str:
    """Write a stated process: ``35 min``, ``11 psi``, ``25 min at 11 psi``."""
    from stillroom.foreign import notation

    time = "" if process.minutes is None else f"{notation.shown(process.minutes)} min"
    heat = "" if process.pressure is None else str(process.pressure)
    return " at ".join(part for part in (time, heat) if part)


def option_in_words(option: Option) -> str:
    """Write a published process the same way."""
    return wording.process(option.minutes, option.pressure_psi)
