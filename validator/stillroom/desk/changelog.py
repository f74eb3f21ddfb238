"""Changelog: the section of CHANGELOG.md that a change needs, line for line.

A section has one line for what changed of the answers of each food, then one per changed cell. A line counts only as
it is printed here; where it is broken and goes on in the next line, and which mark begins it, does not matter.
Comments, code blocks and sections with HTML in them hide text from people, and count for nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import NamedTuple

from stillroom.desk import told
from stillroom.desk.comparison import Change, Comparison
from stillroom.desk.strictness import ADDED, STRONGER, WEAKER, WITHDRAWN, WORDING
from stillroom.screen import printable

UNRELEASED = "Unreleased"
LONGEST = 4_000
"""Longest line of a section, characters."""

_HEADING = re.compile(r"^##\s+(?P<title>\S.*)$")
_BULLET = re.compile(r"^\s{0,3}[-*+]\s+")
_COMMENT = re.compile(r"<!--.*?(?:-->|\Z)", re.DOTALL)
_FENCE = re.compile(r"^(```|~~~).*?(?:^\1|\Z)", re.DOTALL | re.MULTILINE)
_HTML = re.compile(r"</?[a-zA-Z][^<>]*>")


class Section(NamedTuple):
    """A section of CHANGELOG.md: its heading, its entries, and whether HTML in it may hide some.

    An entry is one line with those that continue it, with single spaces.
    """

    title: str
    entries: tuple[str, ...]
    has_html: bool


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
    has_html = any(_HTML.search(line) for line in inside)
    return Section(title, () if has_html else _entries(inside), has_html)


def all_entries(text: str) -> frozenset[str]:
    """Read the entries of all sections."""
    return frozenset(_entries(_visible(text).splitlines()))


def _visible(text: str) -> str:
    return _FENCE.sub("", _COMMENT.sub("", text))


def _entries(lines: Iterable[str]) -> tuple[str, ...]:
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
    return tuple(plain(" ".join(parts)) for parts in found)


def plain(line: str) -> str:
    """Give a line with single spaces, as lines are compared."""
    return " ".join(line.split())


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
    told = comparison.people.told
    if not comparison.changes and not told:
        return ""
    new = comparison.new_release
    parts = [f"## {printable(new, 40) if new and new != comparison.old_release else UNRELEASED}"]
    if told:
        parts += ["", "### Answers", *(f"- {line_of(one)}" for one in told)]
    for kind, title in _PARTS:
        lines = [f"- {sentence(change)}" for change in comparison.changes if change.kind == kind]
        if lines:
            parts += ["", f"### {title}", *lines]
    return "\n".join(parts) + "\n"


def line_of(one: told.Told) -> str:
    """Say what changed of the answers of one food, or of some names, in a line."""
    return printable(told.sentence(one), LONGEST)


def sentence(change: Change) -> str:
    """Say one change in a line: what, the old and the new value, the source and the page."""
    return printable(f"{change.what}: {said(change)}{_cited(change)}", LONGEST)


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
