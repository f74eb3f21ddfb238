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

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

from stillroom.findings.finding import Finding

if TYPE_CHECKING:
    from stillroom.findings.opened import CheckedPackage
    from stillroom.findings.table import Table

NAME = "sources"
UNPAGED = "web"
"""Page of a source that has no printed pages, and so no guides."""
_FRONT = re.compile(r"[ivx]+")


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
    for table in package.tables.values():
        if {"source", "page"} <= set(table.columns):
            yield from _pages(table, guides, known)
    yield from _captions(package, guides)


def _number(page: str) -> tuple[str, int]:
    guide, _, number = page.partition("-")
    return (guide, int(number)) if number.isascii() and number.isdigit() else (page, 0)


def _guides(table: Table) -> dict[tuple[str, str], dict[str, str]]:
    return {(row["source"], row["guide"]): row for row in table.rows}


def _pages(table: Table, guides: dict[tuple[str, str], dict[str, str]], known: set[str]) -> Iterator[Finding]:
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


def _page_wrong(
    source: str, page: str, guides: dict[tuple[str, str], dict[str, str]], known: set[str]
) -> tuple[str, str]:
    if source not in known:
        return "is not in shared/sources.csv", ""
    if not any(source == name for name, _ in guides):
        return (
            ("", "") if page == UNPAGED else ("is in no guide of this source", f"a source without guides has {UNPAGED}")
        )
    number, at = _number(page)
    if _FRONT.fullmatch(page):
        return "", ""  # front matter, before the first guide
    guide = guides.get((source, number))
    if guide is None:
        return "is in no guide of this source", ""
    first, last = _number(guide["first_page"]), _number(guide["last_page"])
    if at < first[1] or at > last[1] or first[0] != number or last[0] != number:
        return "is outside its guide", f"guide {number} runs from page {guide['first_page']} to {guide['last_page']}"
    return "", ""


def _unused_sources(package: CheckedPackage, known: set[str]) -> Iterator[Finding]:
    table = package.table("guides")
    for line, row in table.numbered():
        if row["source"] not in known:
            yield Finding(NAME, table.file, line, "source", row["source"], "is not in shared/sources.csv")
        if _number(row["first_page"])[0] != row["guide"] or _number(row["last_page"])[0] != row["guide"]:
            yield Finding(NAME, table.file, line, "guide", row["guide"], "is not the guide of its pages")


def _amended(package: CheckedPackage) -> Iterator[Finding]:
    table = package.table("sources")
    for line, row in table.numbered():
        if row["amends"] in package.amending:
            mend = "name the publication itself"
            yield Finding(NAME, table.file, line, "amends", row["amends"], "amends another source itself", "", mend)


def _captions(package: CheckedPackage, guides: dict[tuple[str, str], dict[str, str]]) -> Iterator[Finding]:
    from stillroom.findings import series

    given: dict[tuple[str, str], set[tuple[str, str]]] = {}
    for row in package.table("captions").rows:
        given.setdefault((row["guide"], row["caption"]), set()).add((row["food"], row["form"]))
    for row in package.table("footnotes").rows:
        foods = {food for food, _ in given.get((row["guide"], row["caption"]), ())}
        given.setdefault((row["guide"], row["caption"]), set()).update((food, row["form"]) for food in foods)
    read = [_read(package.table(f"reading-schedules-{name}")) for name in ("first", "second")]
    columns = list(_Kind._fields)
    frame = package.schedules
    files = {f"schedules/{row['table']}.csv" for row in package.table("guides").rows}
    kinds = frame[columns].drop_duplicates()
    said = []
    for kind in map(_Kind._make, kinds.itertuples(index=False)):
        guide = _number(kind.page)[0]
        entry = guides.get((kind.source, guide))
        if entry is None and kind.source in package.amending and kind.page == UNPAGED:
            entry = _guide_with(kind, guides, given, package.publications[kind.source])
            guide = "" if entry is None else entry["guide"]
        column, wrong = "caption", ""
        if entry is None:
            column, wrong = "page", "is in no guide of this source"
        elif kind.file in files and kind.file != f"schedules/{entry['table']}.csv":
            column, wrong = "page", f"belongs to guide {guide}, whose table is schedules/{entry['table']}.csv"
        elif (guide, kind.caption) not in given:
            wrong = f"is no caption of guide {guide} in captions.csv"
        elif (kind.food, kind.form) not in given[guide, kind.caption]:
            wrong = f"is not the caption of {kind.food} {kind.form}".rstrip() + " in captions.csv"
        elif not all((guide, kind.caption) in seen for seen in read):
            wrong = "does not stand in both readings"
        said.append((column, wrong))
    kinds["wrong_column"], kinds["wrong"] = [pair[0] for pair in said], [pair[1] for pair in said]
    if (kinds["wrong"] == "").all():
        return
    rows = frame.merge(kinds[kinds["wrong"] != ""], on=columns, how="inner")
    for band, column, wrong in zip(series.bands(rows), rows["wrong_column"], rows["wrong"], strict=True):
        yield band.finding(NAME, column, wrong)


def _guide_with(
    kind: _Kind,
    guides: dict[tuple[str, str], dict[str, str]],
    given: dict[tuple[str, str], set[tuple[str, str]]],
    publication: str,
) -> dict[str, str] | None:
    """Guide of a publication whose caption a row without a page has."""
    own = [entry for (source, _), entry in guides.items() if source == publication]
    return next((e for e in own if (kind.food, kind.form) in given.get((e["guide"], kind.caption), ())), None)


def _read(table: Table) -> set[tuple[str, str]]:
    return set(table.frame[["guide", "food"]].drop_duplicates().itertuples(index=False, name=None))
