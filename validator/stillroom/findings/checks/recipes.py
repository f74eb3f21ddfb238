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
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from stillroom.findings.finding import Finding, shown
from stillroom.findings.opened import DEEPEST_RECIPE, LARGEST_RECIPE, RECIPES
from stillroom.package import schemas
from stillroom.package.documents import NotPlain, plain_yaml

if TYPE_CHECKING:
    from stillroom.findings.opened import CheckedPackage

NAME = "recipes"
SCHEMA = "schema/recipe.json"

_NOT_PLAIN = {
    "alias": ("has an anchor or alias", "write the value out"),
    "tag": ("has a tag", "write plain values"),
    "deep": ("is nested too deeply", "flatten it"),
    "twice": ('key "{}" stands twice', "keep one"),
    "key": ("key {} is no text", "put it in quotes"),
    "empty": ("is empty", "write the recipe"),
    "syntax": ("is no YAML: {}", "mend it"),
}
"""What is wrong and how to mend it, by the kind of what is not plain YAML."""
_BESIDE = {"$ref", "description", "title"}
_OWN_BASE = {"$id", "$anchor", "$dynamicAnchor"}
"""Keywords that give a definition a name of its own."""


def check(package: CheckedPackage) -> Iterator[Finding]:
    """Yield what is wrong with the recipes."""
    folder = os.path.join(package.root, *RECIPES.split("/"))
    if not os.path.lexists(folder):
        return
    wrong = package.screened(RECIPES)
    if wrong or not os.path.isdir(folder):
        yield Finding(NAME, RECIPES, None, "", "", wrong or "is no folder", "", "make it a folder of YAML files")
        return
    schema, problem = package.json_file(SCHEMA)
    if schema is None:
        yield Finding(NAME, SCHEMA, None, "", "", problem, "", "restore the schema of recipes")
        return
    validator = schemas.validator(unfolded(schema))
    for file in sorted(os.listdir(folder)):
        path = f"{RECIPES}/{file}"
        if not file.endswith((".yaml", ".yml")):
            yield Finding(NAME, path, None, "", "", "is no YAML file", "", "keep only recipes here")
            continue
        data, problem = package.bounded(path, LARGEST_RECIPE)
        if data is None:
            yield Finding(NAME, path, None, "", "", problem, "", "restore the file")
            continue
        yield from _recipe(package, path, data, validator)


def unfolded(schema: dict[str, Any]) -> dict[str, Any]:
    """Write out the references of a JSON Schema to its own definitions: looking them up takes longer than all else.

    A reference stays as it is where it leads to itself or to no definition, and where more than a description stands
    beside it, since keywords side by side act on one another. A definition is written out once and shared.
    """
    definitions = schema.get("$defs")
    written: dict[str, Any] = {}

    def unfold(node: Any) -> Any:
        if isinstance(node, list):
            return [unfold(part) for part in node]
        if not isinstance(node, dict):
            return node
        to = node.get("$ref")
        if isinstance(to, str) and node.keys() <= _BESIDE and isinstance(definitions, dict):
            name = to.removeprefix("#/$defs/")
            meant = definitions.get(name)
            if to == f"#/$defs/{name}" and isinstance(meant, dict) and not _OWN_BASE & meant.keys():
                if name not in written:
                    written[name] = node  # a reference back to here stays one
                    written[name] = unfold(meant)
                return written[name]
        return {name: unfold(part) for name, part in node.items()}

    try:
        return {name: part if name == "$defs" else unfold(part) for name, part in schema.items()}
    except RecursionError:
        return schema


def _recipe(package: CheckedPackage, path: str, data: bytes, validator: Any) -> Iterator[Finding]:
    try:
        recipe, lines = package.recipes.get(path) or plain_yaml(data.decode("utf-8"), DEEPEST_RECIPE)
    except UnicodeDecodeError as undecodable:
        line = data.count(b"\n", 0, undecodable.start) + 1
        yield Finding(NAME, path, line, "", "", "is not UTF-8 here", "", "save it as UTF-8")
        return
    except NotPlain as refused:
        wrong, mend = _NOT_PLAIN[refused.kind]
        yield Finding(NAME, path, refused.line, "", "", wrong.format(shown(refused.said, 100)), "", mend)
        return
    found = schemas.misfits(validator, recipe, lines)
    for line, place, error in sorted(found, key=lambda misfit: list(map(str, misfit.place))):
        at = ".".join(map(str, place)) or "recipe"
        yield Finding(NAME, path, line, "", "", f"{at}: {shown(error.message, 200)}", "", f"see {SCHEMA}")
