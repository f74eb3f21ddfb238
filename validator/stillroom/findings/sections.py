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


def known_names(package: CheckedPackage) -> dict[str, str]:
    """Food of every name that the package knows, in the form in which names are compared."""
    from stillroom.answers.stems import plain

    known = {plain(row["alias"]): row["food"] for row in package.table("aliases").rows}
    for row in package.table("captions").rows:
        known.setdefault(plain(row["caption"]), row["food"])
    for row in package.table("foods").rows:
        known[plain(row["title"])] = known[plain(row["id"])] = row["id"]
    return known


def named(name: str, known: dict[str, str]) -> str:
    """Food of a name, or of the name before its bracket or dash; blank if none."""
    from stillroom.answers.stems import plain

    bracketed = _BRACKETED.fullmatch(name)
    return known.get(plain(name)) or (known.get(plain(bracketed[1]), "") if bracketed else "")


def sent(section: Section, known: dict[str, str]) -> tuple[str, str]:
    """Food whose process a section sends to, or the words where they name none, and its pack; blank: any."""
    told = section.row["uses_process_of"]
    pack = _PACKED.search(told)
    food = named(_PACKED.sub("", told), known)
    return food or told, pack[1] if pack else ""


def by_food(table: Table, known: dict[str, str]) -> dict[str, list[Section]]:
    """Rows of one reading by food; those that name no food of the package under a blank."""
    found: dict[str, list[Section]] = {}
    for line, row in table.numbered():
        food = named(row["food"], known)
        found.setdefault(food, []).append(Section(line, food, row))
    return found
