"""Names compared: what people's names mean in one version of the package and in another."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from stillroom.answers import wording
from stillroom.answers.answer_rows import TESTED, AnswerRow, NameRow
from stillroom.desk import pieces
from stillroom.desk.told import (
    ANSWER_KINDS,
    MADE,
    NAMED,
    OPENED,
    RELEASED,
    RETARGETED,
    UNNAMED,
    WEAKENED,
    WITHHELD,
    Told,
)
from stillroom.desk.versions_asked import Asked, stands_on

AT_ONCE = 12
"""Most names that one line tells."""


def names_compared(before: Asked, after: Asked) -> Iterator[Told]:
    """Yield the names that mean something else now, those of one kind and meaning together."""
    found: dict[tuple[str, frozenset[NameRow], frozenset[NameRow]], list[str]] = defaultdict(list)
    for name in sorted({*before.names, *after.names}):
        old, new = (frozenset(_nameless(side.names.get(name, ()))) for side in (before, after))
        if old != new:
            found[_kind_of_name(old, new), old, new].append(name)
    for (kind, old, new), names in found.items():
        left, now = _leads_to(old), _leads_to(new)
        food = now or left
        acidity = after.acidity.get(food.split(" ")[0]) or before.acidity.get(food.split(" ")[0], "")
        turn = _Turn({}, frozenset())
        if kind in (RETARGETED, RELEASED):
            turn = _turn(old, new, before, after)
        led = "; ".join((*((f"led to {left}",) if left and now else ()), *map(_counted, turn.kinds.items())))
        needs = bool(turn.kinds) or kind == RELEASED
        for at in range(0, len(names), AT_ONCE):
            part = names[at : at + AT_ONCE]
            said = "; ".join(part) + (f" ({led})" if led else "")
            yield Told(kind, "names", food, acidity, len(part), said, turn.sources, needs)


def _nameless(rows: Iterable[NameRow]) -> Iterator[NameRow]:
    """What a name means, whatever the name."""
    return (row._replace(name="") for row in rows)


class _Turn(NamedTuple):
    """What happens under a name that leads elsewhere: number of answers by kind, and what these stand on."""

    kinds: dict[str, int]
    sources: frozenset[str]


def _turn(old: frozenset[NameRow], new: frozenset[NameRow], before: Asked, after: Asked) -> _Turn:
    """Hold every answer that a name gives now against each of those it gave, or refused, before."""
    kinds: Counter[str] = Counter()
    now = [_asked_by(row, after) for row in new if row.food]
    for was in [_asked_by(row, before) for row in old] if now else ():
        for answers in now:
            for place, rows in answers.items():
                for piece in pieces.cut(was.get(place, ()), rows):
                    for kind, count in pieces.kinds(piece):
                        if kind == MADE or (kind == WEAKENED and pieces.process_weaker(piece)):
                            kinds[kind] += count
    tested = [row for answers in now for rows in answers.values() for row in rows if row.result == TESTED]
    sources = {source for row in tested for source in stands_on(row, after)}
    sources |= {before.withheld[row.withheld] for row in old if row.withheld in before.withheld}
    return _Turn({kind: kinds[kind] for kind in ANSWER_KINDS if kinds[kind]}, frozenset(sources))


def _asked_by(name: NameRow, version: Asked) -> dict[tuple[str, ...], tuple[AnswerRow, ...]]:
    """Answers under a name, by pack, jar and canner; none of what is withheld."""
    found: dict[tuple[str, ...], tuple[AnswerRow, ...]] = {}
    for (food, form, *place), rows in version.answers.items():
        if food == name.food and name.form in ("", form) and name.pack in ("", place[0]):
            found[tuple(place)] = (*found.get(tuple(place), ()), *rows)
    return found


def _counted(kind: tuple[str, int]) -> str:
    return f"{kind[1]:,} answer{'' if kind[1] == 1 else 's'} {kind[0]} under it"


def _leads_to(rows: frozenset[NameRow]) -> str:
    ways = sorted(
        " ".join(part for part in (row.food or row.withheld, row.form, row.pack and f"{row.pack} pack") if part)
        for row in rows
    )
    return wording.listed(ways)


def _kind_of_name(old: frozenset[NameRow], new: frozenset[NameRow]) -> str:
    if not new:
        return RELEASED if any(row.withheld for row in old) else UNNAMED
    if any(row.withheld for row in new):
        return WITHHELD if not any(row.withheld for row in old) else RETARGETED
    if not old:
        return NAMED
    if any(row.withheld for row in old):
        return RELEASED
    return OPENED if old < new else RETARGETED
