"""Recipe parts: what the checks read of a recipe, whatever stands in it.

A recipe may be hostile: what is not of its schema is told by the check of recipes and is passed over here.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any, NamedTuple

if TYPE_CHECKING:
    from stillroom.findings.opened import CheckedPackage

Place = tuple[Any, ...]
LARGEST = 1_000_000_000
"""Amounts beyond this are no amounts."""


class Recipe(NamedTuple):
    """One recipe: its file, its food, its keys, and the line of each place."""

    path: str
    food: str
    keys: dict[str, Any]
    lines: dict[Any, int]

    def line(self, *place: Any) -> int | None:
        """Line of a place, or of the nearest that is around it."""
        while place and place not in self.lines:
            place = place[:-1]
        return self.lines.get(place)

    def word(self, key: str) -> str:
        """Text of a key; blank if there is none."""
        return word(self.keys, key)

    def words(self, key: str) -> tuple[str, ...]:
        """Texts of a list."""
        value = self.keys.get(key)
        return tuple(one for one in value if isinstance(one, str)) if isinstance(value, list) else ()

    def parts(self, key: str) -> Iterator[tuple[Place, dict[str, Any]]]:
        """Parts of a list that have keys of their own, each with its place."""
        yield from parts(self.keys, key)


def every(package: CheckedPackage) -> Iterator[Recipe]:
    """All recipes of a package that name their food."""
    for path, (keys, lines) in package.recipes.items():
        if isinstance(keys, dict) and isinstance(keys.get("food"), str):
            yield Recipe(path, keys["food"], keys, lines)


def parts(around: dict[str, Any], key: str, place: Place = ()) -> Iterator[tuple[Place, dict[str, Any]]]:
    """Parts of a list below a place."""
    value = around.get(key)
    for number, part in enumerate(value) if isinstance(value, list) else ():
        if isinstance(part, dict):
            yield (*place, key, number), part


def word(part: dict[str, Any], key: str) -> str:
    """Text of a key; blank if there is none."""
    value = part.get(key)
    return value if isinstance(value, str) else ""


def amount(value: Any) -> float | None:
    """A number; None for what is none."""
    if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) < LARGEST:
        return None
    return float(value)


def amount_of(cell: str) -> float | None:
    """Number of a cell; None where it is blank or none."""
    from stillroom.findings.table import numbers

    found = float(numbers([cell])[0])
    return found if found == found else None
