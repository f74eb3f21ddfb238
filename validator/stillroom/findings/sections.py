"""Sections: the two readings of the food sections, by the food that each row names in the words of the print."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from stillroom.findings.opened import CheckedPackage
    from stillroom.findings.table import Table

READINGS = ("reading-foods-first", "reading-foods-second")
_BRACKETED = re.compile(r"(.*?) (?:\(.*\)|- .*)")
_PACKED = re.compile(r",? \(?(hot|raw) pack\)?")


class Section(NamedTuple):
    """One row of a reading of the food sections: its line, its food and its cells."""

    line: int
    food: str
    row: dict[str, str]


class Known(NamedTuple):
    """Names of foods by publication, in the form in which names are compared; and the publication of each source."""

    foods: dict[tuple[str, str], str]
    publications: dict[str, str]


def known_names(package: CheckedPackage) -> Known:
    """Food of every name that the package knows, for each publication its own: two may print the same name."""
    from stillroom.answers.stems import plain

    of, publications = package.food_publications, package.publications
    known = {(of.get(row["food"], ""), plain(row["alias"])): row["food"] for row in package.table("aliases").rows}
    for row in package.table("captions").rows:
        known.setdefault((publications.get(row["source"], ""), plain(row["caption"])), row["food"])
    for row in package.table("foods").rows:
        known[of[row["id"]], plain(row["title"])] = known[of[row["id"]], plain(row["id"])] = row["id"]
    return Known(known, publications)


def named(name: str, source: str, known: Known) -> str:
    """Food that a source calls so, or by the name before its bracket or dash; blank if none."""
    from stillroom.answers.stems import plain

    publication = known.publications.get(source, "")
    bracketed = _BRACKETED.fullmatch(name)
    found = known.foods.get((publication, plain(name)))
    return found or (known.foods.get((publication, plain(bracketed[1])), "") if bracketed else "")


def sent(section: Section, known: Known) -> tuple[str, str]:
    """Food whose process a section sends to, or the words where they name none, and its pack; blank: any."""
    told = section.row["uses_process_of"]
    pack = _PACKED.search(told)
    food = named(_PACKED.sub("", told), section.row["source"], known)
    return food or told, pack[1] if pack else ""


def by_food(table: Table, known: Known) -> dict[str, list[Section]]:
    """Rows of one reading by food; those that name no food of the package under a blank."""
    found: dict[str, list[Section]] = {}
    for line, row in table.numbered():
        food = named(row["food"], row["source"], known)
        found.setdefault(food, []).append(Section(line, food, row))
    return found
