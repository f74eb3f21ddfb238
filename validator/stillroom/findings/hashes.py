"""Hashes: which files of a package carry one, what they are now, and what datapackage.json declares.

Which files must carry a hash is fixed here and not in the package: all that no check can rebuild from something else. A
table or a recipe says its hash in its resource; a schema in ``hashes``, by its path.
"""

from __future__ import annotations

import hashlib
import os
from typing import TYPE_CHECKING, Any

from stillroom.package.resources import RECIPE_END, RECIPES, is_recipe
from stillroom.package.tables import DERIVED, GROUPS, TABLES

if TYPE_CHECKING:
    from stillroom.findings.opened import CheckedPackage

KEY, HASHES = "hash", "hashes"
BUILT = frozenset((*GROUPS, "not-recommended", *DERIVED))
"""Tables that are built from others, and are held to them by a check."""
FOLDERS = ((RECIPES, RECIPE_END), ("schema", ".json"))
"""Folders whose every file carries a hash, and how these end."""


def actual(package: CheckedPackage) -> dict[str, str]:
    """Hash each file that must carry one.

    Parameters
    ----------
    package : CheckedPackage

    Returns
    -------
    dict of str to str
        ``sha256:`` and 64 hexadecimal digits, by path; files that cannot be read are left out.
    """
    found = {
        table.file: f"sha256:{table.sha256}"
        for name, table in package.tables.items()
        if name in TABLES and name not in BUILT
    }
    for folder, end in FOLDERS:
        for path in _listed(package, folder, end):
            content, _ = package.bounded(path, 2**22)
            if content is not None:
                found[path] = f"sha256:{hashlib.sha256(content).hexdigest()}"
    return found


def declared(descriptor: dict[str, Any]) -> dict[str, str]:
    """Give the hashes that datapackage.json declares, by path.

    Parameters
    ----------
    descriptor : dict
        datapackage.json; whatever in it is not as it should be is passed over.
    """
    found: dict[str, str] = {}
    resources = descriptor.get("resources")
    for resource in resources if isinstance(resources, list) else ():
        if isinstance(resource, dict) and isinstance(resource.get("path"), str) and isinstance(resource.get(KEY), str):
            found[resource["path"]] = resource[KEY]
    others = descriptor.get(HASHES)
    if isinstance(others, dict):
        found |= {path: value for path, value in others.items() if isinstance(value, str)}
    return found


def declaring(descriptor: dict[str, Any], hashes: dict[str, str]) -> dict[str, Any]:
    """Give datapackage.json with other hashes.

    Parameters
    ----------
    descriptor : dict
        datapackage.json.
    hashes : dict of str to str
        By path; a table that has none here loses the one it had, and each recipe here is a resource.
    """
    resources = []
    for resource in descriptor["resources"]:
        if not is_recipe(resource):
            own = {key: value for key, value in resource.items() if key != KEY}
            resources.append(own | {KEY: hashes[own["path"]]} if own["path"] in hashes else own)
    tables = {resource["path"] for resource in resources}
    recipes = [_recipe(path, hashes[path]) for path in sorted(hashes) if is_recipe({"path": path})]
    others = {path: hashes[path] for path in sorted(hashes) if path not in tables and not is_recipe({"path": path})}
    return {**descriptor, "resources": [*resources, *recipes], HASHES: others}


def _recipe(path: str, own: str) -> dict[str, Any]:
    """Describe a recipe as a resource."""
    name = path.rpartition("/")[2].removesuffix(RECIPE_END)
    return {
        "name": f"recipe-{name}",
        "title": f"Recipe: {name.replace('-', ' ')}",
        "description": "What goes in, how it is prepared and packed, and the pages; its schema is schema/recipe.json.",
        "path": path,
        "format": "yml",  # Frictionless takes a "yaml" that has steps for a pipeline of its own
        "mediatype": "application/yaml",
        "encoding": "utf-8",
        KEY: own,
    }


def _listed(package: CheckedPackage, folder: str, end: str) -> list[str]:
    path = os.path.join(package.root, *folder.split("/"))
    if package.screened(folder) or not os.path.isdir(path):
        return []
    return [f"{folder}/{name}" for name in sorted(os.listdir(path)) if name.endswith(end)]
