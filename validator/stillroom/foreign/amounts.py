"""Amounts: what a cell says of acid and of headspace, held against what is published for its jar.

1 US cup is 16 tablespoons, 1 tablespoon 3 teaspoons (NIST Handbook 44, appendix C); an inch is 2.54 cm exactly.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

from stillroom.answers.answer import AcidFor, Option
from stillroom.foreign import notation, spans
from stillroom.foreign.facets import Vocabulary
from stillroom.foreign.judged import SAME, STRONGER, UNREAD, UNTESTED, WEAKER

_TEASPOONS = {"tsp": 1, "teaspoon": 1, "tbsp": 3, "tbs": 3, "tablespoon": 3, "cup": 48}
_AMOUNT = re.compile(
    r"(?P<much>[0-9]+[ -][0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]+(?:\.[0-9]+)?) ?"
    r"(?P<unit>tbsp|tbs|tablespoon|tsp|teaspoon|cup)s?\b\.?(?: of)?(?P<acid>[^0-9;]*)"
)
_ACIDS = {"lemon": "lemon", "citric": "citric", "vinegar": "vinegar", "lime": "lime"}
_KNOWN = re.compile(
    r"\b(?:bottled|lemon|lime|juice|citric|acid|vinegar|of|or|per|each|in|to|add|jar|jars|a|the|with|5|and|percent"
    r"|acidity|powdered|commercial)\b|[%(),./+:-]"
)
_HEADSPACE = re.compile(
    r"(?P<much>[0-9]+[ -][0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]*\.?[0-9]+) ?-?(?P<unit>inch(?:es)?|in\b\.?|\"|cm\b|mm\b)?"
)
_CM = Fraction(254, 100)


class Amount(NamedTuple):
    """An acid as a handout states it: teaspoons, which acid, whether bottled is said, and for which jars."""

    teaspoons: Fraction
    acid: str
    bottled: bool
    jars: tuple[str, ...]


class Held(NamedTuple):
    """What came of it: verdict, what is published in words, and why, as a whole sentence; blank where plain."""

    verdict: str
    published: str
    why: str = ""


def acids(text: str, head_text: str, words: Vocabulary) -> tuple[Amount, ...]:
    """Read the acids of a cell, alternatives one after the other; empty where it is not understood to its last word."""
    said = notation.folded(text).replace("\n", " ")
    said = re.sub(r"\bT\b\.?", "tbsp", said)
    said = re.sub(r"\bt\b\.?", "tsp", said).casefold()
    hits = list(_AMOUNT.finditer(said))
    if not hits or said[: hits[0].start()].strip(" ,.;:"):
        before = said[: hits[0].start()] if hits else said
        if not hits or _rest(before, words):
            return ()
    found = []
    only = {acid for acid in _ACIDS if acid in said}
    over = _acid(head_text.casefold()) or (only.pop() if len(only) == 1 else "")
    bottled = "bottled" in head_text.casefold() or "bottled" in said
    for hit in hits:
        told = hit["acid"]
        acid = _acid(told) or over
        much = notation.number(hit["much"])
        if _rest(told, words) or not acid or much is None:
            return ()
        found.append(Amount(much * _TEASPOONS[hit["unit"]], acid, bottled, words.read(told).jars))
    return tuple(found)


def _acid(told: str) -> str:
    return next((acid for word, acid in _ACIDS.items() if word in told), "")


def _rest(told: str, words: Vocabulary) -> str:
    """What of a text is neither acid nor jar."""
    left = words.read(_KNOWN.sub(" ", told))
    return left.left


def needed(options: Sequence[Option]) -> tuple[AcidFor, ...]:
    """Acid that goes into each jar, with its alternatives one after the other."""
    first = [acid for option in options for acid in option.acid if acid.per == "jar"]
    return tuple(dict.fromkeys(each for acid in first for each in (acid._replace(alternatives=()), *acid.alternatives)))


def hold_acid(amounts: Sequence[Amount], by_jar: dict[str, tuple[AcidFor, ...]], said: str) -> Held:
    """Hold stated acids against those published for each jar of the row.

    Parameters
    ----------
    amounts : sequence of Amount
    by_jar : dict
        Acid needed, by the jar it is printed for.
    said : str
        What is published, in words.
    """
    if not amounts:
        return Held(UNREAD, said, "What it says of the acid is not understood.")
    worst = SAME
    for amount in amounts:
        jars = [jar for jar in amount.jars if jar in by_jar] or (list(by_jar) if not amount.jars else [])
        for jar in jars:
            same_acid = [acid for acid in by_jar[jar] if _acid(acid.acid) == amount.acid]
            if not same_acid:
                return Held(UNTESTED, said, f"No amount of {amount.acid} is published for this jar.")
            least = _teaspoons(same_acid[0])
            if amount.teaspoons < least:
                return Held(WEAKER, said)
            if "bottled" in same_acid[0].acid and not amount.bottled:
                return Held(UNREAD, said, "It must be bottled juice: fresh juice differs in its acid.")
            if amount.teaspoons > least:
                worst = STRONGER
    if worst == STRONGER and len(by_jar) > 1 and not any(amount.jars for amount in amounts):
        return Held(SAME, said)
    return Held(worst, said)


def _teaspoons(acid: AcidFor) -> Fraction:
    return Fraction(str(acid.quantity)) * _TEASPOONS.get(acid.unit, 1)


def headspace(text: str, unit: str) -> tuple[Fraction, bool] | None:
    """Read a headspace: its value, and whether it is in centimeters; None where it is none."""
    said = notation.folded(text).casefold().replace("headspace", "").strip().rstrip(".")
    each = re.sub(r"\([^()]*\)", " ", said).split(" or ")
    if len(each) > 1:  # one for each variety: the least of them decides
        read = [headspace(one, unit) for one in each]
        known = [one for one in read if one is not None]
        return min(known) if len(known) == len(read) and len({metric for _, metric in known}) == 1 else None
    hit = _HEADSPACE.fullmatch(said)
    if hit is None:
        return None
    value = notation.number(hit["much"] if not hit["much"].startswith(".") else f"0{hit['much']}")
    if value is None:
        return None
    if hit["unit"] == "mm":
        return value / 10, True
    return value, hit["unit"] == "cm" or (not hit["unit"] and unit == "centimeters")


def hold_headspace(stated: tuple[Fraction, bool] | None, options: Sequence[Option]) -> Held | None:
    """Hold a headspace against what is published; None where nothing is."""
    inches = sorted({Fraction(str(row.inches)) for option in options for row in option.headspace})
    if not inches:
        return None
    said = " or ".join(f"{_mixed(value)} inch" for value in inches)
    if stated is None:
        return Held(UNREAD, said, "What it says of the headspace is not understood.")
    value, metric = stated
    if any(value == one or (metric and spans.rounds_to(one * _CM, value)) for one in inches):
        return Held(SAME, said)
    least = inches[0] * (_CM if metric else 1)
    return Held(WEAKER if value < least else STRONGER, said)


def _mixed(value: Fraction) -> str:
    whole, part = divmod(value, 1)
    if not part:
        return str(whole)
    return f"{whole}-{part}" if whole else str(part)
