"""Book: every page of the book with its scripts, its style and its data, as files of one folder."""

from __future__ import annotations

import os
from collections.abc import Iterator

from stillroom.answers.shelf import Shelf
from stillroom.errors import BadPackage
from stillroom.package import files
from stillroom.site import (
    about_page,
    ask_page,
    audit_data,
    audit_page,
    checks_page,
    data,
    food_list_page,
    food_page,
    pages,
    safety_pages,
    sources_page,
    why_page,
    withheld_page,
)

_LARGEST = 2**20
"""Bytes of a style or script; larger ones are none of ours."""
_LOOK = ("book.css", "ask_page.js", "timer_page.js", "audit_page.js", "filter.js")


def contents(shelf: Shelf) -> dict[str, bytes]:
    """Make the book of a package.

    Parameters
    ----------
    shelf : Shelf

    Returns
    -------
    dict
        Bytes of every file by its place, with slashes; the same for the same package.

    Raises
    ------
    BadPackage
        The package is damaged or contradicts itself.
    StillroomError
        A library is not installed.
    """
    every = (*data.ORDER, *data.AUDIT_ORDER)
    made = {f"script/{name}": text.encode() for name, text in data.page_scripts(every).items()}
    made["script/data.js"] = data.script(shelf).encode()
    made["script/audit_data.js"] = audit_data.script(shelf).encode()
    made |= {f"look/{name}": _look(name) for name in _LOOK}
    made |= why_page.drawings(shelf)
    return made | pages.rendered(_pages(shelf), shelf)


def _pages(shelf: Shelf) -> Iterator[pages.Page]:
    yield ask_page.ask_page(shelf)
    yield food_list_page.food_list_page(shelf)
    yield from (food_page.food_page(shelf, food) for food in shelf.foods.values())
    yield withheld_page.withheld_page(shelf)
    yield from safety_pages.safety_pages(shelf)
    yield checks_page.checks_page()
    yield sources_page.sources_page(shelf)
    yield why_page.why_page(shelf)
    yield audit_page.audit_page(shelf)
    yield about_page.about_page(shelf)


def _look(name: str) -> bytes:
    try:
        return files.read(os.path.join(os.path.dirname(__file__), "look", name), _LARGEST)
    except (OSError, files.Unread) as error:
        raise BadPackage(f"a part of the page cannot be read: {error}") from None
