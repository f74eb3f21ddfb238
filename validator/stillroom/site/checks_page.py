"""Checks page: every check that the data must pass, with what it protects, from the docstring of its module."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

from stillroom.answers import wording
from stillroom.findings import checks
from stillroom.site.pages import Page

_HEAD = re.compile(r"(?m)^([^\n]+)\n-{3,}\n")
_CODE = re.compile(r"``([^`]+)``|`([^`]+)`")


class Piece(NamedTuple):
    """Words of a paragraph; code where they are what a program says."""

    text: str
    code: bool


class Told(NamedTuple):
    """A check: its name, one sentence, and its page in sections of paragraphs."""

    name: str
    summary: str
    sections: tuple[tuple[str, tuple[tuple[Piece, ...], ...]], ...]


def checks_page() -> Page:
    """Gather all checks by name."""
    told = [Told(name, wording.capital(summary), tuple(_sections(page))) for name, summary, page in checks.documented()]
    return Page("checks.html", "checks.html.jinja", "Checks", {"checks": told})


def _sections(page: str) -> Iterator[tuple[str, tuple[tuple[Piece, ...], ...]]]:
    before, *rest = _HEAD.split(page)
    if before.strip():
        yield "", tuple(_paragraphs(before))
    for head, text in zip(rest[::2], rest[1::2], strict=True):
        yield head, tuple(_paragraphs(text))


def _paragraphs(text: str) -> Iterator[tuple[Piece, ...]]:
    for paragraph in re.split(r"\n\s*\n", text.strip()):
        yield tuple(_pieces(" ".join(paragraph.split())))


def _pieces(line: str) -> Iterator[Piece]:
    at = 0
    for found in _CODE.finditer(line):
        if found.start() > at:
            yield Piece(line[at : found.start()], False)
        yield Piece(found[1] or found[2], True)
        at = found.end()
    if at < len(line):
        yield Piece(line[at:], False)
