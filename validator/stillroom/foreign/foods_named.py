"""Foods named: which food a label names, by the names that are known here and by nothing that only looks like one.

A label is looked up as it stands, then without what it says of pack, jar or canner, then as several foods. What is not
found so is not known: no near spelling is taken.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import NamedTuple

from stillroom.answers.answer import NoTestedSchedule
from stillroom.answers.names import LONGEST, Meaning
from stillroom.answers.stems import plain
from stillroom.errors import BadInput
from stillroom.foreign import notation
from stillroom.foreign.facets import Vocabulary

_PARTS = re.compile(r"[,;:()\[\]\n]| - ")
_SEVERAL = re.compile(r"\s+(?:or|and)\s+|\s*[&/;,]\s*")


class Named(NamedTuple):
    """What a label names.

    Attributes
    ----------
    foods : tuple of tuple of Meaning
        One entry for each food of the label; several meanings in one where the name leaves it open.
    withheld : str
        Id of what is withheld under the name; blank where nothing is.
    """

    foods: tuple[tuple[Meaning, ...], ...] = ()
    withheld: str = ""

    @property
    def known(self) -> bool:
        """Whether it names anything."""
        return bool(self.foods or self.withheld)


NOTHING = Named()


class FoodNames:
    """Looks labels up; keeps what it has found.

    Parameters
    ----------
    words : Vocabulary
    own : mapping, optional
        Meanings by names of the user's own, in plain words.
    """

    def __init__(self, words: Vocabulary, own: Mapping[str, Meaning] | None = None) -> None:
        self._words = words
        self._own = own or {}
        self._found: dict[str, Named] = {}

    def named(self, label: str) -> Named:
        """Find what a label names, as it stands in the table."""
        if label not in self._found:
            self._found[label] = self._look(notation.folded(label))
        return self._found[label]

    def _look(self, text: str) -> Named:
        found = self._whole(text)
        if found.known:
            return self._with_form(found, text)
        formed = self._formed(text)
        if formed.known:
            return formed
        parts = [part for part in _SEVERAL.split(self._words.read(text).named) if part.strip()]
        if 1 < len(parts) <= 8:
            each = [self._one(part) for part in parts]
            if all(one.foods for one in each):
                return Named(tuple(food for one in each for food in one.foods))
        return NOTHING

    def _whole(self, text: str) -> Named:
        """A label that names one food, with or without its words of pack, jar or canner."""
        readings = map(self._one, dict.fromkeys(self._readings(text)))
        return next((found for found in readings if found.known), NOTHING)

    def _with_form(self, found: Named, text: str) -> Named:
        """Narrow what is named to the form that a part of the label names: ``Chicken or rabbit (with bones)``."""
        for part in _PARTS.split(text)[1:]:
            if part.strip() and any(meaning.form == "" for food in found.foods for meaning in food):
                found = self.in_form(found, part.strip())
        return found

    def _formed(self, text: str) -> Named:
        """A food with a part that names one of its forms: ``Chicken or rabbit, with bones``."""
        parts = [part.strip() for part in _PARTS.split(text) if part.strip()]
        for at in range(1, len(parts)):
            named = self._whole(", ".join(parts[:at] + parts[at + 1 :]))
            formed = self.in_form(named, parts[at])
            if formed.known and formed != named:
                return formed
        return NOTHING

    def in_form(self, named: Named, words: str) -> Named:
        """Narrow what is named to the form that words name; as it was where they name none of its forms."""
        out = []
        for meanings in named.foods:
            narrowed = []
            for meaning in meanings:
                try:
                    heard = self._words.shelf.words.form(meaning.food, words)
                    narrowed.append(meaning._replace(form=heard.ids[0]))
                except BadInput:
                    narrowed.append(meaning)
            out.append(tuple(narrowed))
        return named._replace(foods=tuple(out))

    def _readings(self, text: str) -> list[str]:
        """A label as it stands, without its parts that tell of pack, jar or canner, and without such words."""
        facets = self._words.read(text)
        if not facets.names:
            return []
        kept = [part.strip() for part in _PARTS.split(text) if part.strip() and self._names_something(part)]
        without = re.sub(r"\([^()]*\)", " ", text)
        return [text, ", ".join(kept), facets.named, *([] if without == text else self._bracketed(text, without))]

    def _names_something(self, part: str) -> bool:
        facets = self._words.read(part)
        return facets.names or not facets.says

    def _bracketed(self, text: str, without: str) -> list[str]:
        """A name without its bracket, where the bracket says nothing but pack, jar, canner or altitude."""
        inside = " ".join(re.findall(r"\(([^()]*)\)", text))
        return [] if self._names_something(inside) else [without, self._words.read(without).named]

    def _one(self, words: str) -> Named:
        known = self._own.get(plain(words))
        if known is not None:
            return Named(((known,),))
        if not 0 < len(words) <= LONGEST:
            return NOTHING
        try:
            known_as = self._words.shelf.names.if_known(words)
            return Named((known_as,)) if known_as else NOTHING
        except BadInput:
            return NOTHING
        except NoTestedSchedule:
            entry = self._words.shelf.names.withheld(words)
            return NOTHING if entry is None else Named((), entry.id)
