"""Pieces: one combination between two heights, as two versions answer it, and which of the two answers is as strict."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from typing import NamedTuple

from stillroom.answers import wording
from stillroom.answers.answer_rows import TESTED, AnswerRow
from stillroom.desk.told import MADE, STRENGTHENED, TAKEN, WEAKENED

MOST_OPTIONS = 4
"""Most equal options that an example tells."""
_FIGURE = re.compile(r"(\d+)-(\d+)/(\d+)|(\d+)/(\d+)|(\d+(?:\.\d+)?)")
_PATTERN_OF_ACID = re.compile(r"\(\d+%\)|" + _FIGURE.pattern)


class Piece(NamedTuple):
    """One combination between two heights, feet, with its rows before and now."""

    low: int | None
    high: int | None
    old: tuple[AnswerRow, ...]
    new: tuple[AnswerRow, ...]


def cut(old: tuple[AnswerRow, ...], new: tuple[AnswerRow, ...]) -> Iterator[Piece]:
    """Cut one combination at every edge of either version."""
    edges = sorted({row.to_ft for row in (*old, *new) if row.to_ft is not None})
    for low, high in zip([None, *edges], [*edges, None], strict=True):
        yield Piece(low, high, _within(old, low, high), _within(new, low, high))


def _within(rows: tuple[AnswerRow, ...], low: int | None, high: int | None) -> tuple[AnswerRow, ...]:
    return tuple(
        row
        for row in rows
        if (row.above_ft is None or (low is not None and row.above_ft <= low))
        and (row.to_ft is None or (high is not None and row.to_ft >= high))
    )


def kinds(piece: Piece) -> Iterator[tuple[str, int]]:
    """What happened to the answers of one piece: kind and number of options."""
    old, new = ([row for row in rows if row.result == TESTED] for rows in (piece.old, piece.new))
    if new and not old:
        yield MADE, len(new)
    elif old and not new:
        yield TAKEN, len(old)
    elif old and new:
        weaker = sum(not any(_as_strict(row, known) for known in old) for row in new)
        if weaker:
            yield WEAKENED, weaker
        elif Counter(map(_substance, old)) != Counter(map(_substance, new)):
            yield STRENGTHENED, len(new)


def _substance(row: AnswerRow) -> tuple[object, ...]:
    """What of an answer reaches the jar; not what it cites."""
    return (
        row.minutes,
        row.pressure_psi,
        row.headspace_in,
        row.acid,
        frozenset(row.requires.split()),
        frozenset(row.cautions.split()),
    )


def _as_strict(new: AnswerRow, old: AnswerRow) -> bool:
    return (
        _process_as_strict(new, old)
        and _inches_as_strict(new.headspace_in, old.headspace_in)
        and _acid_as_strict(new.acid, old.acid)
        and set(new.requires.split()) >= set(old.requires.split())
        and {*new.cautions.split(), *new.requires.split()} >= set(old.cautions.split())
    )


def _process_as_strict(new: AnswerRow, old: AnswerRow) -> bool:
    if (new.pressure_psi is None) != (old.pressure_psi is None):
        return False
    return (new.minutes or 0) >= (old.minutes or 0) and (new.pressure_psi or 0) >= (old.pressure_psi or 0)


def process_weaker(piece: Piece) -> bool:
    """Whether a process of now is less strict than every one before, in minutes or pressure."""
    old = [row for row in piece.old if row.result == TESTED]
    return any(not any(_process_as_strict(row, known) for known in old) for row in piece.new if row.result == TESTED)


def _inches_as_strict(new: float | None, old: float | None) -> bool:
    return new == old or old is None or (new is not None and new > old)


def _acid_as_strict(new: str, old: str) -> bool:
    """Whether the words of an acid are the same and none of its amounts is less."""
    if new == old or not old:
        return True
    if _PATTERN_OF_ACID.sub(_mark, new) != _PATTERN_OF_ACID.sub(_mark, old):
        return False
    amounts = zip(_FIGURE.findall(new), _FIGURE.findall(old), strict=True)
    return all(_figure(one) >= _figure(other) for one, other in amounts)


def _mark(figure: re.Match[str]) -> str:
    return figure[0] if figure[0].startswith("(") else "#"


def _figure(found: tuple[str, ...]) -> float:
    whole, top, below, only_top, only_below, plain = found
    if whole:
        return int(whole) + int(top) / max(int(below), 1)
    return int(only_top) / max(int(only_below), 1) if only_top else float(plain)


def example(piece: Piece) -> str:
    """Say what is answered, before and now."""
    first = (*piece.new, *piece.old)[0]
    words = [word for word in (first.form, first.pack and f"{first.pack} pack", first.jar, first.canner) if word]
    band = wording.span(0 if piece.low is None else piece.low + 1, piece.high)
    return f"{', '.join(words)}, {band}: {_said(piece.old)} -> {_said(piece.new)}{_cited(piece)}"


def _said(rows: tuple[AnswerRow, ...]) -> str:
    tested = [_process(row) for row in rows if row.result == TESTED]
    more = [f"{len(tested) - MOST_OPTIONS:,} more"] if len(tested) > MOST_OPTIONS else []
    return " or ".join([*tested[:MOST_OPTIONS], *more]) or next((row.result for row in rows), "not asked")


def _process(row: AnswerRow) -> str:
    said = f"{row.minutes} min" + ("" if row.pressure_psi is None else f" at {row.pressure_psi} psi")
    inches = "" if row.headspace_in is None else f", headspace {wording.units(row.headspace_in, 'inch')}"
    return f"{said}{inches}" + (f", with {row.requires}" if row.requires else "")


def _cited(piece: Piece) -> str:
    row = next((row for row in (*piece.new, *piece.old) if row.source), None)
    return "" if row is None else f" ({row.source}, {row.page})"
