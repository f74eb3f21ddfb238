"""Words: from what people write for a jar, a canner and a pack to their ids."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import NamedTuple

from stillroom.answers import wording
from stillroom.answers.stems import plain
from stillroom.errors import BadInput
from stillroom.package.package import Package

PACKS = ("hot", "raw")


class Heard(NamedTuple):
    """What a word was heard as: ids (several where it leaves that open), and the word itself where it is not ours."""

    ids: tuple[str, ...]
    said: str = ""
    untested: str = ""
    withheld: str = ""


class Words:
    """Words for jars, canners and packs of one package."""

    def __init__(self, package: Package) -> None:
        self._package = package
        self._jar_words = {
            plain(word): jar.id for jar in package.jars for word in (jar.id, jar.title, jar.plural, jar.abbreviation)
        }
        self._canner_words = {
            plain(word): canner.id for canner in package.canners for word in (canner.id, canner.title)
        }
        self._pack_words = {word: pack for pack in PACKS for word in (pack, f"{pack} pack")}
        self._jars = tuple(jar.id for jar in package.jars)
        self._canners = tuple(canner.id for canner in package.canners)

    def jar(self, said: object) -> Heard:
        """Read a jar size: its id, title, plural or abbreviation.

        Raises
        ------
        BadInput
            No such jar.
        """
        return Heard((read("jar", said, self._jar_words, self._jars),))

    def canner(self, said: object) -> Heard:
        """Read a canner: its id or title.

        Raises
        ------
        BadInput
            No such canner.
        """
        return Heard((read("canner", said, self._canner_words, self._canners),))

    def pack(self, said: object) -> Heard:
        """Read a pack: hot or raw.

        Raises
        ------
        BadInput
            Neither.
        """
        return Heard((read("pack", said, self._pack_words, PACKS),))

    def form(self, food: str, said: object) -> Heard:
        """Form."""
        rows = [row for row in self._package.forms if row.food == food]
        words = {plain(word): row.form for row in rows for word in (row.form, row.title)}
        return Heard((read("form", said, words, [row.form for row in rows]),))


def read(what: str, said: object, words: Mapping[str, str], accepted: Collection[str]) -> str:
    """Read one word of a question: its id, or one line that names what was said and what is accepted.

    Parameters
    ----------
    what : str
        What is read, for the message.
    said : object
        The word, if it is text at all.
    words : mapping of str to str
        Ids by the words they go by, in the plain form of :func:`stillroom.answers.names.plain`.
    accepted : collection of str
        Ids, for the message.

    Raises
    ------
    BadInput
        No such word.
    """
    if isinstance(said, str):
        known = words.get(said) or words.get(plain(said[:80]))
        if known is not None:
            return known
    shown = f'"{said[:40]}"' if isinstance(said, str) else repr(said)[:40]
    raise BadInput(f"{what} {shown} is not one of {wording.listed(list(accepted))}")


def one(heard: Heard) -> str:
    """Id."""
    return heard.ids[0]
