"""Shelf: the tables of one package, laid out for answering: foods, charts, jar rules, rules, statements and citations.

Whoever answers, refuses or writes takes a shelf; nothing here decides.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property
from typing import TYPE_CHECKING

from stillroom.answers.answer import STANDING, Citation, Stated
from stillroom.answers.charts import Chart, chart
from stillroom.answers.names import Names
from stillroom.answers.words import Words
from stillroom.errors import BadInput, BadPackage
from stillroom.package.package import Package
from stillroom.package.records import JarRule, Schedule, Source, Statement

if TYPE_CHECKING:
    from stillroom.answers.rulebook import Rulebook


class Shelf:
    """One package, its tables by id. Reads what is needed when it is first asked for; safe to keep and to share.

    Parameters
    ----------
    package : Package
    """

    def __init__(self, package: Package) -> None:
        self.package = package
        self.names = Names(package)
        self.words = Words(package)
        self.foods = {food.id: food for food in package.foods}
        self.relations = {relation.food: relation for relation in package.relations}
        self.jars = {jar.id: jar for jar in package.jars}
        self.canners = {canner.id: canner for canner in package.canners}
        self._charts: dict[str, Chart] = {}

    @cached_property
    def statements(self) -> dict[str, Statement]:
        """Statements by id."""
        return {entry.id: entry for entry in self.package.statements}

    @cached_property
    def rules(self) -> Rulebook:
        """General rules of the publication."""
        from stillroom.answers.rulebook import Rulebook

        return Rulebook(self.package, self.cite)

    @cached_property
    def _sources(self) -> dict[str, Source]:
        return {source.id: source for source in self.package.sources}

    @cached_property
    def standing(self) -> Stated:
        """The caution that every answer carries."""
        return Stated(STANDING, self.statement(STANDING).text, None, None)

    @cached_property
    def _form_titles(self) -> dict[str, str]:
        return {row.form: row.title for row in self.package.forms}

    def in_words(self, what: str, name: str | None) -> str:
        """Write an id as people say it.

        Parameters
        ----------
        what : str
            ``food``, ``form``, ``pack``, ``jar`` or ``canner``.
        name : str or None
            Id; blank or None for none, and then the words are blank.
        """
        if not name:
            return ""
        if what == "pack":
            return f"{name} pack"
        if what == "form":
            return self._form_titles.get(name, name)
        if what == "food":
            return self.foods[name].title
        return self.jars[name].title if what == "jar" else self.canners[name].title

    def statement(self, name: str) -> Statement:
        """Find a statement by its id.

        Raises
        ------
        BadPackage
            shared/cautions.csv has no such statement.
        """
        if name not in self.statements:
            raise BadPackage(f'shared/cautions.csv has no statement "{name}"')
        return self.statements[name]

    def cite(self, page: str, source: str) -> Citation:
        """Cite a page of a source.

        Parameters
        ----------
        page : str
            Printed page; ``web`` where the source has none.
        source : str
            Source id.

        Raises
        ------
        BadPackage
            There is no such source.
        """
        entry = self._sources.get(source)
        if entry is None:
            raise BadPackage(f'shared/sources.csv has no source "{source}"')
        return Citation(entry.id, entry.author, entry.title, entry.series, entry.edition, page, entry.short)

    def publication(self, source: str) -> str:
        """Publication a source belongs to: itself, or the one that it amends."""
        entry = self._sources.get(source)
        return source if entry is None else entry.amends or source

    def of_guide(self, food: str) -> bool:
        """Whether a food is of the guide whose pages are cited bare: its general rules go with no other publication."""
        entry = self._sources.get(self.foods[food].source)
        return entry is not None and not entry.short

    def need_guide(self, food: str, refused: str) -> None:
        """Refuse what stands on the general rules of the guide, for a food of another publication.

        Raises
        ------
        BadInput
            The food is of another publication; ``refused`` begins the sentence.
        """
        if not self.of_guide(food):
            raise BadInput(
                f"{refused} for {self.foods[food].title}: venting, gauges and cooling are known here by the rules of "
                "another publication than its own. stillroom find gives the process"
            )

    def named_page(self, food: str, page: str) -> str:
        """Name a page of the publication of a food inside a sentence: ``page 4-9``, or its short name before it."""
        return self.cite(page, self.foods[food].source).in_brackets

    def owner(self, food: str) -> str:
        """Food whose rows a food takes: its own, or that of the food it is sent to."""
        relation = self.relations.get(food)
        return relation.follows if relation else food

    def chart_of(self, food: str) -> Chart:
        """Rows that hold for a food: its own, or those of the food it is sent to.

        Raises
        ------
        BadPackage
            There is none.
        """
        if food not in self._charts:
            relation = self.relations.get(food)
            owner = self.foods[self.owner(food)]
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

    def jar_rule(self, food: str, jar: str) -> JarRule | None:
        """Find the rule that carries another jar's time to this jar of a food, in the publication of the food."""
        owners = {"", food, self.owner(food)}
        fits = (rule for rule in self.package.jar_rules if rule.jar == jar and rule.food in owners)
        own = self.foods[food].source
        return next((rule for rule in fits if own in (rule.source, self.publication(rule.source))), None)
