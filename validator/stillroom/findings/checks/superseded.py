"""Superseded: old leaflets are what both readings say, lead to a food of today, and stand behind nothing else.

What it does
------------
Compares every row of superseded.csv with the two readings of the leaflets (schedules/readings/superseded-*.csv), cell
by cell but for the notes. Every caption must be told in superseded-foods.csv, which names a food, or what is withheld,
or neither, and never both; a food is never also withheld. The sources of the superseded tables are those of
superseded-sources.csv, each replaced by a publication with guides, and no other table or recipe cites one of them.

Why it matters
--------------
An old time is enough to say "as it was printed in 1965", and too little to can by. A leaflet that slipped into the
schedules would be an answer; a misread one would accuse a handout of what nobody printed.

Example
-------
``schedules/superseded.csv:41: superseded: minutes "35" is 45 in the first reading``

Source
------
The seventh promise of this package: a superseded publication is recognized, never answered from.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from stillroom.findings.finding import Finding
from stillroom.package.keys import row_key

if TYPE_CHECKING:
    from stillroom.findings.opened import CheckedPackage
    from stillroom.findings.table import Table

NAME = "superseded"
TABLES = ("superseded", "superseded-foods", "superseded-altitudes", "superseded-sources")
"""Tables that may cite a superseded source."""
READINGS = {"first": "reading-superseded-first", "second": "reading-superseded-second"}
EVIDENCE = ("sources", "readers")
"""Tables that tell of a source, and stand on none."""
Row = dict[str, str]


def check(package: CheckedPackage) -> Iterator[Finding]:
    """Yield cells that a reading gives otherwise, captions that lead nowhere, and what stands on a leaflet."""
    table = package.table("superseded")
    for which, name in READINGS.items():
        yield from _read(table, package.table(name), which)
    yield from _foods(package, table)
    yield from _sources(package)
    yield from _cited(package)


def _read(table: Table, reading: Table, which: str) -> Iterator[Finding]:
    """Yield differences of the table and one of its readings."""
    key = row_key(table.schema)
    columns = [column for column in table.columns if column in reading.columns and column != "note"]
    given: dict[tuple[str, ...], list[Row]] = {}
    for row in reading.rows:
        given.setdefault(tuple(row[column] for column in key[:-1]), []).append(row)
    for line, row in table.numbered():
        at = tuple(row[column] for column in key[:-1])
        read = given.get(at, [])
        fits = next((other for other in read if other["minutes"] == row["minutes"]), read[0] if read else None)
        if fits is None:
            wrong = f"is a row that the {which} reading does not give"
            yield Finding(NAME, table.file, line, "", "", wrong, "", "look it up in the leaflet")
            continue
        read.remove(fits)
        for column in columns:
            if row[column] != fits[column]:
                wrong = f"is {fits[column] or 'blank'} in the {which} reading"
                mend = f"compare with {row['page']} of the leaflet"
                yield Finding(NAME, table.file, line, column, row[column], wrong, "", mend)
    for at, left in given.items():
        for row in left:
            wrong = f"{', '.join(at)}, {row['minutes']} minutes of the {which} reading is missing"
            yield Finding(NAME, table.file, None, "", "", wrong, "", "add the row that both readings give")


def _foods(package: CheckedPackage, printed: Table) -> Iterator[Finding]:
    """Yield captions without a food, and foods that are not known by form or are withheld at once."""
    table = package.table("superseded-foods")
    captions = {(row["source"], row["caption"]) for row in printed.rows}
    forms = {(row["food"], row["form"]) for row in package.table("forms").rows}
    foods = {row["id"] for row in package.table("foods").rows}
    withheld = {row["id"] for row in package.table("withheld").rows}
    told = set()
    for line, row in table.numbered():
        told.add((row["source"], row["caption"]))
        wrong = ""
        if row["food"] and row["withheld"]:
            column, wrong = "withheld", "stands beside a food: it is one or the other"
        elif (row["source"], row["caption"]) not in captions:
            column, wrong = "caption", f"is no caption of {printed.file}"
        elif row["form"] and (row["food"], row["form"]) not in forms:
            column, wrong = "form", f"is no form of {row['food'] or 'no food'}"
        elif row["food"] and row["food"] not in foods:
            column, wrong = "food", "is no food of foods.csv"
        elif row["withheld"] and row["withheld"] not in withheld:
            column, wrong = "withheld", "is not in withheld.csv"
        if wrong:
            yield Finding(NAME, table.file, line, column, row[column], wrong, "", "mend it")
    for line, row in printed.numbered():
        if (row["source"], row["caption"]) not in told:
            said = "leads to no row of superseded-foods.csv"
            yield Finding(NAME, printed.file, line, "caption", row["caption"], said, "", "say which food it is today")
            told.add((row["source"], row["caption"]))


def _sources(package: CheckedPackage) -> Iterator[Finding]:
    """Yield superseded rows of a source that is not replaced, and leaflets that are replaced by none with guides."""
    replaced = package.table("superseded-sources")
    guided = {row["source"] for row in package.table("guides").rows}
    leaflets = {row["source"] for row in replaced.rows}
    for line, row in replaced.numbered():
        if row["source"] in guided:
            said = "has guides, so it is no superseded source"
            yield Finding(NAME, replaced.file, line, "source", row["source"], said, "", "take it out")
        if row["superseded_by"] not in guided:
            said = "is no publication with guides, so nothing took the place of the leaflet"
            yield Finding(NAME, replaced.file, line, "superseded_by", row["superseded_by"], said, "", "mend it")
    for name in (*TABLES[:3], *READINGS.values()):
        table = package.table(name)
        for line, row in table.numbered():
            if row["source"] not in leaflets:
                said = f"is not in {replaced.file}: only a superseded source stands here"
                yield Finding(NAME, table.file, line, "source", row["source"], said, "", "mend it")


def _cited(package: CheckedPackage) -> Iterator[Finding]:
    """Yield rows and recipes that stand on a superseded source."""
    leaflets = {row["source"] for row in package.table("superseded-sources").rows}
    said, mend = "is superseded: nothing may stand on it", "cite the publication that took its place"
    for name, table in package.tables.items():
        stands = "source" in table.columns and name not in (*TABLES, *READINGS.values(), *EVIDENCE)
        if stands and leaflets.intersection(table.texts["source"]):
            for line, row in table.numbered():
                if row["source"] in leaflets:
                    yield Finding(NAME, table.file, line, "source", row["source"], said, "", mend)
    sources = package.table("sources")
    for line, row in sources.numbered():
        if row["id"] not in leaflets and row["amends"] in leaflets:
            yield Finding(NAME, sources.file, line, "amends", row["amends"], said, "", mend)
    for path, (recipe, lines) in package.recipes.items():
        cited = recipe.get("source") if isinstance(recipe, dict) else None
        if cited in leaflets:
            yield Finding(NAME, path, lines.get(("source",)), "source", str(cited), said, "", mend)
