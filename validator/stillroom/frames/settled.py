"""Settled: from the words of many questions to rows of the table of answers.

Most questions are settled by each word alone, and all of them at once. What is left open, unknown, withheld or wrong is
asked one by one, as :func:`stillroom.find` is, and each question only once.
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from concurrent.futures import ThreadPoolExecutor
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from stillroom.answers import altitude
from stillroom.answers.answer import NoTestedSchedule, SayWhich
from stillroom.answers.heard import Heard
from stillroom.answers.lookup import Lookup
from stillroom.answers.question import Question
from stillroom.errors import BadInput, StillroomError
from stillroom.frames.columns import WORDS, Column, Questions
from stillroom.frames.rows import IDS, SAYS, Row, Rows, Span, without_height

SAY_WHICH, BAD_INPUT = "say-which", "bad-input"
"""What ``result`` says where something is left open, and where a question cannot be understood."""
_ODD = -(2**28)
"""Stands for a word that does not settle its part of a question."""
Numbers = NDArray[np.int32]


class Settled(NamedTuple):
    """The rows of each question.

    Attributes
    ----------
    first, number : array of int
        For each question the place of its first row and how many equal options there are.
    more : list of Row
        Rows that stand after those of the table of answers.
    ids : frozenset of str
        Columns whose words are, in each question, the ids that are meant.
    """

    first: Numbers
    number: Numbers
    more: list[Row]
    ids: frozenset[str]


def settle(rows: Rows, lookup: Lookup, asked: Questions) -> Settled:
    """Find the rows of each question.

    Parameters
    ----------
    rows : Rows
    lookup : Lookup
    asked : Questions
    """
    feet = asked.heights.feet
    zone = rows.zones(feet)
    at = _places(rows, lookup, asked) * np.int32(len(rows.heights)) + zone
    within = (feet >= altitude.LOWEST_FT) & (feet <= altitude.HIGHEST_FT)
    first, number = (np.broadcast_to(each.take(at, mode="clip"), asked.rows) for each in (rows.first, rows.number))
    odd = np.flatnonzero(np.broadcast_to((at < 0) | ~within, asked.rows))
    one_by_one = _OneByOne(rows, lookup, asked)
    if len(odd):
        spans, which = one_by_one.spans(odd, np.broadcast_to(zone, asked.rows), np.broadcast_to(within, asked.rows))
        first, number = first.copy(), number.copy()
        first[odd] = np.array([span.first for span in spans], np.int32)[which]
        number[odd] = np.array([span.number for span in spans], np.int32)[which]
    plain = (name for name in WORDS if not len(odd) and _are_ids(asked.words[name], rows.ids[name]))
    return Settled(first, number, one_by_one.more, frozenset(plain))


def _are_ids(column: Column, ids: Mapping[str, int]) -> bool:
    return all(value and value in ids for value in column.values)


# all at once


def _places(rows: Rows, lookup: Lookup, asked: Questions) -> Numbers:
    """Give the combination of each question, or of all in one; less than 0 where its words alone do not settle it."""
    steps = dict(zip(WORDS, _steps(rows.place.shape), strict=True))
    names, words = _Words(rows, lookup), asked.words
    told = {name: names.numbers(name, words[name]) * steps[name] for name in ("pack", "jar", "canner")}
    food, form = names.foods(words["food"])
    said = names.numbers("form", words["form"])
    if form.any() and said.any():  # a form that is said beside one that the name says
        food = np.where(form > 0, _ODD, food)
    told["food"] = food * steps["food"] + form * steps["form"]
    told["form"] = said * steps["form"]
    with ThreadPoolExecutor(max_workers=os.cpu_count()) as pool:
        parts = pool.map(lambda name: words[name].of_each(told[name]), told)
        at = sum(parts, np.zeros(1, np.int32))
    return np.where(at < 0, np.int32(-1), rows.place.take(at, mode="clip"))


def _steps(shape: tuple[int, ...]) -> list[np.int32]:
    return [np.int32(np.prod(shape[at + 1 :])) for at in range(len(shape))]


class _Words:
    """Numbers of words; _ODD for what is not settled by the word alone."""

    def __init__(self, rows: Rows, lookup: Lookup) -> None:
        self._ids, self._shelf = rows.ids, lookup.shelf

    def numbers(self, what: str, column: Column) -> Numbers:
        return np.array([self._number(what, value) for value in column.values], np.int32)

    def _number(self, what: str, value: str | None) -> int:
        ids = self._ids[what]
        if value is None:
            return 0
        if value in ids or what == "form":  # another word for a form needs its food
            return ids.get(value, _ODD) or _ODD
        try:
            heard: Heard = getattr(self._shelf.words, what)(value)
        except (BadInput, NoTestedSchedule):
            return _ODD
        return ids.get(heard.ids[0], _ODD) if len(heard.ids) == 1 and not (heard.withheld or heard.untested) else _ODD

    def foods(self, column: Column) -> tuple[Numbers, Numbers]:
        """Give the number of each food, and that of the form that its name says."""
        pairs = [self._food(value) for value in column.values]
        return np.array([food for food, _ in pairs], np.int32), np.array([form for _, form in pairs], np.int32)

    def _food(self, value: str | None) -> tuple[int, int]:
        try:
            found = self._shelf.names.meanings(value, self._shelf.cite)
        except (BadInput, NoTestedSchedule):
            return _ODD, 0
        if len(found) > 1 or found[0].pack:
            return _ODD, 0
        return self._ids["food"].get(found[0].food, _ODD), self._ids["form"].get(found[0].form, _ODD)


# one by one


class _OneByOne:
    """Asks each question once, in each zone where it is asked."""

    def __init__(self, rows: Rows, lookup: Lookup, asked: Questions) -> None:
        self._rows, self._lookup, self._asked = rows, lookup, asked
        self.more: list[Row] = []
        self._known: dict[Row, Span] = {}

    def spans(
        self, odd: NDArray[np.intp], zone: Numbers, within: NDArray[np.bool_]
    ) -> tuple[list[Span], NDArray[np.intp]]:
        """Give the rows of each different question among some, and for each of them which it is."""
        parts = [self._asked.words[name].codes for name in WORDS]
        parts.append(np.where(within, zone, -1 - self._heard()))
        which: NDArray[np.int64] = np.zeros(len(odd), np.int64)
        for part in parts:
            if part is not None:
                which = _paired(which, part[odd])
        _, first, inverse = np.unique(which, return_index=True, return_inverse=True)
        spans = [self._span(int(row), int(zone[row]) if within[row] else None) for row in odd[first]]
        return spans, inverse

    def _heard(self) -> NDArray[np.int64]:
        """Number the altitudes as they were said, so that each wrong one is told."""
        heights = self._asked.heights
        told: NDArray[Any] = np.zeros(1)
        if heights.said is None:
            told = np.unique(heights.feet, return_inverse=True)[1]
        elif heights.said.codes is not None:
            told = heights.said.codes
        return np.broadcast_to(told.astype(np.int64), self._asked.rows)

    def _span(self, row: int, zone: int | None) -> Span:
        """Ask the question of one row, at a height of its zone; where its altitude is wrong, as it was said."""
        words: dict[str, Any] = {name: column.word(row) for name, column in self._asked.words.items()}
        said = self._asked.heights.words(row) if zone is None else f"{self._rows.heights[zone]:g} ft"
        try:
            found = self._lookup.find(Question(altitude=said, **words))
        except NoTestedSchedule as refusal:
            source = refusal.source
            cited = ("", "") if source is None else (source.id, source.page)
            return self._told(refusal.code, self._reason(refusal, zone), *cited)
        except SayWhich as open_:
            return self._told(SAY_WHICH, self._reason(open_, zone))
        except BadInput as wrong:
            return self._told(BAD_INPUT, str(wrong))
        return self._rows.span((found.food, found.form, found.pack, found.jar, found.canner), zone or 0)

    def _reason(self, error: StillroomError, zone: int | None) -> str:
        return str(error) if zone is None else without_height(str(error), self._rows.heights[zone])

    def _told(self, result: str, reason: str, source: str = "", page: str = "") -> Span:
        said: dict[str, Any] = {"result": result, "reason": reason, "source": source or None, "page": page or None}
        row = (*[None] * len(IDS), *(said.get(name) for name in SAYS))
        if row not in self._known:
            self._known[row] = Span(len(self._rows) + len(self.more), 1)
            self.more.append(row)
        return self._known[row]


def _paired(one: NDArray[np.int64], other: NDArray[Any]) -> NDArray[np.int64]:
    """Number the pairs of two columns of numbers, so that no product grows beyond a whole number."""
    one = np.unique(one, return_inverse=True)[1]
    low = int(other.min(initial=0))
    paired: NDArray[np.int64] = one * (int(other.max(initial=0)) - low + 1) + (other.astype(np.int64) - low)
    return paired
