"""Withheld names: the names of what must not be canned or has no process, in the forms in which names are compared."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cached_property, partial

from stillroom.answers import stems
from stillroom.answers.answer import Citation, NoTestedSchedule, Stated, Told
from stillroom.answers.stems import plain
from stillroom.errors import BadInput
from stillroom.package.package import Package
from stillroom.package.records import Withheld

Cite = Callable[[str, str], Citation]


def refusal_of(entry: Withheld, cite: Cite | None = None, earlier: Told | None = None) -> NoTestedSchedule:
    """Refuse what is withheld, with the reason and what to do instead.

    Parameters
    ----------
    entry : Withheld
    cite : callable, optional
        Makes the citation of a refusal from a page and a source id, like :meth:`stillroom.answers.shelf.Shelf.cite`.
    earlier : callable, optional
        Says that a superseded leaflet gave a process, when it is asked.
    """
    instead = f" Instead: {entry.instead[0].lower()}{entry.instead[1:]}" if entry.instead else ""
    said = "not recommended" if entry.code == "withheld" else "no tested process"
    reason = f"{entry.title}: {said}. {entry.reason}{instead}"
    return NoTestedSchedule(entry.code, reason, cite(entry.page, entry.source) if cite else None, (), earlier)


def _earlier(package: Package, which: str, cite: Cite) -> Stated | None:
    from stillroom.answers import earlier

    return earlier.of_withheld(package, which, cite)


class WithheldNames:
    """The names of one package's withheld entries; its tables are read when they are first needed.

    Parameters
    ----------
    package : Package
    """

    def __init__(self, package: Package) -> None:
        self._package = package

    @cached_property
    def entries(self) -> dict[str, Withheld]:
        """Entries by id."""
        return {entry.id: entry for entry in self._package.withheld}

    def refused(self, which: str, cite: Cite | None = None) -> NoTestedSchedule:
        """Refuse the entry of an id; see :func:`refusal_of`."""
        earlier = None if cite is None else partial(_earlier, self._package, which, cite)
        return refusal_of(self.entries[which], cite, earlier)

    def ways(self, words: str) -> Iterator[str]:
        """Ids a plain name has word for word, by stems in order, and by stems in any order; blank where none."""
        key = stems.ordered(words)
        yield self.exact.get(words, "")
        yield self._ordered.get(key, "")
        yield self._anyhow.get(frozenset(key), "")

    def in_order(self, part: tuple[str, ...]) -> str:
        """Id of the name that has these stems in this order; blank where none has."""
        return self._ordered.get(part, "")

    def holding(self, words: str | None) -> tuple[Withheld, ...]:
        """List entries: all, or those with every word, by its stem, in the title (these first) or in one of the names.

        Raises
        ------
        BadInput
            The words are empty.
        """
        if words is None:
            return tuple(self._package.withheld)
        wanted = _bag(words)
        if not wanted:
            raise BadInput("the words to look for are empty: leave them out to list everything")
        named = {which for bag, which in self._bags if wanted <= bag}
        titled = [entry for entry in self._package.withheld if wanted <= _bag(entry.title)]
        return (*titled, *(entry for entry in self._package.withheld if entry.id in named and entry not in titled))

    @cached_property
    def exact(self) -> dict[str, str]:
        """Ids by name, word for word."""
        return {plain(row.alias): row.withheld for row in self._package.withheld_names}

    @cached_property
    def _ordered(self) -> dict[tuple[str, ...], str]:
        ordered: dict[tuple[str, ...], str] = {}
        for words, which in self.exact.items():
            ordered.setdefault(stems.ordered(words), which)
        return ordered

    @cached_property
    def _anyhow(self) -> dict[frozenset[str], str]:
        anyhow: dict[frozenset[str], str] = {}
        for key, which in self._ordered.items():
            anyhow.setdefault(frozenset(key), which)
        return anyhow

    @cached_property
    def _bags(self) -> list[tuple[frozenset[str], str]]:
        return [(_bag(row.alias), row.withheld) for row in self._package.withheld_names]


def _bag(name: str) -> frozenset[str]:
    return frozenset(stems.ordered(plain(name)))
