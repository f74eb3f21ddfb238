"""Recipes: every YAML file in schedules/recipes/ is plain YAML and fits schema/recipe.json.

What it does
------------
Reads each file safely: no duplicate key, no anchor, alias or tag, no file over one megabyte or nested too deeply. Then
compares it with the JSON Schema of recipes. Without schedules/recipes/ there is nothing to check.

Why it matters
--------------
A duplicate key hides an ingredient: a reader takes the last one and drops the first without a word. An alias can blow
a small file up to fill the memory.

Example
-------
``schedules/recipes/chile-salsa.yaml:7: recipes: key "vinegar" stands twice; keep one``

Source
------
YAML 1.2; JSON Schema 2020-12.
"""

from __future__ import annotations

import os
from collections.abc import Hashable, Iterator
from typing import TYPE_CHECKING, Any

from stillroom.finding import Finding, shown

if TYPE_CHECKING:
    import yaml

    from stillroom.checked import CheckedPackage

NAME = "recipes"
FOLDER = "schedules/recipes"
SCHEMA = "schema/recipe.json"
LARGEST = 1_000_000
"""Largest recipe that is read, bytes."""
DEEPEST = 20
"""Deepest nesting that is read."""


class _Refused(Exception):
    """A YAML text that is not read."""

    def __init__(self, line: int, wrong: str, mend: str) -> None:
        super().__init__(wrong)
        self.line, self.wrong, self.mend = line, wrong, mend


def check(package: CheckedPackage) -> Iterator[Finding]:
    """Yield what is wrong with the recipes."""
    folder = os.path.join(package.root, *FOLDER.split("/"))
    if not os.path.lexists(folder):
        return
    wrong = package.screened(FOLDER)
    if wrong or not os.path.isdir(folder):
        yield Finding(NAME, FOLDER, None, "", "", wrong or "is no folder", "", "make it a folder of YAML files")
        return
    schema, problem = package.json_file(SCHEMA)
    if schema is None:
        yield Finding(NAME, SCHEMA, None, "", "", problem, "", "restore the schema of recipes")
        return
    for file in sorted(os.listdir(folder)):
        path = f"{FOLDER}/{file}"
        if not file.endswith((".yaml", ".yml")):
            yield Finding(NAME, path, None, "", "", "is no YAML file", "", "keep only recipes here")
            continue
        data, problem = package.bounded(path, LARGEST)
        if data is None:
            yield Finding(NAME, path, None, "", "", problem, "", "restore the file")
            continue
        yield from _recipe(path, data, schema)


def _recipe(path: str, data: bytes, schema: dict[str, Any]) -> Iterator[Finding]:
    from jsonschema import Draft202012Validator

    try:
        recipe, lines = _loaded(data)
    except _Refused as refused:
        yield Finding(NAME, path, refused.line, "", "", refused.wrong, "", refused.mend)
        return
    for error in sorted(
        Draft202012Validator(schema).iter_errors(recipe), key=lambda e: list(map(str, e.absolute_path))
    ):
        place = tuple(error.absolute_path)
        line = next((lines[place[:n]] for n in range(len(place), -1, -1) if place[:n] in lines), 1)
        at = ".".join(map(str, place)) or "recipe"
        yield Finding(NAME, path, line, "", "", f"{at}: {shown(error.message, 200)}", "", f"see {SCHEMA}")


def _loaded(data: bytes) -> tuple[Any, dict[tuple[Any, ...], int]]:
    """Read plain YAML, with the line of each place; refuse anything else."""
    import yaml

    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        raise _Refused(data.count(b"\n", 0, error.start) + 1, "is not UTF-8 here", "save it as UTF-8") from None
    loader = None
    try:
        loader = yaml.SafeLoader(text)
        depth = 0
        for event in yaml.parse(text, Loader=yaml.SafeLoader):
            _plain(event)
            depth += isinstance(event, yaml.CollectionStartEvent) - isinstance(event, yaml.CollectionEndEvent)
            if depth > DEEPEST:  # before the whole text is scanned, which takes the square of its depth
                raise _Refused(
                    event.start_mark.line + 1 if event.start_mark else 1, "is nested too deeply", "flatten it"
                )
        node = loader.get_single_node()
        lines: dict[tuple[Any, ...], int] = {}
        if node is None:
            raise _Refused(1, "is empty", "write the recipe")
        _walk(loader, node, (), lines)
        return loader.construct_document(node), lines
    except yaml.YAMLError as error:
        mark = getattr(error, "problem_mark", None)
        said = shown(str(getattr(error, "problem", None) or error), 100)
        raise _Refused(mark.line + 1 if mark else 1, f"is no YAML: {said}", "mend it") from None
    except (ValueError, RecursionError) as error:
        raise _Refused(1, f"cannot be read: {shown(str(error), 100)}", "mend it") from None
    finally:
        if loader is not None:
            loader.dispose()


def _plain(event: yaml.Event) -> None:
    line = event.start_mark.line + 1 if event.start_mark else 1
    if type(event).__name__ == "AliasEvent" or getattr(event, "anchor", None):
        raise _Refused(line, "has an anchor or alias", "write the value out")
    if getattr(event, "tag", None):
        raise _Refused(line, "has a tag", "write plain values")


def _walk(loader: yaml.SafeLoader, node: yaml.Node, place: tuple[Any, ...], lines: dict[tuple[Any, ...], int]) -> None:
    import yaml

    lines[place] = node.start_mark.line + 1
    if len(place) > DEEPEST:
        raise _Refused(lines[place], "is nested too deeply", "flatten it")
    if isinstance(node, yaml.MappingNode):
        seen: set[Hashable] = set()
        for key_node, value in node.value:
            key = loader.construct_object(key_node, deep=True)
            line = key_node.start_mark.line + 1
            if not isinstance(key, str):
                raise _Refused(line, f"key {shown(str(key))} is no text", "put it in quotes")
            if key in seen:
                raise _Refused(line, f'key "{shown(key)}" stands twice', "keep one")
            seen.add(key)
            _walk(loader, value, (*place, key), lines)
            lines[(*place, key)] = line
    elif isinstance(node, yaml.SequenceNode):
        for number, value in enumerate(node.value):
            _walk(loader, value, (*place, number), lines)
