"""Names: from the words people use to the food they mean, to what is withheld, or to neither; never a silent guess.

What is withheld is looked up before what is tested, first word for word, then by stems in their order, then in any
order. Words that say nothing about a food are left out only where the name is not known with them.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cached_property
from typing import TYPE_CHECKING, Any, NamedTuple

from stillroom.answers import stems
from stillroom.answers.answer import NoTestedSchedule, SayWhich, UnknownFood
from stillroom.answers.stems import plain
from stillroom.errors import BadInput
from stillroom.package.package import Package
from stillroom.package.records import Withheld
from stillroom.screen import shown

if TYPE_CHECKING:
    from stillroom.answers.nearness import Nearness
    from stillroom.answers.withheld_names import Cite, WithheldNames

LONGEST = 120
"""Longest name that is looked at, characters."""
_TURNS, _BRACKET = r"[,;:()\u2013\u2014]| - ", r"\(([^()]*)\)"
"""Patterns of what turns a name round; compiled where a name is no title."""
_KEPT = 10_000
"""Most names whose meaning is kept."""


class Meaning(NamedTuple):
    """What a name means: a food id, and a form id where the name says the form (else blank).

    ``pack``: the only pack in which the kind that was named is tested; blank where every pack of the food is.
    ``said``: the name, where it is neither the id nor the title of the food; else blank.
    """

    food: str
    form: str
    pack: str = ""
    said: str = ""


class _Forms(NamedTuple):
    """One set of names in the forms in which names are compared; each leads to what it stands for."""

    exact: dict[str, tuple[Meaning, ...]]
    ordered: dict[tuple[str, ...], tuple[Meaning, ...]]
    bag: dict[frozenset[str], tuple[Meaning, ...]]


class Names:
    """All names of one package: ids and titles of foods, other names, and names of what is withheld.

    Other names are read only when an id or a title does not answer.
    """

    def __init__(self, package: Package) -> None:
        self._package = package
        self._titles = {food.id: food.title for food in package.foods}
        self._own: dict[str, Meaning] = {}
        left_open = {row.name for row in package.open_names}
        for food_id, title in self._titles.items():
            meaning = self._own[plain(title)] = Meaning(food_id, "")
            words = plain(food_id)
            if words not in left_open:  # lima-beans are the fresh ones; lima beans may be dried too
                self._own[words] = meaning
        self._asked: dict[str, tuple[Meaning, ...]] = {}
        self._unknown: dict[str, tuple[str, tuple[str, ...]]] = {}

    def meaning(self, name: object, cite: Cite | None = None) -> Meaning:
        """Find the one food a name means; see :meth:`meanings`.

        Raises
        ------
        SayWhich
            It may mean several, which are named.
        """
        found = self.meanings(name, cite)
        if len(found) > 1:
            raise self.several(found)
        return found[0]

    def meanings(self, name: object, cite: Cite | None = None) -> tuple[Meaning, ...]:
        """Find the foods a name may mean: one, or each of several where the name leaves it open.

        Parameters
        ----------
        name : str
            Id, title or another name; case, accents, punctuation and number do not matter, nor the order of words.
        cite : callable, optional
            Makes the citation of a refusal from a page and a source id, like
            :meth:`stillroom.answers.shelf.Shelf.cite`.

        Raises
        ------
        BadInput
            No text, empty, too long, or not in Latin letters.
        UnknownFood
            No such name, with suggestions.
        NoTestedSchedule
            Code ``withheld`` or ``no-process``: a publication says not to can it, or none gives a process for it.
        """
        known = self._asked.get(name) if isinstance(name, str) else None
        if known is not None:
            return known
        found = self.if_known(name, cite)
        if not found:
            said = str(name)
            raise self._unknown_food(said, tuple(dict.fromkeys(self._readings(said, plain(said))))[-1])
        return found

    def if_known(self, name: object, cite: Cite | None = None) -> tuple[Meaning, ...]:
        """Find the foods a name may mean, as :meth:`meanings` does; none where no food is called so.

        Parameters
        ----------
        name : str
        cite : callable, optional
            As for :meth:`meanings`.

        Raises
        ------
        BadInput
            No text, empty, too long, or not in Latin letters.
        NoTestedSchedule
            Code ``withheld`` or ``no-process``.
        """
        if not isinstance(name, str):
            raise BadInput(f'food {name!r} is not text: write its name, like "snap beans"')
        if len(name) > LONGEST:
            raise BadInput(f'food "{shown(name)}" is longer than any name: write its name alone, like "snap beans"')
        words = plain(name)
        if not words:
            raise BadInput(f'food "{name[:20]}" is empty: write its name, like "snap beans"')
        if not words.isascii() and any(c.isalpha() and not _latin(c) for c in words):
            raise BadInput(f'food "{shown(name)}" has letters that are not Latin: write its name, like "snap beans"')
        own = Meaning(name, "") if name in self._titles else self._own.get(words)
        found = (own,) if own is not None else self._meant(name, words, cite)
        if found and len(self._asked) < _KEPT:
            self._asked[name] = found
        return found

    def several(self, meanings: Iterable[Meaning]) -> SayWhich:
        """Ask which of several foods is meant, without an answer for any."""
        titles = tuple(dict.fromkeys(self._titles[meaning.food] for meaning in meanings))
        return SayWhich("food", "this name stands for several tested foods", choices=titles)

    def every_tested(self) -> Mapping[str, tuple[Meaning, ...]]:
        """All names of what is tested, word for word, with their meanings."""
        return self._names.exact

    def every_withheld(self) -> Mapping[str, str]:
        """All names of what is withheld, word for word, with their ids."""
        return self._withheld.exact

    def refused(self, which: str, cite: Cite | None = None) -> NoTestedSchedule:
        """Refuse what is withheld under an id of withheld.csv; ``cite`` as for :meth:`meanings`."""
        return self._withheld.refused(which, cite)

    def withheld(self, words: str) -> Withheld | None:
        """Find what is withheld under a name, in any number and word order, or with more words around it."""
        readings = self._readings(words, plain(words))
        which = next((way for reading in readings for way in self._withheld.ways(reading) if way), "")
        which = which or self._withheld_within(stems.ordered(plain(words)))
        return self._withheld.entries[which] if which else None

    def withheld_with(self, words: str | None) -> tuple[Withheld, ...]:
        """List what is withheld under words: what holds them all, else what is refused under them.

        Raises
        ------
        BadInput
            The words are empty.
        """
        listed = self._withheld.holding(words)
        if listed or words is None:
            return listed
        try:
            self.meanings(words)
        except UnknownFood:
            return ()
        except NoTestedSchedule:
            refused = self.withheld(words)
            return () if refused is None else (refused,)
        return ()

    # from words to what they mean

    def _meant(self, name: str, words: str, cite: Cite | None) -> tuple[Meaning, ...]:
        readings = tuple(dict.fromkeys(self._readings(name, words)))
        turned = bool(re.search(_TURNS, name))
        for reading in readings:
            for withheld, tested in zip(self._withheld.ways(reading), self._tested_ways(reading, turned), strict=True):
                if withheld:
                    raise self.refused(withheld, cite)
                if tested:
                    return tested
        within = next((which for words in readings if (which := self._withheld_within(stems.ordered(words)))), "")
        if within:
            raise self.refused(within, cite)
        return self._bracketed(name)

    def _bracketed(self, name: str) -> tuple[Meaning, ...]:
        """Read a name whose bracket only tells, in words of other names of the same food or of its tables, what it is.

        A bracket that tells of anything else is no part to be passed over: peaches (white) are no peaches.
        """
        bracket = re.search(_BRACKET, name)
        outside = plain(re.sub(_BRACKET, " ", name)) if bracket else ""
        if bracket is None or not outside:
            return ()
        readings = tuple(dict.fromkeys(self._readings(re.sub(_BRACKET, " ", name), outside)))
        if any(any(self._withheld.ways(words)) for words in readings):
            return ()
        found = next((found for words in readings for found in self._tested_ways(words, turned=True) if found), ())
        told = stems.bag(plain(bracket[1]))
        return found if len(found) == 1 and told <= self._words_of(found[0].food) else ()

    def _words_of(self, food: str) -> frozenset[str]:
        """Words of all names of a food, and of the captions of its tables."""
        names = [name for name, meanings in self._names.exact.items() if meanings[0].food == food]
        group = next(row.group for row in self._package.foods if row.id == food)
        captions = {plain(cell.caption) for cell in self._package.schedules(group) if cell.food == food}
        return frozenset().union(*map(stems.bag, (*names, *captions)))

    def _readings(self, name: str, words: str) -> Iterator[str]:
        """Ways to read a name: as it stands, turned round at comma or bracket, and without words that say nothing."""
        turned = _turned(name)
        ways = (words, turned) if turned else (words,)
        yield from ways
        for way in ways:
            told = " ".join(word for word in way.split() if word not in self._fillers)
            if told and not all(word in stems.IDLE for word in told.split()):
                yield told

    def _tested_ways(self, words: str, turned: bool) -> Iterator[tuple[Meaning, ...]]:
        """Meanings by each way of comparing; two words in the other order only where a sign turns them round.

        Without one, a tomato paste would be taken for paste tomatoes.
        """
        yield self._names.exact.get(words, ())
        yield self._names.ordered.get(stems.ordered(words), ())
        bag = stems.bag(words)
        yield self._names.bag.get(bag, ()) if turned or len(bag) > 2 else ()

    def _withheld_within(self, asked: tuple[str, ...]) -> str:
        """Id of what is withheld under the longest name of several words that stands, as it is, within a name.

        Blank where a longer name of something tested stands within it too: then nobody knows what is meant.
        """
        for length in range(len(asked), 1, -1):
            parts = [asked[at : at + length] for at in range(len(asked) - length + 1)]
            found = next((which for part in parts if (which := self._withheld.in_order(part))), "")
            if found or any(part in self._names.ordered for part in parts):
                return found
        return ""

    def _unknown_food(self, name: str, words: str) -> UnknownFood:
        kept = self._unknown.get(name)
        if kept is None:
            kept = self._not_found(name, words)
            if len(self._unknown) < _KEPT:
                self._unknown[name] = kept
        return UnknownFood(*kept)

    def _not_found(self, name: str, words: str) -> tuple[str, tuple[str, ...]]:
        said = shown(name.strip())
        holding = self.nearness.holding(words)
        if len(holding) > 1:
            return f'"{said}" may mean several foods: say which one.', tuple(self._titles[food] for food in holding)
        near = self.nearness.suggestions(words)
        if near:
            return f'no food is called "{said}"; these names come near.', near
        return f'no food is called "{said}"; see stillroom foods.', ()

    # tables of names, made when they are first needed

    @cached_property
    def nearness(self) -> Nearness:
        """What comes near to a name."""
        from stillroom.answers.nearness import Nearness

        return Nearness(self._package, {name: found[0] for name, found in self._names.exact.items()}, self._fillers)

    @cached_property
    def _withheld(self) -> WithheldNames:
        from stillroom.answers.withheld_names import WithheldNames

        return WithheldNames(self._package)

    @cached_property
    def _fillers(self) -> frozenset[str]:
        return frozenset(row.word for row in self._package.filler_words)

    @cached_property
    def _names(self) -> _Forms:
        exact: dict[str, tuple[Meaning, ...]] = {}
        titles = {food: stems.bag(plain(title)) for food, title in self._titles.items()}
        for row in self._package.open_names:
            words = plain(row.name)
            exact[words] = (*exact.get(words, ()), Meaning(row.food, row.form, "", row.name))
        for alias in self._package.aliases:
            words = plain(alias.alias)
            said = "" if stems.bag(words) == titles.get(alias.food) else alias.alias
            exact[words] = (Meaning(alias.food, alias.form, alias.pack, said),)
        for food, title in self._titles.items():
            turned = _turned(title)
            if turned:
                exact.setdefault(turned, (Meaning(food, ""),))
        exact |= {words: (meaning,) for words, meaning in self._own.items()}
        return _Forms(exact, _by(stems.ordered, exact), _by(stems.bag, exact))


def _turned(name: str) -> str:
    """Plain name turned round at its commas and brackets: what stands after comes before; blank without any."""
    parts = [plain(part) for part in re.split(_TURNS, name)]
    return " ".join(part for part in reversed(parts) if part) if len(parts) > 1 else ""


def _latin(character: str) -> bool:
    import unicodedata

    return unicodedata.name(character, "").startswith("LATIN")


def _by(form: Callable[[str], Any], exact: Mapping[str, tuple[Meaning, ...]]) -> dict[Any, tuple[Meaning, ...]]:
    """Meanings by another form of their names; names that differ and are alike in this form leave the food open."""
    by: dict[Any, dict[tuple[str, str, str], Meaning]] = {}
    for words, meanings in exact.items():
        kept = by.setdefault(form(words), {})
        for meaning in meanings:
            kept.setdefault(meaning[:3], meaning)
    return {key: tuple(kept.values()) for key, kept in by.items()}
