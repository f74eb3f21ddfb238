"""Changelog: the section of CHANGELOG.md that a change needs, and which changes a section names.

A section is written with one line per changed cell. A line written by hand counts as well, if it names the food and the
values. A line that names a jar, pack, canner or altitude band speaks for that one only.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import NamedTuple

from stillroom.desk.comparison import Change, Comparison
from stillroom.desk.strictness import ADDED, SCHEDULE_FILES, STRONGER, WEAKER, WITHDRAWN, WORDING, Row, number
from stillroom.screen import printable

UNRELEASED = "Unreleased"

_HEADING = re.compile(r"^##\s+(?P<title>\S.*)$")
_BULLET = re.compile(r"^\s*[-*+]\s+")
_COMMENT = re.compile(r"<!--.*?(?:-->|\Z)", re.DOTALL)
_FENCE = re.compile(r"^(```|~~~).*?(?:^\1|\Z)", re.DOTALL | re.MULTILINE)
_BAND = re.compile(
    r"([0-9][0-9,]*) ?(?:to|-|\u2013) ?([0-9][0-9,]*) ?(?:ft|feet)\b|above ([0-9][0-9,]*) ?(?:ft|feet)\b"
)
_NUMBER = re.compile(r"(?<![\w.,/-])[0-9][0-9,]*(?:\.[0-9]+)?(?![\w/-]|[.,][0-9])")
_JARS = ("half-pint", "pint-and-half", "half-gallon", "12-ounce", "pint", "quart")
_LONGEST_NAMED = 40
"""Characters of a text value that an entry must repeat; a longer one is named by its row and column."""


class Entry(NamedTuple):
    """One line of a section, with its continuation lines, in lower case without marks."""

    text: str


class Section(NamedTuple):
    """A section of CHANGELOG.md: what its heading says, and its entries."""

    title: str
    entries: tuple[Entry, ...]


# reading


def top_section(text: str) -> Section:
    """Read the topmost section; comments and code blocks do not count.

    Parameters
    ----------
    text : str
        CHANGELOG.md.
    """
    title, inside = "", []
    for line in _visible(text).splitlines():
        heading = _HEADING.match(line)
        if heading is not None and title:
            break
        if heading is not None:
            title = heading["title"].strip()
        elif title:
            inside.append(line)
    return Section(title, _entries(inside))


def all_entries(text: str) -> frozenset[Entry]:
    """Read the entries of all sections."""
    return frozenset(_entries(_visible(text).splitlines()))


def _visible(text: str) -> str:
    return _FENCE.sub("", _COMMENT.sub("", text))


def _entries(lines: Iterable[str]) -> tuple[Entry, ...]:
    found: list[list[str]] = []
    open_entry = False
    for line in lines:
        if _BULLET.match(line):
            found.append([_BULLET.sub("", line)])
            open_entry = True
        elif open_entry and line.startswith((" ", "\t")) and line.strip():
            found[-1].append(line.strip())
        else:
            open_entry = False
    return tuple(Entry(_plain(" ".join(parts))) for parts in found)


def _plain(text: str) -> str:
    return " ".join(re.sub(r"[`*_]{1,3}(?=\S)|(?<=\S)[`*]{1,3}", "", text).replace("\u2192", "->").casefold().split())


# which entry names which change


class Names:
    """Names of foods, as an entry may write them.

    Parameters
    ----------
    foods : iterable of Row
        Rows of schedules/foods.csv of both versions.
    """

    def __init__(self, foods: Iterable[Row]) -> None:
        self._foods: dict[str, set[str]] = {}
        for row in foods:
            for name in (row["id"], row["id"].replace("-", " "), row["title"]):
                if name:
                    self._foods.setdefault(" ".join(name.casefold().split()), set()).add(row["id"])
        self._ids = frozenset(food for ids in self._foods.values() for food in ids)
        self._read: dict[str, tuple[frozenset[str], str]] = {}
        longest_first = sorted(self._foods, key=len, reverse=True)
        alternatives = "|".join(re.escape(name) for name in longest_first) or r"(?!)"
        self._pattern = re.compile(rf"(?<![\w-])(?:{alternatives})(?![\w-])")

    def found(self, text: str) -> tuple[frozenset[str], str]:
        """Find the foods an entry names, the longest name first; give them and the entry without their names."""
        if text not in self._read:
            self._read[text] = self._found(text)
        return self._read[text]

    def _found(self, text: str) -> tuple[frozenset[str], str]:
        found: set[str] = set()

        def take(match: re.Match[str]) -> str:
            found.update(self._foods[match[0]])
            return "~"

        rest = self._pattern.sub(take, text)
        return frozenset(found), rest

    def known(self, food: str) -> bool:
        """Whether a food goes by this id."""
        return food in self._ids


def names_change(entry: Entry, change: Change, names: Names) -> bool:
    """Whether an entry names a change: what it is about, and the old and the new value.

    Parameters
    ----------
    entry : Entry
        Of the section.
    change : Change
        Of the comparison.
    names : Names
        Foods of both versions.
    """
    foods, rest = names.found(entry.text)
    if names.known(change.name):
        if change.name not in foods:
            return False
    elif not _phrase(change.name, entry.text):
        return False
    if not _speaks_for(rest, change.row):
        return False
    return all(_value_named(value, change, rest, entry.text) for value in (change.old, change.new) if value)


def _phrase(words: str, text: str) -> bool:
    wanted = " ".join(words.casefold().split())
    return bool(wanted) and re.search(rf"(?<![\w-]){re.escape(wanted)}(?![\w-])", text) is not None


def _speaks_for(text: str, row: Row) -> bool:
    """Whether the jar, pack, canner and band that an entry names, if any, are those of the row."""
    if not row:
        return True
    jars = {jar for jar in _JARS if _phrase_of_jar(jar, text)}
    packs = {pack for pack in ("hot", "raw") if _phrase(pack, text)}
    canners = {
        word for word in ("dial", "weighted", "boiling-water") if re.search(rf"\b{word.replace('-', '[- ]')}", text)
    }
    if _conflict(jars, row.get("jar", "")) or _conflict(packs, row.get("pack", "")):
        return False
    if _conflict(canners, row.get("gauge") or row.get("method") or row.get("canner", "")):
        return False
    low = row.get("altitude_from_ft") or row.get("alt_lo_ft", "")
    bands = {_low_edge(match) for match in _BAND.finditer(text)}
    return not (low and bands and low not in bands)


def _phrase_of_jar(jar: str, text: str) -> bool:
    pattern = re.escape(jar).replace(r"\-", "[- ]")
    before = r"(?<!half[- ])" if jar in ("pint",) else ""
    after = r"(?![- ]and[- ])" if jar == "pint" else ""
    return re.search(rf"(?<![\w]){before}{pattern}s?{after}(?!\w)", text) is not None


def _conflict(named: set[str], own: str) -> bool:
    return bool(own) and bool(named) and own not in named


def _low_edge(band: re.Match[str]) -> str:
    if band[3]:
        return str(int(band[3].replace(",", "")) + 1)
    return str(int(band[1].replace(",", "")))


def _value_named(value: str, change: Change, rest: str, whole: str) -> bool:
    """Whether an entry repeats a value; of a whole row, all its figures."""
    text = rest if change.column.startswith("altitude") else _BAND.sub(" ", rest)
    said = {number(match[0].replace(",", "")) for match in _NUMBER.finditer(text)}
    if number(value) is not None:
        return number(value) in said
    if not change.column and change.file in SCHEDULE_FILES:
        figures = [number(match[0]) for match in _NUMBER.finditer(value)]
        return all(figure in said for figure in figures)
    if len(value) <= _LONGEST_NAMED:
        return _phrase(value, whole) or _phrase(value.replace("-", " "), whole)
    return not change.column or _phrase(change.column, whole) or _phrase(change.column.replace("_", " "), whole)


# writing

_PARTS = (
    (WEAKER, "Data: weaker"),
    (ADDED, "Data: added"),
    (WITHDRAWN, "Data: withdrawn"),
    (STRONGER, "Data: stronger"),
    (WORDING, "Wording"),
)


def section(comparison: Comparison) -> str:
    """Write the section that a change needs: its version, then one line per changed cell, data first.

    Parameters
    ----------
    comparison : Comparison
        What changed.
    """
    if not comparison.changes:
        return ""
    new = comparison.new_release
    parts = [f"## {printable(new, 40) if new and new != comparison.old_release else UNRELEASED}"]
    for kind, title in _PARTS:
        lines = [f"- {sentence(change)}" for change in comparison.changes if change.kind == kind]
        if lines:
            parts += ["", f"### {title}", *lines]
    return "\n".join(parts) + "\n"


def sentence(change: Change) -> str:
    """Say one change in a line: what, the old and the new value, the source and the page."""
    return printable(f"{change.what}: {said(change)}{_cited(change)}")


def said(change: Change) -> str:
    """Say what happened to the value."""
    if change.old is None:
        return f"added, {one_line(change.new)}"
    if change.new is None:
        return f"withdrawn, {one_line(change.old)}" if change.kind != WEAKER else f"lost, {one_line(change.old)}"
    column = f"{change.column} " if change.column else ""
    return f"{column}{one_line(change.old)} -> {one_line(change.new)}"


def one_line(text: str | None) -> str:
    """Write a value in one line; a blank one is called none."""
    plain = "".join(c if c.isprintable() else " " for c in text or "")
    return " ".join(plain.split()) or "none"


def _cited(change: Change) -> str:
    source = change.source or change.old_source
    return f" ({', '.join(part for part in (source, change.page) if part)})" if source else ""
