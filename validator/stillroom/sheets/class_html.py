"""Class page in HTML: one file without scripts or anything from outside, for letter paper, A4 and a screen."""

from __future__ import annotations

import re

from stillroom import extras
from stillroom.answers.printed_table import NOT_RECOMMENDED
from stillroom.sheets.class_page import OWN, ClassPage

SIZES = {
    "normal": {"body": "10.5pt", "table": "11pt", "h1": "18pt", "h2": "14pt", "small": "9pt"},
    "large": {"body": "16pt", "table": "19pt", "h1": "28pt", "h2": "22pt", "small": "13pt"},
    "large poster": {"body": "13pt", "table": "15.5pt", "h1": "32pt", "h2": "19pt", "small": "10pt"},
    "poster": {"body": "11.5pt", "table": "13pt", "h1": "30pt", "h2": "17pt", "small": "9pt"},
    "full poster": {"body": "10pt", "table": "10pt", "h1": "24pt", "h2": "14pt", "small": "8pt"},
}
"""Sizes of type by the size of a page: text, tables, title, headings and what stands under a table."""


def written(page: ClassPage) -> str:
    """Set a page as HTML.

    Raises
    ------
    StillroomError
        Jinja2 is not installed.
    """
    with extras.needed("classroom"):
        import jinja2
        import markupsafe
    templates = jinja2.Environment(
        loader=jinja2.PackageLoader("stillroom.sheets", "templates"),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    templates.filters["whole"] = lambda said: markupsafe.Markup(", ").join(
        markupsafe.Markup("<span>{}</span>").format(part) if part[:1].isdigit() else part for part in said.split(", ")
    )
    blocks = [(type(block).__name__, block) for block in page.blocks]
    filled = templates.get_template("class.html.jinja").render(
        page=page,
        blocks=blocks,
        type=SIZES[page.size],
        own=OWN,
        never=NOT_RECOMMENDED,
    )
    return re.sub(r"\n{2,}", "\n", filled).strip() + "\n"


def is_ours(beginning: bytes, mark: str) -> bool:
    """Tell whether a file is a page of this kind that we set."""
    return beginning.startswith(b"<!DOCTYPE html>") and f"<title>{mark}: ".encode() in beginning
