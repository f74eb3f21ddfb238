"""Told amounts: measures and inches that stand in sentences, like 2-1/4 cups, 2 tbsp or 1/2 inch."""

from __future__ import annotations

import re

NUMBER = r"(?:([0-9]{1,4})-)?([0-9]{1,4})/([0-9]{1,4})|([0-9]{1,4}(?:\.[0-9]{1,4})?)"
_MEASURE = r"(tbsp|tablespoons?|tsp|teaspoons?|cups?|qt|quarts?)"
_AMOUNT = re.compile(rf"(?:{NUMBER}) {_MEASURE}\b(?: \+ ([0-9]) tsp\b)?")
_ACID = re.compile(
    rf"(?:([0-9]) tbsp \+ )?(?:{NUMBER}) {_MEASURE} (?:of )?"
    r"(?:bottled |white |cider |apple cider |distilled |white distilled |distilled white |5% )?"
    r"(lemon juice|lemon or lime juice|citric acid|vinegar)"
)
_INCHES = re.compile(rf"(?:{NUMBER})[ -]inch(?:es)?( of headspace| headspace)?")
_PERCENT = re.compile(r"([0-9]{1,3}(?:\.[0-9]{1,2})?) ?(?:%|percent)")
_UNITS = {"tb": "tablespoon", "ta": "tablespoon", "ts": "teaspoon", "te": "teaspoon", "cu": "cup", "q": "quart"}
SPOONS = {"teaspoon": 1, "tablespoon": 3, "cup": 48, "quart": 192}
"""Teaspoons of each measure (NIST Handbook 44, appendix C)."""

Amount = tuple[float, str]
"""How much and its unit, the amount to four places as the tables write thirds."""


def number(whole: str, upper: str, lower: str, plain: str) -> float:
    """Number of the four groups of ``NUMBER``."""
    return float(plain) if plain else int(whole or 0) + int(upper) / max(int(lower), 1)


def rounded(value: float) -> float:
    """A number as the tables write it, thirds to four places."""
    return round(value, 4)


def unit(said: str) -> str:
    """Unit as the tables write it."""
    return _UNITS["q" if said.startswith("q") else said[:2]]


def amounts(text: str) -> set[Amount]:
    """All measured amounts of a text; 1 tbsp + 1 tsp are 4 teaspoons."""
    found = set()
    for *digits, said, more in _AMOUNT.findall(text):
        value, of = number(*digits), unit(said)
        found.add((rounded(value * SPOONS[of] + int(more)), "teaspoon") if more else (rounded(value), of))
    return found


def acids(text: str) -> list[tuple[float, str, str]]:
    """Amounts of a text that stand before the name of an acid: how much, unit, acid; 1 tbsp + 1 tsp are 4 teaspoons."""
    return [
        (rounded(number(*digits) + int(spoons or 0) * SPOONS["tablespoon"]), unit(said), acid)
        for spoons, *digits, said, acid in _ACID.findall(text)
    ]


def inches(text: str) -> set[float]:
    """All inches of a text."""
    return {rounded(number(*digits)) for *digits, _ in _INCHES.findall(text)}


def headspaces(text: str) -> set[float]:
    """Inches of a text that stand before the word headspace."""
    return {rounded(number(*digits)) for *digits, headspace in _INCHES.findall(text) if headspace}


def percents(text: str) -> list[float]:
    """All percentages of a text."""
    return [float(said) for said in _PERCENT.findall(text)]
