"""Audit page: where a table is pasted and held against what is published."""

from __future__ import annotations

from stillroom.answers.shelf import Shelf
from stillroom.site import data
from stillroom.site.pages import Page


def audit_page(shelf: Shelf) -> Page:
    """Gather the page.

    Parameters
    ----------
    shelf : Shelf
        For the canners to choose from.
    """
    context = {
        "canners": [(canner.id, canner.title) for canner in shelf.canners.values()],
        "scripts": ("data.js", *data.ORDER, "audit_data.js", *data.AUDIT_ORDER),
    }
    return Page("audit.html", "audit.html.jinja", "Audit", context)
