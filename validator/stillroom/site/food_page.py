"""Food page: all that is published for one food, on one page that reads without a script."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any, NamedTuple

from stillroom.answers import conditions, history, wording
from stillroom.answers.answer import Citation, Stated, paged
from stillroom.answers.charts import Combination
from stillroom.answers.names import Meaning
from stillroom.answers.printed_table import FoodTable, printed
from stillroom.answers.shelf import Shelf
from stillroom.day import handling
from stillroom.package.records import Food, Yield
from stillroom.recipes import buying, scaling
from stillroom.recipes.printed import Recipe
from stillroom.recipes.recipe_question import Wanted
from stillroom.sheets import history_sheet, recipe_sheet, table_sheet
from stillroom.site import general, scaled
from stillroom.site.pages import Page

FOLDER = "food"
ACIDITY = {
    "low-acid": "Low-acid food: a pressure canner only",
    "acid": "Acid food",
    "acidified": "Made acid by the recipe",
}
"""Words for how acid a food is."""
_KINDS: dict[str, handling.Kind] = {"pressure": "pressure", "boiling-water": "boiling-water", "steam": "steam"}
_CANNERS: dict[handling.Kind, str] = {
    "pressure": "pressure canner",
    "boiling-water": "boiling-water canner",
    "steam": "steam canner",
}
_SHARED = ("Test the seals", "A jar that did not seal", "When a jar is opened")
"""Heads that hold whatever the canner."""


class Heading(NamedTuple):
    """A heading and what stands under it, in sentences."""

    head: str
    said: tuple[str, ...]


def place(food: str) -> str:
    """Give the place of a food's page in the book."""
    return f"{FOLDER}/{food}.html"


def food_page(shelf: Shelf, food: Food) -> Page:
    """Gather the page of a food.

    Parameters
    ----------
    shelf : Shelf
    food : Food

    Raises
    ------
    BadPackage
        What is published for it contradicts itself or is damaged.
    """
    found = printed(shelf, Meaning(food.id, "", "", ""))
    recipe = scaling.recipe(shelf, Wanted(food.id))
    kinds = tuple(_kinds(shelf, found))
    requires, card = list(map(str, found.requires)), recipe_sheet.card(recipe, shelf)
    before = history.of_food(shelf, food.id, 0.0)
    context: dict[str, Any] = {
        "food": food,
        "acidity": ACIDITY.get(food.acidity, food.acidity),
        "follows": _follows(shelf, food.id),
        "requires": requires,
        "grids": list(table_sheet.grids(found, shelf)),
        "vent": _vent(shelf, found),
        "carried": list(map(str, found.carried)),
        "headspace": list(dict.fromkeys(_headspace(shelf, food.id))),
        "minded": list(_minded(shelf, food.id)),
        "card": card,
        "acid": [said for said in card.acid if said not in requires],
        "recipe": recipe,
        "offered": list(_offered(recipe)),
        "scaled": list(scaled.tables(shelf, food)),
        "yields": list(_yields(shelf, food)),
        "during": [Heading(*one) for one in _during(shelf, food, kinds)],
        "after": [Heading(*one) for one in _after(shelf, food, kinds)],
        "suspect": handling.toxin(food),
        "history": before,
        "history_tables": list(history_sheet.tables(before, shelf)),
        "sources": list(_sources(shelf, food, found)),
        "guide": shelf.of_guide(food.id),
    }
    return Page(place(food.id), "food.html.jinja", food.title, context)


def _follows(shelf: Shelf, food: str) -> dict[str, str] | None:
    said = conditions.follows(shelf, food)
    return None if said is None else {"text": str(said), "href": f"{shelf.owner(food)}.html"}


def _kinds(shelf: Shelf, found: FoodTable) -> Iterator[handling.Kind]:
    """Kinds of canner that have a row, and those that a rule carries one to."""
    methods = {shelf.canners[cell.canner].method for cell in found.cells}
    methods |= {
        canner.method for canner in shelf.canners.values() if canner.by_rule in {one.id for one in found.carried}
    }
    return (kind for method, kind in _KINDS.items() if method in methods)


def _vent(shelf: Shelf, found: FoodTable) -> str:
    by_pressure = any(cell.pressure_psi is not None for cell in found.cells)
    return str(conditions.venting(shelf, "a pressure canner")) if by_pressure and shelf.of_guide(found.food) else ""


def _facts(shelf: Shelf, food: str) -> Iterator[tuple[Combination, conditions.Facts]]:
    for at in shelf.chart_of(food):
        yield at, conditions.facts(shelf, food, at, at.jar, None)


def _headspace(shelf: Shelf, food: str) -> Iterator[str]:
    """Say the headspace of each pack and jar, where they differ; once where they do not."""
    told: dict[tuple[Any, ...], list[Combination]] = {}
    for at, facts in _facts(shelf, food):
        told.setdefault(facts.headspace, []).append(at)
    for rows, some in told.items():
        label = ", ".join(part for part in (_packs(some), _jars(shelf, some)) if part) if len(told) > 1 else ""
        for row in rows:
            text = wording.units(row.inches, "inch") + (f" for {row.variety}" if row.variety else "")
            cited = shelf.named_page(food, row.page)
            yield f"{wording.labeled(label, text) if label else text} ({cited})"
        if not rows:
            yield wording.labeled(label, "none printed") if label else "None printed."


def _packs(some: Iterable[Combination]) -> str:
    packs = list(dict.fromkeys(at.pack for at in some if at.pack))
    return f"{wording.listed(packs)} pack" if packs else ""


def _jars(shelf: Shelf, some: Iterable[Combination]) -> str:
    return wording.listed(list(dict.fromkeys(shelf.jars[at.jar].plural for at in some)))


def _minded(shelf: Shelf, food: str) -> Iterator[str]:
    """Say the cautions, each with the packs and jars that it is for where it is not for all."""
    every = list(_facts(shelf, food))
    holds: dict[Stated, list[Combination]] = {}
    for at, facts in every:
        for said in facts.cautions:
            if said != shelf.standing:
                holds.setdefault(said, []).append(at)
    for said, some in holds.items():
        parts = [
            _packs(some) if {at.pack for at in some} != {at.pack for at, _ in every} else "",
            _jars(shelf, some) if {at.jar for at in some} != {at.jar for at, _ in every} else "",
        ]
        label = ", ".join(part for part in parts if part)
        yield str(said._replace(text=wording.labeled(label, said.text)) if label else said)


def _offered(recipe: Recipe) -> Iterator[Heading]:
    """Give what of a recipe stands beside its card."""
    yield Heading("Never change", tuple(map(str, recipe.never_change)))
    yield Heading("May be changed", tuple(map(str, recipe.may_change)))
    yield Heading("In the canner", tuple(map(str, recipe.canner)))
    yield Heading("To mind in the recipe", tuple(map(str, recipe.cautions)))


def _yields(shelf: Shelf, food: Food) -> Iterator[str]:
    relation = next((row for row in shelf.package.yield_relations if row.food == food.id), None)
    owner = food.id if relation is None else relation.follows
    if relation is not None:
        said = f"The yields are those of {shelf.foods[owner].title.lower()}"
        yield f"{said} ({shelf.cite(relation.page, relation.source).in_brackets})."
    for row in shelf.package.yields:
        if row.food == owner:
            yield _yield(shelf, food, row)


def _yield(shelf: Shelf, food: Food, row: Yield) -> str:
    jar = shelf.jars[row.jar]
    pounds = _range(row.pounds_from, row.pounds_to, "pound")
    jars = f"{row.jars_from} {jar.title if row.jars_from == row.jars_to == 1 else jar.plural}"
    if row.jars_from != row.jars_to:
        jars = f"{row.jars_from} to {row.jars_to} {jar.plural}"
    basis = wording.capital(row.basis if row.basis != "average" else "on average")
    note = f"; {row.note}" if row.note else ""
    cited = shelf.cite(row.page, row.source).in_brackets
    return f"{basis}: {pounds} of {buying.raw(row.food, row.variety, food.title)} fill {jars}{note} ({cited})."


def _range(low: float, high: float, unit: str) -> str:
    return wording.units(high, unit) if low == high else f"{wording.amount(low)} to {wording.units(high, unit)}"


# what to do with failures


def _during(shelf: Shelf, food: Food, kinds: tuple[handling.Kind, ...]) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Say what to do in a dip and how to cool, by kind of canner; what holds for every kind is said once."""
    if not shelf.of_guide(food.id):
        return
    cooling = {kind: handling.afterward(food, kind)[1] for kind in kinds}
    shared = [name for name in cooling[kinds[0]][1] if all(name in names for _, names in cooling.values())]
    for kind in kinds:
        head, names = handling.afterward(food, kind)[0]
        yield head, tuple(general.sentence(name, shelf.rules) for name in names)
    for kind, (head, names) in cooling.items():
        own = tuple(general.sentence(name, shelf.rules) for name in names if name not in shared)
        yield f"{head}: {_CANNERS[kind]}", own
    yield "Cool the jars", tuple(general.sentence(name, shelf.rules) for name in shared)


def _after(shelf: Shelf, food: Food, kinds: tuple[handling.Kind, ...]) -> Iterator[tuple[str, tuple[str, ...]]]:
    if shelf.of_guide(food.id):
        for head, names in handling.afterward(food, kinds[0]):
            if head in _SHARED:
                yield head, tuple(general.sentence(name, shelf.rules) for name in names)
        if handling.toxin(food):
            yield "A jar in doubt", tuple(general.sentence(name, shelf.rules) for name in handling.SUSPECT[:2])


def _sources(shelf: Shelf, food: Food, found: FoodTable) -> Iterator[str]:
    """Cite each publication that the page speaks from, with its pages."""
    cited: dict[str, list[str]] = {}
    whole: dict[str, Citation] = {}

    def take(source: str, page: str) -> None:
        whole[source] = shelf.cite(page, source)._replace(page="")
        if page not in cited.setdefault(source, []):
            cited[source].append(page)

    for cell in found.cells:
        take(cell.source, cell.page)
    for row in shelf.package.conditions:
        if row.food in (food.id, shelf.owner(food.id)):
            take(row.source, row.page)
    take(food.source, food.page)
    for source, pages in cited.items():
        numbers = [page for page in sorted(pages, key=_number) if page != "web"]
        told = f"pages {wording.listed(numbers, 'and')}" if len(numbers) > 1 else "".join(map(paged, numbers))
        yield f"{_named(whole[source])}{f': {told}' if told else ''}."


def _named(source: Citation) -> str:
    return ", ".join(part for part in (source.author, source.title, source.series, source.edition) if part)


def _number(page: str) -> tuple[int, ...]:
    return tuple(int(part) for part in page.replace(".", "-").split("-") if part.strip().isdigit())
