"""Vocabulary: the small tables of shared/ say what their ids say.

What it does
------------
Jars: title, plural and volume follow from the id (a pint is 16 fluid ounces). Packs, gauges, canners and forms: the
title holds the words of the id; a canner's method and gauge are those of its name. A jar rule carries a time from a jar
of its statement to the other, never to a larger one; for every food only where a general rule does. A relation, an
exception and a guide are left to the checks of their own.
People's words for jars, canners, packs and forms stand in the form in which words are compared; each leads to one thing
only: an id, several ids it leaves open, an entry of withheld.csv, or nothing where it is passed over; never to another
jar, canner, pack or form than our own words lead to. A measure holds what its name says. A word that is left out of
names tells nothing: no name of a food without it is a name of something else.

Why it matters
--------------
These few words stand in every answer: a raw pack titled hot tells each reader the wrong thing, though no number
moved.

Example
-------
``shared/jars.csv:5: vocabulary: volume_fl_oz "24" is not the volume of a pint; 16``

Source
------
US customary liquid measure: 1 gallon is 4 quarts, 8 pints, 16 cups, 128 fluid ounces; an imperial gallon is 4.54609
liters (NIST Handbook 44, appendix C).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from stillroom.findings.finding import Finding
from stillroom.findings.jar_volume import volume

if TYPE_CHECKING:
    from stillroom.findings.opened import CheckedPackage
    from stillroom.findings.table import Table

NAME = "vocabulary"
CANNERS = {"boiling-water": ("boiling-water", ""), "dial": ("pressure", "dial"), "weighted": ("pressure", "weighted")}
"""Method and gauge of each canner."""


def check(package: CheckedPackage) -> Iterator[Finding]:
    """Yield words that do not say what their ids say."""
    yield from _jars(package.table("jars"))
    for name, column in (("packs", "id"), ("gauges", "id"), ("canners", "id"), ("forms", "form")):
        yield from _titles(package.table(name), column)
    yield from _canners(package.table("canners"))
    yield from _jar_rules(package.table("jar-rules"))
    yield from _general_jar_rules(package)
    yield from _jar_words(package.table("jar-words"))
    yield from _canner_words(package)
    for name, own, column in (("pack-words", "packs", "pack"), ("form-words", "forms", "form")):
        yield from _against_own(package, name, own, column)
    yield from _fillers(package)


def _at(table: Table, line: int, column: str, row: dict[str, str], wrong: str) -> Finding:
    return Finding(NAME, table.file, line, column, row[column], wrong, "", "mend it")


def _jars(table: Table) -> Iterator[Finding]:
    numbers = table.number("volume_fl_oz").tolist()
    for (line, row), fluid_ounces in zip(table.numbered(), numbers, strict=True):
        named = volume(row["id"])
        if named != fluid_ounces:
            given = "" if named is None else f"; it is {named:g}"
            yield _at(table, line, "volume_fl_oz", row, f"is not the volume of a {row['id']}{given}")
        for column in ("title", "plural"):
            if _letters(row[column]) & _MEASURES != _letters(row["id"]) & _MEASURES:
                yield _at(table, line, column, row, f"does not name a {row['id']} jar")
        if not row["title"].endswith(" jar"):
            yield _at(table, line, "title", row, "does not end with jar")


_MEASURES = {"half", "pint", "quart", "gallon", "ounce"}


def _letters(text: str) -> set[str]:
    words = text.lower().replace("-", " ").split()
    return {word.removesuffix("s") for word in words}


def _titles(table: Table, column: str) -> Iterator[Finding]:
    for line, row in table.numbered():
        missing = [w for w in row[column].split("-") if w not in row["title"].lower().replace("-", " ").split()]
        if missing:
            yield _at(table, line, "title", row, f"does not hold the words of {row[column]}")


def _canners(table: Table) -> Iterator[Finding]:
    for line, row in table.numbered():
        wanted = CANNERS.get(row["id"])
        for column, value in zip(("method", "gauge"), wanted or (), strict=False):
            if row[column] != value:
                yield _at(table, line, column, row, f"is not the {column} of a {row['id']} canner")


def _jar_rules(table: Table) -> Iterator[Finding]:
    for line, row in table.numbered():
        before, _, after = row["statement"].replace("-a-", "-").partition(" take the time printed for ")
        for column, said in (("jar", before), ("takes", after)):
            if row[column] != said.replace(" jars", "").removesuffix("s").partition(" of ")[0]:
                yield _at(table, line, column, row, "is not the jar of its statement")
        if (volume(row["jar"]) or 0) > (volume(row["takes"]) or 0):
            yield _at(table, line, "takes", row, f"is smaller than a {row['jar']}, whose time it may not give")
        if row["food"] != before.partition(" of ")[2]:
            yield _at(table, line, "food", row, "is not the food of its statement")


def _general_jar_rules(package: CheckedPackage) -> Iterator[Finding]:
    """Yield rules for the jars of every food that no general rule of shared/rules.csv states on the same page."""
    table = package.table("jar-rules")
    stated = {row["id"].removeprefix("same-time-"): row for row in package.table("rules").rows}
    for line, row in table.numbered():
        general = stated.get(row["jar"], {})
        said = (
            general.get("statement", "").replace("one-and-a-half-pint", "pint-and-half").replace(" and ", " ").split()
        )
        if not row["food"] and ({row["jar"], row["takes"]} - set(said) or general.get("page") != row["page"]):
            yield _at(table, line, "jar", row, "has no general rule of its own for every food")


_NEEDS = {
    "us-unit": "amount",
    "other-unit": "amount",
    "number": "amount",
    "open": "jar",
    "practice": "withheld",
    "word": "canner",
}
"""The one column that a word of each kind fills; none where the kind is not here."""
_MEASURE = (
    (("half gallon", "halfgallon"), 64),
    (("half pint", "halfpint"), 8),
    (("imperial pint", "british pint", "uk pint"), 568.26125),
    (("imperial quart", "british quart", "uk quart"), 1136.5225),
    (("imperial gallon", "british gallon", "uk gallon"), 4546.09),
    (("pint", "pt"), 16),
    (("quart", "qt", "qrt"), 32),
    (("gal",), 128),
    (("cup",), 8),
    (("oz", "ounce", "ozs", "fl", "fluid"), 1),
    (("ml", "milli", "cc"), 1),
    (("cl", "centi"), 10),
    (("dl", "deci"), 100),
    (("l", "lit"), 1_000),
)
"""Fluid ounces or milliliters of a measure, by how its name begins; the first that fits counts."""


def _jar_words(table: Table) -> Iterator[Finding]:
    kinds: dict[str, str] = {}
    for line, row in table.numbered():
        yield from _filled(table, line, row, ("amount", "jar", "withheld"))
        if kinds.setdefault(row["word"], row["kind"]) != row["kind"]:
            yield _at(table, line, "word", row, f"is also {kinds[row['word']]}")
        named = next((amount for begins, amount in _MEASURE if row["word"].startswith(begins)), None)
        if row["kind"].endswith("-unit") and row["amount"] and float(row["amount"]) != named:
            yield _at(table, line, "amount", row, f"is not what a {row['word']} holds")


def _filled(table: Table, line: int, row: dict[str, str], columns: tuple[str, ...]) -> Iterator[Finding]:
    """What a word leads to stands in the column of its kind and in no other."""
    needed = "withheld" if row["kind"] == "word" and row["withheld"] else _NEEDS.get(row["kind"])
    for column in columns:
        if bool(row[column]) != (column == needed):
            said = "is blank, and the kind needs it" if column == needed else f"does not belong to a {row['kind']}"
            yield _at(table, line, column, row, said)


def _canner_words(package: CheckedPackage) -> Iterator[Finding]:
    table = package.table("canner-words")
    means: dict[str, set[str]] = {}
    for line, row in table.numbered():
        yield from _filled(table, line, row, ("canner", "withheld"))
        kind = "filler" if row["kind"] == "filler" else f"withheld {row['withheld']}" if row["withheld"] else "canner"
        others = means.setdefault(row["word"], set())
        if others - {kind}:
            yield _at(table, line, "word", row, f"also leads to {sorted(others - {kind})[0]}")
        others.add(kind)
    yield from _against_own(package, "canner-words", "canners", "canner")


def _against_own(package: CheckedPackage, name: str, own: str, column: str) -> Iterator[Finding]:
    """A word in the form words are compared in, which is none of our own words for something else."""
    from stillroom.answers.stems import plain

    table = package.table(name)
    ours: dict[tuple[str, str], str] = {}
    for _, row in package.table(own).numbered():
        which = row.get("form", row.get("id", ""))
        ours |= {(row.get("food", ""), plain(word)): which for word in (which, row["title"])}
    for line, row in table.numbered():
        if row["word"] != plain(row["word"]):
            yield _at(table, line, "word", row, f"is compared as {plain(row['word'])}")
        known = ours.get((row.get("food", ""), row["word"]))
        if known is not None and row[column] != known:
            yield _at(table, line, "word", row, f"is our own word for {known}")
        if own == "forms" and (row["food"], plain(row["form"])) not in ours:
            yield _at(table, line, "form", row, f"is no form of {row['food']}")


def _fillers(package: CheckedPackage) -> Iterator[Finding]:
    """A word left out of names turns none into a name of something else, as creamed would turn creamed corn."""
    means = _meanings(package)
    table = package.table("filler-words")
    for line, row in table.numbered():
        for name, meant in means.items():
            rest = " ".join(word for word in name.split() if word != row["word"])
            if rest != name and meant.isdisjoint(means.get(rest, meant)):
                yield _at(table, line, "word", row, f'is left out of names, and without it "{name}" is {rest}')
                break


def _meanings(package: CheckedPackage) -> dict[str, set[str]]:
    """Foods and forms that every name means, by its words as they are compared."""
    from stillroom.answers.stems import plain

    means: dict[str, set[str]] = {}
    for name, said, meant in (("foods", "title", "id"), ("aliases", "alias", "food"), ("open-names", "name", "food")):
        for _, row in package.table(name).numbered():
            means.setdefault(plain(row[said]), set()).add(f"{row[meant]} {row.get('form', '')}".strip())
    return means
