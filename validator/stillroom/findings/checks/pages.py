"""Pages: every cited page was read twice, and no two tables contradict each other on one.

What it does
------------
Compares the page of each row with its second reading (schedules/readings/pages-second.csv), which was made from the
text without sight of the first. Rows are known by their primary key, schedules by food, form, caption and canner. A
recipe is compared part by part: the pages that its steps cite are the pages on which its steps were read. A citation
without a second reading is a finding, a second reading of nothing too. Sources without printed pages are left out. A
food must be cited where its recipe begins, its headspace and the acid of its jars where its recipe says.

Why it matters
--------------
A page is what an educator opens to prove a figure. A figure cited a page off cannot be found, and is then not trusted.

Example
-------
``schedules/headspace.csv:131: pages: page "4-18" is 4-19 in the second reading``

Source
------
The readings are of the USDA Complete Guide to Home Canning, 2015, whose printed pages run from 1-1 to 7-13.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Any, NamedTuple

from stillroom.findings.finding import Finding
from stillroom.package.keys import row_key

if TYPE_CHECKING:
    from stillroom.findings.opened import CheckedPackage
    from stillroom.findings.table import Table

NAME = "pages"
READING = "reading-pages-second"
RECIPE = "recipe"
READ_OTHERWISE = ("not-recommended", "superseded")
"""Tables whose pages stand in readings of their own, or are read with the schedules."""
WITHOUT_PAGES = "web"
"""Page of a source that has none."""


class _Cited(NamedTuple):
    """A page that is cited, and where."""

    table: str
    key: str
    page: str
    file: str
    line: int | None


def check(package: CheckedPackage) -> Iterator[Finding]:
    """Yield pages that the second reading does not give, and pages that contradict each other."""
    table = package.table(READING)
    read: dict[tuple[str, str], dict[str, int]] = {}
    for line, row in table.numbered():
        read.setdefault((row["table"], row["key"]), {})[row["page"]] = line
    cited: dict[tuple[str, str], list[_Cited]] = {}
    for one in (*_of_tables(package), *_of_schedules(package), *_of_recipes(package)):
        cited.setdefault((one.table, one.key), []).append(one)
    for at, citations in cited.items():
        yield from _compared(citations, read.get(at, {}))
    for at, pages in read.items():
        there = {one.page for one in cited.get(at, ())}
        for page in pages.keys() - there if at in cited and at[0] == RECIPE else () if at in cited else pages:
            said = f"{at[0]} {at[1]}: no page {page} is cited there"
            yield Finding(NAME, table.file, pages[page], "page", page, said, "", "remove the reading, or cite the page")
    yield from _contradictions(package)


def _compared(citations: list[_Cited], pages: Iterable[str]) -> Iterator[Finding]:
    """Yield citations of one row, or of one part of a recipe, that were not read there."""
    given = list(pages)
    for one in citations:
        if one.page in given or (one.page == WITHOUT_PAGES and not given):
            continue
        said = f"is {' or '.join(sorted(given))} in the second reading" if given else "has no second reading"
        wrong = said if one.table != RECIPE else f"{one.key}: {said}"
        yield Finding(NAME, one.file, one.line, "page", one.page, wrong, "", "look the fact up in the publication")


def _of_tables(package: CheckedPackage) -> Iterator[_Cited]:
    """Pages of all tables that cite one row by row, but for the schedules and the readings."""
    from stillroom.package.tables import GROUPS

    for name, table in package.tables.items():
        read = name.startswith("reading-") or name == "footnotes"
        if {"source", "page"} <= set(table.columns) and not read and name not in (*GROUPS, *READ_OTHERWISE):
            columns = row_key(table.schema)
            for line, row in table.numbered():
                yield _Cited(name, "|".join(row[column] for column in columns), row["page"], table.file, line)


def _of_schedules(package: CheckedPackage) -> Iterator[_Cited]:
    """Pages of the printed schedules, once for each table, food, form, caption, canner and page."""
    columns = ["file", "food", "form", "caption", "gauge", "method", "page"]
    paged = package.schedules[package.schedules["page"] != WITHOUT_PAGES]
    frame = paged[[*columns, "line"]].drop_duplicates(columns).astype(dict.fromkeys(columns, object))
    names = {table.file: name for name, table in package.tables.items()}
    for file, food, form, caption, gauge, method, page, line in frame.itertuples(index=False):
        yield _Cited(names[file], f"{food}|{form}|{caption}|{gauge or method}", page, file, int(line))


def _of_recipes(package: CheckedPackage) -> Iterator[_Cited]:
    """Pages that recipes cite, by food and part: the start, steps, headspace and so on."""
    for path, (recipe, lines) in package.recipes.items():
        food = recipe.get("food") if isinstance(recipe, dict) else ""
        for place, page in _paged(recipe, ()):
            part = place[0] if place else "start"
            yield _Cited(RECIPE, f"{food}|{part}", page, path, lines.get((*place, "page"), lines.get(place)))


def _paged(node: Any, place: tuple[Any, ...]) -> Iterator[tuple[tuple[Any, ...], str]]:
    if isinstance(node, dict):
        if isinstance(node.get("page"), str):
            yield place, node["page"]
        for key, value in node.items():
            yield from _paged(value, (*place, key))
    elif isinstance(node, list):
        for number, value in enumerate(node):
            yield from _paged(value, (*place, number))


def _contradictions(package: CheckedPackage) -> Iterator[Finding]:
    """Yield pages of a food, a headspace or the acid of a jar that its recipe puts elsewhere."""
    by_food = {recipe.get("food"): recipe for recipe, _ in package.recipes.values() if isinstance(recipe, dict)}
    parts = {"foods": "page", "headspace": "headspace", "acid": "acid"}
    for name, part in parts.items():
        table = package.table(name)
        for line, row in table.numbered():
            recipe = by_food.get(row["id" if name == "foods" else "food"], {})
            said = {page for _, page in _paged(recipe.get(part), ())} if part != "page" else {recipe.get(part)}
            if name == "acid" and row["use"] != "jar":
                continue
            if said - {None} and row["page"] not in said | {WITHOUT_PAGES}:
                where = " or ".join(sorted(map(str, said)))
                yield _at(table, line, row["page"], f"is {where} in the recipe of this food")


def _at(table: Table, line: int, page: str, wrong: str) -> Finding:
    return Finding(NAME, table.file, line, "page", page, wrong, "", "look the fact up in the publication")
