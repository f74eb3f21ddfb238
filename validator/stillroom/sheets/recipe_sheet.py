"""Recipe sheet: a recipe as text for people, like an entry of a good bulletin, wrapped at 80 columns."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from stillroom.answers import measures, wording
from stillroom.answers.answer import paged
from stillroom.answers.shelf import Shelf
from stillroom.recipes import buying
from stillroom.recipes.printed import Amount, Ingredient, JarAcid, Recipe, exact
from stillroom.sheets import page


class _Step(NamedTuple):
    """From ``least`` on an amount is also said in a larger measure, in whole times ``large`` of that."""

    least: float
    large: float
    unit: str


_STEPS = {
    "teaspoon": _Step(6, 1, "tablespoon"),
    "tablespoon": _Step(8, 0.25, "cup"),
    "cup": _Step(8, 1, "quart"),
}


def recipe_sheet(recipe: Recipe, shelf: Shelf) -> str:
    """Write a recipe: what must hold first, then what goes in, how, and what may and may never be changed."""
    lines = [*page.wrapped(_heading(recipe, shelf)), *page.wrapped(_offered(recipe, shelf))]
    for note in ([str(recipe.by_rule)] if recipe.by_rule else []) + list(recipe.notes):
        lines += page.wrapped(note)
    if not shelf.of_guide(recipe.food):
        lines += page.wrapped(f"Pages named alone are of: {recipe.source.short}.")
    lines += page.section("Required for safety:", _conditions(recipe, shelf))
    lines += page.section("Never:", map(str, recipe.never_change))
    bought = [
        f"about {_pounds(food.pounds_from, food.pounds_to)} of {buying.raw(recipe.food, food.variety, recipe.title)}"
        f" ({food.printed}, page {food.page})"
        for food in recipe.raw_food
    ]
    lines += page.section("To buy:", bought)
    lines += _ingredients(recipe, shelf)
    lines += page.section("Syrup, if you use it (the 9-pint amount also does for 4 quarts):", _syrups(recipe))
    lines += page.section("Steps:", _steps(recipe, shelf), numbered=True)
    lines += page.section("Headspace:", _headspace(recipe, shelf))
    lines += page.section(
        "In the canner:",
        (_only(str(d), None, d.jar if recipe.jar is None else None, shelf) for d in recipe.canner),
    )
    if recipe.low_temperature_pasteurization:
        lines += ["", *page.wrapped(
            "Low-temperature pasteurization (180 to 185 F water, 30 minutes) may take the place of the boiling-water "
            f"process (page {recipe.low_temperature_pasteurization})."
        )]  # fmt: skip
    lines += page.section("May be changed:", map(str, recipe.may_change))
    lines += page.section("Also note:", map(str, recipe.cautions))
    _, *foot = page.foot(recipe.source, shelf.standing)
    return page.text([*lines, "", "Time and pressure: ask stillroom find, with your jar, altitude and canner.", *foot])


def _heading(recipe: Recipe, shelf: Shelf) -> str:
    words = [recipe.title]
    if recipe.variety:
        words.append(recipe.variety)
    if recipe.pack:
        words.append(f"{recipe.pack} pack")
    if recipe.jar:
        jar = shelf.jars[recipe.jar]
        words.append(jar.plural if recipe.jars_asked is None else f"{recipe.jars_asked} "
                     f"{jar.title if recipe.jars_asked == 1 else jar.plural}")  # fmt: skip
    return ", ".join(words)


def _offered(recipe: Recipe, shelf: Shelf) -> str:
    packs = f"{wording.listed(recipe.packs)} pack" if recipe.packs else "the publication names no pack"
    jars = wording.listed([shelf.jars[jar].plural for jar in recipe.jars])
    follows = f"; follows {shelf.foods[recipe.follows].title.lower()}" if recipe.follows else ""
    return f"Tested: {packs}; {jars}{follows}."


def _conditions(recipe: Recipe, shelf: Shelf) -> Iterable[str]:
    for acid in recipe.acid:
        yield _acid(acid, recipe, shelf)
    yield from _whole_acid(recipe)
    for stated in recipe.requires:
        yield str(stated)


def _whole_acid(recipe: Recipe) -> Iterable[str]:
    """Acid that is part of the recipe itself."""
    whole = [
        line for line in recipe.ingredients if line.role == "acid" and not (line.soak or line.optional or line.per)
    ]
    for line in whole:
        batch = " of one batch" if recipe.batches and recipe.batches.one_at_a_time else ""
        column = f", {line.variety}" if line.variety else ""
        yield f"Acid in the recipe{batch}{column}: {measure(line.amount)} of {line.name} ({paged(recipe.source.page)})."


def _acid(acid: JarAcid, recipe: Recipe, shelf: Shelf) -> str:
    said = wording.listed([f"{measure(line.amount)} of {line.name}" for line in acid.any_of if line.amount])
    text = f"Acid in each {shelf.jars[recipe.jar or acid.jar].title}: {said} ({paged(acid.page)})."
    totals = [measure(line.total) for line in acid.any_of if line.total is not None]
    return f"{text} In all: {wording.listed(totals)}." if totals else text


class Card(NamedTuple):
    """What a cook needs at the table, in sentences.

    Attributes
    ----------
    acid : tuple of str
        Into each jar, and in the recipe.
    notes : tuple of str
        How the amounts were reckoned.
    never : tuple of str
        What must never be changed.
    parts : tuple of (str, tuple of str)
        Ingredients under their heads.
    syrups, steps, headspace : tuple of str
        Syrups to choose from, steps in their order, and headspace.
    """

    acid: tuple[str, ...]
    notes: tuple[str, ...]
    never: tuple[str, ...]
    parts: tuple[tuple[str, tuple[str, ...]], ...]
    syrups: tuple[str, ...]
    steps: tuple[str, ...]
    headspace: tuple[str, ...]


def card(recipe: Recipe, shelf: Shelf) -> Card:
    """Write a recipe in parts, for a sheet that sets them its own way."""
    return Card(
        acid=(*(_acid(acid, recipe, shelf) for acid in recipe.acid), *_whole_acid(recipe)),
        notes=recipe.notes,
        never=tuple(map(str, recipe.never_change)),
        parts=tuple((head, tuple(items)) for head, items in _parts(recipe, shelf)),
        syrups=tuple(_syrups(recipe)),
        steps=tuple(_steps(recipe, shelf)),
        headspace=tuple(_headspace(recipe, shelf)),
    )


def _ingredients(recipe: Recipe, shelf: Shelf) -> list[str]:
    return [line for head, items in _parts(recipe, shelf) for line in page.section(head, items)]


def _parts(recipe: Recipe, shelf: Shelf) -> Iterable[tuple[str, list[str]]]:
    """Ingredients under their heads, one for each variety."""
    many = recipe.batches
    head = "Ingredients:"
    if many is not None and many.one_at_a_time:
        head = "Ingredients of ONE batch:"
    elif many is not None:
        head = f"Ingredients of {many.times} printed batch{'' if many.times == 1 else 'es'} in all:"
    groups = dict.fromkeys(line.variety for line in recipe.ingredients)
    seen: set[tuple[str | None, str | None]] = set()
    for variety in groups:
        label = head if variety is None else f"{head.rstrip(':')}, {variety}:"
        items = []
        for line in recipe.ingredients:
            if line.variety == variety:
                either = line.any_of is not None and (variety, line.any_of) in seen
                seen.add((variety, line.any_of))
                items.append(("or " if either else "") + _line(line, recipe, shelf))
        yield label, items


def _line(line: Ingredient, recipe: Recipe, shelf: Shelf) -> str:
    text = f"{measure(line.amount)} {line.name}" if line.amount else _unmeasured(line)
    if line.prep:
        text += f", {line.prep}"
    if line.per is not None and line.per.jar is not None:
        text += f", in each {'jar' if line.per.jar == 'each' else shelf.jars[line.per.jar].title}"
    elif line.per is not None:
        base = f"{measure(line.per.amount)} of " if line.per.amount else ""
        text += f", for {base}{line.per.of}"
    if line.total is not None:
        text += f"; in all {measure(line.total)}"
    said = [f"{line.pack} pack" if line.pack and recipe.pack is None else "", "optional" if line.optional else ""]
    said += [f"may be changed, {paged(line.adjustable)}" if line.adjustable else ""]
    said += ["drained off" if line.soak and "drained" not in (line.note or "") else "", line.note or ""]
    kept = [word for word in said if word]
    return f"{text} [{'; '.join(kept)}]" if kept else text


def _unmeasured(line: Ingredient) -> str:
    """Say that no amount is given: of salt or acid it matters, of the rest the note says what to do."""
    return f"{line.name}: the amount is not given here" if line.role in ("acid", "salt") else line.name


def _steps(recipe: Recipe, shelf: Shelf) -> Iterable[str]:
    for step in recipe.steps:
        pack = step.pack if recipe.pack is None and len(recipe.packs) > 1 else None
        text = _only(step.text, pack, step.jar if recipe.jar is None else None, shelf)
        if step.variety and recipe.variety is None:
            text = wording.labeled(step.variety, text)
        yield f"{text} ({step.page})"


def _syrups(recipe: Recipe) -> Iterable[str]:
    for row in recipe.syrups:
        water, sugar = wording.units(row.water_cup, "cup"), wording.units(row.sugar_cup, "cup")
        yield (
            f"{row.title} ({row.sugar_percent} percent), for {row.load.replace('-', ' ')}: {water} of water, "
            f"{sugar} of sugar ({paged(row.page)})"
        )


def _only(text: str, pack: str | None, jar: str | None, shelf: Shelf) -> str:
    words = ([f"{pack} pack"] if pack else []) + ([shelf.jars[jar].plural] if jar else [])
    return wording.labeled(", ".join(words), text) if words else text


def _headspace(recipe: Recipe, shelf: Shelf) -> Iterable[str]:
    for row in recipe.headspace:
        text = wording.units(row.inches, "inch") + (f" for {row.variety}" if row.variety else "")
        yield f"{text} ({paged(row.page)})"


def _pounds(low: float, high: float) -> str:
    return wording.units(high, "pound") if low == high else f"{wording.amount(low)} to {wording.units(high, 'pound')}"


def measure(amount: Amount | None) -> str:
    """Write an amount as a cook measures it: ``1/4 cup plus 1 tablespoon``, ``14 tablespoons (3/4 cup plus ...)``."""
    if amount is None:
        return ""
    if amount.low != amount.high:
        if amount.low == 0:
            return f"up to {wording.units(amount.high, amount.unit)}"
        return f"{wording.amount(amount.low)} to {_named(amount.high, amount.unit)}"
    if amount.unit == "cup" and "/" not in wording.amount(amount.low) and amount.low % 1:
        return _with_smaller(amount.low)
    text = _named(amount.low, amount.unit)
    step = _STEPS.get(amount.unit)
    if step is not None and amount.low >= step.least:
        steps, rest = divmod(round(amount.low, 4), step.large * measures.in_one(amount.unit, step.unit))
        also = wording.units(steps * step.large, step.unit)
        text += f" ({also} plus {wording.units(rest, amount.unit)})" if rest else f" ({also})"
    return text


def _with_smaller(cups: float) -> str:
    """Cups in quarters, and the rest in tablespoons: 5/16 cup is 1/4 cup plus 1 tablespoon."""
    quarters = int(cups * 4) / 4
    rest = exact((cups - quarters) * measures.in_one("tablespoon", "cup"))
    return (
        f"{wording.units(quarters, 'cup')} plus {wording.units(rest, 'tablespoon')}"
        if quarters
        else wording.units(rest, "tablespoon")
    )


def _named(number: float, unit: str) -> str:
    return wording.amount(number) if unit == "count" else wording.units(number, unit)
