"""Food list: several foods named in one text, with commas or semicolons between; never a silent guess.

A comma also turns a name round (*Beans, snap*), so a text is cut in every way in which all its parts are names. One
such way is taken; where there are two, neither is (*apples, pears* are two foods, or apple pears). A title or a name
that is listed with its commas is never cut. A semicolon only ever stands between two foods.
"""

from __future__ import annotations

from stillroom.answers import stems
from stillroom.answers.answer import NoTestedSchedule
from stillroom.answers.names import Meaning
from stillroom.answers.shelf import Shelf
from stillroom.errors import BadInput
from stillroom.screen import shown

LONGEST = 10_000
"""Longest list that is looked at, characters."""
_COMMAS = 4
"""Most commas within one name; no name of the package has as many."""
_WAYS = 2
"""Ways to cut a text that are kept: more than one is one too many."""
Cut = tuple[tuple[str, tuple[Meaning, ...]], ...]
"""Names, and what each means."""


def meant(shelf: Shelf, text: str) -> tuple[Meaning, ...]:
    """Find every food that a list of names means, in its order, each once.

    Parameters
    ----------
    shelf : Shelf
    text : str
        One name, or several with commas or semicolons between: ``snap beans, crushed tomatoes``.

    Returns
    -------
    tuple of Meaning
        A name that stands for several foods gives each of them.

    Raises
    ------
    BadInput
        The text may be read in two ways, both of which are told; or no name can be read.
    UnknownFood
        A name of the list is none.
    NoTestedSchedule
        Code ``withheld`` or ``no-process``: one of the foods is not to be canned, or nobody gives a process for it.
    """
    if len(text) > LONGEST:
        raise BadInput(f'the list of foods "{shown(text)}" is too long: ask for fewer at a time')
    parts = [part for part in text.split(";") if part.strip()]
    if len(parts) > 1 and not all(_cuts(shelf, part) for part in parts):
        whole = _known(shelf, text)
        if whole:
            return whole
    found = [each for part in parts or [text] for each in _one_way(shelf, part)]
    return tuple(dict.fromkeys(meaning for _, meanings in found for meaning in meanings))


def _one_way(shelf: Shelf, text: str) -> Cut:
    """Cut a text without semicolons in the only way there is."""
    cuts = _cuts(shelf, text)
    if not cuts:
        raise _told(shelf, text)
    if len(cuts) > 1:
        ways = _differ(cuts[0], cuts[1])
        said = [" and ".join(f'"{name}"' for name, _ in way) for way in ways]
        write = " or ".join(f'"{"; ".join(map(_plainly, way))}"' for way in ways)
        raise BadInput(f'"{shown(text.strip(), 80)}" may be read as {said[0]}, or as {said[1]}: write {write}')
    return cuts[0]


def _differ(one: Cut, other: Cut) -> tuple[Cut, Cut]:
    """Two ways to cut a text without the names that both begin and end with."""
    while one[:1] == other[:1]:
        one, other = one[1:], other[1:]
    while one[-1:] == other[-1:]:
        one, other = one[:-1], other[:-1]
    return one, other


def _plainly(named: tuple[str, tuple[Meaning, ...]]) -> str:
    """Write a name without commas: the id of its food where it means that alone."""
    name, meanings = named
    return meanings[0].food if len(meanings) == 1 and not meanings[0].form and not meanings[0].pack else name


def _foods(cut: Cut) -> frozenset[Meaning]:
    return frozenset(meaning._replace(said="") for _, meanings in cut for meaning in meanings)


def _cuts(shelf: Shelf, text: str) -> list[Cut]:
    """Ways to cut a text at its commas into names of tested foods: the longest names first, no more than two ways."""
    pieces = [piece for piece in (" ".join(piece.split()) for piece in text.split(",")) if piece]
    listed = _with_commas(shelf) if len(pieces) > 1 else frozenset()
    ways: list[list[Cut]] = [[] for _ in pieces] + [[()]]
    for start in reversed(range(len(pieces))):
        every: dict[frozenset[Meaning], Cut] = {}
        for end in range(min(len(pieces), start + _COMMAS + 1), start, -1):
            name = ", ".join(pieces[start:end])
            one = name.casefold() in listed or not _repeats(pieces[start:end])
            meanings = _known(shelf, name) if one and ways[end] else ()
            for rest in ways[end] if meanings else ():
                cut = ((name, meanings), *rest)
                every.setdefault(_foods(cut), cut)
            if meanings and name.casefold() in listed:
                break
        ways[start] = list(every.values())[:_WAYS]
    return ways[0] if pieces else []


def _repeats(pieces: list[str]) -> bool:
    """Tell whether a word stands in two pieces, as it never does in one name: *white potatoes, sweet potatoes*."""
    bags = [stems.bag(stems.plain(piece)) for piece in pieces]
    return sum(map(len, bags)) > len(frozenset().union(*bags))


def _with_commas(shelf: Shelf) -> frozenset[str]:
    """Names that are listed with commas in them."""
    names = (*(food.title for food in shelf.package.foods), *(row.alias for row in shelf.package.aliases))
    return frozenset(name.casefold() for name in names if "," in name)


def _known(shelf: Shelf, text: str) -> tuple[Meaning, ...]:
    """What a text means as one name; nothing where it is none, or that of something withheld."""
    try:
        return shelf.names.if_known(text, shelf.cite)
    except (BadInput, NoTestedSchedule):
        return ()


def _told(shelf: Shelf, text: str) -> Exception:
    """Say why a text is no list of tested foods: what is withheld first, then the first part that is no name."""
    pieces = [piece.strip() for piece in text.split(",") if piece.strip()] or [text]
    unknown: Exception | None = None
    for name in dict.fromkeys((text.strip(), *pieces) if len(pieces) <= _COMMAS + 1 else pieces):
        try:
            known = shelf.names.if_known(name, shelf.cite)
        except (BadInput, NoTestedSchedule) as error:
            return error
        if not known and name != text.strip():
            unknown = unknown or _unknown(shelf, name)
    return unknown or _unknown(shelf, text)


def _unknown(shelf: Shelf, name: str) -> Exception:
    try:
        shelf.names.meanings(name, shelf.cite)
    except (BadInput, NoTestedSchedule) as error:
        return error
    return BadInput(f'"{shown(name)}" is understood alone, not in this list: write a semicolon between two foods')
