"""Sources: every row's publication exists, its page lies in that guide, and its caption stands in both readings.

What it does
------------
Looks at each table with the columns source and page: the source must be in shared/sources.csv, and the page within the
pages of its guide (shared/guides.csv). A schedule row must stand in the table of the guide its page belongs to, and
its caption must be one that captions.csv gives to its food and form, and that both readings have; an erratum without
guides of its own has those of the publication that it amends. What an erratum amends must amend nothing itself.

Why it matters
--------------
A number without its page cannot be looked up, and a page that does not exist is the mark of a number nobody read.

Example
-------
``schedules/vegetables.csv:2: sources: page "4-50" is past the guide; guide 4 ends on page 4-21``

Source
------
USDA Complete Guide to Home Canning, 2015: the first and last page of each of its seven guides.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

from stillroom.findings import printed_pages
from stillroom.findings.finding import Finding
from stillroom.findings.printed_pages import UNPAGED

if TYPE_CHECKING:
    from stillroom.findings.opened import CheckedPackage
    from stillroom.findings.table import Table

NAME = "sources"


class _Kind(NamedTuple):
    """What a schedule row says of where it was printed."""

    food: str
    form: str
    source: str
    page: str
    caption: str
    file: str


def check(package: CheckedPackage) -> Iterator[Finding]:
    """Yield sources, pages and captions that are not there."""
    guides = _guides(package.table("guides"))
    known = {row["id"] for row in package.table("sources").rows}
    yield from _unused_sources(package, known)
    yield from _amended(package)
    paged = {**guides, **_leaflets(package.table("superseded-sources"))}
    for table in package.tables.values():
        if {"source", "page"} <= set(table.columns):
            yield from _pages(table, paged, known)
    yield from _captions(package, guides)


Guides = dict[str, list[dict[str, str]]]
"""Rows of guides.csv by source."""


def _guides(table: Table) -> Guides:
    guides: Guides = {}
    for row in table.rows:
        guides.setdefault(row["source"], []).append(row)
    return guides


def _leaflets(table: Table) -> Guides:
    """Pages of the superseded leaflets, laid out as those of a guide."""
    return {row["source"]: [{**row, "guide": f"of {row['year']}"}] for row in table.rows}


def _of_part(page: str, guides: list[dict[str, str]]) -> list[dict[str, str]]:
    """Guides whose pages are of the form of a page: 4-8 and 4-1, p. 31 and p. 12."""
    part, number = printed_pages.split(page)
    return [row for row in guides if number and printed_pages.split(row["first_page"])[0] == part]


def _within(page: str, guide: dict[str, str]) -> bool:
    ends = [printed_pages.split(guide[name]) for name in ("first_page", "last_page")]
    part, number = printed_pages.split(page)
    return ends[0][0] == ends[1][0] == part and ends[0][1] <= number <= ends[1][1]


def _guide_of(page: str, guides: list[dict[str, str]]) -> dict[str, str] | None:
    """Guide that a page stands in; of pages outside every guide, the one whose form they have."""
    near = _of_part(page, guides)
    return next((row for row in near if _within(page, row)), near[0] if near else None)


def _pages(table: Table, guides: Guides, known: set[str]) -> Iterator[Finding]:
    frame = table.frame[["source", "page", "line"]]
    kinds = frame[["source", "page"]].drop_duplicates()
    said = [_page_wrong(source, page, guides, known) for source, page in kinds.itertuples(index=False)]
    kinds["wrong"], kinds["published"] = [pair[0] for pair in said], [pair[1] for pair in said]
    if (kinds["wrong"] == "").all():
        return
    rows = frame.merge(kinds[kinds["wrong"] != ""], on=["source", "page"], how="inner")
    for source, page, line, wrong, published in rows.itertuples(index=False):
        column, value = ("page", page) if source in known else ("source", source)
        mend = "write the printed page" if source in known else "add it to shared/sources.csv, or mend it"
        yield Finding(NAME, table.file, int(line), column, value, wrong, published, mend)


def _page_wrong(source: str, page: str, guides: Guides, known: set[str]) -> tuple[str, str]:
    if source not in known:
        return "is not in shared/sources.csv", ""
    if source not in guides:
        return (
            ("", "") if page == UNPAGED else ("is in no guide of this source", f"a source without guides has {UNPAGED}")
        )
    if printed_pages.front(page):
        return "", ""
    near = _of_part(page, guides[source])
    if not near:
        return "is in no guide of this source", ""
    if not any(_within(page, guide) for guide in near):
        run = " and ".join(f"guide {g['guide']} runs from page {g['first_page']} to {g['last_page']}" for g in near)
        return "is outside its guide", run
    return "", ""


def _unused_sources(package: CheckedPackage, known: set[str]) -> Iterator[Finding]:
    table = package.table("guides")
    for line, row in table.numbered():
        if row["source"] not in known:
            yield Finding(NAME, table.file, line, "source", row["source"], "is not in shared/sources.csv")
        (part, first), (other, last) = (printed_pages.split(row[name]) for name in ("first_page", "last_page"))
        named = part.removesuffix("-")
        if part != other or first > last or (named.isdigit() and named != row["guide"]):
            yield Finding(NAME, table.file, line, "guide", row["guide"], "is not the guide of its pages")


def _amended(package: CheckedPackage) -> Iterator[Finding]:
    table = package.table("sources")
    for line, row in table.numbered():
        if row["amends"] in package.amending:
            mend = "name the publication itself"
            yield Finding(NAME, table.file, line, "amends", row["amends"], "amends another source itself", "", mend)


class _Captions(NamedTuple):
    """Captions by publication and guide: foods and forms that captions.csv gives them, and those of each reading."""

    given: dict[tuple[str, str, str], set[tuple[str, str]]]
    read: tuple[set[tuple[str, str, str]], ...]


def _captions(package: CheckedPackage, guides: Guides) -> Iterator[Finding]:
    from stillroom.findings import series

    captions = _captions_of(package)
    columns = list(_Kind._fields)
    frame = package.schedules
    kinds = frame[columns].drop_duplicates()
    said = [_caption_wrong(package, kind, guides, captions) for kind in map(_Kind._make, kinds.itertuples(index=False))]
    kinds["wrong_column"], kinds["wrong"] = [pair[0] for pair in said], [pair[1] for pair in said]
    if (kinds["wrong"] == "").all():
        return
    rows = frame.merge(kinds[kinds["wrong"] != ""], on=columns, how="inner")
    for band, column, wrong in zip(series.bands(rows), rows["wrong_column"], rows["wrong"], strict=True):
        yield band.finding(NAME, column, wrong)


def _captions_of(package: CheckedPackage) -> _Captions:
    of = package.publications
    given: dict[tuple[str, str, str], set[tuple[str, str]]] = {}
    for row in package.table("captions").rows:
        given.setdefault((row["source"], row["guide"], row["caption"]), set()).add((row["food"], row["form"]))
    for row in package.table("footnotes").rows:
        at = (of.get(row["source"], ""), row["guide"], row["caption"])
        foods = {food for food, _ in given.get(at, ())}
        given.setdefault(at, set()).update((food, row["form"]) for food in foods)
    return _Captions(
        given, tuple(_read(package.table(f"reading-schedules-{name}"), of) for name in ("first", "second"))
    )


def _caption_wrong(package: CheckedPackage, kind: _Kind, guides: Guides, captions: _Captions) -> tuple[str, str]:
    """Column and fault of what a row says of where it was printed; both blank where there is none."""
    publication = package.publications.get(kind.source, kind.source)
    entry = _guide_of(kind.page, guides.get(kind.source, []))
    if entry is None and kind.source in package.amending and kind.page == UNPAGED:
        entry = _guide_with(kind, guides.get(publication, []), publication, captions)
    if entry is None:
        return "page", "is in no guide of this source"
    guide = entry["guide"]
    at = (publication, guide, kind.caption)
    files = {f"schedules/{row['table']}.csv" for rows in guides.values() for row in rows}
    if kind.file in files and kind.file != f"schedules/{entry['table']}.csv":
        return "page", f"belongs to guide {guide}, whose table is schedules/{entry['table']}.csv"
    if at not in captions.given:
        return "caption", f"is no caption of guide {guide} in captions.csv"
    if (kind.food, kind.form) not in captions.given[at]:
        return "caption", f"is not the caption of {kind.food} {kind.form}".rstrip() + " in captions.csv"
    if not all(at in seen for seen in captions.read):
        return "caption", "does not stand in both readings"
    return "", ""


def _guide_with(
    kind: _Kind, guides: list[dict[str, str]], publication: str, captions: _Captions
) -> dict[str, str] | None:
    """Guide of a publication whose caption a row without a page has."""
    fits = (
        row
        for row in guides
        if (kind.food, kind.form) in captions.given.get((publication, row["guide"], kind.caption), ())
    )
    return next(fits, None)


def _read(table: Table, of: dict[str, str]) -> set[tuple[str, str, str]]:
    kinds = table.frame[["source", "guide", "food"]].drop_duplicates()
    return {(of.get(source, ""), guide, caption) for source, guide, caption in kinds.itertuples(index=False)}
