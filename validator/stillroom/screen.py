"""Screen: words from outside, made fit for a terminal, a chart or a table.

A record, a log, a season entry or a file name may hold anything: an escape that moves the cursor, a sign that turns
the direction of a line, a cell that a spreadsheet would run. None of it is to reach a reader.
"""

from __future__ import annotations

import os

_FORMULA = ("=", "+", "-", "@", "\t", "\r")
_TURNS = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
"""Signs that turn the direction of what follows (Unicode Standard Annex 9)."""
_LINES = frozenset("\n\r\t")


def shown(text: object, most: int = 40) -> str:
    """Write words on one line for a message: what cannot be printed becomes ``?``, and what is long is cut.

    Parameters
    ----------
    text : object
        Words from outside.
    most : int
        Most characters.
    """
    line = "".join(c if c.isprintable() else "?" for c in str(text)[: most + 1])
    return line if len(line) <= most else line[: most - 3] + "..."


def name(path: str) -> str:
    """Write the name of a file for messages and lists, whatever its letters are; the name only, not the folder."""
    return shown(os.path.basename(path) or path, 255)


def is_plain(text: str, lines: bool = False) -> bool:
    """Tell whether a text holds only what is safe to show: no control character, no sign that turns the direction.

    Parameters
    ----------
    text : str
    lines : bool
        Whether line ends and tabs are allowed, as in a note.
    """
    if text.isprintable():
        return True
    import unicodedata

    return not any(
        c in _TURNS or unicodedata.category(c) in ("Cc", "Cs", "Zl", "Zp") for c in text if not (lines and c in _LINES)
    )


def cell(value: object) -> object:
    """Write a cell of a table so that no spreadsheet takes its words for a formula; numbers stay as they are."""
    if isinstance(value, str) and value.lstrip(" ").startswith(_FORMULA):
        return "'" + value
    return value


def printable(text: str, most: int = 2_000) -> str:
    """Make any text safe for one line of a terminal: control characters and the like escaped, long text cut."""
    cut = text if len(text) <= most else f"{text[: most - 3]}..."
    return cut if cut.isprintable() else "".join(c if c.isprintable() else ascii(c)[1:-1] for c in cut)
