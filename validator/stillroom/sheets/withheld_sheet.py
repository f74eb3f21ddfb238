"""Withheld sheet: what must not be canned as text for people: titles by kind, or the whole of what was looked for."""

from __future__ import annotations

from collections.abc import Sequence

from stillroom import screen
from stillroom.answers.shelf import Shelf
from stillroom.answers.withheld_names import refusal_of
from stillroom.package.records import Withheld
from stillroom.sheets import page

_KINDS = {"food": "Foods", "form": "Ways to prepare a food", "practice": "Ways to can"}
_CODES = {
    "withheld": "A publication says not to:",
    "no-process": "No publication used here gives a process, so there is no time to give:",
}


def withheld_sheet(listed: Sequence[Withheld], shelf: Shelf, words: str | None) -> str:
    """Write the list.

    Parameters
    ----------
    listed : sequence of Withheld
    shelf : Shelf
    words : str or None
        What was looked for: then each entry is written out whole. None: titles only.
    """
    if words is None:
        return page.text([*_titles(listed), *page.foot(None, shelf.standing)])
    if not listed:
        said = f'Nothing that is withheld is called "{screen.shown(words)}". That does not make it safe to can:'
        return page.text(page.wrapped(f"{said} only what stillroom find answers is tested."))
    lines: list[str] = []
    for entry in listed:
        refusal = refusal_of(entry, shelf.cite)
        source = "" if refusal.source is None else f" ({refusal.source.cite()})"
        lines += [*page.wrapped(f"{refusal.reason.removesuffix('.')}{source}."), ""]
    return page.text([*lines[:-1], *page.foot(None, shelf.standing)])


def _titles(listed: Sequence[Withheld]) -> list[str]:
    lines = page.wrapped('For the reason, the source and what to do instead: stillroom withheld WORDS, like "garlic".')
    for code, heading in _CODES.items():
        lines += ["", *page.wrapped(heading)]
        for kind, named in _KINDS.items():
            titles = [entry.title for entry in listed if (entry.code, entry.kind) == (code, kind)]
            lines += page.section(f"{named}:", sorted(titles))
    return lines
