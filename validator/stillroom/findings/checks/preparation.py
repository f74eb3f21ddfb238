"""Preparation: headspace, yields, pages of foods and relations are what the two readings of the food sections say.

What it does
------------
Finds each food in the two readings of the food sections (foods-first.csv and foods-second.csv) by its names. A
headspace or a yield must stand in both, for its pack and jar or in the reading's remark. Its page must be one of the
food in the first reading, or the page after it; the check of pages says which. Every headspace and yield of the
readings must stand in the tables. A food's own page must be one of its section or of its schedules, and a relation must
lead where both readings send, in the pack that both name; each food that they send to another has one. A food that
takes the yields of another must have none of its own, and both readings must send it there, by its process or by the
page named in the remark.

Why it matters
--------------
Too little headspace pushes food out under the lid, and the seal fails; a relation to the wrong food gives its time.

Example
-------
``schedules/headspace.csv:9: preparation: headspace_in "0.5" is not in the readings, which have 1``

Source
------
USDA Complete Guide to Home Canning, 2015: the section of each food; the first reading names the page.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING

from stillroom.findings import printed_pages
from stillroom.findings.finding import Finding
from stillroom.findings.sections import READINGS, Known, Section, by_food, known_names, named, sent

if TYPE_CHECKING:
    from stillroom.findings.opened import CheckedPackage
    from stillroom.findings.table import Table

NAME = "preparation"
_NUMBERS = re.compile(r"(?:([0-9]+)-)?([0-9]+)/([0-9]+)|([0-9]+(?:\.[0-9]+)?)")
_LOADS = {("quart", "7"): "lb_per_7qt", ("pint", "9"): "lb_per_9pt"}
_ANY = ("", "any", "none")


def check(package: CheckedPackage) -> Iterator[Finding]:
    """Yield what the readings of the food sections do not say."""
    known = known_names(package)
    tables = [package.table(name) for name in READINGS]
    read = [by_food(table, known) for table in tables]
    headspace, yields = package.table("headspace"), package.table("yields")
    for line, row in headspace.numbered():
        yield from _headspace(headspace, line, row, read)
    for line, row in yields.numbered():
        yield from _yield(yields, line, row, read)
    owners = {row["food"]: row["follows"] for row in package.table("relations").rows}
    for table, sections in zip(tables, read, strict=True):
        yield from _unused(table, sections, headspace.rows, yields.rows, owners)
    yield from _pages(package, read[0])
    yield from _relations(package, read, known)
    yield from _yield_relations(package, read, known)


def _word(text: str) -> str:
    from stillroom.findings.rebuilt import WORDS

    return "" if text in _ANY else WORDS.get(text, text)


def _at(file: str, line: int, column: str, row: dict[str, str], wrong: str) -> Finding:
    page = f"compare with page {row['page']}" if "page" in row else "compare with the printed page"
    return Finding(NAME, file, line, column, row[column] if column else "", wrong, "", page)


def _page(file: str, line: int, row: dict[str, str], sections: list[Section]) -> Iterator[Finding]:
    sources = [section.row["source"] for section in sections]
    if sections and row["source"] not in sources:
        wrong = f"is not the source of this food in the first reading: {_or(sources)}"
        yield _at(file, line, "source", row, wrong)
        return
    pages = [section.row["page"] for section in sections if section.row["source"] == row["source"]]
    if row["page"] not in {*pages, *map(_after, pages)}:
        yield _at(file, line, "page", row, f"is not a page of this food in the first reading: {_or(pages)}")


def _after(page: str) -> str:
    """Page after a page: a section may run on to it, and the check of pages says which of the two."""
    part, number = printed_pages.split(page)
    return f"{part}{number + 1}" if number else page


def _or(values: list[str]) -> str:
    return " or ".join(dict.fromkeys(value for value in values if value)) or "none"


def _headspace(table: Table, line: int, row: dict[str, str], read: list[dict[str, list[Section]]]) -> Iterator[Finding]:
    for sections in (of.get(row["food"], []) for of in read):
        given = [s.row["headspace_in"] for s in sections if _fits(row, s.row)]
        if row["headspace_in"] not in given:
            wrong = f"is not in both readings, which have {_or(given)}"
            yield _at(table.file, line, "headspace_in", row, wrong)
            break
    yield from _page(table.file, line, row, read[0].get(row["food"], []))


def _fits(row: dict[str, str], section: dict[str, str]) -> bool:
    same = all(not row[name] or _word(section[name]) in ("", row[name]) for name in ("pack", "jar"))
    return same and row["source"] == section["source"]


def _amounts(row: dict[str, str]) -> tuple[str, ...]:
    low, high = row["pounds_from"], row["pounds_to"]
    pounds = low if low == high else f"{low}-{high}"
    return (pounds,) if row["basis"] in ("canner load", "average") else (pounds, row["jars_from"], row["jars_to"])


def _printed(row: dict[str, str], section: dict[str, str]) -> tuple[str, ...]:
    if row["basis"] == "average":
        return (
            (section["lb_per_quart"],) if (row["jar"], row["jars_from"], row["jars_to"]) == ("quart", "1", "1") else ()
        )
    if row["basis"] == "canner load":
        column = _LOADS.get((row["jar"], row["jars_from"]))
        return (section[column],) if column and row["jars_from"] == row["jars_to"] else ()
    if section["container"] != row["basis"] or row["jar"] != "quart":
        return ()
    return (section["container_lb"], section["yield_qt_lo"], section["yield_qt_hi"])


def _remarked(row: dict[str, str], section: dict[str, str]) -> bool:
    """Whether the remark of a section has the row's numbers and its jar, for what the columns cannot hold."""
    said = _numbers(section["caution"])
    numbers = {row["pounds_from"], row["pounds_to"], row["jars_from"], row["jars_to"]} - {"1"}
    if row["basis"] not in ("canner load", "average"):
        numbers = {row["jars_from"], row["jars_to"]} if section["container_lb"] == row["pounds_from"] else {"none"}
    jar = {"quart": "q", "pint": "pint", "half-pint": "half-pint"}.get(row["jar"], row["jar"])
    return numbers <= said and jar in section["caution"]


def _numbers(text: str) -> set[str]:
    """Numbers of a text, as the tables write them: 2-1/4 is 2.25."""
    return {
        plain or f"{int(whole or 0) + int(upper) / max(int(lower), 1):g}"
        for whole, upper, lower, plain in _NUMBERS.findall(text)
    }


def _yield(table: Table, line: int, row: dict[str, str], read: list[dict[str, list[Section]]]) -> Iterator[Finding]:
    for sections in (of.get(row["food"], []) for of in read):
        same = (s for s in sections if s.row["source"] == row["source"])
        if not any(_printed(row, s.row) == _amounts(row) or _remarked(row, s.row) for s in same):
            given = _or(["/".join(_printed(row, s.row)) for s in sections])
            jars = f"{row['jars_from']} to {row['jars_to']} {row['jar']} jars"
            wrong = f"for {jars} is not in both readings, which have {given}"
            yield _at(table.file, line, "pounds_from", row, wrong)
            break
    yield from _page(table.file, line, row, read[0].get(row["food"], []))


def _unused(
    table: Table,
    sections: dict[str, list[Section]],
    headspace: list[dict[str, str]],
    yields: list[dict[str, str]],
    owners: dict[str, str],
) -> Iterator[Finding]:
    spaces: dict[str, list[dict[str, str]]] = {}
    loads: dict[str, list[dict[str, str]]] = {}
    for of, rows in ((spaces, headspace), (loads, yields)):
        for row in rows:
            of.setdefault(row["food"], []).append(row)
    for food, of_food in sections.items():
        for section in of_food if food else ():
            row = section.row
            rows = spaces.get(food) or spaces.get(owners.get(food, ""), [])
            given = [r["headspace_in"] for r in rows if _fits(r, row)]
            if row["headspace_in"] and row["headspace_in"] not in given:
                yield _at(table.file, section.line, "headspace_in", row, "is not in headspace.csv")
            have = {column: _or_amounts(loads.get(food, []), column) for column in _COLUMNS}
            for column, amounts in have.items():
                if row[column] and row[column] not in amounts:
                    yield _at(table.file, section.line, column, row, "is not in yields.csv")


_COLUMNS = ("lb_per_quart", "lb_per_7qt", "lb_per_9pt", "container_lb")


def _or_amounts(rows: list[dict[str, str]], column: str) -> set[str]:
    found = set()
    for row in rows:
        basis = row["basis"]
        if (
            (column == "lb_per_quart" and basis == "average")
            or (column == _LOADS.get((row["jar"], row["jars_from"])) and basis == "canner load")
            or (column == "container_lb" and basis not in ("average", "canner load"))
        ):
            found.add(_amounts(row)[0])
    return found


def _pages(package: CheckedPackage, first: dict[str, list[Section]]) -> Iterator[Finding]:
    frame = package.schedules[["food", "page"]].drop_duplicates()
    printed: dict[str, set[str]] = {}
    for food, page in frame.itertuples(index=False, name=None):
        printed.setdefault(food, set()).add(page)
    table = package.table("foods")
    for line, row in table.numbered():
        pages = [section.row["page"] for section in first.get(row["id"], [])]
        if row["page"] not in pages and row["page"] not in printed.get(row["id"], ()):
            yield _at(table.file, line, "page", row, f"is not a page of this food in the first reading: {_or(pages)}")


def _relations(package: CheckedPackage, read: list[dict[str, list[Section]]], known: Known) -> Iterator[Finding]:
    table = package.table("relations")
    for line, row in table.numbered():
        for which, of in zip(("first", "second"), read, strict=True):
            told = [sent(section, known) for section in of.get(row["food"], [])]
            if row["follows"] not in (food for food, _ in told):
                wrong = f"is not the food of the {which} reading, {_or([food for food, _ in told])}"
                yield _at(table.file, line, "follows", row, wrong)
            elif (row["follows"], row["pack"]) not in told:
                packs = _or([pack or "every pack" for food, pack in told if food == row["follows"]])
                yield _at(table.file, line, "pack", row, f"is not the pack of the {which} reading, {packs}")
        yield from _page(table.file, line, row, read[0].get(row["food"], []))
    yield from _unrelated(package, read, known)


def _unrelated(package: CheckedPackage, read: list[dict[str, list[Section]]], known: Known) -> Iterator[Finding]:
    """Yield sections that send to the process of another food where relations.csv does not."""
    table = package.table("relations")
    related = {(row["food"], row["follows"]) for row in table.rows}
    for name, of in zip(READINGS, read, strict=True):
        for food, sections in of.items():
            for section in sections:
                told, _ = sent(section, known)
                if food and told and (food, told) not in related:
                    wrong = f"sends {food} to another food, {table.file} does not"
                    yield _at(package.table(name).file, section.line, "uses_process_of", section.row, wrong)


def _yield_relations(package: CheckedPackage, read: list[dict[str, list[Section]]], known: Known) -> Iterator[Finding]:
    table = package.table("yield-relations")
    pages: dict[str, set[str]] = {}
    for row in package.table("yields").rows:
        pages.setdefault(row["food"], set()).add(row["page"])
    for line, row in table.numbered():
        food, follows = row["food"], row["follows"]
        if food in pages:
            yield _at(table.file, line, "food", row, "has yields of its own and needs no relation")
        if follows not in pages:
            yield _at(table.file, line, "follows", row, "has no yields")
        elif not all(_sent(of.get(food, []), follows, pages[follows], known) for of in read):
            yield _at(table.file, line, "follows", row, "is not where both readings send for the quantity")
        yield from _page(table.file, line, row, read[0].get(food, []))


def _sent(sections: list[Section], follows: str, pages: set[str], known: Known) -> bool:
    """Whether a reading sends to a food, by its process or by the page of its quantity."""
    return any(
        named(section.row["uses_process_of"], section.row["source"], known) == follows
        or ("quantit" in section.row["caution"] and any(f"({page})" in section.row["caution"] for page in pages))
        for section in sections
    )
