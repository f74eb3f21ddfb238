"""Quiz: questions for a class made from the printed rows of foods, the same for the same number everywhere.

The right choice is what the library answers; the wrong ones are printed beside it: in the next band, for another jar,
pack, form or canner. None of them has a process that is right. Whatever is chosen by chance is chosen by SHA-256 of the
number of the quiz and of what is chosen from, so that no version of anything changes it.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Iterator
from typing import NamedTuple

from stillroom.answers import derived, wording
from stillroom.answers.answer import NoTestedSchedule
from stillroom.answers.charts import Band, Chart, Combination, band_at
from stillroom.answers.lookup import Lookup
from stillroom.answers.names import Meaning
from stillroom.errors import BadInput
from stillroom.package.records import NotRecommended, Schedule

SEED = 1
"""Number of the quiz where none is said."""
LARGEST_SEED = 999_999_999
FEWEST, MOST = 10, 40
"""Questions of a quiz, where the rows have so many; two for each food between."""
_PROCESSES = 4
"""Most processes to choose from, beside the choice that there is none: as many where none is right, so that their
number tells nothing."""
NONE = "None: no tested process"
"""Last choice of every question."""
_EVERY = 3
"""Each third question is refused by the library."""
_ABOVE = 500
"""Feet above the end of a table that a question is asked for."""


class Choice(NamedTuple):
    """One choice; ``processes`` are its minutes and pounds of pressure (None in boiling water), none for no process."""

    text: str
    processes: tuple[tuple[int, int | None], ...]


class Asked(NamedTuple):
    """One question of a quiz.

    Attributes
    ----------
    food : str
        Food id.
    at : Combination
        Form, pack, jar and canner that are asked for, ids.
    altitude_ft : float
        Feet above sea level.
    text : str
        The question as a canner would ask it.
    choices : tuple of Choice
        In the order in which they are printed; the last is that there is none.
    right : int
        Place of the right one.
    why : str
        For the key: the page, or the reason why there is none with its page.
    """

    food: str
    at: Combination
    altitude_ft: float
    text: str
    choices: tuple[Choice, ...]
    right: int
    why: str


Place = tuple[Combination, float]
"""What a question is asked for, and at how many feet."""


class _Rows(NamedTuple):
    """One food of the quiz with the printed rows that its name stands for."""

    food: str
    rows: Chart
    pack: str


def seeded(said: object) -> int:
    """Read the number of a quiz.

    Raises
    ------
    BadInput
        No whole number of up to nine digits.
    """
    text = str(said)
    if not (text.isascii() and text.isdigit() and len(text) <= len(str(LARGEST_SEED))):
        raise BadInput(f"seed {text[:20]!r} is no whole number from 0 to {LARGEST_SEED:,}: write one, like 7")
    return int(text)


def quiz(lookup: Lookup, foods: Iterable[Meaning], seed: int, altitude_ft: float | None = None) -> tuple[Asked, ...]:
    """Make the questions.

    Parameters
    ----------
    lookup : Lookup
        Answers them.
    foods : iterable of Meaning
    seed : int
        Number of the quiz: the same number and foods make the same questions.
    altitude_ft : float, optional
        Altitude that is asked for, feet; by default one in any printed band.

    Returns
    -------
    tuple of Asked
        Ten, or two for each food where that is more, up to forty; fewer where the rows have no more.
    """
    each = [_Rows(meaning.food, _chart(lookup, meaning), meaning.pack) for meaning in foods]
    each.sort(key=lambda one: _drawn(seed, one.food))
    most = min(MOST, max(FEWEST, 2 * len(each)))
    tested = [_questions(lookup, one, seed, _tested_places(one, altitude_ft), _of_rows) for one in each]
    refused = [_questions(lookup, one, seed, _refused_places(lookup, one, altitude_ft), _of_refusal) for one in each]
    found: list[Asked] = []
    turn, idle = 0, 0
    while len(found) < most and idle < 2 * _EVERY * len(each):
        kind = refused if len(found) % _EVERY == _EVERY - 1 else tested
        other = tested if kind is refused else refused
        place = turn % len(each)
        one = next(kind[place], None) or next(other[place], None)
        turn, idle = turn + 1, idle + 1 if one is None else 0
        found += [one] if one is not None else []
    return tuple(found)


def _chart(lookup: Lookup, meaning: Meaning) -> Chart:
    rows = lookup.shelf.chart_of(meaning.food).items()
    return {
        at: bands
        for at, bands in rows
        if meaning.form in ("", at.form) and (not meaning.pack or at.pack in ("", meaning.pack))
    }


def _drawn(seed: int, *words: object) -> bytes:
    """Draw a lot for something: its place in an order by chance."""
    return hashlib.sha256("|".join(map(str, (seed, *words))).encode()).digest()


Make = Callable[[Lookup, _Rows, int, Combination, float], "Asked | None"]


def _questions(lookup: Lookup, one: _Rows, seed: int, places: Iterable[Place], make: Make) -> Iterator[Asked]:
    """Questions on one food, in an order by chance, none with the same answer for the same thing or the same reason.

    A place that makes no question is passed over.
    """
    asked = set()
    for at, feet in sorted(dict.fromkeys(places), key=lambda place: _order(one, seed, *place)):
        found = make(lookup, one, seed, at, feet)
        if found is None:
            continue
        told = (at, found.choices[found.right]) if found.choices[found.right].processes else found.why
        if told not in asked:
            asked.add(told)
            yield found


def _order(one: _Rows, seed: int, at: Combination, feet: float) -> tuple[bool, bytes]:
    """Order of places by chance; boiling water comes first where a food has no row for it: no error is graver."""
    return at in one.rows or at.canner != derived.TAKES, _drawn(seed, one.food, *at, feet)


def _tested_places(one: _Rows, altitude_ft: float | None) -> Iterator[Place]:
    for at, bands in one.rows.items():
        for band in bands:
            if band.cells:
                yield from ((at, feet) for feet in _heights(bands, band, altitude_ft))


def _heights(bands: tuple[Band, ...], band: Band, altitude_ft: float | None) -> tuple[float, ...]:
    """Heights that are asked for within a band: its edges, and between; or the one that was said, if it is there."""
    if altitude_ft is not None:
        return (altitude_ft,) if band_at(bands, altitude_ft) is band else ()
    low = band.from_ft or _ABOVE
    high = band.to_ft if band.to_ft is not None else band.from_ft + 2 * _ABOVE - 1
    return low, (low + high) // 100 * 50, high


def _refused_places(lookup: Lookup, one: _Rows, altitude_ft: float | None) -> Iterator[Place]:
    """Places beside the rows for which there may be no row: another canner, jar or pack, or too high a place."""
    shelf = lookup.shelf
    for at, bands in one.rows.items():
        feet = 2.0 * _ABOVE if altitude_ft is None else altitude_ft
        beside = [at._replace(canner=canner) for canner in shelf.canners]
        beside += [at._replace(jar=jar) for jar in shelf.jars]
        beside += [at._replace(pack=pack) for pack in ("hot", "raw") if at.pack and not one.pack]
        yield from ((other, feet) for other in beside if other not in one.rows)
        end = bands[-1].to_ft
        heights = [end + _ABOVE] if end is not None else []
        heights += [band.from_ft + _ABOVE for band in bands if not band.cells]
        yield from ((at, height) for height in (heights if altitude_ft is None else [altitude_ft]))


def _of_rows(lookup: Lookup, one: _Rows, seed: int, at: Combination, feet: float) -> Asked | None:
    """Ask for a printed cell."""
    options = lookup.options(one.food, at, feet)
    right = _choice((option.minutes, option.pressure_psi) for option in options)
    wrong = _wrong(one, seed, at, feet, right)
    if not wrong:
        return None
    choices = sorted((right, *wrong), key=lambda choice: _drawn(seed, one.food, *at, feet, choice.text))
    pages = dict.fromkeys(option.source.in_brackets for option in options)
    return _asked(lookup, one, at, feet, choices, choices.index(right), wording.listed(list(pages), "and"))


def _of_refusal(lookup: Lookup, one: _Rows, seed: int, at: Combination, feet: float) -> Asked | None:
    """Ask for what nobody has tested; nothing where the library answers it, by whatever rule."""
    try:
        lookup.options(one.food, at, feet)
    except NoTestedSchedule as refusal:
        source, said = refusal.source, refusal.reason
    else:
        return None
    wrong = _wrong(one, seed, at, feet, Choice(NONE, ()))
    if not wrong:
        return None
    where = _pages(lookup, one) if source is None else source.in_brackets
    choices = sorted(wrong, key=lambda choice: _drawn(seed, one.food, *at, feet, choice.text))
    why = f"{said.removesuffix('.')} ({where})."
    return _asked(lookup, one, at, feet, choices, len(choices), why)


def _pages(lookup: Lookup, one: _Rows) -> str:
    """Name the pages of the tables of a food, which have no such row."""
    cells: list[Schedule | NotRecommended] = []
    for bands in one.rows.values():
        for band in bands:
            cells += [*band.cells, *band.not_recommended]
    pages = dict.fromkeys(lookup.shelf.cite(cell.page, cell.source).in_brackets for cell in cells)
    return f"no such row on {wording.listed(list(pages), 'and')}"


def _asked(
    lookup: Lookup, one: _Rows, at: Combination, feet: float, choices: list[Choice], right: int, why: str
) -> Asked:
    shelf = lookup.shelf
    told = (
        shelf.in_words("form", at.form), shelf.in_words("pack", at.pack), shelf.jars[at.jar].plural,
        shelf.canners[at.canner].title, wording.height(feet),
    )  # fmt: skip
    how = ", and at what pressure" if shelf.canners[at.canner].method == "pressure" else ""
    text = f"{shelf.foods[one.food].title}: {', '.join(word for word in told if word)}. How long{how}?"
    return Asked(one.food, at, feet, text, (*choices, Choice(NONE, ())), right, why)


def _choice(processes: Iterable[tuple[int, int | None]]) -> Choice:
    ordered = tuple(processes)
    return Choice(wording.listed([wording.process(*process) for process in ordered]), ordered)


def _wrong(one: _Rows, seed: int, at: Combination, feet: float, right: Choice) -> tuple[Choice, ...]:
    """Choose cells beside the right one, none of which has a process that is right; the nearest first."""
    found: dict[frozenset[tuple[int, int | None]], Choice] = {}
    pressed = at.canner in ("dial", "weighted")
    beside = [(_apart(at, other, bands, band, feet), _choice(_processes(band)))
              for other, bands in one.rows.items() for band in bands if band.cells]  # fmt: skip
    beside.sort(
        key=lambda each: (
            (each[1].processes[0][1] is not None) != pressed,
            each[0],
            _drawn(seed, one.food, *at, feet, "beside", each[1].text),
        )
    )
    for _, choice in beside:
        if not set(choice.processes) & set(right.processes):
            found.setdefault(frozenset(choice.processes), choice)
    return tuple(list(found.values())[: _PROCESSES - len(right.processes[:1])])


def _processes(band: Band) -> tuple[tuple[int, int | None], ...]:
    return tuple((cell.minutes, cell.pressure_psi) for cell in band.cells)


def _apart(at: Combination, other: Combination, bands: tuple[Band, ...], band: Band, feet: float) -> int:
    """Count in how many things two cells differ: form, pack, jar, canner and band."""
    here = band_at(bands, feet)
    return sum(mine != theirs for mine, theirs in zip(at, other, strict=True)) + (band is not here)
