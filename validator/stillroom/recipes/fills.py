"""Fills: how many jars so much raw food fills, from the printed yields of that jar and from nothing else.

What a bushel weighs is printed beside the jars it fills, and holds for every jar; what a pound fills is carried from no
jar to another. Each printed yield gives a range of its own, and all of them together the range that is planned with.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from fractions import Fraction
from typing import TYPE_CHECKING, Any, Literal, NamedTuple

from stillroom.answers import wording
from stillroom.errors import BadInput
from stillroom.package.records import Yield
from stillroom.recipes import buying

if TYPE_CHECKING:
    from stillroom.answers.shelf import Shelf

Measure = Literal["pounds", "bushels"]
"""What raw food is told in."""
MOST: dict[str, int] = {"pounds": 10_000, "bushels": 200}
"""More in one day than a household cans: a slip of the pen (only guards against slips)."""


class Fill(NamedTuple):
    """What one printed yield says of so much raw food.

    Attributes
    ----------
    printed : str
        The printed weight and the jars it fills, in words.
    jars_from, jars_to : int
        Jars by it: the least rounded down, the most rounded up.
    source, page : str
        Source id and printed page.
    """

    printed: str
    jars_from: int
    jars_to: int
    source: str
    page: str


class Filling(NamedTuple):
    """Raw food that was said in place of jars, and what it fills.

    Attributes
    ----------
    measure : str
        ``pounds`` or ``bushels``.
    number : float
        How many.
    jars_from, jars_to : int
        The least and the most jars by all printed yields together; loads are planned for the most.
    by : tuple of Fill
        Each printed yield.
    """

    measure: Measure
    number: float
    jars_from: int
    jars_to: int
    by: tuple[Fill, ...]


def number(measure: Measure, said: Any) -> Fraction:
    """Read pounds or bushels.

    Parameters
    ----------
    measure : str
        Which.
    said : int, float or str
        Above zero, like ``40``, ``"12.5"`` or ``"1/2"``.

    Raises
    ------
    BadInput
        No such number, or more than a household cans in a day.
    """
    text = str(said).strip() if isinstance(said, (int, float, str)) and not isinstance(said, bool) else ""
    try:
        found = Fraction(text) if text.isascii() and len(text) <= 20 and "e" not in text.lower() else None
    except (ValueError, ZeroDivisionError):
        found = None
    if found is None or "_" in text:
        raise BadInput(f'{measure} "{str(said)[:20]}" is not a number: write it like "40" or "12.5"')
    if found <= 0:
        raise BadInput(f"{measure} {text} is nothing to can: write how many there are")
    if found > MOST[measure]:
        raise BadInput(f"{measure} {text} is more than {MOST[measure]:,}: check the figure")
    return found


def filling(food: str, jar: str, measure: Measure, said: Any, shelf: Shelf) -> Filling | None:
    """Find how many jars raw food fills.

    Parameters
    ----------
    food, jar : str
        Ids.
    measure : str
        ``pounds`` or ``bushels``.
    said : int, float or str
        How many.
    shelf : Shelf

    Returns
    -------
    Filling or None
        None where no yield at all is printed for the food; its recipe may have one.

    Raises
    ------
    BadInput
        No number; no yield printed for this jar, or no bushel; or a yield of several raw foods together.
    """
    much = number(measure, said)
    rows = buying.printed(food, shelf.package)
    if not rows:
        return None
    title = shelf.foods[food].title
    own = [row for row in rows if row.jar == jar]
    _one_raw_food(rows, title)
    if not own:
        printed = wording.listed(list(dict.fromkeys(shelf.jars[row.jar].plural for row in rows)), "and")
        raise BadInput(
            f"no yield is printed for {title} in {shelf.jars[jar].plural}, only for {printed} "
            f"(page {rows[0].page}): say how many jars"
        )
    by = tuple(_by_pounds(own, much, food, shelf) if measure == "pounds" else _by_bushels(rows, own, much, food, shelf))
    return joined(measure, much, by)


def joined(measure: Measure, much: Fraction, by: tuple[Fill, ...]) -> Filling:
    """Put what each yield says together: the least and the most of all.

    Raises
    ------
    BadInput
        So little that it fills no jar.
    """
    least, most = min(fill.jars_from for fill in by), max(fill.jars_to for fill in by)
    if most < 1:
        raise BadInput(f"{measure} {wording.amount(float(much))} fill less than one jar: say how many jars")
    return Filling(measure, float(much), least, most, by)


def told(row: Yield, food: str, shelf: Shelf) -> str:
    """Write a printed yield: ``14 lb fill 7 quarts``, ``1 bushel, 30 lb, fills 12 to 20 quarts``."""
    sent = shelf.foods[row.food].title
    whose = "" if row.food == food else f", printed for {sent[:1].lower()}{sent[1:]}"
    style = f"{row.variety}: " if row.variety else ""
    fills = wording.amount(row.jars_from) if row.jars_from == row.jars_to else f"{row.jars_from} to {row.jars_to}"
    jar = shelf.jars[row.jar]
    jars = f"{fills} {jar.title.removesuffix(' jar') if fills == '1' else jar.plural}"
    weight = buying.weighed(row, "lb")
    if row.basis in buying.PER_JARS:
        return f"{style}{weight} {'fills' if weight == '1 lb' else 'fill'} {jars}{whose}"
    return f"{style}1 {row.basis}, {weight}, fills {jars}{whose}"


def _by_pounds(rows: Iterable[Yield], pounds: Fraction, food: str, shelf: Shelf) -> Iterable[Fill]:
    for row in rows:
        yield _fill(told(row, food, shelf), row, *_jars(row, pounds))


def _by_bushels(
    rows: Iterable[Yield], own: Iterable[Yield], bushels: Fraction, food: str, shelf: Shelf
) -> Iterable[Fill]:
    weights = {row.variety: row for row in rows if row.basis == "bushel"}
    if not weights:
        others = list(dict.fromkeys(row.basis for row in rows if row.basis not in buying.PER_JARS))
        kept = f"; a {wording.listed(others)} is" if others else ""
        raise BadInput(f"no bushel of {shelf.foods[food].title} is printed{kept}: say it in pounds, or how many jars")
    for row in own:
        bushel = weights.get(row.variety)
        if row.basis == "bushel":
            yield _fill(told(row, food, shelf), row, bushels * row.jars_from, bushels * row.jars_to)
        elif bushel is not None and row.basis in buying.PER_JARS:
            low, _ = _jars(row, bushels * Fraction(str(bushel.pounds_from)))
            _, high = _jars(row, bushels * Fraction(str(bushel.pounds_to)))
            weight = buying.weighed(bushel, "lb")
            yield _fill(f"1 bushel is {weight} (page {bushel.page}), and {told(row, food, shelf)}", row, low, high)


def _jars(row: Yield, pounds: Fraction) -> tuple[Fraction, Fraction]:
    """Jars of the size of a row: the least by its most pounds, the most by its least."""
    return pounds * row.jars_from / Fraction(str(row.pounds_to)), pounds * row.jars_to / Fraction(str(row.pounds_from))


def _fill(printed: str, row: Yield, low: Fraction, high: Fraction) -> Fill:
    return Fill(printed, math.floor(low), math.ceil(high), row.source, row.page)


def _one_raw_food(rows: Iterable[Yield], title: str) -> None:
    """Refuse a yield of several raw foods together, of which a weight would not say which it is of."""
    several = [name for name in dict.fromkeys(row.variety for row in rows) if name]
    styles = all(buying.is_style(row.food, row.variety) for row in rows if row.variety)
    if len(several) > 1 and not styles:
        raise BadInput(f"{title} is made of {wording.listed(several, 'and')} by weight together: say how many jars")
