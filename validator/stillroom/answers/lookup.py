"""Lookup: one question, one answer from published rows, or a refusal that says why.

Nothing is interpolated, extrapolated, averaged or guessed.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, NamedTuple

from stillroom.answers import conditions, understanding, wording
from stillroom.answers.altitude import further_minutes
from stillroom.answers.answer import Answer, Citation, NoTestedSchedule, Option, Stated
from stillroom.answers.charts import Band, Combination, Left, band_at
from stillroom.answers.names import Meaning
from stillroom.answers.question import Question
from stillroom.answers.shelf import Shelf
from stillroom.answers.stems import plain
from stillroom.answers.understanding import Asked
from stillroom.errors import BadInput
from stillroom.package.records import Food, JarRule, Schedule

if TYPE_CHECKING:
    from stillroom.answers.refusal import Why

PRINTED_SO = "printed-so"
"""Id of the caution for a process that looks like a slip and is none."""


class _Fitting(NamedTuple):
    """The printed row that fits a question, and the rule that carries it there, if one does."""

    bands: tuple[Band, ...]
    printed_jar: str
    rule: JarRule | None


class _Separated(NamedTuple):
    """Whether the publication separates forms of a food, and packs."""

    forms: bool
    packs: bool


class Lookup:
    """Answers from one shelf; safe to keep and to share.

    Parameters
    ----------
    shelf : Shelf
    """

    def __init__(self, shelf: Shelf) -> None:
        self.shelf = shelf
        self._separates: dict[str, _Separated] = {}
        self._refused: dict[tuple[str, Combination, tuple[str | None, ...]], Why] = {}
        self._fits: dict[tuple[str, Combination], _Fitting] = {}
        self._options: dict[tuple[str, Combination, int, int], tuple[Option, ...]] = {}

    def find(self, said: Question) -> Answer:
        """Answer one question; see :func:`stillroom.find`."""
        shelf = self.shelf
        meanings = shelf.names.meanings(said.food, shelf.cite)
        asked = understanding.read(shelf, said, meanings)
        if len(meanings) == len(asked.jars) == len(asked.canners) == 1:
            form, separated = understanding.form_of(shelf, meanings[0], asked.form), self._separated(meanings[0].food)
            if (form or not separated.forms) and (asked.pack is not None or not separated.packs):
                at = Combination(form, asked.pack or "", asked.jars[0], asked.canners[0])
                return self.answer(meanings[0], at, asked)
        from stillroom.answers import which

        return which.find(shelf, self.answer, meanings, asked)

    def answer(self, meaning: Meaning, at: Combination, asked: Asked, about: Left | None = None) -> Answer:
        """Answer for one food, one combination and one altitude, or refuse.

        Parameters
        ----------
        meaning : Meaning
        at : Combination
            What is looked up; blank where the publication names none.
        asked : Asked
            What was said.
        about : dict, optional
            What to tell as asked in a refusal; all of ``at`` by default.

        Raises
        ------
        NoTestedSchedule
            Nothing fits.
        """
        shelf = self.shelf
        if meaning.pack and at.pack not in ("", meaning.pack):
            from stillroom.answers import refusal

            raise refusal.other_kind(shelf, meaning, at, asked.altitude_ft)
        return Answer(
            meaning.food,
            meaning.said or None,
            shelf.foods[meaning.food].title,
            at.form or None,
            at.pack or None,
            at.jar,
            at.canner,
            asked.altitude_ft,
            conditions.follows(shelf, meaning.food),
            self.options(meaning.food, at, asked.altitude_ft, about),
            asked.understood,
        )

    def options(
        self, food: str, asked: Combination, altitude_ft: float, about: Left | None = None
    ) -> tuple[Option, ...]:
        """Find the options of one combination at one altitude, in a canner of its own or by a derived rule, or refuse.

        Raises
        ------
        NoTestedSchedule
            Nothing fits.
        """
        if not self.shelf.canners[asked.canner].by_rule:
            return self._printed_options(food, asked, altitude_ft, about)
        from stillroom.answers import derived

        taken = asked._replace(canner=derived.TAKES)
        try:
            boiled = self._printed_options(food, taken, altitude_ft, about)
        except NoTestedSchedule as error:
            raise derived.reworded(error, asked.canner) from None
        return derived.carried(self.shelf, food, asked, boiled, altitude_ft)

    def foods(self, text: str | None = None, group: str | None = None) -> tuple[Food, ...]:
        """List foods; see :func:`stillroom.foods`."""
        by_id, names = self.shelf.foods, self.shelf.names
        groups = tuple(dict.fromkeys(food.group for food in by_id.values()))
        if group is not None and group not in groups:
            raise BadInput(f'group "{group}" is not one of {wording.listed(sorted(groups))}')
        if text is None:
            chosen: Iterable[str] = by_id
        elif plain(text):
            chosen = names.nearness.holding(text, most=len(by_id)) or names.nearness.near(text)
        else:
            raise BadInput("the words to look for are empty: leave them out to list every food")
        return tuple(food for food in map(by_id.__getitem__, chosen) if group in (None, food.group))

    # which printed row fits

    def _printed_options(
        self, food: str, asked: Combination, altitude_ft: float, about: Left | None
    ) -> tuple[Option, ...]:
        key = (food, asked)
        fitting = self._fits.get(key)
        if fitting is None:
            fitting = self._fits[key] = self._fitting(food, asked, altitude_ft, about)
        band = band_at(fitting.bands, altitude_ft)
        if band is None:
            from stillroom.answers import refusal

            raise refusal.too_high(self.shelf, food, asked, fitting.bands, altitude_ft)
        place = (*key, band.from_ft, further_minutes(altitude_ft))
        options = self._options.get(place)
        if options is None:
            options = self._options[place] = self._tested_options(food, asked, fitting, band, altitude_ft)
        return options

    def _fitting(self, food: str, asked: Combination, altitude_ft: float, about: Left | None) -> _Fitting:
        rows = self.shelf.chart_of(food)
        if asked in rows:
            return _Fitting(rows[asked], asked.jar, None)
        rule = self.shelf.jar_rule(food, asked.jar)
        if rule is not None and asked._replace(jar=rule.takes) in rows:
            return _Fitting(rows[asked._replace(jar=rule.takes)], rule.takes, rule)
        raise self._untested(food, asked, about or _all_of(asked), altitude_ft)

    def _untested(self, food: str, asked: Combination, about: Left, altitude_ft: float) -> NoTestedSchedule:
        from stillroom.answers import refusal

        place = (food, asked, tuple(about.values()))
        why = self._refused.get(place)
        if why is None:
            why = self._refused[place] = refusal.why_untested(self.shelf, food, asked, about)
        return refusal.untested(self.shelf, food, why, asked, about, altitude_ft)

    # from printed cells to options

    def _tested_options(
        self, food: str, asked: Combination, fitting: _Fitting, band: Band, altitude_ft: float
    ) -> tuple[Option, ...]:
        if not band.cells:
            from stillroom.answers import refusal

            raise refusal.not_recommended(self.shelf, food, asked, band, altitude_ft)
        facts = conditions.facts(self.shelf, food, asked, fitting.printed_jar, altitude_ft)
        against = tuple(cell.minutes for cell in band.not_recommended)
        return tuple(self._option(cell, fitting, facts, against) for cell in band.cells)

    def _option(
        self, cell: Schedule, fitting: _Fitting, facts: conditions.Facts, not_recommended: tuple[int, ...]
    ) -> Option:
        inches = {row.inches for row in facts.headspace}
        cited = self.shelf.cite(cell.page, cell.source)
        return Option(
            minutes=cell.minutes,
            pressure_psi=cell.pressure_psi,
            altitude_from_ft=cell.altitude_from_ft,
            altitude_to_ft=cell.altitude_to_ft,
            headspace_in=inches.pop() if len(inches) == 1 else None,
            headspace=facts.headspace,
            requires=facts.requires,
            source=cited,
            page=cell.page,
            by_rule=None if fitting.rule is None else conditions.carried_by(self.shelf, fitting.rule),
            cautions=(*_printed_so(cell, cited), *facts.cautions),
            not_recommended=not_recommended,
            acid=facts.acid,
            vent=None if cell.pressure_psi is None else self._vent(cell.food),
        )

    def _vent(self, food: str) -> Stated | None:
        return conditions.venting(self.shelf) if self.shelf.of_guide(food) else None

    def _separated(self, food: str) -> _Separated:
        known = self._separates.get(food)
        if known is None:
            rows = self.shelf.chart_of(food)
            known = _Separated(any(at.form for at in rows), any(at.pack for at in rows))
            self._separates[food] = known
        return known


def _printed_so(cell: Schedule, cited: Citation) -> tuple[Stated, ...]:
    """Caution for a process of one minute, which looks like a slip and is none."""
    if cell.minutes != 1:
        return ()
    return (Stated.worded(PRINTED_SO, printed_so(cell.minutes, cell.pressure_psi), cited),)


def printed_so(minutes: int, pressure_psi: int | None) -> str:
    """Say that a process is as short as the table prints it."""
    said = wording.process(minutes, pressure_psi)
    return f"{said} is what the table prints; a longer process leaves more room for a slip."


def _all_of(at: Combination) -> Left:
    return dict(zip(at._fields, at, strict=True))
