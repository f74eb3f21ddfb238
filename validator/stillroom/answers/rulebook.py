"""Rulebook: the general rules of the publication by id, with their figures and pages."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from stillroom.answers.answer import Citation, Stated
from stillroom.errors import BadPackage
from stillroom.package.package import Package
from stillroom.package.records import Practice, Rule

if TYPE_CHECKING:
    from fractions import Fraction


class Rulebook:
    """The rules of shared/rules.csv, and the rules of thumb of shared/practice.csv, which have no source.

    Parameters
    ----------
    package : Package
    cite : callable
        Makes a citation from a page and a source id, like :meth:`stillroom.answers.shelf.Shelf.cite`.
    """

    def __init__(self, package: Package, cite: Callable[[str, str], Citation]) -> None:
        self._cite = cite
        self._rules = {rule.id: rule for rule in package.rules}
        self._package = package

    def rule(self, name: str) -> Rule:
        """Find a rule by its id.

        Raises
        ------
        BadPackage
            shared/rules.csv has no such rule.
        """
        if name not in self._rules:
            raise BadPackage(f'shared/rules.csv has no rule "{name}"')
        return self._rules[name]

    def stated(self, name: str) -> Stated:
        """Write a rule as a sentence with its page."""
        rule = self.rule(name)
        return Stated(name, f"{rule.statement}.", self.cite(name), rule.page)

    def cite(self, name: str) -> Citation:
        """Cite the page a rule stands on."""
        rule = self.rule(name)
        return self._cite(rule.page, rule.source)

    def worded(self, name: str, text: str, said: str = "") -> Stated:
        """Make a sentence of ours that stands on a rule; ``said`` is its id where the rule's would mislead."""
        return Stated.worded(said or name, text, self.cite(name))

    def practice(self, name: str) -> Practice:
        """Find a rule of thumb by its id.

        Raises
        ------
        BadPackage
            shared/practice.csv has no such rule of thumb.
        """
        found = next((row for row in self._package.practice if row.id == name), None)
        if found is None:
            raise BadPackage(f'shared/practice.csv has no rule of thumb "{name}"')
        return found

    def figures(self, name: str) -> tuple[Fraction, Fraction]:
        """Read the figure of a rule as its lowest and highest value, in the unit of the rule.

        Raises
        ------
        BadPackage
            The rule has no figure.
        """
        from fractions import Fraction

        low, _, high = self.rule(name).value.partition("-")
        try:
            return Fraction(low), Fraction(high or low)
        except ValueError:
            raise BadPackage(f'shared/rules.csv: value of "{name}" is neither a number nor a range') from None

    def figure(self, name: str) -> Fraction:
        """Read the one figure of a rule, the lowest where it is a range."""
        return self.figures(name)[0]

    def whole(self, name: str) -> int:
        """Read the one figure of a rule as a whole number, in the unit of the rule.

        Raises
        ------
        BadPackage
            It is none.
        """
        value = self.rule(name).value
        if not (value.isascii() and value.isdigit()):
            raise BadPackage(f'shared/rules.csv: value of "{name}" is no whole number')
        return int(value)
