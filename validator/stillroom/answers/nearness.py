"""Nearness: what comes near to a name that nothing is called by. Suggestions, never answers.

A suggestion needs a real likeness: of one or two words every one, of more at least two thirds, each the same but for
number or for a slip of the pen. Short words must be the same. Foods of another acidity than the likest are left out.
"""

from __future__ import annotations

import difflib
from collections.abc import Collection, Iterable, Mapping
from functools import cached_property

from stillroom.answers import stems
from stillroom.answers.stems import plain, stem
from stillroom.package.package import Package

MOST = 6
"""Suggestions."""
_LEAST = {1: 0.66, 2: 0.75}
"""Least likeness of a name of one word (seven letters of ten in the same order), and of two."""
_PARTLY = 0.6
"""Least likeness of a name of more words: two thirds, less what further words take off."""
_SAME_LENGTH = 2
"""Letters by which two words that are alike may differ in length."""


class Nearness:
    """Likeness of words to the names of one package.

    Parameters
    ----------
    package : Package
    foods : mapping of str to object
        What each known name of a food means, by its plain form; ``food`` of it is a food id.
    fillers : collection of str
        Words that say nothing about a food.
    """

    def __init__(self, package: Package, foods: Mapping[str, object], fillers: Collection[str]) -> None:
        self._foods = {food.id: food for food in package.foods}
        self._named: dict[str, str] = {name: str(getattr(meaning, "food", "")) for name, meaning in foods.items()}
        self._package = package
        self._silent = frozenset(fillers) | stems.IDLE | frozenset(("in", "with", "without"))

    def holding(self, words: str, most: int = 20) -> list[str]:
        """Ids of foods that have every word (or its beginning) in one of their names, closest names first."""
        wanted = plain(words).split()
        best: dict[str, tuple[int, int]] = {}
        for name, food in self._named.items():
            have = name.split()
            if wanted and all(any(_same_word(w, h) for h in have) for w in wanted):
                rank = (len(have) - len(wanted), len(name))
                best[food] = min(rank, best.get(food, rank))
        return sorted(best, key=lambda food: (best[food], food))[:most]

    def near(self, words: str, most: int = MOST) -> list[str]:
        """Ids of foods whose names hold some of the words or are spelled nearly so, best first."""
        ranked = self._ranked(plain(words).split(), self._named)
        return [food for food, score in ranked if score >= 0.6 * ranked[0][1]][:most]

    def suggestions(self, words: str, most: int = MOST) -> tuple[str, ...]:
        """Titles that come near, best first; what is withheld says so."""
        wanted = [word for word in words.split() if word not in self._silent] or words.split()
        least = _LEAST.get(len(wanted), _PARTLY)
        foods = [(food, score) for food, score in self._ranked(wanted, self._named) if score >= least]
        withheld = [(which, score) for which, score in self._ranked(wanted, self._withheld) if score >= least]
        like = {self._foods[foods[0][0]].acidity} if foods else set()
        best = foods[0][1] if foods else 0.0
        found = [
            (score, self._foods[food].title)
            for food, score in foods
            if score >= 0.8 * best and self._foods[food].acidity in like
        ]
        found += [(score, self._titles[which]) for which, score in withheld if score >= best]
        return tuple(title for _, title in sorted(found, key=lambda pair: -pair[0])[:most])

    @cached_property
    def _withheld(self) -> dict[str, str]:
        return {plain(row.alias): row.withheld for row in self._package.withheld_names}

    @cached_property
    def _titles(self) -> dict[str, str]:
        said = {"withheld": "not recommended", "no-process": "no tested process"}
        return {entry.id: f"{entry.title} ({said[entry.code]})" for entry in self._package.withheld}

    def _ranked(self, wanted: list[str], named: Mapping[str, str]) -> list[tuple[str, float]]:
        """Rank what names stand for by how near one of its names comes to the words: from 1 down to 0.3."""
        joined = "".join(wanted)
        have = {name: name.split() for name in named}
        vocabulary = {word for words in have.values() for word in words}
        alike = [{word: score for word in vocabulary if (score := _alike(w, word))} for w in wanted]
        best: dict[str, float] = {}
        for name, which in named.items():
            score = _score(alike, [word for word in have[name] if word not in stems.IDLE], len(wanted))
            together = name.replace(" ", "")
            if together == joined:
                score = 1.0
            elif len(wanted) < 3 and score < 0.9 and together[:1] == joined[:1]:
                score = max(score, _lettered(joined, together))
            if score >= 0.32 and score > best.get(which, 0.0):
                best[which] = score
        return sorted(best.items(), key=lambda item: (-item[1], item[0]))


def _score(alike: Iterable[Mapping[str, float]], have: list[str], wanted: int) -> float:
    """Mean likeness of the words that are wanted, each to a word of its own."""
    left, got = list(have), 0.0
    for scores in alike:
        best = max(left, key=lambda word: scores.get(word, 0.0), default="")
        if scores.get(best, 0.0):
            got += scores[best]
            left.remove(best)
    return got / wanted - 0.02 * max(0, len(have) - wanted)


def _same_word(wanted: str, have: str) -> bool:
    return have.startswith(wanted) or (len(wanted) > 3 and stem(wanted) == stem(have))


def _alike(wanted: str, have: str) -> float:
    """How alike two words are: 1 the same, 0.98 the same but for number, else by letters in common; 0: not alike."""
    if wanted == have:
        return 1.0
    if stem(wanted) == stem(have):
        return 0.98
    if len(wanted) > 3 and have.startswith(wanted):
        return 0.9
    if len(wanted) < 4 or len(have) < 4 or abs(len(wanted) - len(have)) > _SAME_LENGTH:
        return 0.0
    return _lettered(wanted, have)


def _lettered(wanted: str, have: str) -> float:
    """Share of letters two words have in common in the same order; 0 below seven tenths, and where they begin otherwise
    below 85 hundredths: a slip is seldom in the first letter.
    """
    longest = max(len(wanted), len(have))
    if min(len(wanted), len(have)) < 0.55 * longest or len(set(wanted) & set(have)) < 0.5 * len(set(wanted)):
        return 0.0
    matcher = difflib.SequenceMatcher(None, wanted, have)
    if matcher.real_quick_ratio() < 0.7 or matcher.quick_ratio() < 0.7:
        return 0.0
    ratio = matcher.ratio()
    return ratio * 0.95 if ratio >= (0.7 if wanted[0] == have[0] else 0.85) else 0.0
