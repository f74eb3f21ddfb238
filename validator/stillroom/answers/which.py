"""Which: a question that leaves something open, answered for every meaning at once; never one meaning assumed.

Where one pack alone is tested, or one canner, nothing is open: it is answered and named as the only one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, NamedTuple

from stillroom.answers import derived, understanding, wording
from stillroom.answers.answer import Answer, NoTestedSchedule, SayWhich, Understood
from stillroom.answers.charts import Combination, Left

if TYPE_CHECKING:
    from stillroom.answers.names import Meaning
    from stillroom.answers.shelf import Shelf
    from stillroom.answers.understanding import Asked

SETTLED_FIRST = ("food", "form", "pack", "canner", "jar")
"""What is asked back, in this order."""
_TELLING = (
    "altitude-not-tested",
    "not-recommended",
    "jar-not-tested",
    "pack-not-tested",
    "canner-not-tested",
    "method-unsafe",
)
"""Codes of refusals, the most telling first, for a question whose every meaning is refused."""


class _Tried(NamedTuple):
    """One meaning of the question, with its answer or its refusal."""

    meaning: Meaning
    at: Combination
    answer: Answer | None
    refusal: NoTestedSchedule | None


Answering = Callable[["Meaning", Combination, "Asked", Left], Answer]
"""Answers for one meaning, one combination and what was asked; refuses with what was left out in mind."""


def find(shelf: Shelf, answer: Answering, meanings: tuple[Meaning, ...], asked: Asked) -> Answer:
    """Answer a question that leaves something out.

    Parameters
    ----------
    shelf : Shelf
    answer : callable
    meanings : tuple of Meaning
        What the food may be.
    asked : Asked

    Returns
    -------
    Answer
        Where nothing but what is tested was left out.

    Raises
    ------
    SayWhich
        Several meanings are tested.
    NoTestedSchedule
        None is; the most telling refusal.
    """
    tried = [_try(shelf, answer, meaning, at, asked) for meaning in meanings for at in _meant(shelf, meaning, asked)]
    answered = [one for one in tried if one.answer is not None]
    if not answered:
        raise min((one.refusal for one in tried if one.refusal), key=lambda error: _rank(error.code))
    answers = tuple(one.answer for one in answered if one.answer is not None)
    what = _open(tried, answered, asked)
    if what is None:
        return _only(shelf, answers[0], asked)
    choices = _choices(shelf, what, answered if _left_out(what, asked) else tried)
    told = tuple(_with_pack(shelf, found, answers, asked) for found in answers)
    raise SayWhich(what, _reason(shelf, what, answers[0]), told, choices)


def _rank(code: str) -> int:
    return _TELLING.index(code) if code in _TELLING else len(_TELLING)


def _meant(shelf: Shelf, meaning: Meaning, asked: Asked) -> Iterator[Combination]:
    """Combinations that one meaning of the food may stand for: every form, canner, jar and pack that was left out."""
    rows = shelf.chart_of(meaning.food)
    said = understanding.form_of(shelf, meaning, asked.form)
    forms = [said] if said else list(dict.fromkeys(at.form for at in rows))
    for form in forms:
        for canner in asked.canners or tuple(shelf.canners):
            for jar in asked.jars or tuple(shelf.jars):
                for pack in _packs(shelf, meaning, asked, Combination(form, "", jar, canner)):
                    yield Combination(form, pack, jar, canner)


def _packs(shelf: Shelf, meaning: Meaning, asked: Asked, at: Combination) -> tuple[str, ...]:
    """Packs to look at: the one that was said, else those that are tested so, else none named."""
    if asked.pack is not None:
        return (asked.pack,)
    rule = shelf.jar_rule(meaning.food, at.jar)
    canner = derived.TAKES if shelf.canners[at.canner].by_rule else at.canner
    have = dict.fromkeys(
        row.pack
        for row in shelf.chart_of(meaning.food)
        if (row.form, row.canner) == (at.form, canner)
        and row.jar in (at.jar, rule.takes if rule else at.jar)
        and meaning.pack in ("", row.pack)
    )
    return tuple(have) or (meaning.pack,)


def _try(shelf: Shelf, answer: Answering, meaning: Meaning, at: Combination, asked: Asked) -> _Tried:
    named = any(row.pack for row in shelf.chart_of(meaning.food))
    about: Left = {
        "form": at.form if asked.form or meaning.form or not at.form else None,
        "pack": asked.pack if asked.pack is not None or named else "",
        "jar": at.jar if asked.jars else None,
        "canner": at.canner if asked.canners else None,
    }
    try:
        return _Tried(meaning, at, answer(meaning, at, asked, about), None)
    except NoTestedSchedule as refusal:
        return _Tried(meaning, at, None, refusal)


def _open(tried: list[_Tried], answered: list[_Tried], asked: Asked) -> str | None:
    """Name the first thing that is left open; None where nothing is.

    A food or a form that was not said stays open even where one alone is tested: it is another thing in the jar. So do
    a canner and a jar that were said in a word for several: the one at hand may be the one that is not tested.
    """
    open_ = {
        "food": len({one.meaning.food for one in tried}) > 1,
        "form": len({(one.meaning.food, one.at.form) for one in tried}) > 1,
        "pack": len({one.at.pack for one in answered}) > 1,
        "canner": len(asked.canners) > 1 or len({one.at.canner for one in answered}) > 1,
        "jar": len(asked.jars) > 1 or len({one.at.jar for one in answered}) > 1,
    }
    return next((what for what in SETTLED_FIRST if open_[what]), None)


def _left_out(what: str, asked: Asked) -> bool:
    """Whether nothing was said of it, so that what is not tested is no choice."""
    return what == "pack" or (what == "canner" and not asked.canners) or (what == "jar" and not asked.jars)


def _with_pack(shelf: Shelf, found: Answer, answers: tuple[Answer, ...], asked: Asked) -> Answer:
    """Name the pack of an answer where it was left out and no other pack of that food is answered."""
    packs = {other.pack for other in answers if other.food == found.food}
    if asked.pack is not None or found.pack is None or len(packs) > 1:
        return found
    return found._replace(understood=(*found.understood, _the_only(shelf, "pack", found)))


def _only(shelf: Shelf, found: Answer, asked: Asked) -> Answer:
    told = list(_with_pack(shelf, found, (found,), asked).understood)
    left = {"canner": not asked.canners, "jar": not asked.jars}
    told += [_the_only(shelf, what, found) for what in left if left[what]]
    return found._replace(understood=tuple(told))


def _the_only(shelf: Shelf, what: str, found: Answer) -> Understood:
    return Understood(what, "", shelf.in_words(what, getattr(found, what)), "only")


def _choices(shelf: Shelf, what: str, tried: list[_Tried]) -> tuple[str, ...]:
    meant = [one.meaning.food if what == "food" else getattr(one.at, what) for one in tried]
    return tuple(dict.fromkeys(shelf.in_words(what, name) for name in meant))


def _reason(shelf: Shelf, what: str, first: Answer) -> str:
    if what == "food":
        return "the name stands for several tested foods"
    return f"{first.title} at {wording.height(first.altitude_ft)}, with more than one answer"
