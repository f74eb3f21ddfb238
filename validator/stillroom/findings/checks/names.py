"""Names: aliases, relations, forms and withheld names resolve, and no name means two things.

What it does
------------
Collects every name a person may ask by: ids and titles of foods, aliases, names of what is withheld, all in the form
in which names are compared (lower case, no accents or punctuation). A name may mean one food only, and never both a
food and something withheld. Every alias, relation and schedule names a food and a form that exist; a relation leads to
a food with schedules of its own; every withheld entry can be asked for; each form is used.

Why it matters
--------------
A name that means two foods gets one of their times by chance; a name of something unsafe that also means a food gets a
schedule instead of a warning.

Example
-------
``schedules/aliases.csv:9: names: alias "corn" also means cream-style-corn (schedules/aliases.csv:10)``

Source
------
Names are the field's own and need no page; relations and forms carry theirs.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

from stillroom.findings.finding import Finding

if TYPE_CHECKING:
    from stillroom.findings.opened import CheckedPackage

NAME = "names"


class _Name(NamedTuple):
    """A name, what it means, and where it stands."""

    text: str
    means: tuple[str, ...]
    file: str
    line: int
    column: str


def check(package: CheckedPackage) -> Iterator[Finding]:
    """Yield names that resolve to nothing, or to two things."""
    yield from _twice(package)
    yield from _forms(package)
    yield from _relations(package)
    yield from _withheld(package)


def _every(package: CheckedPackage) -> Iterator[_Name]:
    foods, aliases = package.table("foods"), package.table("aliases")
    withheld, names = package.table("withheld"), package.table("withheld-names")
    for line, row in foods.numbered():
        for column in ("id", "title"):
            yield _Name(row[column], ("food", row["id"], ""), foods.file, line, column)
    for line, row in aliases.numbered():
        yield _Name(row["alias"], ("food", row["food"], row["form"]), aliases.file, line, "alias")
    for line, row in withheld.numbered():
        for column in ("id", "title"):
            yield _Name(row[column], ("withheld", row["id"], ""), withheld.file, line, column)
    for line, row in names.numbered():
        yield _Name(row["alias"], ("withheld", row["withheld"], ""), names.file, line, "alias")


def _twice(package: CheckedPackage) -> Iterator[Finding]:
    from stillroom.answers.names import LONGEST
    from stillroom.answers.stems import plain

    seen: dict[str, _Name] = {}
    for name in _every(package):
        words = plain(name.text[:LONGEST])
        if not words:
            said = "has no letter or digit to ask by"
            yield Finding(NAME, name.file, name.line, name.column, name.text, said, "", "write a name")
            continue
        other = seen.setdefault(words, name)
        if other.means != name.means:
            kind = "" if other.means[0] == name.means[0] else f"{other.means[0]} "
            what = f"{kind}{other.means[1]} {other.means[2]}".rstrip()
            said = f"also means {what} ({other.file}:{other.line})"
            mend = "keep the name for one of them"
            yield Finding(NAME, name.file, name.line, name.column, name.text, said, "", mend)
        elif other.column == name.column and other is not name:
            said = f"is the same name as in line {other.line}"
            yield Finding(NAME, name.file, name.line, name.column, name.text, said, "", "remove one of them")


def _forms(package: CheckedPackage) -> Iterator[Finding]:
    import numpy as np

    from stillroom.findings import series

    table = package.table("forms")
    known = {(row["food"], row["form"]) for row in table.rows}
    frame = package.schedules
    pairs = frame[["food", "form"]].drop_duplicates()
    used = set(pairs.itertuples(index=False, name=None))
    formed = {food for food, _ in known}
    wrong = [
        bool(form and (food, form) not in known) or (not form and food in formed) for food, form in pairs.to_numpy()
    ]
    for band in series.bands(frame.merge(pairs[np.array(wrong, dtype=bool)], on=["food", "form"], how="inner")):
        what = f"is not a form of {band.food}" if band.form else f"is blank, but {band.food} has forms"
        yield band.finding(NAME, "form", f"{what} in forms.csv")
    for line, row in table.numbered():
        if (row["food"], row["form"]) not in used:
            said = f"has no schedule for {row['food']}"
            yield Finding(NAME, table.file, line, "form", row["form"], said, "", "remove the form, or mend its name")
    for name in ("aliases", "open-names", "conditions"):
        other = package.table(name)
        for line, row in other.numbered():
            if row["form"] and (row["food"], row["form"]) not in known:
                said = f"is not a form of {row['food']} in forms.csv"
                yield Finding(NAME, other.file, line, "form", row["form"], said, "", "mend it")


def _relations(package: CheckedPackage) -> Iterator[Finding]:
    table, frame = package.table("relations"), package.schedules
    pairs = set(frame[["food", "pack"]].drop_duplicates().itertuples(index=False, name=None))
    own = {food for food, _ in pairs}
    for line, row in table.numbered():
        food, follows = row["food"], row["follows"]
        if food in own:
            said = "has schedules of its own and needs no relation"
            yield Finding(NAME, table.file, line, "food", food, said, "", "remove the relation, or the schedules")
        if follows not in own:
            yield Finding(NAME, table.file, line, "follows", follows, "has no schedule of its own", "", "mend it")
        elif row["pack"] and (follows, row["pack"]) not in pairs:
            said = f"is no pack of {follows}"
            yield Finding(NAME, table.file, line, "pack", row["pack"], said, "", "mend it")


def _withheld(package: CheckedPackage) -> Iterator[Finding]:
    table, names = package.table("withheld"), package.table("withheld-names")
    ids = {row["id"] for row in table.rows}
    asked = {row["withheld"] for row in names.rows}
    for line, row in names.numbered():
        if row["withheld"] not in ids:
            said = "is not in withheld.csv"
            yield Finding(NAME, names.file, line, "withheld", row["withheld"], said, "", "mend it")
    for line, row in table.numbered():
        if row["id"] not in asked:
            said = "has no name in withheld-names.csv, so nobody is warned"
            yield Finding(NAME, table.file, line, "id", row["id"], said, "", "add the names people use")
