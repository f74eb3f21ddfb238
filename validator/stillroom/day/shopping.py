"""Shopping: one list to buy for all foods of a day: produce, jars, lids, acid, vinegar, salt, sugar and the rest.

Produce is bought by the printed yields, everything else by the recipes; what no page gives an amount for is named
without one.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from typing import TYPE_CHECKING, Literal, NamedTuple

from stillroom.day.day import Plan
from stillroom.day.prepared import recipe_of
from stillroom.recipes import buying
from stillroom.recipes.printed import Amount, Ingredient, Recipe

if TYPE_CHECKING:
    from stillroom.answers.shelf import Shelf

Shelfmark = Literal["produce", "jars", "lids", "acid", "vinegar", "salt", "sugar", "other"]
"""Where on the list a thing stands, in this order."""
_ORDER = ("produce", "jars", "lids", "acid", "vinegar", "salt", "sugar", "other")
_OF_ROLE: dict[str, Shelfmark] = {
    "main": "produce",
    "low-acid": "produce",
    "fruit": "produce",
    "acid": "acid",
    "salt": "salt",
    "sugar": "sugar",
}


class Choice(NamedTuple):
    """A thing to buy, or one of several that serve equally.

    Attributes
    ----------
    amount : Amount or None
        For the whole day; None where no page gives one.
    name : str
        What it is.
    """

    amount: Amount | None
    name: str


class ToBuy(NamedTuple):
    """One line of the list.

    Attributes
    ----------
    kind : str
        ``produce``, ``jars``, ``lids``, ``acid``, ``vinegar``, ``salt``, ``sugar`` or ``other``.
    choices : tuple of Choice
        One of them.
    foods : tuple of str
        Titles of the foods it is for.
    pages : tuple of str
        Printed pages.
    note : str
        What else is to be said; blank where there is nothing.
    """

    kind: Shelfmark
    choices: tuple[Choice, ...]
    foods: tuple[str, ...]
    pages: tuple[str, ...]
    note: str


def list_for(plans: Iterable[Plan], shelf: Shelf) -> tuple[ToBuy, ...]:
    """Make one list for several plans; what is the same for several foods stands once, in one sum."""
    lines: dict[tuple[object, ...], ToBuy] = {}
    for plan in plans:
        for line in _lines(plan, shelf):
            key = (line.kind, line.note, tuple((one.name, one.amount and one.amount.unit) for one in line.choices))
            lines[key] = _added(lines[key], line) if key in lines else line
    return tuple(sorted(lines.values(), key=lambda line: _ORDER.index(line.kind)))


def _added(one: ToBuy, other: ToBuy) -> ToBuy:
    choices = tuple(
        Choice(_sum(mine.amount, theirs.amount), mine.name)
        for mine, theirs in zip(one.choices, other.choices, strict=True)
    )
    foods = tuple(dict.fromkeys((*one.foods, *other.foods)))
    return one._replace(choices=choices, foods=foods, pages=tuple(dict.fromkeys((*one.pages, *other.pages))))


def _sum(one: Amount | None, other: Amount | None) -> Amount | None:
    if one is None or other is None:
        return None
    low, high = (
        float(Fraction(a).limit_denominator(64) + Fraction(b).limit_denominator(64))
        for a, b in ((one.low, other.low), (one.high, other.high))
    )
    return Amount(low, high, one.unit)


def _lines(plan: Plan, shelf: Shelf) -> Iterator[ToBuy]:
    title, recipe = plan.answer.title, recipe_of(plan, shelf)
    produce = list(_produce(plan, shelf))
    yield from produce
    plural, number = shelf.jars[plan.answer.jar].plural, Amount(plan.jars, plan.jars, "count")
    washed, new = shelf.rules.rule("jars-washed").page, shelf.rules.rule("lids-new").page
    yield ToBuy("jars", (Choice(number, plural),), (title,), (washed,), "")
    yield ToBuy("lids", (Choice(number, f"new lids for {plural}"),), (title,), (new,), "")
    if recipe is None:
        yield _line("other", (Choice(None, "what the recipe asks for"),), title, (), f"see stillroom recipe: {title}")
        return
    yield from _jar_acid(recipe, title)
    for lines in _either(recipe.ingredients):
        if lines[0].role == "main" and produce:
            continue
        found = _ingredient(lines, recipe, title)
        if found is not None:
            yield found
    if recipe.syrups:
        page = recipe.syrups[0].page
        yield _line("sugar", (Choice(None, "sugar for the syrup you choose"),), title, (page,), "")


def _line(kind: Shelfmark, choices: tuple[Choice, ...], title: str, pages: tuple[str, ...], note: str) -> ToBuy:
    return ToBuy(kind, choices, (title,), pages, note)


def _produce(plan: Plan, shelf: Shelf) -> Iterator[ToBuy]:
    answer, filled = plan.answer, plan.filling
    if plan.made is not None:
        batches = plan.made.batches
        times = batches.times if batches.one_at_a_time else 1
        for line in plan.made.main:
            amount = None if line.amount is None else line.amount.times(times)
            note = f"1 batch: {line.note}" if line.note else ""
            yield _line("produce", (Choice(amount, line.name),), answer.title, (batches.page,), note)
        return
    if filled is not None:
        amount = Amount(filled.number, filled.number, filled.measure.removesuffix("s"))
        name = buying.raw(answer.food, "", answer.title)
        yield _line("produce", (Choice(amount, name),), answer.title, (), "as said")
        return
    seen: set[str] = set()
    for bought in plan.purchases:
        if bought.variety in seen:
            continue
        seen.add(bought.variety)
        low, high = (buying.up_to(Fraction(repr(pounds)), buying.QUARTERS)
                     for pounds in (bought.pounds_from, bought.pounds_to))  # fmt: skip
        row = bought.printed
        name = f"{buying.raw(row.food, row.variety, answer.title)} {'' if row.note == 'about' else row.note}".strip()
        style = "one style or the other" if buying.is_style(row.food, row.variety) else ""
        yield _line("produce", (Choice(Amount(low, high, "pound"), name),), answer.title, (row.page,), style)


def _jar_acid(recipe: Recipe, title: str) -> Iterator[ToBuy]:
    for acid in recipe.acid:
        choices = tuple(Choice(line.total, line.name) for line in acid.any_of)
        yield _line("acid", choices, title, (acid.page,), "into each jar, never less")


def _either(ingredients: Iterable[Ingredient]) -> Iterator[tuple[Ingredient, ...]]:
    """Put lines that are alternatives together."""
    groups: dict[object, list[Ingredient]] = {}
    for place, line in enumerate(ingredients):
        groups.setdefault(place if line.any_of is None else (line.variety, line.any_of), []).append(line)
    yield from (tuple(lines) for lines in groups.values())


def _ingredient(lines: tuple[Ingredient, ...], recipe: Recipe, title: str) -> ToBuy | None:
    first = lines[0]
    if first.name.casefold().endswith("water"):
        return None
    kind = _OF_ROLE.get(first.role, "other")
    if any("vinegar" in line.name.casefold() for line in lines):
        kind = "vinegar"
    amounts = [_whole(line, recipe) for line in lines]
    choices = tuple(Choice(amount, line.name) for amount, line in zip(amounts, lines, strict=True))
    notes = ["optional"] if first.optional else []
    if None in amounts:
        notes.append("amount: see the recipe")
    return _line(kind, choices, title, (recipe.source.page,), ", ".join(notes))


def _whole(line: Ingredient, recipe: Recipe) -> Amount | None:
    """Amount for all jars; None where the print gives none for them."""
    if line.per is not None:
        return line.total
    if line.amount is None or recipe.batches is None:
        return None
    return line.amount.times(recipe.batches.times if recipe.batches.one_at_a_time else 1)
