"""General: the general rules of the publication as a page tells them, for any altitude and with their figures."""

from __future__ import annotations

from stillroom.answers.rulebook import Rulebook
from stillroom.day import handling

_BY_ALTITUDE = ("suspect-food-boil",)
"""Rules whose figure grows with the altitude, which a page does not know."""
_LONG = "this long"
"""Where the statement of a rule leaves room for its figure."""


def sentence(name: str, rules: Rulebook) -> str:
    """Write a rule as a sentence that holds its figure, with its page, for whatever altitude.

    Parameters
    ----------
    name : str
        Rule id, or that of a sentence which stands on one.
    rules : Rulebook

    Raises
    ------
    BadPackage
        shared/rules.csv has no such rule.
    """
    if name not in _BY_ALTITUDE:
        return str(handling.sentence(name, rules, 0.0))
    return str(rules.worded(name, f"{_filled(name, rules)}."))


def statement(name: str, rules: Rulebook) -> tuple[str, str]:
    """Give the figure of a rule in words (blank: it has none), and its statement with its page."""
    rule = rules.rule(name)
    words = f"{rule.value.replace('-', ' to ')} {rule.unit}" if rule.value else ""
    return words.strip(), str(rules.worded(name, f"{_filled(name, rules)}."))


def _filled(name: str, rules: Rulebook) -> str:
    rule = rules.rule(name)
    unit = {"min": "minutes"}.get(rule.unit, rule.unit)
    return rule.statement.replace(_LONG, f"{rule.value} {unit}") if rule.value else rule.statement
