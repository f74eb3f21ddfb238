"""Floors: no acid, no vinegar and no headspace is weaker or smaller than the least that the guide prints of its kind.

What it does
------------
Acid that goes into each jar is measured against the general amounts of shared/rules.csv, by the volume of the jar; a
larger jar takes at least as much per volume as a smaller one of the same food, and acids to choose from are equally
strong. Vinegar names its strength, 5 percent or more, wherever acid is named: in acid.csv, its readings, recipes and
statements; where the print gives none, its food asks for vinegar of 5 percent, or the acid is only an option. Headspace
is at least that of the kind of food; what the print has smaller is a row of shared/exceptions.csv. A general amount
that nothing reaches, and an exception that excuses nothing, are findings too.

Why it matters
--------------
An edit that is made everywhere at once, in both readings and in the recipe, still cannot go below what the rest of the
publication says: half the lemon juice or weaker vinegar may let botulinum grow; a jar filled too high loses its seal.

Example
-------
``schedules/acid.csv:42: floors: quantity "1" tablespoon is under 2 tablespoon, the least for a quart``

Source
------
USDA Complete Guide to Home Canning, 2015, pages 3-5 (acid of a quart), 1-28 (vinegar) and 1-13 (headspace).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

from stillroom.findings import recipe_parts, told_amounts
from stillroom.findings.finding import Finding
from stillroom.findings.jar_volume import volume
from stillroom.findings.table import Unreadable

if TYPE_CHECKING:
    from stillroom.findings.opened import CheckedPackage
    from stillroom.findings.table import Table

NAME = "floors"
LEAST = {"lemon juice": "acid-lemon-juice", "citric acid": "acid-citric", "vinegar": "acid-vinegar"}
"""Rule of the least amount in a quart jar, by a word of the acid's name."""
STRENGTH, WEAK_ALLOWED = "vinegar-strength", "vinegar-5-percent"
"""Rule of the least strength, and the statement of a food whose page prints none."""
HEADSPACE = {"low-acid": "headspace-low-acid", "spreads": "headspace-spreads", "": "headspace-acid"}
"""Rule of the least headspace, by acidity or group; all other food is acid or acidified fruit, tomatoes and pickles."""
_NO_STRENGTH = re.compile(r"\bno strength printed\b")
_SLACK = 1e-6
"""Part by which rounded numbers may miss."""


class _Jar(NamedTuple):
    """Acid of one jar: its row, the rule of its kind, and its amount as a part of the least for a jar of this size."""

    line: int
    row: dict[str, str]
    rule: str
    part: float


def check(package: CheckedPackage) -> Iterator[Finding]:
    """Yield acid, vinegar and headspace below the floor."""
    yield from _acid(package)
    yield from _vinegar(package)
    yield from _headspace(package)


def _acid(package: CheckedPackage) -> Iterator[Finding]:
    table = package.table("acid")
    jars: list[_Jar] = []
    for line, row in table.numbered():
        if row["use"] != "jar":
            continue
        rule = next((id_ for word, id_ in LEAST.items() if word in row["acid"]), "")
        size, amount = volume(row["jar"]), recipe_parts.amount_of(row["quantity"])
        if not rule:
            yield _at(table, line, row, "acid", "is no acid with a least amount for a jar")
        elif size is not None and amount is not None and row["unit"] in told_amounts.SPOONS:
            spoons = amount * told_amounts.SPOONS[row["unit"]]
            jars.append(_Jar(line, row, rule, spoons / (_spoons(package, rule) * size / 32)))
    for jar in jars:
        if jar.part < 1 - _SLACK:
            printed = package.rule(jar.rule)
            least = f"{package.figure(jar.rule) * (volume(jar.row['jar']) or 0) / 32:g} {printed['unit']}"
            said = f"{jar.row['unit']} is under {least}, the least for a {jar.row['jar']}"
            yield _at(table, jar.line, jar.row, "quantity", said, printed["page"])
        elif jar.part > 1 + _SLACK and jar.row["page"] == package.rule(jar.rule)["page"]:
            yield _at(table, jar.line, jar.row, "quantity", f"is not the amount of rule {jar.rule}, of the same page")
    yield from _beside(table, jars)
    for id_ in LEAST.values():
        if min((jar.part for jar in jars if jar.rule == id_), default=2.0) > 1 + _SLACK:
            yield _unreached(package, id_, "no jar of acid.csv has as little")


def _spoons(package: CheckedPackage, rule: str) -> float:
    """Least amount for a quart, teaspoons."""
    figure, unit = package.figure(rule), package.rule(rule)["unit"]
    if figure <= 0 or unit not in told_amounts.SPOONS:
        raise Unreadable(f'rule "{rule}" of {package.table("rules").file} gives no amount of acid')
    return figure * told_amounts.SPOONS[unit]


def _beside(table: Table, jars: list[_Jar]) -> Iterator[Finding]:
    """Yield acid weaker than that of a smaller jar, or than another that may take its place in the same jar."""
    by_food: dict[str, list[_Jar]] = {}
    for jar in jars:
        by_food.setdefault(jar.row["food"], []).append(jar)
    for jar in jars:
        for other in by_food[jar.row["food"]]:
            if jar.part >= other.part - _SLACK:
                continue
            if jar.row["jar"] == other.row["jar"]:
                said = f"{jar.row['unit']} is weaker than the {other.row['acid']} of the same jar (line {other.line})"
            elif jar.rule == other.rule and (volume(jar.row["jar"]) or 0) > (volume(other.row["jar"]) or 0):
                said = f"{jar.row['unit']} is less for its volume than in a {other.row['jar']} (line {other.line})"
            else:
                continue
            yield _at(table, jar.line, jar.row, "quantity", said)


def _at(table: Table, line: int, row: dict[str, str], column: str, wrong: str, page: str = "") -> Finding:
    return Finding(NAME, table.file, line, column, row[column], wrong, "", f"compare with page {page or row['page']}")


def _unreached(package: CheckedPackage, rule: str, wrong: str) -> Finding:
    table = package.table("rules")
    line, row = next(pair for pair in table.numbered() if pair[1]["id"] == rule)
    return _at(table, line, row, "value", f"is no floor: {wrong}")


def _vinegar(package: CheckedPackage) -> Iterator[Finding]:
    least = package.figure(STRENGTH)
    second = package.table("reading-acid-second")
    unprinted = {(r["food"], r["acid"]) for r in second.rows if _NO_STRENGTH.search(r["note"])}
    asked = {row["food"] for row in package.table("conditions").rows if row["statement"] == WEAK_ALLOWED}
    options = {(row["food"], row["acid"]) for row in package.table("acid").rows if row["use"] == "option"}
    for name in ("acid", "reading-acid-first", "reading-acid-second"):
        table = package.table(name)
        for line, row in table.numbered():
            if "vinegar" not in row["acid"] or told_amounts.percents(row["acid"]):
                yield from _weak(table.file, line, "acid", row["acid"], least)
            elif (row["food"], row["acid"]) not in unprinted:
                yield _at(table, line, row, "acid", "has no strength, and the second reading does not say why")
            elif row["food"] not in asked and (row["food"], row["acid"]) not in options:
                said = f"has no strength, and no condition asks for {WEAK_ALLOWED}"
                yield _at(table, line, row, "acid", said)
    yield from _said_weak(package, least)
    yield from _weak_recipes(package, least)


def _weak(file: str, line: int | None, column: str, text: str, least: float) -> Iterator[Finding]:
    """Yield a text that speaks of vinegar and of less than the least strength."""
    if "vinegar" in text.lower():
        for percent in told_amounts.percents(text):
            if percent < least:
                said = f"{percent:g} percent is under {least:g}, the least strength of vinegar"
                yield Finding(
                    NAME, file, line, column, text if column else "", said, "", "compare with the printed page"
                )


def _said_weak(package: CheckedPackage, least: float) -> Iterator[Finding]:
    """Yield statements, and entries of other tables, that speak of weak vinegar, or lost the strength of their name."""
    texts = {"cautions": ("text",), "rules": ("statement",), "withheld": ("reason", "instead")}
    for name, columns in texts.items():
        table = package.table(name)
        for line, row in table.numbered():
            for column in columns:
                yield from _weak(table.file, line, column, row[column], least)
            if row["id"] == WEAK_ALLOWED and told_amounts.percents(row["text"]) != [least]:
                yield Finding(NAME, table.file, line, "text", row["text"], f"does not ask for {least:g} percent")


def _weak_recipes(package: CheckedPackage, least: float) -> Iterator[Finding]:
    for recipe in recipe_parts.every(package):
        for key in ("ingredients", "acid", "steps", "never_change", "may_change", "cautions", "doubtful"):
            for place, part in recipe.parts(key):
                chosen = (recipe_parts.word(one, "name") for _, one in recipe_parts.parts(part, "any_of"))
                for text in (recipe_parts.word(part, "name"), recipe_parts.word(part, "text"), *chosen):
                    yield from _weak(recipe.path, recipe.line(*place), "", text, least)


def _headspace(package: CheckedPackage) -> Iterator[Finding]:
    kinds = {row["id"]: _kind(row) for row in package.table("foods").rows}
    excepted = _exceptions(package)
    floors = {kind: _inches(package, rule) for kind, rule in HEADSPACE.items()}
    reached: set[str] = set()
    used: set[str] = set()
    for file, line, food, inches in _spaces(package):
        kind = kinds.get(food, "")
        if inches < floors[kind] and (food not in excepted or inches != excepted[food][1]):
            said = f"{inches:g} inch is under {floors[kind]:g}, the least headspace of its kind"
            page = package.rule(HEADSPACE[kind])["page"]
            yield Finding(NAME, file, line, "", "", said, f"page {page}", "compare, or add the row to exceptions.csv")
        elif inches < floors[kind]:
            used.add(food)
        elif inches == floors[kind]:
            reached.add(kind)
    for kind in HEADSPACE.keys() - reached:
        yield _unreached(package, HEADSPACE[kind], "no food has as little")
    table = package.table("exceptions")
    for food, (line, _, page) in excepted.items():
        pages = {row["page"] for row in package.table("headspace").rows if row["food"] == food}
        if food not in used:
            yield Finding(NAME, table.file, line, "", "", "excuses nothing", "", "remove this exception")
        elif page not in pages:
            yield Finding(NAME, table.file, line, "page", page, f"is not the page of the headspace of {food}")


def _kind(food: dict[str, str]) -> str:
    return food["acidity"] if food["acidity"] in HEADSPACE else food["group"] if food["group"] in HEADSPACE else ""


def _inches(package: CheckedPackage, rule: str) -> float:
    """Least headspace of a rule, inches: its figure or the lower end of its range."""
    figure = recipe_parts.amount_of(package.rule(rule)["value"].partition("-")[0])
    if figure is None:
        raise Unreadable(f'rule "{rule}" of {package.table("rules").file} has no figure')
    return figure


def _exceptions(package: CheckedPackage) -> dict[str, tuple[int, float, str]]:
    """Line, headspace and page of each food whose print has less than its kind, by food."""
    found = {}
    for line, row in package.table("exceptions").numbered():
        if row["check"] == NAME:
            found[row["food"]] = line, recipe_parts.amount_of(row["headspace_in"]) or 0.0, row["page"]
    return found


def _spaces(package: CheckedPackage) -> Iterator[tuple[str, int | None, str, float]]:
    """File, line, food and inches of each headspace of the table, and of recipes of foods that the table leaves out."""
    table = package.table("headspace")
    for line, row in table.numbered():
        inches = recipe_parts.amount_of(row["headspace_in"])
        if inches is not None:
            yield table.file, line, row["food"], inches
    own = {row["food"] for row in table.rows} | {row["food"] for row in package.table("relations").rows}
    for recipe in recipe_parts.every(package):
        for place, part in recipe.parts("headspace") if recipe.food not in own else ():
            inches = recipe_parts.amount(part.get("inches"))
            if inches is not None:
                yield recipe.path, recipe.line(*place), recipe.food, inches
