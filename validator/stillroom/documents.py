"""Documents: YAML and JSON read strictly: no aliases, no key twice, no deep nesting, no endless number.

A document may be hostile. Aliases make a small file grow without bound, and of two equal keys a reader silently keeps
one, so both are refused; the package needs neither.
"""

from __future__ import annotations

import json
from typing import Any

from stillroom.errors import BadPackage

LARGEST_BYTES = 4 * 2**20
"""Larger than any document of the package, bytes."""
DEEPEST = 40
"""Levels of nesting; the package has fewer than ten."""


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
        Not YAML, or with aliases, equal keys, deep nesting or tags; names the line.
    """
    import yaml

    text = _text(content, shown)
    loader: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)

    class Strict(loader):  # type: ignore[misc]
        """Refuses equal keys and merged mappings."""

        def construct_mapping(self, node: Any, deep: bool = False) -> dict[Any, Any]:
            keys: set[str] = set()
            for key, _ in node.value:
                if key.id != "scalar" or key.tag == "tag:yaml.org,2002:merge":
                    raise _bad(shown, key.start_mark.line, "has a key that is no plain text")
                if key.value in keys:
                    raise _bad(shown, key.start_mark.line, f'has the key "{key.value[:40]}" twice')
                keys.add(key.value)
            read: dict[Any, Any] = super().construct_mapping(node, deep)
            return read

    try:
        _look_over(yaml, loader, text, shown)
        return yaml.load(text, Loader=Strict)
    except yaml.MarkedYAMLError as error:
        line = error.problem_mark.line if error.problem_mark is not None else 0
        raise _bad(shown, line, f"is not YAML here: {error.problem}") from None
    except (yaml.YAMLError, ValueError, RecursionError) as error:
        raise BadPackage(f"{shown} is not YAML that can be read: {' '.join(str(error).split())[:200]}") from None


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
            twice = next(key for i, (key, _) in enumerate(pairs) if key in {k for k, _ in pairs[:i]})
            raise BadPackage(f'{shown} has the key "{twice[:40]}" twice')
        return read

    def no_number(text: str) -> Any:
        raise ValueError(f"{text} is no number")

    text = _text(content, shown)
    try:
        return json.loads(text, object_pairs_hook=distinct, parse_constant=no_number)
    except RecursionError:
        raise BadPackage(f"{shown} is nested deeper than {DEEPEST} levels") from None
    except ValueError as error:
        raise BadPackage(f"{shown} is not JSON that can be read: {' '.join(str(error).split())[:200]}") from None


def _text(content: bytes, shown: str) -> str:
    if len(content) > LARGEST_BYTES:
        raise BadPackage(f"{shown} is larger than {LARGEST_BYTES // 2**20} MB, the most that is read of a document")
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError as error:
        raise _bad(shown, content.count(b"\n", 0, error.start), "is not UTF-8 here") from None


def _look_over(yaml: Any, loader: Any, text: str, shown: str) -> None:
    """Refuse aliases and deep nesting before anything is built."""
    depth = 0
    for event in yaml.parse(text, Loader=loader):
        if isinstance(event, yaml.AliasEvent):
            raise _bad(shown, event.start_mark.line, "has an alias: write the value out")
        depth += isinstance(event, yaml.CollectionStartEvent) - isinstance(event, yaml.CollectionEndEvent)
        if depth > DEEPEST:
            raise _bad(shown, event.start_mark.line, f"is nested deeper than {DEEPEST} levels")


def _bad(shown: str, line: int, what: str) -> BadPackage:
    return BadPackage(f"{shown}:{line + 1}: {what}")
