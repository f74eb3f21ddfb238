"""Answers compared: what people are told in one version of the package and in another, answer by answer, name by name.

A rule, a relation, an alias or a limit is one row, and may make or weaken hundreds of answers. Both versions are asked
every question there is.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from stillroom.answers.answer_rows import ANSWERS, NAMES, TESTED
from stillroom.desk import pieces
from stillroom.desk.names_compared import names_compared
from stillroom.desk.told import ANSWER_KINDS, MADE, NAME_KINDS, WEAKENED, AnswersCompared, Told
from stillroom.desk.versions_asked import ASKED, Asked, Small, asked, stands_on
from stillroom.errors import BadPackage
from stillroom.package.versions import Version


def answers_compared(old: Version, new: Version, small: Small) -> AnswersCompared:
    """Compare what two versions answer.

    Parameters
    ----------
    old, new : Version
        Open versions.
    small : callable
        Reads one small table of a version as rows of text.

    Returns
    -------
    AnswersCompared
        With ``missing`` where a version has no table of answers, and none can be made from it.
    """
    same = all(old.read(file) == new.read(file) for file in ASKED)
    if same and all(old.read(file) == new.read(file) for file in (ANSWERS, NAMES)):
        return AnswersCompared(())
    try:
        before, after = (asked(version, small, made) for version, made in ((old, False), (new, True)))
    except BadPackage as error:
        return AnswersCompared((), str(error))
    told: list[Told] = [*_answers(before, after), *names_compared(before, after)]
    order = [*(("answers", kind) for kind in ANSWER_KINDS), *(("names", kind) for kind in NAME_KINDS)]
    told.sort(key=lambda one: (order.index((one.about, one.kind)), one.acidity != "low-acid", one.food))
    if same:  # the library answers otherwise from the same data: no publication stands behind a correction of code
        told = [one._replace(needs_source=False) for one in told]
    return AnswersCompared(tuple(told))


def _answers(before: Asked, after: Asked) -> Iterator[Told]:
    found: dict[tuple[str, str], list[tuple[pieces.Piece, int]]] = defaultdict(list)
    for place in sorted({*before.answers, *after.answers}):
        old, new = before.answers.get(place, ()), after.answers.get(place, ())
        if old != new:
            for piece in pieces.cut(old, new):
                for kind, count in pieces.kinds(piece):
                    found[kind, place[0]].append((piece, count))
    for (kind, food), parts in found.items():
        acidity = after.acidity.get(food) or before.acidity.get(food, "")
        first = parts[0][0]
        now = [row for piece, _ in parts for row in piece.new if row.result == TESTED]
        sources = frozenset(source for row in now for source in stands_on(row, after))
        needs = kind == MADE or (kind == WEAKENED and any(pieces.process_weaker(piece) for piece, _ in parts))
        yield Told(kind, "answers", food, acidity, sum(n for _, n in parts), pieces.example(first), sources, needs)
