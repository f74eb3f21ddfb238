"""Comparing: a comparison of two versions as text for people and as a document for programs."""

from __future__ import annotations

from collections.abc import Iterator

from stillroom import screen
from stillroom.answers import wording
from stillroom.desk import changelog, told
from stillroom.desk.comparison import Change, Comparison
from stillroom.desk.strictness import ADDED, KINDS, STRONGER, WEAKER, WITHDRAWN, WORDING
from stillroom.sheets import page
from stillroom.sheets.documents import Document

_TITLES = {
    WEAKER: "Weaker, or not shown to be as safe:",
    ADDED: "Added:",
    WITHDRAWN: "Withdrawn:",
    STRONGER: "Stronger:",
    WORDING: "Wording:",
}


def comparison_sheet(found: Comparison) -> str:
    """Write a comparison: how many changes of each kind, each change, and the section of CHANGELOG.md it needs."""
    between = f"{found.old} -> {found.new}"
    people = found.people
    if not found.changes and not people.told:
        return f"{between}: the data are the same.\n"
    counts = wording.listed([f"{found.count(kind):,} {kind}" for kind in KINDS if found.count(kind)], "and")
    lines = [line for said in told.summary(people) for line in page.wrapped(screen.printable(said))]
    lines += [line for one in people.told for line in page.item(changelog.line_of(one))]
    lines += ["", *page.wrapped(screen.printable(f"{between}: {counts or 'no other changes'}."))]
    for kind in KINDS:
        changes = [change for change in found.changes if change.kind == kind]
        if changes:
            lines += ["", _TITLES[kind], *(line for change in changes for line in _told(change))]
    if found.count(WEAKER) or found.count(ADDED) or people.told:
        lines += ["", *page.wrapped("What is weaker, made or added needs a new source and its line in CHANGELOG.md.")]
    return "\n".join([*lines, "", "For CHANGELOG.md:", "", changelog.section(found)])


def _told(change: Change) -> Iterator[str]:
    at = change.file if change.line is None or change.new is None else f"{change.file}:{change.line}"
    yield from page.item(screen.printable(f"{changelog.sentence(change)}: {change.why}"))
    yield from page.item(screen.printable(at), " " * len(page.MARK))


def comparison_document(found: Comparison) -> Document:
    """Lay out a comparison (schema/comparison.json)."""
    return {
        "kind": "comparison",
        "old": found.old,
        "new": found.new,
        "old_release": found.old_release,
        "new_release": found.new_release,
        "answers": {
            "summary": list(told.summary(found.people)),
            "missing": found.people.missing,
            "told": [_told_document(one) for one in found.people.told],
        },
        "counts": {kind: found.count(kind) for kind in KINDS},
        "changes": [_change(change) for change in found.changes],
        "changelog": changelog.section(found),
    }


def _told_document(one: told.Told) -> Document:
    return {
        "about": one.about,
        "kind": one.kind,
        "food": one.food,
        "acidity": one.acidity,
        "number": one.number,
        "example": one.example,
        "sources": sorted(one.sources),
        "line": changelog.line_of(one),
    }


def _change(change: Change) -> Document:
    return {
        "kind": change.kind,
        "file": change.file,
        "line": change.line,
        "name": change.name,
        "what": change.what,
        "column": change.column or None,
        "old": change.old,
        "new": change.new,
        "why": change.why,
        "old_source": change.old_source or None,
        "source": change.source or None,
        "page": change.page or None,
    }
