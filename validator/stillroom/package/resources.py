"""Resources: what datapackage.json names that is no table."""

from __future__ import annotations

RECIPES, RECIPE_END = "schedules/recipes", ".yaml"
"""Folder of the recipes, and how their files end."""


def is_recipe(resource: object) -> bool:
    """Whether a resource of datapackage.json is a recipe: a document of its own, and no table."""
    if not isinstance(resource, dict) or "type" in resource:
        return False
    path = resource.get("path")
    return isinstance(path, str) and path.startswith(f"{RECIPES}/") and path.endswith(RECIPE_END)
