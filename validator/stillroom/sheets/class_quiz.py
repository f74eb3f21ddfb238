"""Class quiz: the questions on one page, and the key with its pages on another."""

from __future__ import annotations

from collections.abc import Iterable

from stillroom.answers.names import Meaning
from stillroom.answers.shelf import Shelf
from stillroom.desk.quiz import Asked
from stillroom.sheets.class_page import Block, ClassPage, Heading, Listed, NewPage, Question, Said
from stillroom.sheets.class_sheet import titled

_LETTERS = "ABCDE"


def class_quiz(
    shelf: Shelf, foods: Iterable[Meaning], asked: tuple[Asked, ...], seed: int, *, large: bool
) -> ClassPage:
    """Lay out a quiz.

    Parameters
    ----------
    shelf : Shelf
    foods : iterable of Meaning
    asked : tuple of Asked
        Its questions, from :func:`stillroom.desk.quiz.quiz`.
    seed : int
        Its number.
    large : bool
        Set it large.
    """
    blocks: list[Block] = [
        Said("Name ______________________________   Date ______________"),
        Said("What do the printed tables say? One choice is right; the others are printed for something else."),
    ]
    blocks += [Question(number, each.text, _lettered(each)) for number, each in enumerate(asked, 1)]
    blocks += [Said(f"Caution: {shelf.standing}", strong=True), NewPage(), Heading(f"Key to quiz {seed}")]
    blocks += [Listed("For whoever teaches: keep this page back", tuple(map(_right, asked)), numbered=True)]
    blocks += [
        Said(f"Source of the pages: {'; '.join(_publications(shelf, asked))}."),
        Said(f"Caution: {shelf.standing}"),
    ]
    title = f"Quiz {seed}: {titled(shelf, foods)}"
    return ClassPage("quiz", title, "large" if large else "normal", tuple(blocks))


def _lettered(asked: Asked) -> tuple[tuple[str, str], ...]:
    return tuple((letter, choice.text) for letter, choice in zip(_LETTERS, asked.choices, strict=False))


def _right(asked: Asked) -> str:
    """Say the right choice with its page; the reason, where there is none."""
    said = asked.choices[asked.right].text
    none = asked.right == len(asked.choices) - 1
    return (
        f"{_LETTERS[asked.right]}) {said}. {asked.why}" if none else f"{_LETTERS[asked.right]}) {said} ({asked.why})."
    )


def _publications(shelf: Shelf, asked: Iterable[Asked]) -> list[str]:
    """Name the publications of the foods, without a page."""
    sources = dict.fromkeys(shelf.foods[each.food].source for each in asked)
    return [shelf.cite("web", source).cite() for source in sources]
