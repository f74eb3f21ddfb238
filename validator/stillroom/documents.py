"""Documents: YAML and JSON read strictly: no aliases, no key twice, no deep nesting, no endless number.

A document may be hostile. Aliases make a small file grow without bound, and of two equal keys a reader silently keeps
one, so both are refused; the package needs neither.
"""

from __future__ import annotations

import json
import math
import os
import stat
from typing import Any

from stillroom import screen
from stillroom.errors import BadPackage

LARGEST_BYTES = 4 * 2**20
"""Larger than any document of the package, bytes."""
DEEPEST = 40
"""Levels of nesting; the package has fewer than ten."""
_NOT_PLAIN = {
    "alias": "has an alias: write the value out",
    "tag": "has a tag: write plain values",
    "deep": f"is nested deeper than {DEEPEST} levels",
    "twice": 'has the key "{:.40}" twice',
    "key": "has a key that is no plain text",
    "empty": "is empty",
    "syntax": "is not YAML here: {}",
    "number": "has a number without end or that is none",
}


def content(path: str, shown: str) -> bytes:
    """Read the bytes of a document, if it is an ordinary file of no more than ``LARGEST_BYTES``.

    Parameters
    ----------
    path : str
        The file.
    shown : str
        Name of the file for messages.

    Raises
    ------
    BadPackage
        Missing, a folder, a pipe, a device, too large, or it cannot be read.
    """
    try:
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
        with os.fdopen(handle, "rb", closefd=True) as file:
            if not stat.S_ISREG(os.fstat(handle).st_mode):
                raise BadPackage(f"{shown} is no ordinary file")
            return file.read(LARGEST_BYTES + 1)
    except FileNotFoundError:
        raise BadPackage(f"{shown} is missing: install stillroom again") from None
    except IsADirectoryError:
        raise BadPackage(f"{shown} is no ordinary file") from None
    except OSError as error:
        raise BadPackage(f"{shown} cannot be read: {error.strerror}") from None


def read_yaml(content: bytes, shown: str) -> Any:
    """Read one YAML document.

    Parameters
    ----------
    content : bytes
        The file.
    shown : str
        Name of the file for messages.

    Raises
    ------
    BadPackage
        Not YAML, or with aliases, equal keys, deep nesting, tags or a number that is none; names the line.
    """
    from stillroom import plain_yaml

    try:
        loaded, lines = plain_yaml.read(_text(content, shown), DEEPEST)
    except plain_yaml.NotPlain as error:
        raise _bad(shown, error.line - 1, _NOT_PLAIN[error.kind].format(screen.shown(error.said, 120))) from None
    endless = _endless(loaded)
    if endless is not None:
        raise _bad(shown, lines.get(endless, 1) - 1, _NOT_PLAIN["number"])
    return loaded


def read_json(content: bytes, shown: str) -> Any:
    """Read one JSON document.

    Parameters
    ----------
    content : bytes
        The file.
    shown : str
        Name of the file for messages.

    Raises
    ------
    BadPackage
        Not JSON, or with equal keys, deep nesting or a number that is none.
    """

    def distinct(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        read = dict(pairs)
        if len(read) != len(pairs):
            raise BadPackage(f'{shown} has the key "{screen.shown(first_twice(pairs))}" twice')
        return read

    def no_number(text: str) -> Any:
        raise ValueError(f"{text} is no number")

    text = _text(content, shown)
    try:
        read = json.loads(text, object_pairs_hook=distinct, parse_constant=no_number)
    except RecursionError:
        raise BadPackage(f"{shown} is nested deeper than {DEEPEST} levels") from None
    except ValueError as error:
        raise BadPackage(f"{shown} is not JSON that can be read: {' '.join(str(error).split())[:200]}") from None
    if _deep(read):
        raise BadPackage(f"{shown} is nested deeper than {DEEPEST} levels")
    return read


def first_twice(pairs: list[tuple[str, Any]]) -> str:
    """First key that stands twice, of pairs of which at least one does."""
    seen: set[str] = set()
    for key, _ in pairs:
        if key in seen:
            return key
        seen.add(key)
    raise ValueError("no key stands twice")


def _deep(value: Any) -> bool:
    """Whether a document is nested too deeply, found level by level."""
    level = [value] if isinstance(value, (dict, list)) else []
    for _ in range(DEEPEST):
        inside = (inner for outer in level for inner in (outer.values() if isinstance(outer, dict) else outer))
        level = [inner for inner in inside if isinstance(inner, (dict, list))]
    return bool(level)


def _text(content: bytes, shown: str) -> str:
    if len(content) > LARGEST_BYTES:
        raise BadPackage(f"{shown} is larger than {LARGEST_BYTES // 2**20} MB, the most that is read of a document")
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError as error:
        raise _bad(shown, content.count(b"\n", 0, error.start), "is not UTF-8 here") from None


def _endless(said: Any, at: tuple[Any, ...] = ()) -> tuple[Any, ...] | None:
    """Place of the first number that is infinite or none."""
    if isinstance(said, float):
        return None if math.isfinite(said) else at
    if isinstance(said, dict):
        parts = list(said.items())
    elif isinstance(said, list):
        parts = list(enumerate(said))
    else:
        return None
    return next((found for key, part in parts if (found := _endless(part, (*at, key))) is not None), None)


def _bad(shown: str, line: int, what: str) -> BadPackage:
    return BadPackage(f"{shown}:{line + 1}: {what}")
