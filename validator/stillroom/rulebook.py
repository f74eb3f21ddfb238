"""Rulebook: the general rules of the publication by id, with their figures and pages."""

from __future__ import annotations

from fractions import Fraction

from stillroom.answer import Stated
from stillroom.citation import cite
from stillroom.clock import Span
from stillroom.errors import BadPackage
from stillroom.package import Package
from stillroom.records import Practice, Rule


class Rulebook:
    """The rules of shared/rules.csv, and the rules of thumb of shared/practice.csv, which have no source."""

    def __init__(self, package: Package) -> None:
        self._package = package
        self._rules = {rule.id: rule for rule in package.rules}
        self._practice = {rule.id: rule for rule in package.practice}

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
        return Stated(f"{rule.statement}.", rule.page, cite(self._package, rule.page, rule.source))

    def practice(self, name: str) -> Practice:
        """Find a rule of thumb by its id.

        Raises
        ------
        BadPackage
            shared/practice.csv has no such rule of thumb.
        """
        if name not in self._practice:
            raise BadPackage(f'shared/practice.csv has no rule of thumb "{name}"')
        return self._practice[name]

    def figures(self, name: str) -> tuple[Fraction, Fraction]:
        """Read the figure of a rule as its lowest and highest value, in the unit of the rule.

        Raises
        ------
        BadPackage
            The rule has no figure.
        """
        low, _, high = self.rule(name).value.partition("-")
        try:
            return Fraction(low), Fraction(high or low)
        except ValueError:
            raise BadPackage(f'shared/rules.csv: value of "{name}" is neither a number nor a range') from None

    def figure(self, name: str) -> Fraction:
        """Read the one figure of a rule, the lowest where it is a range."""
        return self.figures(name)[0]

    def minutes(self, name: str) -> Span:
        """Read the figure of a rule that is a stretch of minutes."""
        low, high = self.figures(name)
        return Span(int(low), int(high))
