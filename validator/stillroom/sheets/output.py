"""Output: a file written whole or not at all, and never over one that is not ours.

What we write carries a mark by which it is known again: the creator in the metadata of an SVG or a PNG drawing, the
header of a table. A file of the wanted name without that mark is somebody else's, and stays as it is.
"""

from __future__ import annotations

import os
import re
import stat
import sys
from collections.abc import Callable

from stillroom import screen
from stillroom.errors import BadInput, StillroomError
from stillroom.package import files

Ours = Callable[[bytes], bool]
"""Tells from the beginning of a file whether we wrote it."""

CREATOR = "stillroom"
"""Who drew a chart, in its metadata."""
_BEGINNING = 8_192
"""Bytes in which a mark has to stand."""
_SVG = re.compile(
    rb"<dc:creator>\s*<cc:Agent>\s*<dc:title>" + CREATOR.encode() + rb"</dc:title>\s*</cc:Agent>\s*</dc:creator>"
)
_PNG = b"\x89PNG\r\n\x1a\n"


def our_svg(beginning: bytes) -> bool:
    """Tell whether an SVG drawing is ours."""
    return beginning.startswith(b"<?xml") and _SVG.search(beginning) is not None


def our_png(beginning: bytes) -> bool:
    """Tell whether a PNG drawing is ours."""
    said = b"Software\0" + CREATOR.encode()
    return beginning.startswith(_PNG) and len(said).to_bytes(4, "big") + b"tEXt" + said in beginning


def write(path: str, content: bytes, what: str, ours: Ours, most: int = _BEGINNING) -> None:
    """Write a file beside its name and then move it under it.

    Parameters
    ----------
    path : str
        File to write; one of that name is replaced if it is ours. A link is followed.
    content : bytes
    what : str
        What it is, for the message.
    ours : callable
        Tells from the first bytes of a file whether it is ours to replace.
    most : int, optional
        Bytes that it is told by.

    Raises
    ------
    BadInput
        Another's file has that name, or it cannot be written.
    """
    shown = screen.shown(path, 200)
    try:
        target = os.path.realpath(path)
        with files.unfinished(os.path.dirname(target), content) as part:
            if not files.placed(part, target):
                _refuse_others(target, path, what, ours, most)
                os.replace(part, target)
    except (OSError, ValueError) as error:
        if isinstance(error, BadInput):
            raise
        told = getattr(error, "strerror", None) or "that is no name of a file"
        raise BadInput(f'{what} "{shown}" cannot be written: {told}') from None


def need_free(path: str, what: str, ours: Ours, most: int = _BEGINNING) -> None:
    """See before anything is written that no file of another stands under a name.

    Raises
    ------
    BadInput
        One does, or nobody can tell.
    """
    try:
        target = os.path.realpath(path)
        if os.path.lexists(target):
            _refuse_others(target, path, what, ours, most)
    except (OSError, ValueError) as error:
        if isinstance(error, BadInput):
            raise
        told = getattr(error, "strerror", None) or "that is no name of a file"
        raise BadInput(f'{what} "{screen.shown(path, 200)}" cannot be written: {told}') from None


def another(path: str, what: str) -> BadInput:
    """Say that a file is there and is not ours."""
    shown = screen.shown(path, 200)
    return BadInput(
        f'{what} "{shown}" is there already and was not written by stillroom: choose another name, or move it away'
    )


def _refuse_others(target: str, path: str, what: str, ours: Ours, most: int) -> None:
    shown, mode = screen.shown(path, 200), os.lstat(target).st_mode
    if stat.S_ISDIR(mode):
        raise BadInput(f'{what} "{shown}" is a folder: choose another name')
    if stat.S_ISREG(mode):
        try:
            with files.opened(target) as file:
                if ours(file.read(most)):
                    return
        except files.Unread as error:
            raise error.told(shown, what) from None
    raise another(path, what)


def say(text: str) -> None:
    """Print what was found.

    Raises
    ------
    BadInput
        Where it goes to takes no more, like a full disk.
    BrokenPipeError
        Nobody reads on.
    """
    try:
        sys.stdout.write(text)
        sys.stdout.flush()
    except BrokenPipeError:
        raise
    except OSError as error:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # else it is tried again at the end
        raise BadInput(f"what was found cannot be printed: {error.strerror}") from None


def attempt(*steps: Callable[[], None]) -> bool:
    """Do one thing after the other, and tell of each that fails in one line; True if all were done.

    What was found is printed before: no verdict is lost because a file cannot be written.
    """
    done = True
    for step in steps:
        try:
            step()
        except StillroomError as error:
            sys.stderr.write(f"stillroom: {error}\n")
            done = False
    return done
