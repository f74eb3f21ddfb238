"""Page: text set for people at 80 columns: paragraphs, items, headed lists and the last lines of a sheet."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from stillroom.answers.answer import Citation, Stated

WIDTH = 80
"""Columns."""
MARK = "  - "
"""Before an item."""


def wrapped(text: str, first: str = "", later: str = "") -> list[str]:
    """Set a paragraph; no word is broken at a hyphen.

    Parameters
    ----------
    text : str
    first, later : str
        What the first line begins with, and every later one.
    """
    return textwrap.wrap(text, WIDTH, initial_indent=first, subsequent_indent=later, break_on_hyphens=False)


def item(text: str, mark: str = MARK) -> list[str]:
    """Set one item of a list."""
    return wrapped(text, mark, " " * len(mark))


def items(texts: Iterable[str]) -> list[str]:
    """Set a list."""
    return [line for text in texts for line in item(text)]


def column(text: str, width: int) -> list[str]:
    """Set words in a narrow column, where they may be broken at a hyphen."""
    return textwrap.wrap(text, width)


def section(heading: str, texts: Iterable[str], numbered: bool = False) -> list[str]:
    """Set a list under its heading, after a blank line; nothing where there are no items."""
    lines = [line for place, text in enumerate(texts, 1) for line in item(text, f"{place:>3}. " if numbered else MARK)]
    return ["", *wrapped(heading), *lines] if lines else []


def foot(source: Citation | None, standing: Stated | str, others: Iterable[Citation] = ()) -> list[str]:
    """Set the last lines of a sheet, after a blank line: its publication, and the caution that every sheet carries.

    Parameters
    ----------
    source : Citation or None
        None where no publication speaks.
    standing : Stated or str
        The caution, as :attr:`stillroom.answers.shelf.Shelf.standing`.
    others : iterable of Citation
        Further publications that the sheet speaks from.
    """
    said = [f"Source: {each.cite()}." for each in (source, *others) if each is not None]
    return ["", *(line for text in (*said, f"Caution: {standing}") for line in wrapped(text))]


def text(lines: Iterable[str]) -> str:
    """Join the lines of a sheet."""
    return "\n".join(lines) + "\n"


def markdown(text: object) -> str:
    """Set words in one line of Markdown; what Markdown, or HTML within it, would read as markup is escaped."""
    line = " ".join(str(text).split())
    return re.sub(r"([\\`*_\[\]|#~])", r"\\\1", line).replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
