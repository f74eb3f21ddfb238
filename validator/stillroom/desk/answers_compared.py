"""Answers compared: what people are told in one version of the package and in another, answer by answer, name by name.

A rule, a relation, an alias or a limit is one row, and may make or weaken hundreds of answers. Both versions are asked
every question there is; a version whose tables this library cannot read is taken by its own ``answers.csv``.
"""

from __future__ import annotations

import csv
import io
import re
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any, NamedTuple

from stillroom.answers import wording
from stillroom.answers.answer_rows import ANSWERS, NAMES, TESTED, AnswerRow, NameRow, answer_rows, name_rows
from stillroom.answers.shelf import Shelf
from stillroom.errors import BadPackage, StillroomError
from stillroom.package import files
from stillroom.package.package import Package
from stillroom.package.tables import DERIVED, TABLES
from stillroom.package.versions import Version
from stillroom.screen import printable

MADE, WEAKENED, TAKEN, STRENGTHENED = "made", "weakened", "taken away", "strengthened"
RETARGETED, RELEASED, NAMED = "retargeted", "no longer refused", "added"
UNNAMED, WITHHELD, OPENED = "withdrawn", "withheld now", "asked back now"
ANSWER_KINDS = (MADE, WEAKENED, TAKEN, STRENGTHENED)
NAME_KINDS = (RETARGETED, RELEASED, NAMED, UNNAMED, WITHHELD, OPENED)
GRAVE = frozenset((MADE, WEAKENED, RETARGETED, RELEASED, NAMED))
"""Kinds that need an entry in CHANGELOG.md; answers made or weakened need another source beside it."""
Small = Callable[[Version, str], Iterable[Mapping[str, str]]]
"""Reads one small table of a version as rows of text."""
ASKED = tuple(table.file for name, table in TABLES.items() if name not in DERIVED and "/readings/" not in table.file)
"""Tables that answers are made from."""
LARGEST = 16 * 2**20
"""Most bytes of tables that a version is asked from; those of the package have one megabyte."""
MOST_OPTIONS = 4
"""Most equal options that an example tells."""
AT_ONCE = 12
"""Most names that one line tells."""
_FIGURE = re.compile(r"(\d+)-(\d+)/(\d+)|(\d+)/(\d+)|(\d+(?:\.\d+)?)")
_PATTERN_OF_ACID = re.compile(r"\(\d+%\)|" + _FIGURE.pattern)


class Told(NamedTuple):
    """One line of what changed for people: the answers of one kind for one food, or some names of one kind.

    Attributes
    ----------
    kind : str
        One of ``ANSWER_KINDS`` or ``NAME_KINDS``.
    about : str
        ``answers`` or ``names``.
    food : str
        Food id; of names the food or the withheld entry they now lead to, or did lead to.
    acidity : str
        Of the food; blank for what is withheld.
    number : int
        How many answers (one combination, one band and one option each) or names.
    example : str
        The first of the answers, before and now; all of the names.
    sources : frozenset of str
        What the new answers stand on: their rows, and the rules and the relation that carry these; of a name that is
        no longer refused also what it was refused with.
    needs_source : bool
        Whether another source must stand behind it: its times or pressures are new or lower, not its conditions alone.
        A name that leads elsewhere needs one where that is so of any answer that it gave before.
    """

    kind: str
    about: str
    food: str
    acidity: str
    number: int
    example: str
    sources: frozenset[str] = frozenset()
    needs_source: bool = False


class AnswersCompared(NamedTuple):
    """What changed for people, the gravest first; ``missing`` says why a version could not be asked, blank else."""

    told: tuple[Told, ...]
    missing: str = ""

    def how_many(self, about: str, kind: str, acidity: str | None = None) -> int:
        """Count answers or names of one kind, of every food or of those of one acidity."""
        fitting = (one for one in self.told if (one.about, one.kind) == (about, kind))
        return sum(one.number for one in fitting if acidity in (None, one.acidity))


class _Asked(NamedTuple):
    """One version, asked: answers by combination, names by what they mean, and what its rows stand on."""

    answers: dict[tuple[str, ...], tuple[AnswerRow, ...]]
    names: dict[str, frozenset[NameRow]]
    acidity: dict[str, str]
    rules: dict[str, str]
    relations: dict[str, str]
    withheld: dict[str, str]


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
    if all(old.read(file) == new.read(file) for file in ASKED):
        return AnswersCompared(())
    try:
        before, after = (_asked(version, small, made) for version, made in ((old, False), (new, True)))
    except BadPackage as error:
        return AnswersCompared((), str(error))
    told = [*_answers(before, after), *_names(before, after)]
    order = [*(("answers", kind) for kind in ANSWER_KINDS), *(("names", kind) for kind in NAME_KINDS)]
    told.sort(key=lambda one: (order.index((one.about, one.kind)), one.acidity != "low-acid", one.food))
    return AnswersCompared(tuple(told))


def summary(found: AnswersCompared) -> tuple[str, ...]:
    """Say in two lines how many answers and names changed, those of low-acid food by number."""
    if found.missing:
        return (f"Answers cannot be compared: {found.missing}",)
    lines = []
    for about, kinds in (("answers", ANSWER_KINDS), ("names", NAME_KINDS)):
        parts = []
        for kind in kinds:
            count, low = found.how_many(about, kind), found.how_many(about, kind, "low-acid")
            if count:
                parts.append(f"{count:,} {kind}" + (f" ({low:,} of low-acid food)" if low else ""))
        lines.append(f"{about.capitalize()}: {', '.join(parts) if parts else 'the same'}.")
    return tuple(lines)


def sentence(one: Told) -> str:
    """Say one line of what changed, as CHANGELOG.md needs it."""
    if one.about == "answers":
        what = "1 answer" if one.number == 1 else f"{one.number:,} answers"
        first = "" if one.number == 1 else ", first"
        return f"{one.food} ({one.acidity}): {what} {one.kind}{first}: {one.example}"
    what = "name" if one.number == 1 else f"{one.number} names"
    return f"{one.food}: {what} {one.kind}: {one.example}"


# asking a version


def _asked(version: Version, small: Small, made: bool) -> _Asked:
    answers, names = _made(version) if made or version.read(ANSWERS) is None else _kept(version)
    by_place: dict[tuple[str, ...], list[AnswerRow]] = defaultdict(list)
    for row in answers:
        by_place[row[:5]].append(row)
    by_name: dict[str, set[NameRow]] = defaultdict(set)
    for name in names:
        by_name[name.name].add(name)
    return _Asked(
        {place: tuple(rows) for place, rows in by_place.items()},
        {name: frozenset(rows) for name, rows in by_name.items()},
        {row["id"]: row["acidity"] for row in small(version, TABLES["foods"].file)},
        {row["id"]: row["source"] for row in small(version, TABLES["rules"].file)}
        | {
            name: row["source"]
            for row in small(version, TABLES["jar-rules"].file)
            for name in (_rule_of(row), f"{_rule_of(row)} {row['source']}")  # two publications may print the same rule
        },
        {row["food"]: row["source"] for row in small(version, TABLES["relations"].file)},
        {row["id"]: row["source"] for row in small(version, TABLES["withheld"].file)},
    )


def _rule_of(row: Mapping[str, str]) -> str:
    return "-".join(part for part in (row["food"], row["jar"], "takes", row["takes"]) if part)


def _made(version: Version) -> tuple[list[AnswerRow], list[NameRow]]:
    """Ask a version everything, from its tables as they are."""
    read = {file: version.read(file) for file in ASKED}
    contents = {file: content for file, content in read.items() if content is not None}
    if sum(map(len, contents.values())) > LARGEST:
        raise BadPackage(f"{version.name} cannot be asked: its tables have over {LARGEST // 2**20} MB")
    try:
        with files.aside(contents) as folder:
            shelf = Shelf(Package(folder))
            return list(answer_rows(shelf)), list(name_rows(shelf))
    except (StillroomError, LookupError, ValueError, OSError) as error:
        raise BadPackage(f"{version.name} cannot be asked: {printable(str(error), 200)}") from None


def _kept(version: Version) -> tuple[list[AnswerRow], list[NameRow]]:
    """Read what a version says it answers."""
    answers = [AnswerRow(*_typed(row)) for row in _cells(version, ANSWERS, AnswerRow._fields)]
    return answers, [NameRow(*row) for row in _cells(version, NAMES, NameRow._fields)]


def _cells(version: Version, file: str, columns: tuple[str, ...]) -> Iterator[list[str]]:
    content = version.read(file)
    lines = csv.reader(io.StringIO((content or b"").decode("utf-8", "replace"), newline=""))
    if next(lines, None) != list(columns):
        raise BadPackage(f"{version.name}: {file} has other columns than are known here")
    for cells in lines:
        if len(cells) != len(columns):
            raise BadPackage(f"{version.name}: {file}:{lines.line_num} has {len(cells)} cells")
        yield cells


_WHOLE = frozenset(("above_ft", "to_ft", "option", "minutes", "pressure_psi"))


def _typed(cells: list[str]) -> Iterator[Any]:
    try:
        for column, cell in zip(AnswerRow._fields, cells, strict=True):
            if column in _WHOLE:
                yield int(cell) if cell else None
            elif column == "headspace_in":
                yield float(cell) if cell else None
            else:
                yield cell
    except ValueError:
        raise BadPackage(f'{ANSWERS}: "{cell[:40]}" of {column} is no number') from None


# answers


class _Piece(NamedTuple):
    """One combination between two heights, feet, with its rows before and now."""

    low: int | None
    high: int | None
    old: tuple[AnswerRow, ...]
    new: tuple[AnswerRow, ...]


def _answers(before: _Asked, after: _Asked) -> Iterator[Told]:
    found: dict[tuple[str, str], list[tuple[_Piece, int]]] = defaultdict(list)
    for place in sorted({*before.answers, *after.answers}):
        old, new = before.answers.get(place, ()), after.answers.get(place, ())
        if old != new:
            for piece in _pieces(old, new):
                for kind, count in _kinds(piece):
                    found[kind, place[0]].append((piece, count))
    for (kind, food), pieces in found.items():
        acidity = after.acidity.get(food) or before.acidity.get(food, "")
        first = pieces[0][0]
        now = [row for piece, _ in pieces for row in piece.new if row.result == TESTED]
        sources = frozenset(source for row in now for source in _stands_on(row, after))
        needs = kind == MADE or (kind == WEAKENED and any(_process_weaker(piece) for piece, _ in pieces))
        yield Told(kind, "answers", food, acidity, sum(n for _, n in pieces), _example(first), sources, needs)


def _pieces(old: tuple[AnswerRow, ...], new: tuple[AnswerRow, ...]) -> Iterator[_Piece]:
    """Cut one combination at every edge of either version."""
    edges = sorted({row.to_ft for row in (*old, *new) if row.to_ft is not None})
    for low, high in zip([None, *edges], [*edges, None], strict=True):
        yield _Piece(low, high, _within(old, low, high), _within(new, low, high))


def _within(rows: tuple[AnswerRow, ...], low: int | None, high: int | None) -> tuple[AnswerRow, ...]:
    return tuple(
        row
        for row in rows
        if (row.above_ft is None or (low is not None and row.above_ft <= low))
        and (row.to_ft is None or (high is not None and row.to_ft >= high))
    )


def _kinds(piece: _Piece) -> Iterator[tuple[str, int]]:
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
        and set(new.cautions.split()) >= set(old.cautions.split())
    )


def _process_as_strict(new: AnswerRow, old: AnswerRow) -> bool:
    if (new.pressure_psi is None) != (old.pressure_psi is None):
        return False
    return (new.minutes or 0) >= (old.minutes or 0) and (new.pressure_psi or 0) >= (old.pressure_psi or 0)


def _process_weaker(piece: _Piece) -> bool:
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


def _stands_on(row: AnswerRow, version: _Asked) -> Iterator[str]:
    """Sources behind an answer: of its printed row, of the rules that carry it, and of the relation."""
    yield row.source
    for rule in row.by_rule.split():
        own = version.rules.get(f"{rule} {row.source}", version.rules.get(rule))
        if own is not None:
            yield own
    if row.food in version.relations:
        yield version.relations[row.food]


def _example(piece: _Piece) -> str:
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


def _cited(piece: _Piece) -> str:
    row = next((row for row in (*piece.new, *piece.old) if row.source), None)
    return "" if row is None else f" ({row.source}, {row.page})"


# names


def _names(before: _Asked, after: _Asked) -> Iterator[Told]:
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


def _turn(old: frozenset[NameRow], new: frozenset[NameRow], before: _Asked, after: _Asked) -> _Turn:
    """Hold every answer that a name gives now against each of those it gave, or refused, before."""
    kinds: Counter[str] = Counter()
    now = [_asked_by(row, after) for row in new if row.food]
    for was in [_asked_by(row, before) for row in old] if now else ():
        for answers in now:
            for place, rows in answers.items():
                for piece in _pieces(was.get(place, ()), rows):
                    for kind, count in _kinds(piece):
                        if kind == MADE or (kind == WEAKENED and _process_weaker(piece)):
                            kinds[kind] += count
    tested = [row for answers in now for rows in answers.values() for row in rows if row.result == TESTED]
    sources = {source for row in tested for source in _stands_on(row, after)}
    sources |= {before.withheld[row.withheld] for row in old if row.withheld in before.withheld}
    return _Turn({kind: kinds[kind] for kind in ANSWER_KINDS if kinds[kind]}, frozenset(sources))


def _asked_by(name: NameRow, version: _Asked) -> dict[tuple[str, ...], tuple[AnswerRow, ...]]:
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
