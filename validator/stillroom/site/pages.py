"""Pages: a page of the book as its place, its template and what it prints, and how all of them are set in HTML."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from stillroom import extras, screen
from stillroom.answers.shelf import Shelf

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; base-uri 'none'; form-action 'none'"
)
"""What a page may load: scripts, styles and drawings of its own folder, and nothing else."""
MENU = (
    ("index.html", "Ask"),
    ("foods.html", "Foods A to Z"),
    ("withheld.html", "Do not can"),
    ("safety/spoiled.html", "Jar in doubt"),
    ("safety/index.html", "Rules"),
    ("audit.html", "Audit a table"),
    ("about.html", "About"),
)
"""Navigation of every page: place and words."""


_LONGEST = 10_000
"""Letters of one piece of text on a page; what is longer is no text of ours."""


class Page(NamedTuple):
    """One page.

    Attributes
    ----------
    path : str
        Place in the folder of the book, with slashes.
    template : str
        File of ``templates/``.
    title : str
        What stands on the tab.
    context : dict
        What the template prints.
    """

    path: str
    template: str
    title: str
    context: Mapping[str, Any]


def rendered(pages: Iterable[Page], shelf: Shelf) -> dict[str, bytes]:
    """Set pages in HTML; whatever stands in the data is escaped, and a name that a template misspells is an error.

    Parameters
    ----------
    pages : iterable of Page
    shelf : Shelf
        For the caution that every page carries.

    Returns
    -------
    dict
        Bytes by place.

    Raises
    ------
    StillroomError
        Jinja2 is not installed.
    """
    with extras.needed("book"):
        import jinja2
    templates = jinja2.Environment(
        loader=jinja2.PackageLoader("stillroom.site", "templates"),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=_shown,
    )
    templates.globals.update(policy=POLICY, menu=MENU, caution=shelf.standing.text)
    return {page.path: _set(templates, page) for page in pages}


def _shown(value: Any) -> Any:
    """Show what turns the direction of a line or moves a cursor as what it is; what a template made stays."""
    return value if not isinstance(value, str) or hasattr(value, "__html__") else screen.printable(value, _LONGEST)


def _set(templates: Any, page: Page) -> bytes:
    up = "../" * page.path.count("/")
    html = templates.get_template(page.template).render(up=up, path=page.path, title=page.title, **page.context)
    return f"{html.rstrip()}\n".encode()
