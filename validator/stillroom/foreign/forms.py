"""Forms: a foreign table read as it stands, in whatever it is written; told by what it holds, not only by its name."""

from __future__ import annotations

import hashlib
import os
import re
from typing import Any

from stillroom import screen
from stillroom.errors import BadInput
from stillroom.foreign.decoded import decoded
from stillroom.foreign.delimited import best, delimited, is_cut
from stillroom.foreign.grid import Foreign, Grid, Said
from stillroom.foreign.gridding import named
from stillroom.foreign.pipes import tables
from stillroom.foreign.typed_text import typed
from stillroom.package import files
from stillroom.package.files import Unread

LARGEST = 50_000_000
"""Largest file that is read, bytes."""
_ASK = "save the table as .xlsx or .csv"
_REFUSED = (
    (b"%PDF", "a PDF is not read: copy the table as text into a file, and read that"),
    (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", f"a file of an old office program is not read: {_ASK}"),
    (b"{\\rtf", "an RTF document is not read: copy the table as text, or " + _ASK),
    (b"\x89PNG\r\n", "a picture is not read: type the table in as text"),
    (b"\xff\xd8\xff", "a picture is not read: type the table in as text"),
    (b"GIF8", "a picture is not read: type the table in as text"),
    (b"II*\0", "a picture is not read: type the table in as text"),
    (b"MM\0*", "a picture is not read: type the table in as text"),
    (b"RIFF", "a picture is not read: type the table in as text"),
    (b"\x1f\x8b", "a compressed file is not read: unpack it first"),
    (b"PAR1", "a Parquet file is not read: read it into a frame, and hand that over"),
)
"""First bytes of what is no table in text, and what to do about it."""
_ZIP = b"PK\x03\x04"
_MARKUP = re.compile(r"<(?:!doctype\s+html|html|table)\b", re.IGNORECASE)
_TABLE_OR_END = re.compile(r"<(/?)table\b[^<>]*>", re.IGNORECASE)
_OFFICE_XML = re.compile(r"\s*<\?xml\b.{0,2000}?<(?:\w+:)?(?:Workbook|wordDocument)\b", re.DOTALL)
_DELIMITED = (".csv", ".tsv", ".tab", ".psv")
_TYPED = (".md", ".markdown", ".txt", ".text", ".rst")
_NOTHING = "holds no table: it needs at least two rows with a delimiter, bars or wide gaps between their cells"


def read(path: str | os.PathLike[str], sheet: str | None = None) -> Foreign:
    """Read a file with tables.

    Parameters
    ----------
    path : str or path
        CSV in any delimiter, plain text, Markdown, HTML, or a workbook in the form xlsx.
    sheet : str, optional
        Only the sheet of this name of a workbook.

    Returns
    -------
    Foreign

    Raises
    ------
    BadInput
        There is no such file or sheet, it is too large, damaged, or of another kind, or holds no table.
    """
    path = os.fspath(path)
    shown = screen.name(path)
    try:
        data = files.read(path, LARGEST)
    except Unread as problem:
        if problem.kind == files.LARGE:
            raise BadInput(f"{shown}: is larger than the {LARGEST // 1_000_000} MB that are read") from None
        raise problem.told(shown, "file") from None
    for start, why in _REFUSED:
        if data.startswith(start):
            raise BadInput(f"{shown}: {why}")
    if data.startswith(_ZIP):
        from stillroom.foreign.workbook import workbook

        grids, said = workbook(data, shown, sheet)
        return _found(shown, data, "xlsx", grids, said)
    if sheet is not None:
        raise BadInput(f"{shown}: has no sheets: leave the sheet {screen.shown(sheet)!r} out")
    text, doubts = decoded(data, shown)
    form, grids, said = _by_content(text, shown, os.path.splitext(path)[1].lower())
    doubted = tuple(Said(line, why, 0) for line, why in doubts)
    return _found(shown, data, form, grids, (*doubted, *said))


def read_text(text: str, name: str) -> Foreign:
    """Read a text that was pasted; what it is written in is told by what it holds.

    Parameters
    ----------
    text : str
    name : str
        What to call it.

    Returns
    -------
    Foreign

    Raises
    ------
    BadInput
        It is too large, or holds no table.
    """
    shown = screen.name(name)
    data = text.encode("utf-8", "surrogatepass")
    if len(data) > LARGEST:
        raise BadInput(f"{shown}: is larger than the {LARGEST // 1_000_000} MB that are read")
    form, grids, said = _by_content(text.removeprefix("\ufeff"), shown, os.path.splitext(name)[1].lower())
    return _found(shown, data, form, grids, said)


def read_frame(frame: Any) -> Foreign:
    """Read a frame in memory.

    Parameters
    ----------
    frame : DataFrame
        Of pandas, Polars, PyArrow or another kind that Narwhals knows; one that is lazy is collected.

    Returns
    -------
    Foreign
        Its column names are the first row, line 1, and marked as its head.

    Raises
    ------
    BadInput
        It is no frame, has no columns, or is too large.
    """
    from stillroom.foreign.framed import framed

    return framed(frame)


def _found(shown: str, data: bytes, form: str, grids: tuple[Grid, ...], said: tuple[Said, ...]) -> Foreign:
    if not grids:
        raise BadInput(f"{shown}: {_NOTHING if data.strip() else 'is empty'}")
    return Foreign(shown, hashlib.sha256(data).hexdigest(), form, grids, said)


def _by_content(text: str, shown: str, ending: str) -> tuple[str, tuple[Grid, ...], tuple[Said, ...]]:
    if _OFFICE_XML.match(text):
        raise BadInput(f"{shown}: a document in XML is not read: {_ASK}")
    if _MARKUP.search(text) and (ending not in _DELIMITED or text.lstrip()[:1] == "<"):
        if ending in (".htm", ".html", ".xhtml") or text.lstrip()[:1] == "<" or not tables(text.split("\n")):
            from stillroom.foreign.markup import marked

            return "html", *marked(text, shown)
        return _mixed(text, shown)
    if _is_delimited(text, ending):
        return "csv", named([delimited(text, shown, "\t" if ending in (".tsv", ".tab") and "\t" in text else None)]), ()
    found = typed(text, shown)
    if not found.grids and is_cut(text):
        return "csv", named([delimited(text, shown)]), ()
    return found


def _is_delimited(text: str, ending: str) -> bool:
    """Tell rows with delimiters from Markdown and from columns."""
    if ending in (".tsv", ".tab"):
        return True
    lines = [line for line in text.split("\n", 2_000)[:2_000] if line.strip()]
    if tables(lines):
        return False
    delimiter, share = best(text)
    if ending in _DELIMITED and share:
        return True
    if delimiter == "|" or not share:
        return False
    wide = sum(re.search(r"\S {2,}\S", line) is not None for line in lines) / len(lines)
    if delimiter == "\t":
        return share >= 0.5 and (wide < 0.5 or share > 0.9)
    return share >= (0.9 if ending in _TYPED else 0.6) and wide < 0.5


def _mixed(text: str, shown: str) -> tuple[str, tuple[Grid, ...], tuple[Said, ...]]:
    """Read Markdown with tables of HTML in it, each part by its own reader."""
    from stillroom.foreign.markup import marked

    grids: list[Grid] = []
    said: list[Said] = []
    for line, part, is_table in _parts(text):
        if is_table:
            more, beside = marked(part, shown, line)
        else:
            _, more, beside = typed(part, shown, line)
        said.extend(words._replace(before=words.before + len(grids)) for words in beside)
        grids.extend(grid._replace(name="") for grid in more)
    return "markdown", named(grids), tuple(said)


def _parts(text: str) -> list[tuple[int, str, bool]]:
    """Cut a text before and after each outermost table of HTML; with the line on which each part begins."""
    parts, depth, at = [], 0, 0
    cuts: list[tuple[int, bool]] = []
    for tag in _TABLE_OR_END.finditer(text):
        if not tag[1]:
            depth += 1
            if depth == 1:
                cuts.append((tag.start(), False))
        elif depth:
            depth -= 1
            if not depth:
                cuts.append((tag.end(), True))
    line = 1
    for end, is_table in [*cuts, (len(text), bool(depth))]:
        parts.append((line, text[at:end], is_table))
        line += len(re.findall("\r\n|\r|\n", text[at:end]))
        at = end
    return parts
