"""Plain file: opened for reading, and never a pipe, a device or a folder, which could wait or run on without end."""

from __future__ import annotations

import hashlib
import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from typing import BinaryIO, NamedTuple

from stillroom.errors import BadInput

_PIECE = 1 << 20


class Stamp(NamedTuple):
    """What tells that a file is still the one that was read: where it lies, its size and its last change."""

    device: int
    number: int
    size: int
    changed_ns: int


@contextmanager
def opened(path: str, shown: str, what: str) -> Iterator[tuple[BinaryIO, Stamp]]:
    """Open a plain file.

    Parameters
    ----------
    path : str
    shown : str
        Its name for messages.
    what : str
        What it is, like ``log``.

    Raises
    ------
    BadInput
        No such file, none that is plain, or one that cannot be read.
    """
    try:
        found = _stat(path)
        if found is None:
            raise BadInput(f"{shown}: there is no such {what}")
        if not stat.S_ISREG(found.st_mode):
            raise BadInput(f"{shown}: is not a file: write the name of the {what}")
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
        with open(handle, "rb") as file:
            found = os.fstat(handle)
            if not stat.S_ISREG(found.st_mode):  # put in its place since
                raise BadInput(f"{shown}: is not a file: write the name of the {what}")
            yield file, Stamp(found.st_dev, found.st_ino, found.st_size, found.st_mtime_ns)
    except OSError as error:
        raise BadInput(f"{shown}: cannot be read: {error.strerror}") from None


def read(path: str, shown: str, what: str, most: int) -> tuple[bytes, Stamp] | None:
    """Read a plain file whole; None where it is larger than ``most`` bytes. Errors as for :func:`opened`."""
    with opened(path, shown, what) as (file, stamp):
        if stamp.size > most:
            return None
        data = file.read(most + 1)  # it may have grown
    return None if len(data) > most else (data, stamp)


def sha256(path: str, shown: str, what: str, stamp: Stamp) -> str:
    """Hash a file that was read before, SHA-256 in hexadecimal digits.

    Raises
    ------
    BadInput
        As for :func:`opened`; or the file is another than the one that was read.
    """
    digest = hashlib.sha256()
    with opened(path, shown, what) as (file, now):
        while now == stamp and (piece := file.read(_PIECE)):
            digest.update(piece)
        found = os.fstat(file.fileno())
    if now != stamp or (found.st_size, found.st_mtime_ns) != (stamp.size, stamp.changed_ns):
        raise BadInput(f"{shown}: has changed since it was judged: judge it again")
    return digest.hexdigest()


def _stat(path: str) -> os.stat_result | None:
    try:
        return os.stat(path)
    except (FileNotFoundError, NotADirectoryError, ValueError):
        return None
