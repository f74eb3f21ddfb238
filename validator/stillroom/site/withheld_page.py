"""Withheld page: everything that must not be canned, or has no process, with why and what to do instead."""

from __future__ import annotations

from typing import NamedTuple

from stillroom.answers.shelf import Shelf
from stillroom.package.records import Withheld
from stillroom.site.pages import Page

_HEADS = (
    ("withheld", "food", "Foods that a publication says not to can"),
    ("withheld", "form", "Ways to prepare a food that a publication says not to can"),
    ("withheld", "practice", "Ways to can that a publication says not to use"),
    ("no-process", "food", "Foods for which no publication used here gives a process"),
    ("no-process", "form", "Ways to prepare a food for which no publication used here gives a process"),
    ("no-process", "practice", "Ways to can for which no publication used here gives a process"),
)


class Refused(NamedTuple):
    """One entry: its anchor, title, reason, what to do instead, its page, further names, and a superseded leaflet."""

    id: str
    title: str
    reason: str
    instead: str
    cited: str
    names: tuple[str, ...]
    earlier: str


def withheld_page(shelf: Shelf) -> Page:
    """Gather all entries under what they are, by title.

    Parameters
    ----------
    shelf : Shelf
    """
    names: dict[str, list[str]] = {}
    for row in shelf.package.withheld_names:
        names.setdefault(row.withheld, []).append(row.alias)
    entries = sorted(shelf.package.withheld, key=lambda entry: entry.title.casefold())
    sections = []
    for code, kind, head in _HEADS:
        some = [_refused(shelf, one, names) for one in entries if (one.code, one.kind) == (code, kind)]
        if some:
            sections.append((f"{code}-{kind}", head, some))
    return Page("withheld.html", "withheld.html.jinja", "Do not can", {"sections": sections, "count": len(entries)})


def _refused(shelf: Shelf, entry: Withheld, names: dict[str, list[str]]) -> Refused:
    earlier = shelf.names.refused(entry.id, shelf.cite).earlier
    return Refused(
        entry.id,
        entry.title,
        entry.reason,
        entry.instead,
        shelf.cite(entry.page, entry.source).cite(),
        tuple(sorted(name for name in names.get(entry.id, ()) if name.casefold() != entry.title.casefold())),
        "" if earlier is None else str(earlier),
    )
