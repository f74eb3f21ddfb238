"""Season document: the loads of a season laid out for programs (schema/season.json), and as a table."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from datetime import date
from typing import Any

from stillroom import screen
from stillroom.run.own_clock import OwnClock
from stillroom.run.season import Entry, Year

COLUMNS = (
    *("date", "food", "title", "jar", "jars", "verdict", "sealed", "failed", "unchecked", "on_shelf", "standing"),
    *("best_by", "file", "eaten", "lost"),
)
_HEADERS = (
    ",".join(COLUMNS).encode(),
    b"date,food,title,jar,jars,verdict,sealed,failed,unchecked,on_shelf,standing,best_by,file",
    b"date,food,title,jar,jars,verdict,sealed,failed,on_shelf,best_by,file",
)
"""First lines of our tables, of this version and of those before."""


def rows(entries: Iterable[Entry]) -> list[dict[str, Any]]:
    """Lay the loads out for programs; dates in ISO 8601."""
    return [
        {name: v.isoformat() if isinstance(v := getattr(entry, name), date) else v for name in COLUMNS}
        for entry in entries
    ]


def document(
    entries: Iterable[Entry], year: Year | None = None, clocks: Iterable[OwnClock] | None = None
) -> dict[str, Any]:
    """Lay a season out for programs; what a year came to, and its own clock, where they are asked for."""
    laid: dict[str, Any] = {"kind": "season", "loads": rows(entries)}
    if clocks is not None:
        laid["clock"] = [
            {**own._asdict(), "stages": {name: stage._asdict() for name, stage in own.stages.items()}} for own in clocks
        ]
    if year is None:
        return laid
    foods = [dict(zip(("title", "jars", "wasted"), food, strict=True)) for food in year.by_food]
    lost = {"failed": year.failed, "not_safe": year.not_safe, "lost": year.lost}
    shares = {name: round(part / year.jars, 4) if year.jars else None for name, part in lost.items()}
    told = {**year._asdict(), "held_min": round(year.held_min, 3), "by_food": foods, "shares": shares}
    return {**laid, "year": told}


def as_csv(entries: Iterable[Entry]) -> str:
    """Write the loads as CSV. A cell that a spreadsheet would take for a formula begins with an apostrophe."""
    out = io.StringIO()
    writer = csv.DictWriter(out, COLUMNS, lineterminator="\n")
    writer.writeheader()
    writer.writerows({name: screen.cell(value) for name, value in row.items()} for row in rows(entries))
    return out.getvalue()


def our_csv(beginning: bytes) -> bool:
    """Tell from its header whether a table of a season is ours."""
    line = beginning.removeprefix(b"\xef\xbb\xbf").split(b"\n", 1)[0]
    return line.removesuffix(b"\r") in _HEADERS
