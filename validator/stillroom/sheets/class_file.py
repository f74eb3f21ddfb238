"""Class file: a class page written to a file, as HTML, Markdown or PDF by the end of its name."""

from __future__ import annotations

import os
from collections.abc import Callable

from stillroom.errors import BadInput
from stillroom.screen import shown
from stillroom.sheets import output
from stillroom.sheets.class_page import ClassPage

KINDS = {".html": "html", ".htm": "html", ".md": "markdown", ".pdf": "pdf"}
"""Kinds of file, by the end of the name."""
_MARK_BYTES = 32 * 1024 * 1024
"""Bytes of a file in which our mark is looked for; in a PDF it stands near the end."""


def kind(path: str, what: str) -> str:
    """Tell the form of a file from its name: ``html``, ``markdown`` or ``pdf``.

    Raises
    ------
    BadInput
        The name ends in none of the three.
    """
    found = KINDS.get(os.path.splitext(path)[1].lower())
    if found is None:
        raise BadInput(f'{what} "{shown(path)}" is no file of a known kind: let its name end in .html, .md or .pdf')
    return found


def write(path: str, page: ClassPage) -> None:
    """Write a page to a file, in the form that its name tells; whole or not at all, and only over one of ours.

    Raises
    ------
    BadInput
        See :func:`kind`; a library is missing; a letter cannot be set in PDF; or the file is not ours or cannot be
        written.
    """
    content, ours = made(kind(path, page.what), page)
    output.write(path, content, page.what, ours, _MARK_BYTES)


def made(form: str, page: ClassPage) -> tuple[bytes, Callable[[bytes], bool]]:
    """Set a page, and give what tells a file of its kind and form as ours."""
    if form == "markdown":
        from stillroom.sheets import class_markdown

        return class_markdown.written(page).encode(), lambda file: class_markdown.is_ours(file, page.mark)
    if form == "html":
        from stillroom.sheets import class_html

        return class_html.written(page).encode(), lambda file: class_html.is_ours(file, page.mark)
    from stillroom.sheets import class_pdf

    return class_pdf.written(page), lambda file: class_pdf.is_ours(file, page.mark)
