"""Why page: the charts of the physics behind the schedules, with their words and data."""

from __future__ import annotations

from stillroom import extras
from stillroom.answers.shelf import Shelf
from stillroom.answers.steam import SOURCES
from stillroom.site.pages import Page

FOLDER = "why"


def drawings(shelf: Shelf) -> dict[str, bytes]:
    """Draw every chart, with its data as CSV.

    Parameters
    ----------
    shelf : Shelf

    Returns
    -------
    dict
        Bytes by place.
    """
    with extras.needed("book"):
        from stillroom.sheets import why_charts

        charts = why_charts.every(shelf)
        drawn = {f"{FOLDER}/{chart.id}.svg": chart.svg().encode() for chart in charts}
    return drawn | {f"{FOLDER}/{chart.id}.csv": chart.csv().encode() for chart in charts}


def why_page(shelf: Shelf) -> Page:
    """Gather the page of the charts."""
    with extras.needed("book"):
        from stillroom.sheets import why_charts

        charts = why_charts.every(shelf)
    context = {"charts": charts, "folder": FOLDER, "sources": SOURCES}
    return Page("why.html", "why.html.jinja", "Why", context)
