"""Handout files: every form a handout is written in, and the file it goes to."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import NamedTuple

from stillroom.errors import BadInput
from stillroom.extras import needed
from stillroom.sheets import handout_office, handout_text, output
from stillroom.sheets.handout import Handout


class _Form(NamedTuple):
    written: Callable[[Handout], bytes]
    ours: output.Ours
    text: bool


FORMS: Mapping[str, _Form] = {
    "md": _Form(handout_text.markdown, handout_text.ours, True),
    "html": _Form(handout_text.page, handout_text.ours, True),
    "csv": _Form(handout_text.comma_separated, handout_text.ours, True),
    "xlsx": _Form(handout_office.workbook, handout_office.ours, False),
    "docx": _Form(handout_office.document, handout_office.ours, False),
}
"""Forms by the ending of their file; ``text``: it may be printed."""
_LARGEST = 2**26
"""Bytes that are looked at to tell whether a file is ours."""


def put(sheet: Handout, form: str, path: str | None) -> None:
    """Write a handout to a file, or print it.

    Parameters
    ----------
    sheet : Handout
    form : str
        One of :data:`FORMS`.
    path : str or None
        File to write; None: it is printed.

    Raises
    ------
    BadInput
        No file is named for a form that is no text, or it cannot be written, or is not ours to replace.
    StillroomError
        A library is not installed.
    """
    chosen = FORMS[form]
    if path is None and not chosen.text:
        raise BadInput(f"a handout as {form} goes into a file: name it with --out, like --out handout.{form}")
    with needed("desk"):
        made = chosen.written(sheet)
    if path is None:
        output.say(made.decode())
    else:
        output.write(path, made, "handout", chosen.ours, _LARGEST)
