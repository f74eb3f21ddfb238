"""Acidity: no low-acid food in boiling water, and every acidified food says its acid, for every jar it is printed in.

What it does
------------
Looks up each row's food: a low-acid food in boiling water is wrong, and so is one under pressure at less than 11 psi on
a dial or 10 psi on a weighted gauge, which the tables print for acid and acidified food only. Every acidified food must
have acid in acid.csv, its own or that of the food it follows, that is more than an option; where the amounts are per
jar, every jar of its schedules needs one. A food without a boiling-water schedule is low-acid; one with acid in each
jar, and a tomato product or pickle with acid in its batch, is acidified. A food whose form without acid is withheld is
acidified too, and what is acidified jar by jar is withheld without. A food takes the times of another of its own group
and acidity. Half-gallons are for juices that are acid by themselves, and no rule carries a time to them.

Why it matters
--------------
In a low-acid jar botulinum spores outlive boiling water. A food that is acidified is safe there only with its acid.

Example
-------
``schedules/vegetables.csv:2: acidity: method "boiling-water" is not for asparagus, a low-acid food``

Source
------
USDA Complete Guide to Home Canning, 2015, page 1-8 (low-acid food needs a pressure canner, at 240 to 250 degF) and
page 3-5 (tomatoes).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from stillroom.findings.finding import Finding

if TYPE_CHECKING:
    from stillroom.findings.opened import CheckedPackage

NAME = "acidity"
HALF_GALLON = "half-gallon"
ACIDIFIED_GROUPS = ("tomatoes", "pickles")
"""Groups in which acid in the batch makes a food acidified (guides 3 and 6); in fruit and spreads it may be flavor."""

LOW_ACID_PSI = {"dial": 11, "weighted": 10}
"""Lowest pressure printed for low-acid food by gauge, psi: all tables of guides 4 and 5, like page 4-5."""
WITHOUT_ACID = "unacidified-"
"""How the ids of what is withheld for want of acid begin; a food, or the first word of several, follows."""


def check(package: CheckedPackage) -> Iterator[Finding]:
    """Yield low-acid foods in boiling water, and acidified foods without their acid."""
    yield from _low_acid(package)
    yield from _acidified(package)
    yield from _called(package)
    yield from _withheld(package)
    yield from _related(package)
    yield from _half_gallons(package)


def _low_acid(package: CheckedPackage) -> Iterator[Finding]:
    from stillroom.findings import series

    low = {row["id"] for row in package.table("foods").rows if row["acidity"] == "low-acid"}
    frame = package.schedules
    wrong = frame[(frame["method"] == "boiling-water") & frame["food"].isin(low)]
    page = package.rule("low-acid-limit")["page"]
    for row in series.bands(wrong):
        said = f"is not for {row.food}, a low-acid food"
        yield row.finding(NAME, "method", said, f"low-acid food needs a pressure canner (page {page})")
    large = frame[(frame["jar"] == HALF_GALLON) & frame["food"].isin(low)]
    page = package.rule("half-gallon-use")["page"]
    for row in series.bands(large):
        said = f"is not for {row.food}, a low-acid food"
        yield row.finding(NAME, "jar", said, f"half-gallon jars are for very acid juices only (page {page})")
    least = frame["gauge"].astype(object).map(LOW_ACID_PSI).astype(float)
    cool = frame[(frame["pressure_psi"] < least) & frame["food"].isin(low)]
    for row in series.bands(cool):
        said = f"is too little for {row.food}, a low-acid food"
        yield row.finding(NAME, "pressure_psi", said, f"at least {LOW_ACID_PSI[row.gauge]} psi on a {row.gauge} gauge")


def _acidified(package: CheckedPackage) -> Iterator[Finding]:
    foods = package.table("foods")
    follows = {row["food"]: row["follows"] for row in package.table("relations").rows}
    jars: dict[str, set[str]] = {}
    frame = package.schedules[["food", "jar"]].drop_duplicates()
    for food, jar in zip(frame["food"], frame["jar"], strict=True):
        jars.setdefault(food, set()).add(jar)
    amounts: dict[str, set[str]] = {}
    for row in package.table("acid").rows:
        if row["use"] in ("jar", "batch"):
            amounts.setdefault(row["food"], set()).add(row["jar"])
    acid_file = package.table("acid").file
    for line, row in foods.numbered():
        food, owner = row["id"], follows.get(row["id"], row["id"])
        given = amounts.get(food) or amounts.get(owner)
        if row["acidity"] != "acidified":
            continue
        if not given:
            said = f"is acidified, but {acid_file} names no acid for it"
            yield Finding(NAME, foods.file, line, "id", food, said, "", f"add its acid from page {row['page']}")
        elif "" not in given:
            for jar in sorted((jars.get(food) or jars.get(owner, set())) - given):
                said = f"has a schedule for a {jar} jar, but {acid_file} has no amount for that jar"
                yield Finding(NAME, foods.file, line, "id", food, said, "", f"add the amount from page {row['page']}")


def _called(package: CheckedPackage) -> Iterator[Finding]:
    """Yield foods that are called less dangerous than their schedules and their acid show."""
    foods = package.table("foods")
    follows = {row["food"]: row["follows"] for row in package.table("relations").rows}
    frame = package.schedules[["food", "method"]].drop_duplicates()
    scheduled = set(frame["food"])
    boiled = set(frame.loc[frame["method"] == "boiling-water", "food"])
    uses: dict[str, set[str]] = {}
    for row in package.table("acid").rows:
        uses.setdefault(row["food"], set()).add(row["use"])
    for line, row in foods.numbered():
        food = row["id"] if row["id"] in scheduled else follows.get(row["id"], "")
        if food not in scheduled:
            continue
        should = (
            "low-acid" if food not in boiled
            else "acidified" if _added(row, uses.get(row["id"], set()))
            else row["acidity"]
        )  # fmt: skip
        if row["acidity"] != should:
            why = {
                "low-acid": "it has no boiling-water schedule",
                "acidified": "acid is added to it",
            }[should]
            said = f"is not what its schedules show: {should}, as {why}"
            yield Finding(
                NAME, foods.file, line, "acidity", row["acidity"], said, "", f"compare with page {row['page']}"
            )


def _added(food: dict[str, str], uses: set[str]) -> bool:
    return "jar" in uses or (food["group"] in ACIDIFIED_GROUPS and "batch" in uses)


def _withheld(package: CheckedPackage) -> Iterator[Finding]:
    """Yield foods that are withheld without acid and not acidified, and foods acidified in the jar and not withheld."""
    foods, withheld = package.table("foods"), package.table("withheld")
    frame = package.schedules[["food", "method"]].drop_duplicates()
    boiled = set(frame.loc[frame["method"] == "boiling-water", "food"])
    names = {row["id"].removeprefix(WITHOUT_ACID): row for row in withheld.rows if row["id"].startswith(WITHOUT_ACID)}
    in_jars = {row["food"] for row in package.table("acid").rows if row["use"] == "jar"}
    for line, row in foods.numbered():
        meant = [n for n in names if n in (row["id"], row["group"]) or row["id"].startswith(f"{n}-")]
        if row["acidity"] == "acidified" and row["id"] in in_jars and not meant:
            said = f"is acidified jar by jar, but {withheld.file} does not withhold it without acid"
            yield Finding(NAME, foods.file, line, "id", row["id"], said, "", f"compare with page {row['page']}")
        for entry in map(names.__getitem__, meant):
            if row["id"] in boiled and row["acidity"] != "acidified":
                said = f"is not acidified, but {entry['id']} is withheld"
                page = f"compare with page {entry['page']}"
                yield Finding(NAME, foods.file, line, "acidity", row["acidity"], said, "", page)


def _related(package: CheckedPackage) -> Iterator[Finding]:
    """Yield foods that take the times of a food of another group or acidity, or have schedules of their own too."""
    table = package.table("relations")
    foods = {row["id"]: row for row in package.table("foods").rows}
    scheduled = set(package.schedules["food"].unique())
    for line, row in table.numbered():
        food, follows = foods.get(row["food"], {}), foods.get(row["follows"], {})
        page = f"compare with page {row['page']}"
        for column in ("group", "acidity"):
            if food and follows and food[column] != follows[column]:
                said = f"is {follows[column]}, but {row['food']} is {food[column]}"
                yield Finding(NAME, table.file, line, "follows", row["follows"], said, "", page)
        if row["food"] in scheduled:
            said = "has schedules of its own and takes none of another food"
            yield Finding(NAME, table.file, line, "food", row["food"], said, "", page)


def _half_gallons(package: CheckedPackage) -> Iterator[Finding]:
    """Yield food in half-gallons that is not acid by itself, and rules that carry a time to them."""
    from stillroom.findings import series

    page = package.rule("half-gallon-use")["page"]
    published = f"half-gallon jars are for very acid juices only (page {page})"
    juices = {row["id"] for row in package.table("foods").rows if row["acidity"] == "acid" and "juice" in row["id"]}
    low = {row["id"] for row in package.table("foods").rows if row["acidity"] == "low-acid"}
    frame = package.schedules
    for row in series.bands(frame[(frame["jar"] == HALF_GALLON) & ~frame["food"].isin(juices | low)]):
        yield row.finding(NAME, "jar", f"is not for {row.food}", published)
    large = set(frame.loc[frame["jar"] == HALF_GALLON, "food"].unique())
    relations, rules = package.table("relations"), package.table("jar-rules")
    for line, related in relations.numbered():
        if related["follows"] in large and related["food"] not in juices:
            said = f"has schedules for half-gallons, and {related['food']} is no acid juice"
            yield Finding(NAME, relations.file, line, "follows", related["follows"], said, published)
    for line, rule in rules.numbered():
        if HALF_GALLON in (rule["jar"], rule["takes"]):
            yield Finding(NAME, rules.file, line, "jar", rule["jar"], "is carried to by no rule", published)
