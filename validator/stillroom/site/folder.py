"""Folder: the book written into a folder, whole, never over another's file; pages that are no longer in it go."""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Mapping

from stillroom import screen
from stillroom.errors import BadInput, StillroomError
from stillroom.package import files
from stillroom.package.documents import read_json
from stillroom.sheets import output

LIST = "book.json"
"""File that names every other file of the book with its sum: our mark."""
_BEGINS = b'{"book":"stillroom","files":{'
_LARGEST = 2**26


def write(out: str, made: Mapping[str, bytes]) -> int:
    """Write a book: its files first, the list of them last.

    A file of an older book that is not in this one is taken away, so that no page of a food that was withdrawn stays.

    Parameters
    ----------
    out : str
        Folder, which is made if it is not there.
    made : mapping
        Bytes by place, with slashes.

    Returns
    -------
    int
        Files that were written.

    Raises
    ------
    BadInput
        A file there is not ours, or was changed by somebody; then nothing is written. Or one cannot be written.
    """
    need_folder(out)
    before = _before(out)
    for place in (*made, *before):
        _refuse_changed(out, place, {before.get(place), _sum(made[place]) if place in made else None})
    try:
        for place in made:
            os.makedirs(os.path.dirname(_at(out, place)), exist_ok=True)
        for place in sorted(before.keys() - made.keys()):
            if os.path.lexists(_at(out, place)):
                os.remove(_at(out, place))
    except (OSError, ValueError) as error:
        told = getattr(error, "strerror", None) or "that is no name of a folder"
        raise BadInput(f'book "{screen.shown(out, 200)}" cannot be written: {told}') from None
    for place, content in made.items():
        known = {before.get(place), _sum(content)}
        output.write(_at(out, place), content, "book", lambda file, known=known: _sum(file) in known, _LARGEST)  # type: ignore[misc]
    output.write(_at(out, LIST), _list(made), "book", lambda file: file.startswith(_BEGINS), _LARGEST)
    return len(made) + 1


def need_folder(out: str) -> None:
    """Refuse a name that no book can have, before one is made.

    Raises
    ------
    BadInput
        It is no folder, or its list is not ours.
    """
    if os.path.lexists(out) and not os.path.isdir(out):
        raise BadInput(f'"{screen.shown(out, 200)}" is no folder: name one for the book')
    if os.path.lexists(_at(out, LIST)) and not _before(out):
        raise output.another(_at(out, LIST), "book")


def _at(out: str, place: str) -> str:
    return os.path.join(out, *place.split("/"))


def _sum(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def _list(made: Mapping[str, bytes]) -> bytes:
    told = {"book": "stillroom", "files": {place: _sum(made[place]) for place in sorted(made)}}
    return json.dumps(told, separators=(",", ":")).encode() + b"\n"


def _before(out: str) -> dict[str, str]:
    """Give the files of the book that is there, with their sums; none where there is none of ours."""
    content = _there(_at(out, LIST))
    if content is None or not content.startswith(_BEGINS):
        return {}
    try:
        named = read_json(content, LIST)["files"]
        inside = {str(place): str(told) for place, told in named.items()}
    except (StillroomError, KeyError, AttributeError):
        return {}
    return {} if any(_astray(place) for place in inside) else inside


def _astray(place: str) -> bool:
    """Tell a place that is none within the folder."""
    parts = place.split("/")
    return any(part in ("", ".", "..") or "\\" in part or ":" in part or "\0" in part for part in parts)


def _refuse_changed(out: str, place: str, known: set[str | None]) -> None:
    there = _there(_at(out, place))
    if there is not None and _sum(there) not in known:
        raise output.another(_at(out, place), "book")


def _there(path: str) -> bytes | None:
    try:
        return files.read(path, _LARGEST)
    except files.Unread as error:
        if error.kind in (files.MISSING, files.ASTRAY):
            return None
        return b"\0"  # a folder, a pipe or what is too large is nobody's of ours
