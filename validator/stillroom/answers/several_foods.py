"""Several foods: a list of names in one text, where a comma may also turn a name round.

A semicolon always parts two names. A comma does only where the whole is no name: ``Beans, snap`` is one food, and so is
``Tomatoes, crushed`` within a longer list. A list that can be parted in two ways is asked about, never guessed; a blank
parts nothing, so that the name of a mixture never becomes the tables of its parts.
"""

from __future__ import annotations

from typing import NamedTuple

from stillroom.answers.answer import NoTestedSchedule, UnknownFood
from stillroom.answers.names import LONGEST, Meaning
from stillroom.answers.shelf import Shelf
from stillroom.errors import BadInput
from stillroom.screen import shown

MOST = 200
"""Names in one list: more than there are foods."""
_PIECES = 4
"""Most pieces between commas that one name has."""


class _Known(NamedTuple):
    """What one name is known as: the foods it may mean, or the refusal that it meets."""

    meanings: tuple[Meaning, ...]
    refused: NoTestedSchedule | None


def meanings(shelf: Shelf, text: str) -> tuple[Meaning, ...]:
    """Find the foods that a list of names means, in its order, each once.

    Parameters
    ----------
    shelf : Shelf
    text : str
        One name, or several with a semicolon or a comma between.

    Raises
    ------
    BadInput
        A list that can be parted in two ways, more names than there are foods, or see
        :meth:`stillroom.answers.names.Names.meanings`.
    UnknownFood
        A name of the list is none, with suggestions.
    NoTestedSchedule
        A name of the list, or the whole of it, is withheld or has no process.
    """
    parts = [part for part in text.split(";") if part.strip()] or [text]
    if text.count(";") + text.count(",") >= MOST:
        raise BadInput(f"more than {MOST} foods in one list: name fewer")
    found: dict[tuple[str, ...], Meaning] = {}
    for part in parts:
        for meaning in _of_part(shelf, part):
            found.setdefault(meaning[:3], meaning)
    return tuple(found.values())


def _of_part(shelf: Shelf, part: str) -> tuple[Meaning, ...]:
    pieces = [piece for piece in part.split(",") if piece.strip()]
    if len(pieces) < 2:
        return shelf.names.meanings(part.strip() or part, shelf.cite)
    whole = _known(shelf, part)
    if whole is not None:
        return _taken(whole)
    ways = _ways(shelf, pieces)
    if not ways:
        for piece in pieces:
            shelf.names.meanings(piece.strip(), shelf.cite)
        raise BadInput(f'"{shown(part.strip())}" cannot be parted into names: put a semicolon between two foods')
    if len({tuple(_told(known) for known in way) for way in ways}) > 1:
        raise BadInput(f'"{shown(part.strip())}" can be parted in several ways: put a semicolon between two foods')
    return tuple(meaning for known in ways[0] for meaning in _taken(known))


def _taken(known: _Known) -> tuple[Meaning, ...]:
    if known.refused is not None:
        raise known.refused
    return known.meanings


def _told(known: _Known) -> object:
    """What a name stands for, however it was said: two ways to part a list may come to the same."""
    return str(known.refused) if known.refused else tuple(meaning[:3] for meaning in known.meanings)


def _known(shelf: Shelf, name: str) -> _Known | None:
    """Look a name up; None where it is none."""
    if len(name) > LONGEST:
        return None
    try:
        return _Known(shelf.names.meanings(name.strip(), shelf.cite), None)
    except UnknownFood:
        return None
    except NoTestedSchedule as refused:
        return _Known((), refused)


def _ways(shelf: Shelf, pieces: list[str]) -> list[tuple[_Known, ...]]:
    """Ways to part the pieces into names, two at most."""
    ways: list[list[tuple[_Known, ...]]] = [[] for _ in pieces] + [[()]]
    for start in reversed(range(len(pieces))):
        for end in range(start + 1, min(start + _PIECES, len(pieces)) + 1):
            first = _known(shelf, ",".join(pieces[start:end])) if ways[end] else None
            if first is not None:
                ways[start] += [(first, *rest) for rest in ways[end]]
        del ways[start][2:]
    return ways[0]
