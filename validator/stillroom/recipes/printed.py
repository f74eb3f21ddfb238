"""Recipes: how a food with a tested schedule is prepared, as printed, read strictly from schedules/recipes/.

Amounts stay as printed: a scaled recipe is a whole multiple of the printed one (see :mod:`stillroom.recipes.scaling`).
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from fractions import Fraction
from typing import Any, NamedTuple

from stillroom.answers.answer import Citation, HeadspaceFor, Stated, paged
from stillroom.errors import BadInput, BadPackage, StillroomError

Entry = Mapping[str, Any]

COUNTED = frozenset(("count", "clove", "head", "stick", "can", "drop", "part"))
"""Units that are counted, not measured; dimensionless as pint quantities."""


class Amount(NamedTuple):
    """An amount in US kitchen measure.

    Attributes
    ----------
    low, high : float
        The same number, or the ends of a printed range.
    unit : str
        Singular, like ``cup``.
    """

    low: float
    high: float
    unit: str

    @property
    def quantity(self) -> Any:
        """The amount as a pint quantity; counted things are dimensionless.

        Raises
        ------
        BadInput
            The print gives a range: see ``quantities``.
        StillroomError
            Pint is not installed.
        """
        if self.low != self.high:
            raise BadInput(f"the print gives a range of {self.low:g} to {self.high:g} {self.unit}: use .quantities")
        return self.quantities[0]

    @property
    def quantities(self) -> tuple[Any, Any]:
        """Both ends as pint quantities (the same, where the print gives one number)."""
        try:
            import pint
        except ImportError:
            raise StillroomError('quantities need pint: install it with pip install "stillroom[day]"') from None
        unit = "count" if self.unit in COUNTED else self.unit
        registry: Any = pint.application_registry
        return registry.Quantity(exact(self.low), unit), registry.Quantity(exact(self.high), unit)

    def times(self, number: int) -> Amount:
        """Multiply by a whole number, thirds exactly."""
        return Amount(exact(self.low, number), exact(self.high, number), self.unit)


class Per(NamedTuple):
    """What an amount is for, where it is not for the whole recipe. Such an amount is never multiplied.

    Attributes
    ----------
    jar : str or None
        Goes into each jar of this size; ``each``: any jar.
    amount : Amount or None
        Goes with so much of ``of``.
    of : str or None
        What that much is of.
    """

    jar: str | None
    amount: Amount | None
    of: str | None


class Ingredient(NamedTuple):
    """One line of an ingredient list.

    Attributes
    ----------
    name, role : str
        Role: main, acid, low-acid, fruit, sugar, salt, spice, firming, thickener, liquid or other.
    amount : Amount or None
        For the batches asked for, for one batch where batches are made one at a time, or as printed where ``per`` is
        set; None where the print gives none or lost it (then ``note`` says so).
    per : Per or None
        What the amount goes with; None: the whole recipe.
    total : Amount or None
        For all jars asked for, where the amount goes into each jar.
    any_of : str or None
        Lines with the same letter are alternatives.
    variety, pack, jar : str or None
        Set where the line is only for these.
    optional : bool
        Printed as optional.
    adjustable : str or None
        Page that says the amount may be changed or left out.
    soak : bool
        Goes into a soak, rinse or brine that is drained off.
    prep, note : str or None
        How it is prepared, and what else is printed.
    """

    name: str
    role: str
    amount: Amount | None
    per: Per | None
    total: Amount | None
    any_of: str | None
    variety: str | None
    pack: str | None
    jar: str | None
    optional: bool
    adjustable: str | None
    soak: bool
    prep: str | None
    note: str | None


class JarAcid(NamedTuple):
    """Acid for every jar of one size, never less.

    Attributes
    ----------
    jar : str
        Id.
    any_of : tuple of Ingredient
        One of these; ``total`` of each is for all jars asked for.
    page : str
        Printed page.
    """

    jar: str
    any_of: tuple[Ingredient, ...]
    page: str


class RecipeStep(NamedTuple):
    """One step of the preparation. A range is (low, high); None where the print gives none.

    Attributes
    ----------
    text : str
        What to do.
    minutes : (float, float) or None
        Minutes.
    temperature_F : (float, float) or None
        Degrees Fahrenheit.
    hours, days : (float, float) or None
        Hours, days.
    pack, jar, variety : str or None
        Set where the step is only for these.
    page : str
        Printed page.
    """

    text: str
    minutes: tuple[float, float] | None
    temperature_F: tuple[float, float] | None  # noqa: N815 (the unit as the data write it)
    hours: tuple[float, float] | None
    days: tuple[float, float] | None
    pack: str | None
    jar: str | None
    variety: str | None
    page: str


class Direction(NamedTuple):
    """One special direction for the canner.

    Attributes
    ----------
    text : str
        What to do.
    water_quarts : float or None
        Water in the canner, quarts.
    minutes : (float, float) or None
        Minutes, the shortest and the longest.
    jar : str or None
        Set where it is only for this jar.
    page : str
        Printed page.
    """

    text: str
    water_quarts: float | None
    minutes: tuple[float, float] | None
    jar: str | None
    page: str

    def __str__(self) -> str:
        return f"{self.text.removesuffix('.')} ({paged(self.page)})."


class Batches(NamedTuple):
    """Whole printed batches for the jars asked for.

    Attributes
    ----------
    times : int
        How many printed batches.
    column : str or None
        Which printed column, where the recipe has several.
    one_at_a_time : bool
        True for jams and jellies: amounts are those of ONE batch, made ``times`` times.
    fills_from, fills_to : int
        Jars of the size asked for that all of them fill.
    by_volume : bool
        The yield is printed for another jar and carried over by volume.
    about : bool
        The yield is printed with the word about, or carried over by volume.
    page : str
        Page of the yield.
    """

    times: int
    column: str | None
    one_at_a_time: bool
    fills_from: int
    fills_to: int
    by_volume: bool
    about: bool
    page: str


class RawFood(NamedTuple):
    """Food as bought for the jars asked for.

    Attributes
    ----------
    variety : str
        Blank: the food itself.
    pounds_from, pounds_to : float
        Pounds, on average, rounded up to a quarter.
    printed : str
        The printed weight and the jars it fills, in words.
    page : str
        Printed page.
    """

    variety: str
    pounds_from: float
    pounds_to: float
    printed: str
    page: str


class SyrupChoice(NamedTuple):
    """Water and sugar for one syrup that the fruit may be packed in.

    Attributes
    ----------
    title : str
        Like ``light``.
    sugar_percent : int
        Sugar, percent.
    load : str
        The canner load it is enough for: ``nine-pints`` or ``seven-quarts``.
    water_cup, sugar_cup : float
        US cups.
    page : str
        Printed page.
    """

    title: str
    sugar_percent: int
    load: str
    water_cup: float
    sugar_cup: float
    page: str


class Recipe(NamedTuple):
    """How a food is prepared and packed, for the jars asked for or as printed. All frozen.

    Attributes
    ----------
    food, title : str
        Food id, and its title.
    packs, jars : tuple of str
        Packs and jars of the publication; packs empty where it names none.
    follows : str or None
        Food whose procedure or process the section sends to.
    jars_asked : int or None
        Jars to fill; None: as printed.
    jar, pack, variety : str or None
        As asked.
    by_rule : Stated or None
        Set when a published rule carries the recipe to this jar.
    batches : Batches or None
        None where no number of jars was asked for, or the print gives no yield.
    raw_food : tuple of RawFood
        Food as bought; empty where no yield is printed.
    requires : tuple of Stated
        What must hold, acid apart.
    acid : tuple of JarAcid
        Into each jar, never less.
    ingredients : tuple of Ingredient
        In printed order.
    syrups : tuple of SyrupChoice
        Where the section sends to the syrup table.
    steps : tuple of RecipeStep
        In printed order.
    headspace : tuple of HeadspaceFor
        Inches.
    canner : tuple of Direction
        What is special about the canner.
    sterile_jars : tuple of str
        Ids of the jars that the section wants sterile.
    low_temperature_pasteurization, single_batch : str or None
        Page, where allowed or asked for.
    may_change, never_change, cautions, doubtful : tuple of Stated
        What may be changed, what never, what to mind, and what is doubtful in the print.
    notes : tuple of str
        How the amounts were reckoned.
    source : Citation
        Where the recipe stands.
    """

    food: str
    title: str
    packs: tuple[str, ...]
    jars: tuple[str, ...]
    follows: str | None
    jars_asked: int | None
    jar: str | None
    pack: str | None
    variety: str | None
    by_rule: Stated | None
    batches: Batches | None
    raw_food: tuple[RawFood, ...]
    requires: tuple[Stated, ...]
    acid: tuple[JarAcid, ...]
    ingredients: tuple[Ingredient, ...]
    syrups: tuple[SyrupChoice, ...]
    steps: tuple[RecipeStep, ...]
    headspace: tuple[HeadspaceFor, ...]
    canner: tuple[Direction, ...]
    sterile_jars: tuple[str, ...]
    low_temperature_pasteurization: str | None
    single_batch: str | None
    may_change: tuple[Stated, ...]
    never_change: tuple[Stated, ...]
    cautions: tuple[Stated, ...]
    doubtful: tuple[Stated, ...]
    notes: tuple[str, ...]
    source: Citation


def exact(number: float, times: int = 1) -> float:
    """Multiply a printed number: 0.3333 is a third, so three of them are 1."""
    return float(Fraction(number).limit_denominator(64) * times)


def read(root: str, food: str) -> Entry:
    """Read one recipe file.

    Parameters
    ----------
    root : str
        Folder of the package.
    food : str
        Food id.

    Raises
    ------
    BadPackage
        Missing, no ordinary file, not plain YAML (a key twice, an alias, a tag), or the file of another food; names
        file and line.
    StillroomError
        PyYAML is not installed.
    """
    from stillroom.package import documents

    shown = f"schedules/recipes/{food}.yaml"
    content = documents.content(os.path.join(root, "schedules", "recipes", f"{food}.yaml"), shown)
    try:
        entry = documents.read_yaml(content, shown)
    except ModuleNotFoundError:
        raise StillroomError('recipes need PyYAML: install it with pip install "stillroom[day]"') from None
    if not isinstance(entry, dict) or entry.get("food") != food:
        raise BadPackage(f'{shown} is not the recipe of "{food}"')
    return entry


def amount(entry: Entry, column: str | None = None) -> Amount | None:
    """Read the amount of an entry; from one column where the recipe has several. None: the print gives none."""
    number, unit = entry.get("quantity"), entry.get("unit")
    if number is None:
        return None
    if isinstance(number, dict) and "from" not in number:
        number = number[column]
    if isinstance(unit, dict):
        unit = unit[column]
    low, high = span(number) or (0.0, 0.0)
    return Amount(low, high, str(unit))


def span(number: Any) -> tuple[float, float] | None:
    """Read a number or a printed range as (low, high)."""
    if number is None:
        return None
    if isinstance(number, dict):
        return float(number["from"]), float(number["to"])
    return float(number), float(number)


def ingredient(entry: Entry, column: str | None) -> Ingredient:
    """Read one ingredient, unscaled."""
    per = entry.get("per")
    return Ingredient(
        name=entry["name"],
        role=entry.get("role", "acid"),
        amount=amount(entry, column),
        per=None if per is None else Per(per.get("jar"), amount(per), per.get("of")),
        total=None,
        any_of=entry.get("any_of"),
        variety=entry.get("variety"),
        pack=entry.get("pack"),
        jar=entry.get("jar"),
        optional=bool(entry.get("optional", False)),
        adjustable=entry.get("adjustable"),
        soak=bool(entry.get("soak", False)),
        prep=entry.get("prep"),
        note=entry.get("note"),
    )


def step(entry: Entry) -> RecipeStep:
    """Read one step."""
    return RecipeStep(
        entry["text"],
        span(entry.get("minutes")),
        span(entry.get("temperature_F")),
        span(entry.get("hours")),
        span(entry.get("days")),
        entry.get("pack"),
        entry.get("jar"),
        entry.get("variety"),
        entry["page"],
    )


def direction(entry: Entry) -> Direction:
    """Read one direction for the canner."""
    return Direction(
        entry["text"], entry.get("water_quarts"), span(entry.get("minutes")), entry.get("jar"), entry["page"]
    )
