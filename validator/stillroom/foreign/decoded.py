"""Decoded: the bytes of a text file as text, in the encoding that they are in, or not at all."""

from __future__ import annotations

import codecs
import re

from stillroom.errors import BadInput

_MARKS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF32_LE, "utf-32-le"),
    (codecs.BOM_UTF32_BE, "utf-32-be"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)
"""Byte order marks (Unicode Standard, chapter 23, Specials); that of UTF-32 begins with that of UTF-16."""
_LOOKED_AT = 4_096
_TWICE = re.compile("[\u00c2\u00c3][\u0080-\u00bf\u20ac\u2122]|\u00e2[\u20ac\u2020\u2026\u0080]|\u00ef\u00bb\u00bf")
"""UTF-8 that was once read as another encoding: the first byte of two or three, and one that follows it."""


def decoded(data: bytes, shown: str) -> tuple[str, tuple[tuple[int, str], ...]]:
    """Read bytes as text.

    Parameters
    ----------
    data : bytes
    shown : str
        Name of the file for messages.

    Returns
    -------
    text : str
        Without a byte order mark.
    doubts : tuple of (int, str)
        Line and sentence of each thing that may be wrong with its letters.

    Raises
    ------
    BadInput
        It is no text in UTF-8, UTF-16, UTF-32 or Windows-1252.
    """
    mark, encoding = next(((m, e) for m, e in _MARKS if data.startswith(m)), (b"", _unmarked(data)))
    try:
        text = data[len(mark) :].decode(encoding)
    except UnicodeDecodeError:
        if mark or encoding != "utf-8":
            raise BadInput(f"{shown}: begins as {encoding} and does not go on so: save it again as UTF-8") from None
        text, encoding = _western(data, shown), "cp1252"
    if "\0" in text:
        raise BadInput(f"{shown}: is no text: save the table as .csv or .xlsx, or copy it as text")
    return text, _doubts(text, encoding)


def _unmarked(data: bytes) -> str:
    """Tell UTF-16 without a mark by the zeros: every other byte of plain Latin text is one."""
    start = data[:_LOOKED_AT]
    even, odd = start[::2].count(0), start[1::2].count(0)
    if odd > len(start) // 4 and not even:
        return "utf-16-le"
    if even > len(start) // 4 and not odd:
        return "utf-16-be"
    return "utf-8"


def _western(data: bytes, shown: str) -> str:
    try:
        return data.decode("cp1252")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise BadInput(f"{shown}:{line}: letters in an encoding that is not known: save it again as UTF-8") from None


def _doubts(text: str, encoding: str) -> tuple[tuple[int, str], ...]:
    found = []
    if encoding == "cp1252":
        line = next(n for n, part in enumerate(text.split("\n"), 1) if not part.isascii())
        found.append((line, "the file is not UTF-8 and was read as Windows-1252: look whether its signs are right"))
    if text.isascii():
        return tuple(found)
    for number, part in enumerate(text.split("\n"), 1):
        if "\ufffd" in part:
            found.append((number, "a sign was lost before this file was saved (it holds a replacement character)"))
        elif _TWICE.search(part):
            found.append((number, "letters were garbled before this file was saved (UTF-8 read as something else)"))
    return tuple(found)
