"""Publications: a food is of one publication, and whatever is said of it is of that one.

What it does
------------
The source of a food in foods.csv is the publication it belongs to. Its schedules, its times printed as not recommended,
its headspace, acid, yields, forms, relations, jar rules and exceptions must cite that publication or an erratum of it,
and a food that it follows must belong to the same one. Its conditions may also cite a source without guides: later work
that restricts. A food of a pressure canner in a publication other than the guide must have a condition that says how
the canner is vented, as the general rules of the guide (shared/rules.csv) do not go with it. Where a second
publication tests a food too, it is a food of its own there, and a name that both have stands in open-names.csv for
both.

Why it matters
--------------
A time of one publication holds with its headspace, acid and jars. The time of one with the acid of another was tested
by nobody, though both cells are printed.

Example
-------
``schedules/acid.csv:7: publications: source "usda-2015" is not of the publication of figs, which is another-guide``

Source
------
The design of this package: no key, page or sentence is without its source, and two publications are never mixed.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from stillroom.findings.finding import Finding

if TYPE_CHECKING:
    from stillroom.findings.opened import CheckedPackage

NAME = "publications"
OF_A_FOOD = ("headspace", "acid", "yields", "yield-relations", "forms", "relations", "jar-rules", "exceptions")
"""Tables whose rows are of the publication of their food."""
RESTRICTING = "conditions"
"""Table that later work may add to."""
FOLLOWING = ("relations", "yield-relations")


def check(package: CheckedPackage) -> Iterator[Finding]:
    """Yield rows of another publication than their food, and foods of none."""
    guided = {row["source"] for row in package.table("guides").rows}
    yield from _foods(package, guided)
    yield from _schedules(package)
    yield from _unvented(package)
    for name in (*OF_A_FOOD, RESTRICTING):
        yield from _rows(package, name, guided)


def _foods(package: CheckedPackage, guided: set[str]) -> Iterator[Finding]:
    table = package.table("foods")
    for line, row in table.numbered():
        if row["source"] not in guided:
            said = "is no publication with guides, so no food belongs to it"
            yield Finding(NAME, table.file, line, "source", row["source"], said, "", "name the publication of its rows")


def _schedules(package: CheckedPackage) -> Iterator[Finding]:
    from stillroom.findings import series

    frame = package.schedules
    of = frame["source"].astype(object).map(package.publications)
    own = frame["food"].astype(object).map(package.food_publications)
    for row in series.bands(frame[own.notna() & (of != own)]):
        yield row.finding(NAME, "source", _said(package, row.food))


def _unvented(package: CheckedPackage) -> Iterator[Finding]:
    """Yield foods of pressure canners whose publication is not the guide and that are not told to be vented."""
    frame = package.schedules
    pressed = set(frame["food"][frame["method"] == "pressure"].unique())
    venting = {
        row["id"] for row in package.table("cautions").rows if row["kind"] == "must" and "vent " in row["text"].lower()
    }
    told = {row["food"] for row in package.table(RESTRICTING).rows if row["statement"] in venting}
    table = package.table("foods")
    for line, row in table.numbered():
        if row["id"] in pressed - told and package.food_publications[row["id"]] != package.guide:
            said = "has pressure schedules, and no condition says how the canner is vented"
            mend = "add a condition with a statement of its publication that must hold"
            yield Finding(NAME, table.file, line, "id", row["id"], said, "", mend)


def _said(package: CheckedPackage, food: str) -> str:
    return f"is not of the publication of {food}, which is {package.food_publications[food]}"


def _rows(package: CheckedPackage, name: str, guided: set[str]) -> Iterator[Finding]:
    table, of_food, of = package.table(name), package.food_publications, package.publications
    for line, row in table.numbered():
        own = of_food.get(row["food"])
        publication = of.get(row["source"])
        if own is None:
            if not row["food"] and publication not in guided:
                said = "is no publication with guides, so its general rule carries nothing"
                yield Finding(NAME, table.file, line, "source", row["source"], said)
            continue
        if publication != own and (name != RESTRICTING or publication in guided):
            yield Finding(NAME, table.file, line, "source", row["source"], _said(package, row["food"]))
        if name in FOLLOWING and of_food.get(row["follows"], own) != own:
            said = f"is of another publication than {row['food']}"
            yield Finding(NAME, table.file, line, "follows", row["follows"], said)
