"""Recipe acid: the acid that a recipe names, in the words of acid.csv."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

from stillroom.findings import recipe_parts
from stillroom.findings.recipe_parts import Place, Recipe, amount, parts, word
from stillroom.findings.told_amounts import rounded

USES = {"jar": ("jar",), "batch": ("batch",), "soak": ("soak",), "option": ("option", "batch")}
"""Uses that a recipe may name for each use of acid.csv: what only seasons is no option to a cook."""


class Named(NamedTuple):
    """One acid of a recipe.

    Attributes
    ----------
    place : tuple
        Where it stands.
    jar, acid, unit, use : str
        As in acid.csv; ``jar`` is blank where the amount is not for each jar.
    quantity : float
        In ``unit``, to four places.
    per : frozenset of str
        What it may be for in acid.csv.
    choice : bool
        Whether it is one of several.
    """

    place: Place
    jar: str
    acid: str
    quantity: float
    unit: str
    per: frozenset[str]
    use: str
    choice: bool


def acid_of(recipe: Recipe) -> list[Named]:
    """All acid of a recipe, that of each jar first."""
    return [*_of_jars(recipe), *_of_ingredients(recipe)]


def fits(one: Named, row: dict[str, str]) -> bool:
    """Whether an acid of a recipe is a row of acid.csv."""
    quantity = recipe_parts.amount_of(row["quantity"])
    same = (one.jar, one.acid, one.unit, one.choice) == (row["jar"], row["acid"], row["unit"], bool(row["any_of"]))
    return same and one.quantity == quantity and row["per"] in one.per and one.use in USES.get(row["use"], ())


def _of_jars(recipe: Recipe) -> Iterator[Named]:
    for place, part in recipe.parts("acid"):
        choices = list(parts(part, "any_of", place))
        for at, one in choices:
            quantity, jar = amount(one.get("quantity")), word(part, "jar")
            if quantity is not None:
                named = word(one, "name"), rounded(quantity), word(one, "unit")
                yield Named(at, jar, *named, frozenset(("jar",)), "jar", len(choices) > 1)


def _of_ingredients(recipe: Recipe) -> Iterator[Named]:
    for place, line in recipe.parts("ingredients"):
        if line.get("role") == "acid":
            use = "option" if line.get("optional") else "soak" if line.get("soak") else "batch"
            for per, quantity, unit in _amounts(recipe, line):
                yield Named(place, "", word(line, "name"), rounded(quantity), unit, per, use, "any_of" in line)


def _amounts(recipe: Recipe, line: dict[str, Any]) -> Iterator[tuple[frozenset[str], float, str]]:
    """What an ingredient is for, how much and its unit: once for the recipe, or for each column of its batches."""
    given, unit = line.get("quantity"), line.get("unit")
    columns = given if isinstance(given, dict) else {"": given}
    for column, value in columns.items():
        quantity = amount(value)
        of = unit.get(column) if isinstance(unit, dict) else unit
        if quantity is not None and isinstance(of, str):
            yield frozenset((column,)) if column else _per(recipe, line), quantity, of


def _per(recipe: Recipe, line: dict[str, Any]) -> frozenset[str]:
    """What one amount is for: the recipe, one measure, or, for several of a measure, a column of the batches."""
    per = line.get("per")
    if not isinstance(per, dict):
        return frozenset(("recipe",))
    if per.get("quantity") == 1:
        return frozenset((word(per, "unit"),))
    return frozenset(word(batch, "id") for _, batch in recipe.parts("batches")) or frozenset(("",))
