"""Names: from the words people use to one food, or to candidates; never a silent guess."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable
from functools import cached_property
from typing import NamedTuple

from stillroom.answers.answer import Citation, NoTestedSchedule, UnknownFood
from stillroom.errors import BadInput
from stillroom.package.package import Package
from stillroom.package.records import Withheld

_WORD = re.compile(r"[^\W_]+")
LONGEST = 120
"""Longest name that is looked at, characters."""


def plain(text: str) -> str:
    """Bring a name to the form names are compared in: lower case, no accents, words with one space between them."""
    if not text.isascii():
        text = "".join(c for c in unicodedata.normalize("NFKD", text) if not unicodedata.combining(c))
    return " ".join(_WORD.findall(text.casefold()))


class Meaning(NamedTuple):
    """What a name means: a food id, and a form id where the name says the form (else blank).

    ``pack``: the only pack in which the kind that was named is tested; blank where every pack of the food is.
    ``said``: the name, where it is neither the id nor the title of the food; else blank.
    """

    food: str
    form: str
    pack: str = ""
    said: str = ""


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
        title_words = {food: _stems(title) for food, title in self._titles.items()}
        given = {}
        for alias in self._package.aliases:
            said = "" if _stems(alias.alias) == title_words.get(alias.food) else alias.alias
            given[plain(alias.alias)] = Meaning(alias.food, alias.form, alias.pack, said)
        return {**given, **self._own}

    def meaning(self, name: object, cite: Callable[[str, str], Citation] | None = None) -> Meaning:
        """Find the one food a name means.

        Parameters
        ----------
        name : str
            Id, title or alias; case, accents and punctuation do not matter.
        cite : callable, optional
            Makes the citation of a refusal from a page and a source id, like
            :meth:`stillroom.answers.shelf.Shelf.cite`.

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

    def _not_found(self, name: str, words: str, cite: Callable[[str, str], Citation] | None) -> NoTestedSchedule:
        entry = self.withheld(words)
        if entry is not None:
            instead = f" Instead: {entry.instead[0].lower()}{entry.instead[1:]}" if entry.instead else ""
            said = "not recommended" if entry.code == "withheld" else "no tested process"
            reason = f"{entry.title}: {said}. {entry.reason}{instead}"
            return NoTestedSchedule(entry.code, reason, cite(entry.page, entry.source) if cite else None)
        shown = name.strip() if len(name) <= 40 else name.strip()[:37] + "..."
        holding = self.holding(words)
        if len(holding) > 1:
            several = tuple(self._titles[food] for food in holding)
            return UnknownFood(f'"{shown}" may mean several foods: say which one.', several)
        near = self._suggestions(words)
        return UnknownFood(
            f'no food is called "{shown}"' + ("; these names come near." if near else "; see stillroom foods."), near
        )

    @cached_property
    def _withheld(self) -> list[tuple[frozenset[str], str]]:
        """Names of what is withheld as sets of stems, with their ids; most words first."""
        rows = [(_stems(name.alias), name.withheld) for name in self._package.withheld_names]
        return sorted(rows, key=lambda row: (-len(row[0]), sorted(row[0])))

    def withheld(self, words: str) -> Withheld | None:
        """Find what is withheld under a name, in any number and word order, or with more words around it."""
        asked = _stems(words)
        named = next((which for stems, which in self._withheld if stems == asked), None) or next(
            (which for stems, which in self._withheld if len(stems) > 1 and stems <= asked), None
        )
        return next((entry for entry in self._package.withheld if entry.id == named), None)

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
        """Ids of foods whose names hold some of the words or are spelled nearly so, best first."""
        ranked = self._ranked(plain(words), {name: meaning.food for name, meaning in self._meanings.items()})
        return [food for food, score in ranked if score >= 0.6 * ranked[0][1]][:most]

    def _suggestions(self, words: str, most: int = 6) -> tuple[str, ...]:
        """Titles that come near, best first; what is withheld says so."""
        named = {name: f"food {meaning.food}" for name, meaning in self._meanings.items()}
        for row in self._package.withheld_names:
            named.setdefault(plain(row.alias), f"withheld {row.withheld}")
        titles = {f"food {food}": title for food, title in self._titles.items()}
        titles |= {f"withheld {entry.id}": f"{entry.title} (not recommended)" for entry in self._package.withheld}
        ranked = self._ranked(words, named)
        best = max((score for which, score in ranked if which.startswith("food ")), default=0.0)
        phrase = len(words.split()) > 1
        kept = [
            which
            for which, score in ranked
            if (score >= 0.6 * best if which.startswith("food ") else phrase and score > max(best, 0.7))
        ]
        return tuple(titles[which] for which in kept[:most])

    def _ranked(self, words: str, named: dict[str, str]) -> list[tuple[str, float]]:
        """Rank what names stand for by how near one of its names comes to the words: from 1 down to 0.5."""
        wanted = words.split()
        joined = words.replace(" ", "")
        vocabulary = {word for name in named for word in name.split()}
        alike = [{word: score for word in vocabulary if (score := _alike(w, word))} for w in wanted]
        best: dict[str, float] = {}
        for name, which in named.items():
            have = name.split()
            got = [max((scores.get(word, 0.0) for word in have), default=0.0) for scores in alike]
            score = sum(got) / len(got) - 0.02 * max(0, len(have) - len(wanted))
            together = name.replace(" ", "")
            if together == joined:
                score = 1.0
            elif score < 0.9:
                score = max(score, _lettered(joined, together))
            if score >= 0.32 and score > best.get(which, 0.0):
                best[which] = score
        return sorted(best.items(), key=lambda item: (-item[1], item[0]))


_STOP = frozenset(("a", "an", "and", "by", "for", "from", "in", "my", "of", "on", "or", "the", "to", "with"))


def _stem(word: str) -> str:
    """Bring singular and plural, and puree and pureed, together; only ever compared with another stem."""
    if len(word) > 3:
        word = word.removesuffix("s") if not word.endswith("ss") else word
    if len(word) > 4 and word.endswith("ed"):
        word = word[:-1]
    word = word.rstrip("e") if len(word) > 4 else word
    return word[:-1] + "i" if len(word) > 2 and word.endswith("y") else word


def _stems(name: str) -> frozenset[str]:
    return frozenset(_stem(word) for word in plain(name).split() if word not in _STOP)


def _same_word(wanted: str, have: str) -> bool:
    return have.startswith(wanted) or (
        len(wanted) > 3 and wanted.rstrip("s").rstrip("e") == have.rstrip("s").rstrip("e")
    )


def _alike(wanted: str, have: str) -> float:
    """How alike two words are: 1 the same, 0.95 the same but for number, else by letters in common; 0: not alike."""
    if wanted == have:
        return 1.0
    if _stem(wanted) == _stem(have):
        return 0.98
    if len(wanted) > 2 and have.startswith(wanted):
        return 0.9
    if len(wanted) < 4 or abs(len(wanted) - len(have)) > 3:
        return 0.0
    return _lettered(wanted, have)


def _lettered(wanted: str, have: str) -> float:
    """Share of letters two words have in common in the same order; 0 below seven tenths."""
    import difflib

    matcher = difflib.SequenceMatcher(None, wanted, have)
    if matcher.real_quick_ratio() < 0.7 or matcher.quick_ratio() < 0.7:
        return 0.0
    ratio = matcher.ratio()
    return ratio * 0.95 if ratio >= 0.7 else 0.0
