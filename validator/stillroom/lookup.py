"""Lookup: one question, one answer from published rows, or a refusal that says why.

Nothing is interpolated, extrapolated, averaged or guessed.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from typing import NamedTuple

from stillroom import citation, conditions, wording
from stillroom.altitude import further_minutes, in_feet
from stillroom.answer import Answer, Citation, Option, Stated
from stillroom.charts import Band, Chart, Combination, band_at, chart
from stillroom.errors import BadInput, BadPackage
from stillroom.names import Meaning, Names, plain
from stillroom.package import Package
from stillroom.records import Food, JarRule, Relation, Schedule


class _Fitting(NamedTuple):
    """The printed row that fits a question, and the rule that carries it there, if one does."""

    bands: tuple[Band, ...]
    printed_jar: str
    rule: JarRule | None


class Lookup:
    """Answers from one package. Reads what it needs when it is first asked; safe to keep and to share."""

    def __init__(self, package: Package) -> None:
        self.package = package
        self.names = Names(package)
        self.foods_by_id = {food.id: food for food in package.foods}
        self.relations = {relation.food: relation for relation in package.relations}
        self.jars = {jar.id: jar for jar in package.jars}
        self.canners = {canner.id: canner for canner in package.canners}
        self._jar_words = {plain(word): jar.id for jar in package.jars for word in jar[:4]}
        self._canner_words = {plain(word): canner.id for canner in package.canners for word in canner[:2]}
        self._pack_words = {"hot": "hot", "raw": "raw", "hot pack": "hot", "raw pack": "raw"}
        self._charts: dict[str, Chart] = {}
        self._fits: dict[tuple[str, Combination], _Fitting] = {}
        self._options: dict[tuple[str, Combination, int, int], tuple[Option, ...]] = {}

    def find(
        self,
        food: str,
        *,
        jar: str,
        altitude: object,
        canner: str,
        pack: str | None = None,
        form: str | None = None,
    ) -> Answer:
        """Answer one question; see :func:`stillroom.find`."""
        jar_id = self.read_jar(jar)
        canner_id = _read("canner", canner, self._canner_words, self.canners)
        pack_id = None if pack is None else self.read_pack(pack)
        altitude_ft = in_feet(altitude)
        meaning = self.names.meaning(food, self.cite)
        form_id = self._form(meaning.food, meaning.form, form)
        asked = Combination(form_id or "", pack_id or "", jar_id, canner_id)
        self.hold_to_kind(meaning, asked, altitude_ft)
        if canner_id == "steam":
            from stillroom import steam

            options = steam.options(self, meaning.food, asked, pack_id, altitude_ft)
        else:
            options = self.options(meaning.food, asked, pack_id, altitude_ft)
        relation = self.relations.get(meaning.food)
        return Answer(
            meaning.food,
            meaning.said or None,
            self.foods_by_id[meaning.food].title,
            form_id,
            pack_id,
            jar_id,
            canner_id,
            altitude_ft,
            None if relation is None else self._follows(relation),
            options,
        )

    def options(self, food: str, asked: Combination, pack: str | None, altitude_ft: float) -> tuple[Option, ...]:
        """Find the tested options of one combination at one altitude, or refuse."""
        key = (food, asked)
        fitting = self._fits.get(key)
        if fitting is None:
            fitting = self._fits[key] = self._fitting(food, asked, pack, altitude_ft)
        band = band_at(fitting.bands, altitude_ft)
        if band is None:
            from stillroom import refusal

            raise refusal.too_high(self, food, asked, fitting.bands, altitude_ft)
        place = (*key, band.from_ft, further_minutes(altitude_ft))
        options = self._options.get(place)
        if options is None:
            options = self._options[place] = self._tested_options(food, asked, fitting, band, altitude_ft)
        return options

    def hold_to_kind(self, meaning: Meaning, asked: Combination, altitude_ft: float | None = None) -> None:
        """Refuse a pack in which the kind that was named is not tested, though the food is: hot raspberries."""
        if meaning.pack and asked.pack and asked.pack != meaning.pack:
            from stillroom import refusal

            raise refusal.other_kind(self, meaning, asked, altitude_ft)

    def foods(self, text: str | None = None, group: str | None = None) -> tuple[Food, ...]:
        """List foods; see :func:`stillroom.foods`."""
        groups = tuple(dict.fromkeys(food.group for food in self.package.foods))
        if group is not None and group not in groups:
            raise BadInput(f'group "{group}" is not one of {wording.listed(sorted(groups))}')
        if text is None:
            chosen: Iterable[str] = self.foods_by_id
        elif plain(text):
            chosen = self.names.holding(text, most=len(self.foods_by_id)) or self.names.near(text)
        else:
            raise BadInput("the words to look for are empty: leave them out to list every food")
        return tuple(food for food in map(self.foods_by_id.__getitem__, chosen) if group in (None, food.group))

    # which printed row fits

    def chart_of(self, food: str) -> Chart:
        """Rows that hold for a food: its own, or those of the food it is sent to."""
        if food not in self._charts:
            relation = self.relations.get(food)
            owner = self.foods_by_id[relation.follows if relation else food]
            cells: Iterable[Schedule] = (c for c in self.package.schedules(owner.group) if c.food == owner.id)
            if relation and relation.pack:
                cells = (cell for cell in cells if cell.pack == relation.pack)
            against = (c for c in self.package.not_recommended if c.food == owner.id)
            self._charts[food] = chart(
                cells, (c for c in against if not (relation and relation.pack not in ("", c.pack)))
            )
            if not self._charts[food]:
                raise BadPackage(f"schedules/{owner.group}.csv has no row for {owner.id}")
        return self._charts[food]

    def _fitting(self, food: str, asked: Combination, pack: str | None, altitude_ft: float) -> _Fitting:
        rows = self.chart_of(food)
        if asked in rows and not (pack is None and asked.pack):
            return _Fitting(rows[asked], asked.jar, None)
        rule = self.jar_rule(food, asked.jar)
        if rule is not None and asked._replace(jar=rule.takes) in rows:
            return _Fitting(rows[asked._replace(jar=rule.takes)], rule.takes, rule)
        from stillroom import refusal

        raise refusal.untested(self, food, asked, pack, altitude_ft)

    def jar_rule(self, food: str, jar: str) -> JarRule | None:
        """Find the published rule that carries another jar's time to this jar of a food."""
        relation = self.relations.get(food)
        owners = {"", food, relation.follows if relation else food}
        return next((rule for rule in self.package.jar_rules if rule.jar == jar and rule.food in owners), None)

    # from printed cells to options

    def _tested_options(
        self, food: str, asked: Combination, fitting: _Fitting, band: Band, altitude_ft: float
    ) -> tuple[Option, ...]:
        if not band.cells:
            from stillroom import refusal

            raise refusal.not_recommended(self, food, asked, band, altitude_ft)
        facts = self._facts_of(food, asked, fitting, altitude_ft)
        against = tuple(cell.minutes for cell in band.not_recommended)
        return tuple(self._option(cell, fitting, facts, against) for cell in band.cells)

    def _facts_of(self, food: str, asked: Combination, fitting: _Fitting, altitude_ft: float) -> conditions.Facts:
        relation = self.relations.get(food)
        owner = relation.follows if relation else food
        return conditions.facts(self.package, food, owner, asked, fitting.printed_jar, altitude_ft)

    def _option(
        self, cell: Schedule, fitting: _Fitting, facts: conditions.Facts, not_recommended: tuple[int, ...]
    ) -> Option:
        rule = fitting.rule
        inches = {row.inches for row in facts.headspace}
        return Option(
            minutes=cell.minutes,
            pressure_psi=cell.pressure_psi,
            altitude_from_ft=cell.altitude_from_ft,
            altitude_to_ft=cell.altitude_to_ft,
            headspace_in=inches.pop() if len(inches) == 1 else None,
            headspace=facts.headspace,
            requires=facts.requires,
            source=self.cite(cell.page, cell.source),
            page=cell.page,
            by_rule=None if rule is None else Stated(wording.capital(rule.statement) + ".", rule.page),
            cautions=(*_printed_so(cell), *facts.cautions),
            not_recommended=not_recommended,
        )

    # reading the question

    def read_jar(self, said: object) -> str:
        """Read a jar size: its id, title, plural or abbreviation."""
        return _read("jar", said, self._jar_words, self.jars)

    def read_pack(self, said: object) -> str:
        """Read a pack: hot or raw."""
        return _read("pack", said, self._pack_words, ("hot", "raw"))

    def _form(self, food: str, implied: str, said: str | None) -> str | None:
        forms = {row.form: row.title for row in self.package.forms if row.food == food}
        if said is None:
            return implied or None
        if not isinstance(said, str):
            raise BadInput(f"form {said!r} is not text")
        if not forms:
            raise BadInput(f'form "{said[:40]}": the publication separates no forms of {food}; leave the form out')
        words = {plain(form): form for form in forms} | {plain(title): form for form, title in forms.items()}
        form = _read("form", said, words, forms)
        if implied and form != implied:
            raise BadInput(f'form "{said[:40]}" contradicts the name, which says {forms[implied]}')
        return form

    def _follows(self, relation: Relation) -> Stated:
        return Stated(f"Takes the process of {self.foods_by_id[relation.follows].title.lower()}.", relation.page)

    def cite(self, page: str, source: str) -> Citation:
        """Cite a page of a source; see :func:`stillroom.citation.cite`."""
        return citation.cite(self.package, page, source)


def _printed_so(cell: Schedule) -> tuple[Stated, ...]:
    """Caution for a process of one minute, which looks like a slip and is none."""
    if cell.minutes != 1:
        return ()
    said = wording.process(cell.minutes, cell.pressure_psi)
    return (Stated(f"{said} is what the table prints; a longer process leaves more room for a slip.", cell.page),)


def _read(what: str, said: object, words: Mapping[str, str], accepted: Collection[str]) -> str:
    """Read one word of the question: its id, or one line that names what was said and what is accepted."""
    if isinstance(said, str):
        known = words.get(said) or words.get(plain(said[:80]))
        if known is not None:
            return known
    shown = f'"{said[:40]}"' if isinstance(said, str) else repr(said)[:40]
    raise BadInput(f"{what} {shown} is not one of {wording.listed(list(accepted))}")
