"""Acid: every amount in acid.csv is the one that all readings and the recipe of its food give, used as they say.

What it does
------------
Compares acid.csv with the two readings of the acid amounts: food, jar, acid, quantity, unit, per what, the source, and
the page of the first reading. A reading that lost a quantity leaves it blank; then the other one stands alone. Whether
the acid goes into each jar, the batch or a soak, is optional, or is one of several to choose from, must be as the
second reading noted it. The two readings of the food sections name each amount once more, but for those of an option. A
recipe names the acid of acid.csv and no other, in its lists and where its steps tell how much goes into a jar.

Why it matters
--------------
The acid of an acidified food is what keeps botulinum from growing; its time in boiling water does not hold without it.
Half the lemon juice, or a "must" that became an option, makes a jar dangerous that looks the same.

Example
-------
``schedules/acid.csv:7: acid: quantity "0.5" is 1 in both readings; compare with page 2-20``

Source
------
USDA Complete Guide to Home Canning, 2015, among others pages 2-14 (figs), 3-5 (tomatoes) and 5-9 (crab).
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

from stillroom.findings import recipe_parts, told_amounts
from stillroom.findings.finding import Finding
from stillroom.findings.recipe_acid import Named, acid_of, fits
from stillroom.findings.recipe_parts import Recipe
from stillroom.findings.sections import READINGS, Section, by_food, known_names

if TYPE_CHECKING:
    from stillroom.findings.opened import CheckedPackage
    from stillroom.findings.table import Table

NAME = "acid"
_OPTIONAL = re.compile(r"\boptional\b|\bonly when\b|\bseasoning only\b")
_SOAKED = re.compile(r"\bdrained\b")
_CHOICE = re.compile(r"\beither this or\b|\binstead of\b|\bsection refers to\b")
_LETTERS = re.compile(r"[a-z]{4,}")


class _Entry(NamedTuple):
    line: int
    row: dict[str, str]

    @property
    def amount(self) -> tuple[str, ...]:
        return tuple(self.row[name] for name in ("food", "jar", "quantity", "unit", "per"))


def check(package: CheckedPackage) -> Iterator[Finding]:
    """Yield amounts and uses that the readings do not give."""
    table = package.table("acid")
    stored = [_Entry(*pair) for pair in table.numbered()]
    first, second = (
        [_Entry(*pair) for pair in package.table(name).numbered()]
        for name in ("reading-acid-first", "reading-acid-second")
    )
    files = package.table("reading-acid-first").file, package.table("reading-acid-second").file
    of_food = _by_food(stored)
    in_first, in_second = _by_food(first), _by_food(second)
    for entry in stored:
        own_first, own_second = (read.get(entry.row["food"], []) for read in (in_first, in_second))
        yield from _amount(table, entry, own_first, own_second)
        yield from _use(table, entry, own_second)
    yield from _unused(files[0], first, of_food)
    yield from _unused(files[1], second, of_food)
    yield from _choices(table, stored)
    yield from _sections(package, stored)
    for recipe in recipe_parts.every(package):
        yield from _recipe(table, recipe, of_food.get(recipe.food, []))


def _by_food(entries: list[_Entry]) -> dict[str, list[_Entry]]:
    by_food: dict[str, list[_Entry]] = {}
    for entry in entries:
        by_food.setdefault(entry.row["food"], []).append(entry)
    return by_food


def _at(file: str, entry: _Entry, column: str, wrong: str, mend: str = "") -> Finding:
    page = f"compare with page {entry.row['page']}"
    return Finding(NAME, file, entry.line, column, entry.row[column] if column else "", wrong, "", mend or page)


def _same(stored: _Entry, read: _Entry, lost: bool = False) -> bool:
    """Whether a row of a reading is this row; ``lost``: all but the quantity, which the reading lost."""
    if lost:
        if read.row["quantity"] != "" or read.amount[:2] + read.amount[3:] != stored.amount[:2] + stored.amount[3:]:
            return False
    elif read.amount != stored.amount:
        return False
    rest = read.row["acid"].removeprefix(stored.row["acid"])
    if rest == read.row["acid"] or (rest and not rest.startswith(" ")):
        return False
    words = set(_LETTERS.findall(stored.row["note"]))
    said = set(_LETTERS.findall(f"{rest} {read.row['note']}"))
    return not rest or bool(words & set(_LETTERS.findall(rest))) or " any " in stored.row["note"] or bool(words & said)


def _amount(table: Table, entry: _Entry, first: list[_Entry], second: list[_Entry]) -> Iterator[Finding]:
    one = [read for read in first if _same(entry, read)]
    two = [read for read in second if _same(entry, read)]
    if not two and one:
        two = [read for read in second if _same(entry, read, lost=True)]
    if one and two:
        if all(read.row["page"] != entry.row["page"] for read in one):
            yield _at(table.file, entry, "page", f"is {one[0].row['page']} in the first reading (line {one[0].line})")
        for read, which in ((one, "first"), (two, "second")):
            if all(r.row["source"] != entry.row["source"] for r in read):
                said = f"is {read[0].row['source']} in the {which} reading (line {read[0].line})"
                yield _at(table.file, entry, "source", said)
        return
    which = "neither reading" if not (one or two) else "the first reading only" if one else "the second reading only"
    near = [r for r in (*first, *second) if r.row["food"] == entry.row["food"] and r.row["jar"] == entry.row["jar"]]
    best = max(
        near, key=lambda r: sum(r.row[n] == entry.row[n] for n in ("acid", "quantity", "unit", "per")), default=None
    )
    column = next((n for n in ("quantity", "unit", "per", "acid") if best and best.row[n] != entry.row[n]), "food")
    given = f"; {best.row[column]} is read there (line {best.line})" if best and column != "food" else ""
    yield _at(table.file, entry, column, f"is given by {which}{given}")


def _use(table: Table, entry: _Entry, second: list[_Entry]) -> Iterator[Finding]:
    notes = " ".join(r.row["note"] for r in second if _same(entry, r) or _same(entry, r, lost=True))
    if not notes and not any(_same(entry, r) for r in second):
        return
    use = (
        "option" if _OPTIONAL.search(notes) else "soak" if _SOAKED.search(notes)
        else "jar" if entry.row["per"] == "jar" else "batch"
    )  # fmt: skip
    if entry.row["use"] != use:
        yield _at(table.file, entry, "use", f"is {use} by the second reading")
    if bool(entry.row["any_of"]) != bool(_CHOICE.search(notes)):
        said = "makes this acid one of several" if entry.row["any_of"] else "makes this acid the only one"
        yield _at(table.file, entry, "any_of", f"{said}; the second reading does not")


def _unused(file: str, read: list[_Entry], stored: dict[str, list[_Entry]]) -> Iterator[Finding]:
    for entry in read:
        if entry.row["quantity"] and not any(_same(s, entry) for s in stored.get(entry.row["food"], ())):
            said = f"{entry.row['acid']} for {entry.row['food']} {entry.row['jar']}".strip()
            yield _at(file, entry, "", f"{said}: this amount is not in acid.csv", "add it there, or mend the reading")
        elif not entry.row["quantity"] and not entry.row["note"].startswith("lost: "):
            yield _at(file, entry, "quantity", "is blank without saying that it was lost")


def _choices(table: Table, stored: list[_Entry]) -> Iterator[Finding]:
    groups = Counter((e.row["food"], e.row["jar"], e.row["use"], e.row["any_of"]) for e in stored if e.row["any_of"])
    for entry in stored:
        key = (entry.row["food"], entry.row["jar"], entry.row["use"], entry.row["any_of"])
        if groups.get(key) == 1:
            yield _at(table.file, entry, "any_of", "has nothing to choose from", "give all alternatives one letter")


def _sections(package: CheckedPackage, stored: list[_Entry]) -> Iterator[Finding]:
    """Yield amounts, and strengths of vinegar, that the readings of the food sections do not tell."""
    table, known = package.table("acid"), known_names(package)
    follows = {row["food"]: row["follows"] for row in package.table("relations").rows}
    for name in READINGS:
        read = package.table(name)
        of_foods = by_food(read, known)
        texts = {food: "; ".join(section.row["acid"] for section in of) for food, of in of_foods.items()}
        yield from _untold(read, of_foods, stored, follows)
        for entry in stored:
            row = entry.row
            own = texts.get(row["food"], "")
            told = own if told_amounts.amounts(own) else texts.get(follows.get(row["food"], ""), "")
            amount = recipe_parts.amount_of(row["quantity"])
            if row["use"] == "option" or amount is None:
                continue
            if (told_amounts.rounded(amount), row["unit"]) not in told_amounts.amounts(told):
                yield _at(table.file, entry, "quantity", f"{row['unit']} is not told for {row['food']} in {read.file}")
            if "vinegar" in row["acid"] and set(told_amounts.percents(told)) != set(told_amounts.percents(row["acid"])):
                yield _at(table.file, entry, "acid", f"has another strength than {read.file} tells")


def _untold(
    read: Table, sections: dict[str, list[Section]], stored: list[_Entry], follows: dict[str, str]
) -> Iterator[Finding]:
    """Yield amounts of acid that a reading of the food sections tells and acid.csv has not."""
    have: dict[str, set[tuple[float | None, str]]] = {}
    for entry in stored:
        amount = recipe_parts.amount_of(entry.row["quantity"]), entry.row["unit"]
        have.setdefault(entry.row["food"], set()).add(amount)
    for food, of in sections.items():
        amounts = have.get(food, set()) | have.get(follows.get(food, ""), set())
        for section in of if food else ():
            for told, unit, acid in told_amounts.acids(section.row["acid"]):
                if (told, unit) not in amounts:
                    said = f"tells {told:g} {unit} of {acid}, which is not in acid.csv for {food}"
                    yield Finding(NAME, read.file, section.line, "acid", section.row["acid"], said)


def _recipe(table: Table, recipe: Recipe, stored: list[_Entry]) -> Iterator[Finding]:
    """Yield acid of a recipe that acid.csv has not, acid of acid.csv that the recipe has not, and amounts told."""
    given = acid_of(recipe)
    for one in given:
        if not any(fits(one, entry.row) for entry in stored):
            said = f"{_said(one)}: is not in {table.file}"
            yield Finding(NAME, recipe.path, recipe.line(*one.place), "", "", said, "", "compare with the printed page")
    for entry in stored:
        if not any(fits(one, entry.row) for one in given):
            yield _at(table.file, entry, "acid", f"is not so in the recipe, {recipe.path}")
    if any(entry.row["use"] == "jar" for entry in stored):
        yield from _told(recipe, stored)


def _said(one: Named) -> str:
    return f"{one.quantity:g} {one.unit} of {one.acid} for the {one.jar or sorted(one.per)[0]}, use {one.use}"


def _told(recipe: Recipe, stored: list[_Entry]) -> Iterator[Finding]:
    """Yield a recipe whose steps put no acid into the jars, and amounts in its sentences that are none of acid.csv."""
    steps = " ".join(recipe_parts.word(part, "text") for _, part in recipe.parts("steps"))
    if not any(acid in steps for acid in ("lemon juice", "citric acid", "vinegar")):
        said = "steps: none puts the acid into the jars"
        yield Finding(NAME, recipe.path, recipe.line("steps"), "", "", said, "", "compare with the printed page")
    amounts = [(recipe_parts.amount_of(e.row["quantity"]), e.row["unit"], e.row["acid"]) for e in stored]
    for key in ("steps", "never_change", "may_change", "cautions"):
        for place, part in recipe.parts(key):
            for amount, unit, acid in told_amounts.acids(recipe_parts.word(part, "text")):
                if not any(amount == of and unit == measure and acid in name for of, measure, name in amounts):
                    said = f"{amount:g} {unit} of {acid} is told here, no amount of this food in acid.csv"
                    yield Finding(NAME, recipe.path, recipe.line(*place), "", "", said, "", "compare with the page")
