"""Ask page: the first page, which answers as one types, and times what it answered."""

from __future__ import annotations

from stillroom.answers.shelf import Shelf
from stillroom.site import data
from stillroom.site.pages import Page


def ask_page(shelf: Shelf) -> Page:
    """Gather the first page.

    Parameters
    ----------
    shelf : Shelf
        For the jars and canners to choose from.
    """
    jars = sorted(shelf.jars.values(), key=lambda jar: jar.volume_fl_oz)
    context = {
        "jars": [(jar.id, jar.title) for jar in jars],
        "canners": [(canner.id, canner.title) for canner in shelf.canners.values()],
        "packs": [("hot", "hot pack"), ("raw", "raw pack")],
        "scripts": ("data.js", *data.ORDER),
        "foods": len(shelf.foods),
    }
    return Page("index.html", "ask.html.jinja", "Ask", context)
