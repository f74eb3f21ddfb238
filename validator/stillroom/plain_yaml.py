"""Plain YAML: one document of plain mappings, lists and values, with the line of every place in it.

What YAML offers beyond that is refused before anything is built from it: aliases (a small file can unfold into a huge
one), tags, several documents, a key written twice (a reader silently keeps one), and deep nesting.
"""

from __future__ import annotations

from collections.abc import Hashable
from typing import Any

import yaml

Place = tuple[Any, ...]
"""Keys and positions that lead to a value."""

Loader: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
"""The safe loader that reads fastest here."""


class NotPlain(Exception):
    """A text that is not plain YAML.

    Attributes
    ----------
    line : int
        Where, from 1.
    kind : str
        ``alias``, ``tag``, ``deep``, ``twice``, ``key``, ``empty`` or ``syntax``.
    said : str
        The key, or what the YAML reader says.
    """

    def __init__(self, line: int, kind: str, said: str = "") -> None:
        super().__init__(kind, said)
        self.line, self.kind, self.said = line, kind, said


def read(text: str, deepest: int, loader_type: Any = Loader) -> tuple[Any, dict[Place, int]]:
    """Read a document.

    Parameters
    ----------
    text : str
    deepest : int
        Most levels of nesting.
    loader_type : type, optional
        Loader whose rules say what is a number, a date or text.

    Returns
    -------
    object, dict
        The values, and the line of each place, from 1.

    Raises
    ------
    NotPlain
        With the line.
    """
    loader = None
    try:
        _look_over(text, deepest)
        loader = loader_type(text)
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


def _one_line(said: object) -> str:
    return " ".join(str(said).split())[:120]


def _look_over(text: str, deepest: int) -> None:
    depth = 0
    for event in yaml.parse(text, Loader=Loader):
        line = event.start_mark.line + 1 if event.start_mark else 1
        if isinstance(event, yaml.AliasEvent) or getattr(event, "anchor", None) is not None:
            raise NotPlain(line, "alias")
        if getattr(event, "tag", None) is not None:
            raise NotPlain(line, "tag")
        depth += isinstance(event, yaml.CollectionStartEvent) - isinstance(event, yaml.CollectionEndEvent)
        if depth > deepest:  # before the rest is scanned, which takes the square of its depth
            raise NotPlain(line, "deep")


def _walk(loader: Any, node: Any, place: Place, lines: dict[Place, int]) -> None:
    lines.setdefault(place, node.start_mark.line + 1)
    if isinstance(node, yaml.MappingNode):
        seen: set[Hashable] = set()
        for key_node, value in node.value:
            line = key_node.start_mark.line + 1
            if not isinstance(key_node, yaml.ScalarNode) or key_node.tag == "tag:yaml.org,2002:merge":
                raise NotPlain(line, "key", str(key_node.value)[:40])
            key = loader.construct_object(key_node, deep=True)
            if not isinstance(key, str):
                raise NotPlain(line, "key", str(key)[:40])
            if key in seen:
                raise NotPlain(line, "twice", key)
            seen.add(key)
            lines[(*place, key)] = line
            _walk(loader, value, (*place, key), lines)
    elif isinstance(node, yaml.SequenceNode):
        for number, value in enumerate(node.value):
            _walk(loader, value, (*place, number), lines)
