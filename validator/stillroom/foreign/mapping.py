"""Mapping: what a person says each column is, in place of the guess: a small YAML file, a column by its head.

::

    columns:
      "Food": {is: food}
      "Pt": {is: minutes, jar: pints, canner: boiling water}
      "11 psi": {is: minutes, canner: dial gauge, altitude: "0-2,000 ft", pressure: 11 psi}
      "Ours": {is: text}
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from stillroom import screen
from stillroom.answers import wording
from stillroom.errors import BadInput
from stillroom.foreign import columns
from stillroom.foreign.columns import Column
from stillroom.foreign.facets import Facets, Vocabulary

_VALUES = (columns.MINUTES, columns.PRESSURE, columns.PROCESS, columns.ACID, columns.HEADSPACE)
_LABELS = ("food", "jar", "pack", "canner", "form", "altitude")
IS = (*_LABELS, *_VALUES, columns.FROM, columns.TO, columns.TEXT)
"""What a column may be."""
_SAYS = ("jar", "pack", "canner", "altitude", "pressure", "unit")
_UNITS = ("hours", "kpa", "centimeters", "ft", "m")


class Mapped(NamedTuple):
    """What columns are, by their heads; empty where nothing is said."""

    by_head: Mapping[str, Mapping[str, str]] = {}

    @classmethod
    def of(cls, said: Any, shown: str) -> Mapped:
        """Check what was read from a file.

        Raises
        ------
        BadInput
            Another shape, or a word that is not known.
        """
        entries = said.get("columns") if isinstance(said, dict) else None
        if not isinstance(entries, dict) or not entries:
            raise BadInput(f'{shown}: it needs "columns:" with an entry for each head')
        for head, entry in entries.items():
            named = screen.shown(str(head))
            if not isinstance(entry, dict) or entry.get("is") not in IS:
                raise BadInput(f'{shown}: column "{named}" needs "is:", one of {wording.listed(IS)}')
            wrong = next((key for key in entry if key not in ("is", *_SAYS)), None)
            if wrong is not None:
                raise BadInput(f'{shown}: column "{named}": "{screen.shown(str(wrong))}" is none of {", ".join(_SAYS)}')
            if entry.get("unit") not in (None, *_UNITS):
                raise BadInput(f'{shown}: column "{named}": unit is one of {wording.listed(_UNITS)}')
        return cls({str(head): {key: str(value) for key, value in entry.items()} for head, entry in entries.items()})

    def applied(self, name: str, guessed: Iterable[Column], words: Vocabulary) -> tuple[Column, ...]:
        """Put what is said in place of the guess.

        Raises
        ------
        BadInput
            A word for a jar, pack, canner, altitude or pressure that is not understood.
        """
        return tuple(self._one(column, words) if column.head in self.by_head else column for column in guessed)

    def _one(self, column: Column, words: Vocabulary) -> Column:
        entry = self.by_head[column.head]
        what = entry["is"]
        unit = entry.get("unit", "")
        if what in _LABELS:
            return column._replace(role=columns.LABEL, kind=what, unit=unit, assumed="", why="")
        if what not in _VALUES:
            return column._replace(role=what, kind="", unit=unit, assumed="", why="")
        facets = Facets(kinds=column.facets.kinds)
        for key in ("jar", "pack", "canner", "altitude", "pressure"):
            if key in entry:
                facets = columns.under(facets, _said(column.head, key, entry[key], words))
        return column._replace(role=columns.VALUE, kind=what, facets=facets, unit=unit, assumed="", why="")


def _said(head: str, key: str, text: str, words: Vocabulary) -> Facets:
    facets = words.read(text)
    found = {
        "jar": facets.jars, "pack": facets.packs, "canner": facets.canners, "altitude": facets.spans,
        "pressure": facets.pressure,
    }[key]  # fmt: skip
    if not found or facets.left or (key == "altitude" and any(not said.unit for said in facets.spans)):
        raise BadInput(f'column "{screen.shown(head)}": {key} "{screen.shown(text)}" is not understood')
    return facets._replace(kinds=frozenset(), named="", left="")


def written(every: Iterable[Column], words: Vocabulary) -> str:
    """Write the guess as such a file, to be corrected and given back."""
    lines = [
        "# Which column is what: correct it, and give it back with --columns.",
        f"# is: {', '.join(IS)}",
        "columns:",
    ]
    seen = set()
    for column in every:
        if column.head in seen:
            continue
        seen.add(column.head)
        facets = column.facets
        entry = {"is": column.kind if column.role in (columns.LABEL, columns.VALUE) else column.role}
        if column.role == columns.UNREAD:
            entry = {"is": columns.TEXT}
        if column.role == columns.VALUE:
            shelf = words.shelf
            entry |= {"jar": " or ".join(shelf.jars[jar].plural for jar in facets.jars)} if facets.jars else {}
            entry |= {"pack": " or ".join(facets.packs)} if facets.packs else {}
            entry |= {"canner": " or ".join(shelf.canners[c].title for c in facets.canners)} if facets.canners else {}
            entry |= {"altitude": _altitude(column)} if facets.spans else {}
            entry |= {"pressure": str(facets.pressure)} if facets.pressure else {}
        if column.unit:
            entry["unit"] = column.unit
        said = ", ".join(f"{key}: {json.dumps(value, ensure_ascii=False)}" for key, value in entry.items())
        note = f"  # not read: {column.why}" if column.why else ""
        lines.append(f"  {json.dumps(column.head, ensure_ascii=False)}: {{{said}}}{note}")
    return "\n".join(lines) + "\n"


def _altitude(column: Column) -> str:
    said = column.facets.spans[0]
    return said.text if said.unit in said.text or not said.unit else f"{said.text} {said.unit}"
