"""Documents: YAML, JSON and TOML read strictly: no aliases, no key twice, no deep nesting, no endless number.

A document may be hostile. Aliases make a small file grow without bound, and of two equal keys a reader silently keeps
one, so both are refused before anything is built of the text; neither the package nor a record of a person needs them,
nor tags, several documents in one file, or keys that are no text.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable, Hashable
from functools import cache
from typing import Any, TypeVar

from stillroom import screen
from stillroom.errors import BadPackage
from stillroom.package import files

LARGEST_BYTES = 4 * 2**20
"""Larger than any document of the package, bytes."""
DEEPEST = 40
"""Levels of nesting; the package has fewer than ten."""

Place = tuple[Any, ...]
"""Keys and positions that lead to a value."""

_NOT_YAML = {
    "alias": "has an alias: write the value out",
    "tag": "has a tag: write plain values",
    "deep": f"is nested deeper than {DEEPEST} levels",
    "twice": 'has the key "{:.40}" twice',
    "key": "has a key that is no plain text",
    "empty": "is empty",
    "syntax": "is not YAML here: {}",
}
_TYPES = {
    "int": (r"[-+]?(?:0|[1-9][0-9]{0,14})\Z", "-+0123456789"),
    "float": (r"[-+]?[0-9]{1,15}\.[0-9]{1,15}\Z", "-+0123456789"),
    "bool": (r"(?:true|false)\Z", "tf"),
    "null": (r"(?:null|~|)\Z", ("n", "~", "")),
}
"""What is more than text in a record of a person, and what it begins with: a date stays the text it is, and ``12:30``
is not seven hundred and fifty."""


class NotPlain(Exception):
    """A text that is not plain YAML, JSON or TOML.

    Attributes
    ----------
    line : int or None
        Where, from 1; None where a JSON or TOML text has it and the reader does not say where.
    kind : str
        ``alias``, ``tag``, ``deep``, ``twice``, ``key``, ``empty`` or ``syntax``.
    said : str
        The key, or what the reader says.
    """

    def __init__(self, line: int | None, kind: str, said: str = "") -> None:
        super().__init__(kind, said)
        self.line, self.kind, self.said = line, kind, said


# of the package


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
        return files.read(path, LARGEST_BYTES)
    except files.Unread as error:
        told = {
            files.MISSING: "is missing: install stillroom again",
            files.SPECIAL: "is no ordinary file",
            files.LARGE: _TOO_LARGE,
        }
        raise BadPackage(f"{shown} {told.get(error.kind) or f'cannot be read: {error.said}'}") from None


_TOO_LARGE = f"is larger than {LARGEST_BYTES // 2**20} MB, the most that is read of a document"


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
    try:
        loaded, lines = plain_yaml(_text(content, shown), DEEPEST)
    except NotPlain as error:
        told = _NOT_YAML[error.kind].format(screen.shown(error.said, 120))
        raise BadPackage(f"{shown}:{error.line}: {told}") from None
    endless = _endless(loaded)
    if endless is not None:
        raise BadPackage(f"{shown}:{lines.get(endless, 1)}: has a number without end or that is none")
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
    try:
        return plain_json(_text(content, shown))
    except NotPlain as error:
        told = {
            "twice": f'has the key "{screen.shown(error.said)}" twice',
            "deep": f"is nested deeper than {DEEPEST} levels",
            "syntax": f"is not JSON that can be read: {' '.join(error.said.split())[:200]}",
        }
        raise BadPackage(f"{shown} {told[error.kind]}") from None


def _text(content: bytes, shown: str) -> str:
    if len(content) > LARGEST_BYTES:
        raise BadPackage(f"{shown} {_TOO_LARGE}")
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        raise BadPackage(f"{shown}:{line}: is not UTF-8 here") from None


def _endless(said: Any, at: Place = ()) -> Place | None:
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


# the readers


def plain_json(text: str, deepest: int = DEEPEST) -> Any:
    """Read a JSON text.

    Parameters
    ----------
    text : str
    deepest : int
        Most levels of nesting.

    Raises
    ------
    NotPlain
        Of the kinds ``twice``, ``deep`` or ``syntax``.
    """
    try:
        return _no_deeper(deepest, lambda: json.loads(text, object_pairs_hook=_distinct, parse_constant=_no_number))
    except ValueError as error:
        raise NotPlain(getattr(error, "lineno", None), "syntax", str(error)) from None


_TOML_LINE = re.compile(r" \(at (?:line ([0-9]+), column [0-9]+|end of document)\)$")


def plain_toml(text: str, deepest: int = DEEPEST) -> dict[str, Any]:
    """Read a TOML text; its reader itself refuses a key that stands twice.

    Parameters
    ----------
    text : str
    deepest : int
        Most levels of nesting.

    Raises
    ------
    NotPlain
        Of the kinds ``deep`` or ``syntax``.
    """
    import tomllib

    try:
        return _no_deeper(deepest, lambda: tomllib.loads(text))
    except ValueError as error:
        said = _one_line(error)
        at = _TOML_LINE.search(said)
        line = None if at is None else int(at[1] or text.count("\n") + 1)
        raise NotPlain(line, "syntax", said if at is None else said[: at.start()]) from None


Read = TypeVar("Read")


def _no_deeper(deepest: int, read: Callable[[], Read]) -> Read:
    """Read, and refuse what is nested deeper than a number of levels."""
    try:
        found = read()
    except RecursionError:
        raise NotPlain(None, "deep") from None
    if _deep(found, deepest):
        raise NotPlain(None, "deep")
    return found


def _distinct(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    read = dict(pairs)
    if len(read) != len(pairs):
        raise NotPlain(None, "twice", _first_twice(pairs))
    return read


def _first_twice(pairs: list[tuple[str, Any]]) -> str:
    seen: set[str] = set()
    for key, _ in pairs:
        if key in seen:
            break
        seen.add(key)
    return key


def _no_number(text: str) -> Any:
    raise ValueError(f"{text} is no number")


def _deep(value: Any, deepest: int) -> bool:
    """Whether a document is nested too deeply, found level by level."""
    level = [value] if isinstance(value, (dict, list)) else []
    for _ in range(deepest):
        inside = (inner for outer in level for inner in (outer.values() if isinstance(outer, dict) else outer))
        level = [inner for inner in inside if isinstance(inner, (dict, list))]
    return bool(level)


def plain_yaml(text: str, deepest: int, few_types: bool = False) -> tuple[Any, dict[Place, int]]:
    """Read a YAML text of one document.

    Parameters
    ----------
    text : str
    deepest : int
        Most levels of nesting.
    few_types : bool, optional
        Whether only whole numbers, decimals, true, false and null are more than text; else YAML's own list holds.

    Returns
    -------
    object, dict
        The values, and the line of each place, from 1.

    Raises
    ------
    NotPlain
        With the line.
    """
    import yaml

    loader = None
    try:
        _look_over(text, deepest)
        loader = _loader(few_types)(text)
        node = loader.get_single_node()
        if node is None:
            raise NotPlain(1, "empty")
        lines: dict[Place, int] = {}
        _walk(loader, node, (), lines)
        return loader.construct_document(node), lines
    except yaml.YAMLError as error:
        mark = getattr(error, "problem_mark", None)
        said = _one_line(getattr(error, "problem", error))
        kind = "deep" if "nesting depth" in said else "syntax"  # the fast reader has a limit of its own
        raise NotPlain(mark.line + 1 if mark else 1, kind, said) from None
    except (ValueError, RecursionError) as error:
        raise NotPlain(1, "syntax", _one_line(error)) from None
    finally:
        if loader is not None:
            loader.dispose()


@cache
def _loader(few_types: bool) -> Any:
    """Give the safe loader that reads fastest here, or one with its own, shorter list of what is not text."""
    import yaml

    fastest: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    if not few_types:
        return fastest
    few: Any = type("_Few", (fastest,), {"yaml_implicit_resolvers": {}})
    for name, (pattern, first) in _TYPES.items():
        few.add_implicit_resolver(f"tag:yaml.org,2002:{name}", re.compile(pattern), list(first))
    return few


def _one_line(said: object) -> str:
    return " ".join(str(said).split())[:120]


def _look_over(text: str, deepest: int) -> None:
    import yaml

    depth = 0
    for event in yaml.parse(text, Loader=_loader(False)):
        line = event.start_mark.line + 1 if event.start_mark else 1
        if isinstance(event, yaml.AliasEvent) or getattr(event, "anchor", None) is not None:
            raise NotPlain(line, "alias")
        if getattr(event, "tag", None) is not None:
            raise NotPlain(line, "tag")
        depth += isinstance(event, yaml.CollectionStartEvent) - isinstance(event, yaml.CollectionEndEvent)
        if depth > deepest:  # before the rest is scanned, which takes the square of its depth
            raise NotPlain(line, "deep")


def _walk(loader: Any, node: Any, place: Place, lines: dict[Place, int]) -> None:
    """Note the lines, and refuse a key that is no text or stands twice; PyYAML's nodes name their kind in ``id``."""
    lines.setdefault(place, node.start_mark.line + 1)
    if node.id == "mapping":
        seen: set[Hashable] = set()
        for key_node, value in node.value:
            line = key_node.start_mark.line + 1
            if key_node.id != "scalar" or key_node.tag == "tag:yaml.org,2002:merge":
                raise NotPlain(line, "key", str(key_node.value)[:40])
            key = loader.construct_object(key_node, deep=True)
            if not isinstance(key, str):
                raise NotPlain(line, "key", str(key)[:40])
            if key in seen:
                raise NotPlain(line, "twice", key)
            seen.add(key)
            lines[(*place, key)] = line
            _walk(loader, value, (*place, key), lines)
    elif node.id == "sequence":
        for number, value in enumerate(node.value):
            _walk(loader, value, (*place, number), lines)
