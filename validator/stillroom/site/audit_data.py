"""Audit data: what the scripts of the page need beside the data of the answers to audit a pasted table.

Words of heads, altitude bands, printed times and pressures, and why a practice is withheld. The references of
characters that HTML may have (HTML Living Standard, 13.5) come from the standard library. The same package makes the
same bytes.
"""

from __future__ import annotations

from collections.abc import Iterable
from html.entities import html5
from typing import Any

from stillroom.answers.shelf import Shelf
from stillroom.package import contents
from stillroom.package.records import Schedule
from stillroom.sheets import documents
from stillroom.site import data

NAME = "stillroomAuditData"
"""Global name that the script assigns the data to."""
_BOILED = "boiling-water"
"""How the sets of altitude bands for boiling water begin."""


def document(shelf: Shelf) -> dict[str, Any]:
    """Lay out what an audit needs, as plain values.

    Parameters
    ----------
    shelf : Shelf
        The package to answer from.

    Returns
    -------
    dict
        Minutes, psi and feet; reasons of what is withheld in the order of the data of the answers.
    """
    package = shelf.package
    bands = [
        [f"{row.source} {row.band_set}", row.altitude_from_ft, row.altitude_to_ft] for row in package.altitude_bands
    ]
    boiled = dict.fromkeys(f"{row.source} {row.band_set}" for row in package.altitude_bands
                           if row.band_set.startswith(_BOILED))  # fmt: skip
    cells = [cell for group in dict.fromkeys(food.group for food in package.foods) for cell in package.schedules(group)]
    return {
        "version": contents.version(package.root),
        "headWords": [[row.word, row.means] for row in package.head_words],
        "bands": bands,
        "boiled": list(boiled),
        "minutes": sorted({cell.minutes for cell in cells}),
        "psi": _pressures(cells),
        "heats": {gauge: _pressures(cell for cell in cells if cell.gauge == gauge) for gauge in ("dial", "weighted")},
        "withheld": [[entry.reason, entry.instead] for entry in package.withheld],
        "steam": _steam(shelf),
        "references": dict(sorted(html5.items())),
    }


def _pressures(cells: Iterable[Schedule]) -> list[int]:
    return sorted({cell.pressure_psi for cell in cells if cell.pressure_psi is not None})


def _steam(shelf: Shelf) -> Any:
    """What is told where a note names a canner whose processes are carried by a rule."""
    carried = next(canner for canner in shelf.canners.values() if canner.by_rule)
    return documents.stated(shelf.rules.stated(carried.by_rule))


def script(shelf: Shelf) -> str:
    """Write the data as a script: one assignment of JSON, fit for any page as that of the answers is."""
    return f'"use strict";\nglobalThis.{NAME} = {data.literal(document(shelf))};\n'
