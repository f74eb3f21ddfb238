"""Files: plain files opened within bounds, and files replaced whole or not at all.

A path may name a pipe, a device or a folder, which could wait or run on without end, or lead out of its folder by a
link. None of these is opened. What is refused is told by its kind; those who ask say it in their own words.
"""

from __future__ import annotations

import errno
import os
import re
import stat
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from typing import BinaryIO, NamedTuple

from stillroom.errors import BadInput

MISSING, ASTRAY, SPECIAL, LINK, OUTSIDE, LARGE, FAILED = (
    "missing", "astray", "special", "link", "outside", "large", "failed",
)  # fmt: skip
"""Why a file is not opened: there is none; its path leads through what is no folder, or is no name; it is a folder, a
pipe or a device; it is a link; its path leads out of the folder; it is too large; the system refuses it."""

_PIECE = 1 << 20
_NO_LINKS = (*(errno.EPERM, errno.EOPNOTSUPP, errno.ENOTSUP, errno.ENOSYS, errno.EINVAL, errno.EMLINK, errno.EACCES),)
"""What a disk without hard links says of one: each system its own."""


class Unread(Exception):
    """A file that is not opened, or not read.

    Attributes
    ----------
    kind : str
        :data:`MISSING` or one of those beside it.
    said : str
        What the system says of it, or how its path leads outside.
    size : int or None
        Bytes of a file that is too large; None where it has grown since it was opened.
    """

    def __init__(self, kind: str, said: str = "", size: int | None = None) -> None:
        super().__init__(kind, said)
        self.kind, self.said, self.size = kind, said, size

    def told(self, shown: str, what: str) -> BadInput:
        """Give the error for a file that a person named, like ``run.csv: there is no such log``."""
        if self.kind in (MISSING, ASTRAY):
            return BadInput(f"{shown}: there is no such {what}")
        if self.kind == SPECIAL:
            return BadInput(f"{shown}: is not a file: write the name of the {what}")
        return BadInput(f"{shown}: cannot be read: {self.said}")


class Stamp(NamedTuple):
    """What tells that a file is still the one that was read.

    Attributes
    ----------
    device, number : int
        Where it lies, as the system counts.
    size : int
        Bytes.
    changed_ns : int
        When it was last changed, nanoseconds since 1970.
    """

    device: int
    number: int
    size: int
    changed_ns: int


def inside(folder: str, path: str) -> str:
    """Give the full path of a file of a folder.

    Parameters
    ----------
    folder : str
    path : str
        From the folder, with ``/``; it may come from anywhere.

    Raises
    ------
    Unread
        :data:`OUTSIDE`: it is no plain relative path, or leads out of the folder by a link.
    """
    parts = path.split("/")
    if not path or path != path.strip() or not path.isprintable() or "\\" in path:
        raise Unread(OUTSIDE, "is no plain relative path")
    if re.match(r"[A-Za-z][A-Za-z0-9+.-]*:", path):
        raise Unread(OUTSIDE, "is a URL or a drive")
    if path.startswith(("/", "~")):
        raise Unread(OUTSIDE, "is absolute")
    if any(part in ("..", ".", "") for part in parts):
        raise Unread(OUTSIDE, "leads through .. or an empty folder")
    full = os.path.join(folder, *parts)
    real, root = os.path.realpath(full), os.path.realpath(folder)
    if os.path.commonpath([real, root]) != root:
        raise Unread(OUTSIDE, "leads out of the package by a link")
    return full


def opened(path: str, largest: int | None = None, links: bool = True) -> BinaryIO:
    """Open a plain file, never waiting at it.

    Parameters
    ----------
    path : str
    largest : int, optional
        Most bytes; a larger file is refused unread.
    links : bool, optional
        False: a symbolic link is refused.

    Raises
    ------
    Unread
        With the reason.
    """
    try:
        _hold_to(os.stat(path) if links else os.lstat(path), largest)  # a device may stir when it is opened
        handle = os.open(path, _flags(links))
        try:
            _hold_to(os.fstat(handle), largest)  # another may have taken its place since
            return os.fdopen(handle, "rb")
        except BaseException:
            os.close(handle)
            raise
    except FileNotFoundError as error:
        raise Unread(MISSING, str(error.strerror)) from None
    except NotADirectoryError as error:
        raise Unread(ASTRAY, str(error.strerror)) from None
    except ValueError as error:  # NUL, or half a letter
        raise Unread(ASTRAY, str(error)) from None
    except OSError as error:
        raise Unread(FAILED, str(error.strerror)) from None


def _flags(links: bool) -> int:
    flags = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
    return flags if links else flags | getattr(os, "O_NOFOLLOW", 0)


def _hold_to(state: os.stat_result, largest: int | None) -> None:
    if stat.S_ISLNK(state.st_mode):
        raise Unread(LINK, os.strerror(errno.ELOOP))
    if not stat.S_ISREG(state.st_mode):
        raise Unread(SPECIAL, "it is no ordinary file")
    if largest is not None and state.st_size > largest:
        raise Unread(LARGE, size=state.st_size)


def read(path: str, largest: int) -> bytes:
    """Read a plain file whole. Errors as for :func:`opened`."""
    return stamped(path, largest)[0]


def stamped(path: str, largest: int) -> tuple[bytes, Stamp]:
    """Read a plain file whole, and tell how it may be known again. Errors as for :func:`opened`."""
    with opened(path, largest) as file:
        stamp = _stamp(file)
        try:
            data = file.read(largest + 1)
        except OSError as error:
            raise Unread(FAILED, str(error.strerror)) from None
    if len(data) > largest:
        raise Unread(LARGE)
    return data, stamp


def _stamp(file: BinaryIO) -> Stamp:
    found = os.fstat(file.fileno())
    return Stamp(found.st_dev, found.st_ino, found.st_size, found.st_mtime_ns)


def sha256(path: str, stamp: Stamp) -> str | None:
    """Hash a file that was read before, SHA-256 in hexadecimal digits; None where it is no longer the same.

    Errors as for :func:`opened`.
    """
    import hashlib

    digest = hashlib.sha256()
    with opened(path) as file:
        if _stamp(file) != stamp:
            return None
        try:
            while piece := file.read(_PIECE):
                digest.update(piece)
        except OSError as error:
            raise Unread(FAILED, str(error.strerror)) from None
        return digest.hexdigest() if _stamp(file) == stamp else None


# writing


def replace(path: str, content: bytes) -> None:
    """Write a file beside its name and put it there in one step; one that was there keeps its permissions.

    Raises
    ------
    OSError
        It cannot be written; the old file stays.
    """
    with unfinished(os.path.dirname(path) or ".", content) as part:
        if os.path.exists(path):
            os.chmod(part, os.stat(path).st_mode & 0o777)
        os.replace(part, path)


def placed(part: str, path: str) -> bool:
    """Give a finished file its name; False, and nothing done, where the name is taken, whoever else is writing."""
    try:
        os.link(part, path)
    except FileExistsError:
        return False
    except OSError as error:
        if error.errno not in _NO_LINKS:
            raise
        try:  # no links on this disk: take the name first, then fill it
            os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o644))
        except FileExistsError:
            return False
        try:
            os.replace(part, path)
        except BaseException:
            os.unlink(path)  # the empty file that held the name
            raise
    return True


@contextmanager
def alone(folder: str) -> Iterator[None]:
    """Let no other process of ours change the files of a folder meanwhile; without effect where a disk has no locks.

    Raises
    ------
    OSError
        There is no such folder.
    """
    try:
        import fcntl
    except ImportError:  # a system without them
        yield
        return
    handle = os.open(folder or ".", os.O_RDONLY)
    try:
        with suppress(OSError):
            fcntl.flock(handle, fcntl.LOCK_EX)
        yield
    finally:
        os.close(handle)


@contextmanager
def unfinished(folder: str, content: bytes) -> Iterator[str]:
    """Write a hidden file in a folder and give its path; it is gone afterward unless it was moved."""
    import tempfile

    handle, part = tempfile.mkstemp(prefix=".", suffix=".part", dir=folder)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(part, 0o644)
        yield part
    finally:
        if os.path.lexists(part):
            os.unlink(part)


@contextmanager
def aside(contents: Mapping[str, bytes]) -> Iterator[str]:
    """Write files into a folder of their own, away from everything, and give its path; it is gone afterward.

    Parameters
    ----------
    contents : mapping of str to bytes
        By path from the folder, with ``/``; each leads no way but down.
    """
    import tempfile

    with tempfile.TemporaryDirectory(prefix="stillroom-") as folder:
        for path, content in contents.items():
            full = os.path.join(folder, *path.split("/"))
            os.makedirs(os.path.dirname(full), exist_ok=True)
            with open(full, "wb") as file:
                file.write(content)
        yield folder
