"""Names: from the words people use to one food, or to candidates; never a silent guess."""

from __future__ import annotations

import re
import unicodedata
from functools import cached_property
from typing import NamedTuple

from stillroom.answer import Citation
from stillroom.errors import BadInput, NoTestedSchedule, UnknownFood
from stillroom.package import Package

_WORD = re.compile(r"[^\W_]+")
LONGEST = 120
"""Longest name that is looked at, characters."""


def plain(text: str) -> str:
    """Bring a name to the form names are compared in: lower case, no accents, words with one space between them."""
    if not text.isascii():
        text = "".join(c for c in unicodedata.normalize("NFKD", text) if not unicodedata.combining(c))
    return " ".join(_WORD.findall(text.casefold()))


class Meaning(NamedTuple):
    """What a name means: a food id, and a form id where the name says the form (else blank)."""

    food: str
    form: str


class Names:
    """All names of one package: ids and titles of foods, then aliases, then names of what is withheld.

    Aliases are read only when an id or a title does not answer, names of what is withheld only when nothing does.
    """

    def __init__(self, package: Package) -> None:
        self._package = package
        self._titles = {food.id: food.title for food in package.foods}
        self._own: dict[str, Meaning] = {}
        for food_id, title in self._titles.items():
            self._own[plain(food_id)] = self._own[plain(title)] = Meaning(food_id, "")
        self._asked: dict[str, Meaning] = {}

    @cached_property
    def _meanings(self) -> dict[str, Meaning]:
        given = {plain(alias.alias): Meaning(alias.food, alias.form) for alias in self._package.aliases}
        return {**given, **self._own}

    def meaning(self, name: object, cite: Citation | None = None) -> Meaning:
        """Find the one food a name means.

        Parameters
        ----------
        name : str
            Id, title or alias; case, accents and punctuation do not matter.
        cite : Citation, optional
            Citation to give with a refusal of something withheld; its page is replaced.

        Raises
        ------
        BadInput
            No text, or empty.
        UnknownFood
            No such name, with suggestions.
        NoTestedSchedule
            Code ``withheld``: a publication says not to can it.
        """
        known = self._asked.get(name) if isinstance(name, str) else None
        if known is not None:
            return known
        if not isinstance(name, str):
            raise BadInput(f'food {name!r} is not text: write its name, like "snap beans"')
        words = plain(name[:LONGEST])
        if not words:
            raise BadInput(f'food "{name[:20]}" is empty: write its name, like "snap beans"')
        found = self._own.get(words) or self._meanings.get(words)
        if found is None:
            raise self._not_found(name, words, cite)
        if len(self._asked) < 10_000:
            self._asked[name] = found
        return found

    def _not_found(self, name: str, words: str, cite: Citation | None) -> NoTestedSchedule:
        wanted = {name.withheld for name in self._package.withheld_names if plain(name.alias) == words}
        entry = next((entry for entry in self._package.withheld if entry.id in wanted), None)
        if entry is not None:
            instead = f" Instead: {entry.instead[0].lower()}{entry.instead[1:]}" if entry.instead else ""
            reason = f"{entry.title} is withheld: {entry.reason[0].lower()}{entry.reason[1:]}{instead}"
            return NoTestedSchedule("withheld", reason, cite._replace(page=entry.page) if cite else None)
        shown = name.strip() if len(name) <= 40 else name.strip()[:37] + "..."
        holding = self.holding(words)
        if len(holding) > 1:
            several = tuple(self._titles[food] for food in holding)
            return UnknownFood(f'"{shown}" may mean several foods: say which one.', several)
        near = tuple(self._titles[food] for food in self.near(words))
        return UnknownFood(
            f'no food is called "{shown}"' + ("; these names come near." if near else "; see stillroom foods."), near
        )

    def holding(self, words: str, most: int = 20) -> list[str]:
        """Ids of foods that have every word (or its beginning) in one of their names, closest names first."""
        wanted = plain(words).split()
        best: dict[str, tuple[int, int]] = {}
        for name, meaning in self._meanings.items():
            have = name.split()
            if wanted and all(any(_same_word(w, h) for h in have) for w in wanted):
                rank = (len(have) - len(wanted), len(name))
                best[meaning.food] = min(rank, best.get(meaning.food, rank))
        return sorted(best, key=lambda food: (best[food], food))[:most]

    def near(self, words: str, most: int = 6) -> list[str]:
        """Ids of foods whose names hold the words or are spelled nearly so, best first."""
        import difflib

        found = dict.fromkeys(self.holding(words, most))
        for match in difflib.get_close_matches(plain(words), self._meanings, n=most * 2, cutoff=0.7):
            found.setdefault(self._meanings[match].food)
        for word in plain(words).split():
            if len(found) < most and len(word) > 3:
                found.update(dict.fromkeys(f for f in self.holding(word, most) if f not in found))
        return list(found)[:most]


def _same_word(wanted: str, have: str) -> bool:
    return have.startswith(wanted) or (
        len(wanted) > 3 and wanted.rstrip("s").rstrip("e") == have.rstrip("s").rstrip("e")
    )
