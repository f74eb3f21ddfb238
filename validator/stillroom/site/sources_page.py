"""Sources page: every publication with what stands on it."""

from __future__ import annotations

from collections import Counter
from typing import NamedTuple

from stillroom.answers import wording
from stillroom.answers.shelf import Shelf
from stillroom.desk.uses import Uses, uses_of_sources
from stillroom.package.records import Source
from stillroom.site import food_page
from stillroom.site.pages import Page

_WEB = ("http://", "https://")
_NAMED = {
    "schedules/withheld.csv": "entries of what not to can",
    "shared/rules.csv": "general rules",
    "schedules/conditions.csv": "conditions of foods",
    "schedules/acid.csv": "amounts of acid",
    "schedules/headspace.csv": "headspaces",
    "schedules/yields.csv": "yields",
    "schedules/foods.csv": "foods",
    "schedules/relations.csv": "foods that take the process of another",
    "schedules/not-recommended.csv": "times printed as not recommended",
    "shared/altitude-bands.csv": "altitude bands",
    "shared/jar-rules.csv": "rules that carry a time to another jar",
}
"""What the rows of a table are, in words; others are named by their file."""


class Stands(NamedTuple):
    """A source: its anchor, how it is cited, its publisher, license and address, and what stands on it."""

    id: str
    title: str
    cite: str
    publisher: str
    license: str
    address: str
    amends: str
    answers: int
    foods: tuple[tuple[str, str, int], ...]
    rows: tuple[tuple[str, int], ...]
    withheld: tuple[tuple[str, str], ...]
    readings: tuple[str, ...]


def sources_page(shelf: Shelf) -> Page:
    """Gather all sources, those that more answers stand on first.

    Parameters
    ----------
    shelf : Shelf
    """
    used = uses_of_sources(shelf.package.root)
    told = [_stands(shelf, source, used[source.id]) for source in shelf.package.sources]
    told.sort(key=lambda one: (-one.answers, one.cite.casefold()))
    return Page("sources.html", "sources.html.jinja", "Sources", {"sources": told})


def _stands(shelf: Shelf, source: Source, used: Uses) -> Stands:
    files = Counter(place.file for place in used.places if "readings/" not in place.file)
    recipes = sum(count for file, count in files.items() if "/recipes/" in file)
    rows = [(_NAMED.get(file, f"rows of {file}"), count) for file, count in files.items() if "/recipes/" not in file]
    cited = [source.author, source.title, source.series, source.edition]
    return Stands(
        source.id,
        source.title,
        ", ".join(part for part in cited if part),
        source.publisher,
        source.licence,
        source.address if source.address.startswith(_WEB) else "",
        source.amends,
        used.answers.tested,
        tuple((shelf.foods[food].title, food_page.place(food), count) for food, count in used.answers.foods),
        (*rows, *((("recipes", recipes),) if recipes else ())),
        tuple((one.id, one.title) for one in shelf.package.withheld if one.source == source.id),
        tuple(f"{wording.capital(read.reader)}, {read.date}, from {read.copy}: {read.reading}" for read in used.read),
    )
