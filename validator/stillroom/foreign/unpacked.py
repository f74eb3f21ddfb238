"""Unpacked: the zip file of a workbook, looked through before a library opens it; bombs and other kinds are refused."""

from __future__ import annotations

import io
import re
import zipfile
import zlib

from stillroom.errors import BadInput
from stillroom.foreign.gridding import MOST_CELLS

MOST_UNPACKED = 300_000_000
"""Most bytes of its parts together; a million cells of a sheet take a hundred million."""
_MOST_PARTS = 10_000
_MERGED = re.compile(
    rb"<(?:\w+:)?mergeCell\s[^>]{0,200}?ref\s*=\s*[\"']\$?([A-Z]{1,3})\$?([0-9]{1,7}):\$?([A-Z]{1,3})\$?([0-9]{1,7})"
)
_DECLARED = tuple(
    word.encode(code) for word in ("<!DOCTYPE", "<!ENTITY") for code in ("utf-8", "utf-16-le", "utf-16-be")
)
_PIECE = 1 << 20
_TAIL = 400
_OTHERS = (
    ("word/", "a text document is not read: copy its table into a sheet, or as text into a file"),
    ("ppt/", "a set of slides is not read: copy its table into a sheet, or as text into a file"),
    ("xl/workbook.bin", "a binary workbook is not read: save it as .xlsx or .csv"),
    ("mimetype", "an OpenDocument file is not read: save it as .xlsx or .csv"),
    ("Index/", "this kind of workbook is not read: save it as .xlsx or .csv"),
)


def unpacked(data: bytes, shown: str) -> None:
    """Hold a zip file to what a workbook may be.

    Parameters
    ----------
    data : bytes
    shown : str
        Name of the file for messages.

    Raises
    ------
    BadInput
        It is damaged, no workbook in the form xlsx, unpacks to too much, declares entities, or merges too many cells.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            parts = archive.infolist()
            _is_workbook([part.filename for part in parts], shown)
            if len(parts) > _MOST_PARTS or sum(part.file_size for part in parts) > MOST_UNPACKED:
                raise BadInput(f"{shown}: unpacks to more than is read: save only its sheet as .csv")
            merged = sum(_looked_through(archive, part, shown) for part in parts if part.filename.endswith(".xml"))
    except (zipfile.BadZipFile, zlib.error, NotImplementedError, RuntimeError, OSError, EOFError, ValueError) as error:
        if isinstance(error, BadInput):
            raise
        raise BadInput(f"{shown}: is a damaged or locked workbook: open it, and save it as .xlsx or .csv") from None
    if merged > MOST_CELLS:
        raise BadInput(f"{shown}: merges more cells than the {MOST_CELLS:,} that are read: save its sheet as .csv")


def _is_workbook(names: list[str], shown: str) -> None:
    if "xl/workbook.xml" in names or any(re.fullmatch(r"xl/workbook\w*\.xml", name) for name in names):
        return
    for start, why in _OTHERS:
        if any(name.startswith(start) for name in names):
            raise BadInput(f"{shown}: {why}")
    raise BadInput(f"{shown}: a zip file without a workbook is not read: unpack it first")


def _looked_through(archive: zipfile.ZipFile, part: zipfile.ZipInfo, shown: str) -> int:
    """Count the cells that a part merges."""
    merged, tail = 0, b""
    with archive.open(part) as file:
        while piece := file.read(_PIECE):
            held = tail + piece
            if any(word in held for word in _DECLARED):
                raise BadInput(f"{shown}: declares entities, as no workbook needs to: save it anew as .xlsx or .csv")
            found = list(_MERGED.finditer(held))
            merged += sum(_area(one) for one in found)
            tail = held[max(len(held) - _TAIL, found[-1].end() if found else 0) :]
    return merged


def _area(found: re.Match[bytes]) -> int:
    return (abs(_column(found[3]) - _column(found[1])) + 1) * (abs(int(found[4]) - int(found[2])) + 1)


def _column(letters: bytes) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + letter - 64
    return number
