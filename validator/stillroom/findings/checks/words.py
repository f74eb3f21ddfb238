"""Words: names are plain Latin, every alias shares a telling word with its food, and open names leave a choice.

What it does
------------
A name people ask by holds Latin letters (with accents, as one character each), digits 0 to 9, spaces and plain
punctuation; a letter of another script that looks alike, a character that is not seen, or a combining mark is a
finding.

Every alias must be reached from the id, the title and the captions of its food by names that share a word, compared
by stems; two words written as one count as both (sweet potato, sweetpotato). So *ahi* needs *ahi tuna* beside it.
Words that say how a thing is cut, packed, cooked, colored or served, and not what it is, do not count: ``WEAK`` names
them. They count for a food whose own id has no other (soups), and a name of such words alone needs each of them
beside a name that is tied to the food (mince, of minced meat).

A name in ``open-names.csv`` has at least two meanings, and is no alias or title, and no name of something withheld,
compared by stems in their order. It is the id of a food only if it is spelled like the id and that food is one of its
meanings: *lima beans* are fresh or dried, ``lima-beans`` are the fresh ones.

Why it matters
--------------
An alias that shares nothing with its food is most often an alias of another food, and gives its time. A letter that
only looks like another makes a second name that no eye tells from the first. An open name with one meaning is no
question.

Example
-------
``schedules/aliases.csv:9: words: alias "broccoli" shares no telling word with the other names of snap-beans``

Source
------
Names are the field's own and need no page; captions are those of the schedule tables.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from itertools import pairwise
from typing import TYPE_CHECKING

from stillroom.findings.finding import Finding

if TYPE_CHECKING:
    from stillroom.findings.opened import CheckedPackage

NAME = "words"
_HOW = """
add added baby baked black blue bone boned boneless brined broth brown butter canned chopped chunk coin cold
common cooked crushed cube cubed cut dark day diced dried dry fermented filling food free fresh fruit garden
golden green ground half halved halves hard home homemade hot in jam jar jellie jelly juice kind large leaf light
liquid low made marinated meat minced mini mix mixed no not oil old one other pack packed pectin peeled pickle
pickled pickling pie piece pink pint plain pod pressed puree pureed purple quart quarter quartered quick raw red
reduced regular relish ring ripe roasted rounds salad salsa salt sauce seedless shelled shucked slice sliced small
smoked sodium soft soup sour spiced spicy spread stew stewed stock strip style sugar sweet syrup table three top
two type unpeeled unripe variety vegetable vinegar water wedge week white whole wild with without year yellow
young
"""
WEAK = frozenset(_HOW.split())
"""Words that say how and not what; compared by stems."""
_PLAIN = re.compile(r"[ -~]|[\u00c0-\u00d6\u00d8-\u00f6\u00f8-\u024f]|\u2013|\u2014|\u2019")


def check(package: CheckedPackage) -> Iterator[Finding]:
    """Yield names with letters that are not plain, aliases without kin, and open names that are not open."""
    yield from _letters(package)
    yield from _strangers(package)
    yield from _open(package)


def _letters(package: CheckedPackage) -> Iterator[Finding]:
    for name, column in (("aliases", "alias"), ("open-names", "name"), ("withheld-names", "alias")):
        table = package.table(name)
        for line, row in table.numbered():
            strange = sorted({c for c in row[column] if not _PLAIN.fullmatch(c)})
            if strange:
                said = f"holds U+{ord(strange[0]):04X}, which is no Latin letter, digit or plain punctuation"
                yield Finding(NAME, table.file, line, column, row[column], said, "", "type the name anew")


def _stems(name: str) -> tuple[str, ...]:
    from stillroom.answers.stems import ordered, plain

    return ordered(plain(name))


def _weak() -> frozenset[str]:
    return frozenset(stem for word in WEAK for stem in _stems(word))


def _telling(name: str, weak: frozenset[str]) -> frozenset[str]:
    """Stems of a name that say what it is, and each two neighbors written as one."""
    found = _stems(name)
    joined = (_joined(left, right) for left, right in pairwise(name.split()))
    return frozenset(stem for stem in found if stem not in weak and not stem.isdigit()).union(*joined)


def _joined(left: str, right: str) -> tuple[str, ...]:
    return _stems(left + right) if left.isalpha() and right.isalpha() else ()


def _roots(package: CheckedPackage) -> dict[str, list[str]]:
    """Id, title and captions of each food."""
    roots = {row["id"]: [row["id"].replace("-", " "), row["title"]] for row in package.table("foods").rows}
    pairs = package.schedules[["food", "caption"]].drop_duplicates()
    for food, caption in pairs.itertuples(index=False, name=None):
        roots.setdefault(food, []).append(caption)
    return roots


def _strangers(package: CheckedPackage) -> Iterator[Finding]:
    table, weak = package.table("aliases"), _weak()
    named: dict[str, list[tuple[int, str]]] = {}
    for line, row in table.numbered():
        named.setdefault(row["food"], []).append((line, row["alias"]))
    roots = _roots(package)
    for food, names in named.items():
        own = roots.get(food, [food])
        counted = weak if _telling(own[0], weak) - _joins(own[0]) else weak - frozenset(_stems(own[0]))
        for line, alias in _unreached(own, names, counted):
            said = f"shares no telling word with the other names of {food}"
            mend = "remove it, or add the name that ties it to the food"
            yield Finding(NAME, table.file, line, "alias", alias, said, "", mend)


def _joins(name: str) -> frozenset[str]:
    words = name.split()
    return frozenset(stem for left, right in pairwise(words) for stem in _joined(left, right))


def _unreached(roots: Iterable[str], names: list[tuple[int, str]], weak: frozenset[str]) -> list[tuple[int, str]]:
    """Names that no chain of shared words ties to the roots."""
    reached = frozenset[str]().union(*(_telling(root, weak) for root in roots))
    said = {stem for root in roots for stem in _stems(root)}
    left = [(line, alias, _telling(alias, weak)) for line, alias in names]
    while met := [one for one in left if one[2] & reached]:
        left = [one for one in left if not one[2] & reached]
        reached = reached.union(*(words for _, _, words in met))
        said.update(stem for _, alias, _ in met for stem in _stems(alias))
    return [(line, alias) for line, alias, words in left if words or not said.issuperset(_stems(alias))]


def _open(package: CheckedPackage) -> Iterator[Finding]:
    table, known = package.table("open-names"), _known(package)
    meanings: dict[tuple[str, ...], set[tuple[str, str]]] = {}
    spelled: dict[tuple[str, ...], str] = {}
    for _, row in table.numbered():
        meanings.setdefault(_stems(row["name"]), set()).add((row["food"], row["form"]))
    for line, row in table.numbered():
        key = _stems(row["name"])
        if len(meanings[key]) < 2:
            said = "has one meaning only, so nothing is open"
            yield Finding(NAME, table.file, line, "name", row["name"], said, "", "add the others, or make it an alias")
        if key in known and not (known[key][1] == "id" and _spelled_like_its_food(row["name"], meanings[key])):
            said = f"is also a name in {known[key][0]}"
            yield Finding(NAME, table.file, line, "name", row["name"], said, "", "keep the name in one table")
        if spelled.setdefault(key, row["name"]) != row["name"]:
            said = f'is the same name as "{spelled[key]}"'
            yield Finding(NAME, table.file, line, "name", row["name"], said, "", "spell it in one way")


def _spelled_like_its_food(name: str, meanings: Iterable[tuple[str, str]]) -> bool:
    return name.replace(" ", "-") in {food for food, _ in meanings}


def _known(package: CheckedPackage) -> dict[tuple[str, ...], tuple[str, str]]:
    """Every other name by its stems, with the table and the column it stands in."""
    known: dict[tuple[str, ...], tuple[str, str]] = {}
    for name, columns in (
        ("foods", ("title",)),
        ("foods", ("id",)),
        ("aliases", ("alias",)),
        ("withheld", ("id", "title")),
        ("withheld-names", ("alias",)),
    ):
        table = package.table(name)
        for row in table.rows:
            for column in columns:
                known.setdefault(_stems(row[column]), (table.file, column))
    return known
