"""Readers: every reading says who read it, from which copy and when, and no two readings are of one copy.

What it does
------------
Each table of readings must have an entry in readers.csv for all pages of every publication that it reads (an erratum
may have one); an entry for one page tells of a later reading of it. The first and the second reading of a table must be
of different copies of the publication, and by different readers. A date must be a day of the calendar.

Why it matters
--------------
Two readings seldom agree by chance, but one reading copied agrees always: who read, from what and when is what makes
the second one evidence. Whoever looks at a doubtful cell later needs to know whom to ask.

Example
-------
``schedules/readings/readers.csv:8: readers: copy "text copy A" is also that of reading-schedules-first``

Source
------
The third promise of this package: every cell is read from two separately made copies of the text.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from typing import TYPE_CHECKING

from stillroom.findings.finding import Finding

if TYPE_CHECKING:
    from stillroom.findings.opened import CheckedPackage

NAME = "readers"
ALL = "all"
PAIRS = tuple(
    (f"reading-{what}-first", f"reading-{what}-second") for what in ("acid", "foods", "schedules", "superseded")
)
ONCE = ("reading-pages-second", "lost-cells")
"""Readings that stand beside a table or another reading, and are none of a pair."""


def check(package: CheckedPackage) -> Iterator[Finding]:
    """Yield readings of which nobody says who made them, and second readings that are none."""
    table = package.table("readers")
    entries: dict[tuple[str, str, str], dict[str, str]] = {}
    known = {name for pair in PAIRS for name in pair} | set(ONCE)
    for line, row in table.numbered():
        entries[row["reading"], row["source"], row["of_page"]] = row
        if row["reading"] not in known:
            yield Finding(NAME, table.file, line, "reading", row["reading"], "is no table of readings", "", "mend it")
        if not _is_day(row["date"]):
            yield Finding(NAME, table.file, line, "date", row["date"], "is no day of the calendar", "", "mend it")
    for line, row in table.numbered():
        yield from _same(package, line, row, entries)
    for name in sorted(known):
        read = {row["source"] for row in package.table(name).rows if "source" in row}
        for source in sorted(read - package.amending):
            if (name, source, ALL) not in entries:
                wrong = f"does not say who read {source} for {name}, from which copy and when"
                yield Finding(NAME, table.file, None, "", "", wrong, "", "add the entry")


def _is_day(text: str) -> bool:
    try:
        datetime.date.fromisoformat(text)
    except ValueError:
        return False
    return True


def _same(
    package: CheckedPackage, line: int, row: dict[str, str], entries: dict[tuple[str, str, str], dict[str, str]]
) -> Iterator[Finding]:
    """A second reading from the copy of the first, or by its reader."""
    table = package.table("readers")
    for first, second in PAIRS:
        other = entries.get((first, row["source"], row["of_page"])) or entries.get((first, row["source"], ALL))
        if row["reading"] == second and other is not None:
            for column in ("copy", "reader"):
                if row[column].casefold() == other[column].casefold():
                    wrong = f"is also that of {first}"
                    yield Finding(NAME, table.file, line, column, row[column], wrong, "", "have it read anew")
