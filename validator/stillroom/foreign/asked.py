"""Asked: what a person says beside a handout, understood: a height, a canner, a map of columns, names of their own."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from typing import Any

from stillroom import screen
from stillroom.answers import altitude
from stillroom.answers.names import Meaning
from stillroom.answers.shelf import Shelf
from stillroom.answers.stems import plain
from stillroom.errors import BadInput
from stillroom.foreign import forms
from stillroom.foreign.auditing import Given
from stillroom.foreign.facets import Facets, Vocabulary
from stillroom.foreign.grid import Foreign
from stillroom.foreign.mapping import Mapped
from stillroom.package import documents


def opened(handout: object, sheet: str | None) -> tuple[Foreign, str]:
    """Read a file or a frame; and where the file lies, blank for a frame.

    Raises
    ------
    BadInput
        It cannot be read, or is neither.
    """
    if isinstance(handout, Foreign):
        return handout, ""
    if isinstance(handout, (str, os.PathLike)):
        path = os.fspath(handout)
        return forms.read(path, sheet), str(path)
    return forms.read_frame(handout), ""


def given(
    shelf: Shelf,
    words: Vocabulary,
    *,
    at: object,
    said: Sequence[str | None],
    columns: object,
    names: object,
) -> Given:
    """Understand what is said beside a handout.

    Parameters
    ----------
    shelf : Shelf
    words : Vocabulary
    at : str or pint quantity or None
        Altitude.
    said : sequence of str or None
        Canner, pack and jar for the whole table.
    columns : path, mapping or None
    names : path, mapping or None

    Raises
    ------
    BadInput
        A word, a file or a map that is not understood.
    """
    facets = Facets()
    for what, text in zip(("canner", "pack", "jar"), said, strict=True):
        if text is not None:
            heard: Any = getattr(shelf.words, what)(text)
            if not heard.ids:
                shelf.words.one(what, text, shelf.cite)
            facets = facets._replace(**{f"{what}s": heard.ids})
    return Given(
        None if at is None else altitude.read(at).feet,
        facets,
        Mapped() if columns is None else _mapped(columns),
        {} if names is None else _names(shelf, names),
    )


def _mapped(columns: object) -> Mapped:
    if isinstance(columns, Mapping):
        return Mapped.of({"columns": {key: dict(entry) for key, entry in columns.items()}}, "columns")
    path = os.fspath(columns) if isinstance(columns, (str, os.PathLike)) else None
    if path is None:
        raise BadInput("columns: neither a file nor a mapping")
    shown = screen.shown(str(path), 80)
    return Mapped.of(documents.read_yaml(documents.content(str(path), shown), shown), shown)


def _names(shelf: Shelf, names: object) -> dict[str, Meaning]:
    """Foods by the user's own names; what each stands for is looked up as any name is."""
    if isinstance(names, Mapping):
        pairs = [(str(name), str(food)) for name, food in names.items()]
    elif isinstance(names, (str, os.PathLike)):
        pairs = _pairs(os.fspath(names))
    else:
        raise BadInput("names: neither a file nor a mapping")
    return {plain(name): shelf.names.meaning(food, shelf.cite)._replace(said=name) for name, food in pairs}


def _pairs(path: str) -> list[tuple[str, str]]:
    shown = screen.shown(str(path), 80)
    read = forms.read(path)
    rows = [[cell.text.strip() for cell in row.cells] for grid in read.grids for row in grid.rows]
    if not rows or [head.casefold() for head in rows[0][:2]] != ["name", "food"]:
        raise BadInput(f'{shown}: its columns must be "name" and "food"')
    return [(row[0], row[1]) for row in rows[1:] if row[0] and row[1]]
