"""Recipe document: a recipe as a plain document for programs (schema/recipe-answer.json)."""

from __future__ import annotations

from typing import Any

from stillroom.answers.answer import Citation, Stated
from stillroom.recipes.printed import Recipe
from stillroom.sheets.documents import stated


def document(found: Recipe) -> dict[str, Any]:
    """Lay out a recipe for programs (schema/recipe-answer.json)."""
    return {"kind": "recipe", **_plain(found)}


def _plain(value: Any) -> Any:
    if isinstance(value, Stated):
        return stated(value)
    if isinstance(value, Citation):
        return {**value._asdict(), "cite": value.cite()}
    if hasattr(value, "_asdict"):
        return {name: _plain(part) for name, part in value._asdict().items()}
    if isinstance(value, tuple):
        return [_plain(part) for part in value]
    return value
