"""Food list page: every food that has a tested schedule, A to Z, with the names that people have for it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from stillroom.answers.shelf import Shelf
from stillroom.site import food_page
from stillroom.site.pages import Page


class Listed(NamedTuple):
    """A food of the list: its title, its page, how acid it is in words, and its further names."""

    title: str
    href: str
    acidity: str
    names: tuple[str, ...]


def food_list_page(shelf: Shelf) -> Page:
    """Gather the list, under the letters that its titles begin with.

    Parameters
    ----------
    shelf : Shelf
    """
    names: dict[str, list[str]] = {food: [] for food in shelf.foods}
    for row in shelf.package.aliases:
        names[row.food].append(row.alias)
    letters: dict[str, list[Listed]] = {}
    for food in sorted(shelf.foods.values(), key=lambda food: food.title.casefold()):
        listed = Listed(
            food.title,
            food_page.place(food.id),
            food_page.ACIDITY.get(food.acidity, food.acidity),
            tuple(_others(food.title, names[food.id])),
        )
        letters.setdefault(_letter(food.title), []).append(listed)
    return Page("foods.html", "foods.html.jinja", "Foods A to Z", {"letters": letters, "count": len(shelf.foods)})


def _letter(title: str) -> str:
    first = title[:1].upper()
    return first if first.isalpha() else "0-9"


def _others(title: str, names: Iterable[str]) -> Iterable[str]:
    return sorted({name for name in names if name.casefold() != title.casefold()})
