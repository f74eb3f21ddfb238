"""Words: from what people write for a jar, a canner, a pack and a form to their ids.

Our own words (ids, titles, plurals, abbreviations) are known at once. People's words stand in tables of their own
(jar-words.csv, canner-words.csv and pack-words.csv in shared/, schedules/form-words.csv), read only where our own do
not answer.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping
from functools import cached_property
from typing import TYPE_CHECKING

from stillroom import screen
from stillroom.answers import wording
from stillroom.answers.answer import Citation, NoTestedSchedule
from stillroom.answers.heard import Heard
from stillroom.answers.stems import plain
from stillroom.errors import BadInput
from stillroom.package.package import Package

if TYPE_CHECKING:
    from stillroom.answers.jar_sizes import Sizes

PACKS = ("hot", "raw")
LONGEST = 80
"""Longest word that is looked at, characters."""


class Words:
    """Words for jars, canners, packs and forms of one package."""

    def __init__(self, package: Package) -> None:
        self._package = package
        self._jar_words = _own(
            (word, jar.id) for jar in package.jars for word in (jar.id, jar.title, jar.plural, jar.abbreviation)
        )
        self._canner_words = _own((word, canner.id) for canner in package.canners for word in (canner.id, canner.title))
        self._pack_words = _own((word, pack) for pack in PACKS for word in (pack, f"{pack} pack"))
        self._jars = tuple(jar.id for jar in package.jars)
        self._canners = tuple(canner.id for canner in package.canners)

    def jar(self, said: object) -> Heard:
        """Read a jar: our own word for it, or a size as people write it.

        Raises
        ------
        BadInput
            No size, or one that can be read in two ways.
        """
        known = _known(said, self._jar_words)
        if known is not None:
            return Heard((known,))
        wrong = ""
        if isinstance(said, str) and len(said) <= LONGEST:
            shown = screen.shown(" ".join(said.split()))
            heard = self._sizes.heard(said, shown)
            if isinstance(heard, Heard):
                ours = len(heard.ids) == 1 and any(
                    plain(said) == plain(word) for word, jar in self._jar_words.items() if jar == heard.ids[0]
                )
                return heard._replace(said="") if ours else heard
            wrong = f": {heard}" if heard else ""
        raise _bad("jar", said, self._jars, f'{wrong}; write the size of one jar, like "pint" or "12 oz"')

    def canner(self, said: object) -> Heard:
        """Read a canner, or what people use in place of one.

        Raises
        ------
        BadInput
            Neither.
        """
        known = _known(said, self._canner_words)
        if known is not None:
            return Heard((known,))
        if isinstance(said, str) and len(said) <= LONGEST:
            means = self._said_of_canners.get(self._without_fillers(plain(said)))
            if means is not None:
                shown = screen.shown(" ".join(said.split()))
                return Heard(means[0], shown, "", means[1])
        raise _bad("canner", said, self._canners)

    def pack(self, said: object) -> Heard:
        """Read a pack: hot or raw.

        Raises
        ------
        BadInput
            Neither.
        """
        return _one_of("pack", said, self._pack_words, PACKS, lambda: self._said_of_packs)

    def form(self, food: str, said: object) -> Heard:
        """Read a form of one food.

        Raises
        ------
        BadInput
            No text, no form of this food, or the publication separates none.
        """
        forms = {row.form: row.title for row in self._package.forms if row.food == food}
        if not isinstance(said, str):
            raise BadInput(f"form {screen.shown(repr(said))} is not text")
        if not forms:
            shown = screen.shown(said)
            raise BadInput(f'form "{shown}": the publication separates no forms of {food}; leave the form out')
        own = _own((word, form) for form, title in forms.items() for word in (form, title))
        return _one_of("form", said, own, forms, lambda: self._said_of_forms.get(food, {}))

    def one(self, what: str, said: object, cite: Callable[[str, str], Citation] | None = None) -> str:
        """Read a jar, canner or pack where exactly one is needed.

        Parameters
        ----------
        what : str
            ``jar``, ``canner`` or ``pack``.
        said : str
            The word.
        cite : callable, optional
            Makes the citation of a refusal from a page and a source id.

        Raises
        ------
        BadInput
            Not understood, or it leaves open which.
        NoTestedSchedule
            It is understood, and nothing here was tested in it.
        """
        heard: Heard = getattr(self, what)(said)
        if len(heard.ids) == 1:
            return heard.ids[0]
        if heard.ids:
            raise BadInput(f'{what} "{heard.said}" may be {wording.listed(heard.ids)}: say which')
        if heard.untested:
            raise NoTestedSchedule("jar-not-tested", heard.untested)
        raise self.refused(heard, cite)

    def refused(self, heard: Heard, cite: Callable[[str, str], Citation] | None = None) -> NoTestedSchedule:
        """Refuse what a publication speaks against, with what it says."""
        from stillroom.answers.withheld_names import refusal_of

        return refusal_of(next(entry for entry in self._package.withheld if entry.id == heard.withheld), cite)

    # people's words, read where our own do not answer

    @cached_property
    def _sizes(self) -> Sizes:
        from stillroom.answers.jar_sizes import Sizes

        return Sizes(self._package.jar_words, self._package.jars)

    @cached_property
    def _said_of_canners(self) -> dict[str, tuple[tuple[str, ...], str]]:
        """Canners, or the withheld entry, by the words for them."""
        means: dict[str, tuple[tuple[str, ...], str]] = {}
        for row in self._package.canner_words:
            if row.kind == "word":
                before = means.get(row.word, ((), ""))[0]
                means[row.word] = ((*before, row.canner) if row.canner else (), row.withheld)
        return means

    @cached_property
    def _fillers(self) -> list[list[str]]:
        rows = [row.word.split() for row in self._package.canner_words if row.kind == "filler"]
        return sorted(rows, key=len, reverse=True)

    def _without_fillers(self, words: str) -> str:
        """Pass over the words that say nothing of the canner."""
        left, kept = words.split(), []
        while left:
            filler = next((words for words in self._fillers if left[: len(words)] == words), None)
            if filler is None:
                kept.append(left.pop(0))
            else:
                del left[: len(filler)]
        return " ".join(kept)

    @cached_property
    def _said_of_packs(self) -> dict[str, str]:
        return {row.word: row.pack for row in self._package.pack_words}

    @cached_property
    def _said_of_forms(self) -> dict[str, dict[str, str]]:
        means: dict[str, dict[str, str]] = {}
        for row in self._package.form_words:
            means.setdefault(row.food, {})[row.word] = row.form
        return means


def _own(words: Iterable[tuple[str, str]]) -> dict[str, str]:
    """Ids by our own words; a word with a figure stays as it is, for a sign between figures carries meaning."""
    return {_folded(word): which for word, which in words}


def _folded(word: str) -> str:
    return " ".join(word.casefold().split()) if any(c.isnumeric() for c in word) else plain(word)


def _known(said: object, words: Mapping[str, str]) -> str | None:
    if not isinstance(said, str):
        return None
    return words.get(said) or (words.get(_folded(said)) if len(said) <= LONGEST else None)


def _one_of(
    what: str, said: object, own: Mapping[str, str], accepted: Collection[str], words: Callable[[], Mapping[str, str]]
) -> Heard:
    known = _known(said, own)
    if known is not None:
        return Heard((known,))
    if isinstance(said, str) and len(said) <= LONGEST:
        known = words().get(plain(said))
        if known is not None:
            return Heard((known,), screen.shown(" ".join(said.split())))
    raise _bad(what, said, accepted)


def _bad(what: str, said: object, accepted: Collection[str], more: str = "") -> BadInput:
    shown = f'"{screen.shown(said)}"' if isinstance(said, str) else screen.shown(repr(said))
    return BadInput(f"{what} {shown} is not one of {wording.listed(list(accepted))}{more}")
