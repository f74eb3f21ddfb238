"""Versions asked: everything a version of the package answers, every name it knows, and what its rows stand on.

A version is asked from its tables; one whose tables this library cannot read is taken by its own ``answers.csv``.
"""

from __future__ import annotations

import csv
import io
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any, NamedTuple

from stillroom.answers.answer_rows import ANSWERS, NAMES, AnswerRow, NameRow, answer_rows, name_rows
from stillroom.answers.shelf import Shelf
from stillroom.errors import BadPackage, StillroomError
from stillroom.package import files
from stillroom.package.package import Package
from stillroom.package.tables import DERIVED, TABLES
from stillroom.package.versions import Version
from stillroom.screen import printable

Small = Callable[[Version, str], Iterable[Mapping[str, str]]]
"""Reads one small table of a version as rows of text."""
ASKED = tuple(table.file for name, table in TABLES.items() if name not in DERIVED and "/readings/" not in table.file)
"""Tables that answers are made from."""
LARGEST = 16 * 2**20
"""Most bytes of tables that a version is asked from; those of the package have one megabyte."""


class Asked(NamedTuple):
    """One version, asked: answers by combination, names by what they mean, and what its rows stand on."""

    answers: dict[tuple[str, ...], tuple[AnswerRow, ...]]
    names: dict[str, frozenset[NameRow]]
    acidity: dict[str, str]
    rules: dict[str, str]
    relations: dict[str, str]
    withheld: dict[str, str]


def asked(version: Version, small: Small, made: bool) -> Asked:
    """Ask a version everything.

    Parameters
    ----------
    version : Version
        Open.
    small : callable
        Reads one small table of a version as rows of text.
    made : bool
        Whether answers are made from its tables in any case; else its ``answers.csv`` is taken, if it has one.

    Raises
    ------
    BadPackage
        It cannot be asked.
    """
    answers, names = _made(version) if made or version.read(ANSWERS) is None else _kept(version)
    by_place: dict[tuple[str, ...], list[AnswerRow]] = defaultdict(list)
    for row in answers:
        by_place[row[:5]].append(row)
    by_name: dict[str, set[NameRow]] = defaultdict(set)
    for name in names:
        by_name[name.name].add(name)
    return Asked(
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


def stands_on(row: AnswerRow, version: Asked) -> Iterator[str]:
    """Sources behind an answer: of its printed row, of the rules that carry it, and of the relation."""
    yield row.source
    for rule in row.by_rule.split():
        own = version.rules.get(f"{rule} {row.source}", version.rules.get(rule))
        if own is not None:
            yield own
    if row.food in version.relations:
        yield version.relations[row.food]
