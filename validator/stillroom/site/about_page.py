"""About page: what the book is, whose words it follows, and what it keeps of whoever reads it."""

from __future__ import annotations

from stillroom.answers.shelf import Shelf
from stillroom.package.contents import version
from stillroom.site.pages import Page


def about_page(shelf: Shelf) -> Page:
    """Gather the page.

    Parameters
    ----------
    shelf : Shelf
    """
    guide = next(source for source in shelf.package.sources if not source.short)
    cited = ", ".join(part for part in (guide.author, guide.title, guide.series, guide.edition) if part)
    context = {
        "version": version(shelf.package.root),
        "guide": cited,
        "foods": len(shelf.foods),
        "withheld": len(shelf.package.withheld),
    }
    return Page("about.html", "about.html.jinja", "About", context)
