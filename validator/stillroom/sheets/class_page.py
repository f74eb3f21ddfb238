"""Class page: what is handed out or hung up in a class, as blocks that HTML, Markdown and PDF set alike.

Whatever is said stands in the blocks; the three writers only set it, so that no form of a page says more or less.
"""

from __future__ import annotations

from typing import NamedTuple

OWN = "our column"
"""Word over the column of the class's own altitude, beside its thick border."""


class Heading(NamedTuple):
    """A heading; ``level`` 2 for a food, 3 for what is below it."""

    text: str
    level: int = 2


class Said(NamedTuple):
    """A paragraph; ``strong``: set in bold."""

    text: str
    strong: bool = False


class Listed(NamedTuple):
    """A list under its heading; ``boxed``: within a thick border, for what must be seen. The heading may be blank."""

    heading: str
    texts: tuple[str, ...]
    boxed: bool = False
    numbered: bool = False


class Columns(NamedTuple):
    """A table with a column for each band.

    Attributes
    ----------
    heading : str
    bands : tuple of str
        Heads of the columns.
    rows : tuple
        Label of each row, and the lines of each of its cells.
    own : int or None
        Place of the column that is boxed; None: none is.
    foot : str
        Its publication and page; blank where they stand elsewhere.
    """

    heading: str
    bands: tuple[str, ...]
    rows: tuple[tuple[str, tuple[tuple[str, ...], ...]], ...]
    own: int | None
    foot: str


class Question(NamedTuple):
    """A question with its choices, each with its letter."""

    number: int
    text: str
    choices: tuple[tuple[str, str], ...]


class NewPage(NamedTuple):
    """What follows begins on a page of its own."""


Block = Heading | Said | Listed | Columns | Question | NewPage


class ClassPage(NamedTuple):
    """A page, or several, for a class.

    Attributes
    ----------
    what : str
        ``class sheet``, ``poster`` or ``quiz``: by it and our name a file of ours is known again.
    title : str
    size : str
        ``normal``, ``large`` (tables are read from the last row), ``large poster``, ``poster`` or
        ``full poster`` (one page).
    blocks : tuple of Block
    """

    what: str
    title: str
    size: str
    blocks: tuple[Block, ...]

    @property
    def mark(self) -> str:
        """Words that stand in every page of this kind."""
        return f"Stillroom {self.what}"
