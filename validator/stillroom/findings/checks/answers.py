"""Answers: the table of answers and the table of names hold what the library answers, all of it and nothing else.

What it does
------------
Asks every question that the package can answer, of every food, form, pack, jar and canner in every band of altitudes,
folds every name, and compares what comes out with ``schedules/answers.csv`` and ``schedules/names.csv``, byte for byte:
a row that is missing, one too many, a changed cell and another order are findings.

Why it matters
--------------
Other programs read these two tables and nothing else. A row that says less than the library, or stands there for a jar
that nobody has tested, is a wrong answer that no other check sees.

Example
-------
``schedules/answers.csv:9314: answers: "snap-beans,,raw,quart,dial,,2000,1,tested,20,11,..." is not what the package
answers; run python -m stillroom.desk.prepare``

Source
------
The other tables of the package; the rows name what they cite.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import islice
from typing import TYPE_CHECKING

from stillroom.errors import StillroomError
from stillroom.findings.finding import Finding, shown
from stillroom.findings.table import Unreadable
from stillroom.package.tables import DERIVED, TABLES

if TYPE_CHECKING:
    from stillroom.findings.opened import CheckedPackage

NAME = "answers"
MOST = 20
"""Rows of one table that are told one by one, on each side."""
_MEND = "run python -m stillroom.desk.prepare: the table is made, never edited"


def check(package: CheckedPackage) -> Iterator[Finding]:
    """Yield rows of the tables that are made from the others and are not what they say."""
    for name, declared in TABLES.items():
        if name not in DERIVED and package.table(name).file != declared.file:  # where the library would not read it
            raise Unreadable(f"table {name} is declared elsewhere")
    for file, text in _made(package.root).items():
        kept = package.derived.get(file)
        if kept is not None:
            yield from _differing(file, kept.decode("utf-8", "replace"), text)


def _made(root: str) -> dict[str, str]:
    from stillroom.answers.answer_rows import tables
    from stillroom.answers.shelf import Shelf
    from stillroom.package.package import Package

    try:
        return tables(Shelf(Package(root)))
    except (StillroomError, LookupError, ValueError) as error:  # what is missing or wrong, another check tells
        raise Unreadable(f"the package cannot be asked: {shown(str(error), 100)}") from None


def _differing(file: str, kept: str, made: str) -> Iterator[Finding]:
    if kept == made:
        return
    lines, wanted = kept.splitlines(), made.splitlines()
    extra, lost = Counter(lines) - Counter(wanted), Counter(wanted) - Counter(lines)
    for line in islice(_places(lines, extra), MOST):
        said = f"{shown(lines[line - 1], 100)} is not what the package answers"
        yield Finding(NAME, file, line, "", "", said, "", _MEND)
    for row in islice(lost.elements(), MOST):
        yield Finding(NAME, file, None, "", "", f"lacks {shown(row, 100)}", "", _MEND)
    more = max(extra.total() - MOST, 0) + max(lost.total() - MOST, 0)
    if more:
        yield Finding(NAME, file, None, "", "", f"differs in {more:,} more rows", "", _MEND)
    if not extra and not lost:
        yield Finding(NAME, file, None, "", "", "has its rows in another order, or other line ends", "", _MEND)


def _places(lines: list[str], extra: Counter[str]) -> Iterator[int]:
    """Lines of the rows that are too many."""
    left = Counter(extra)
    for line, text in enumerate(lines, 1):
        if left[text] > 0:
            left[text] -= 1
            yield line
