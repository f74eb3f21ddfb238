"""What stands on a thing of the package, as text for a maintainer and as a document for programs."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator

from stillroom.answers.answer import paged
from stillroom.desk.uses import Place, Read, Told, Uses
from stillroom.screen import printable
from stillroom.sheets import page
from stillroom.sheets.documents import Document

MOST_FOODS, MOST_LINES = 8, 12
"""Most foods, and lines of one file, that the text tells; the document has all."""


def uses_sheet(found: Iterable[Uses]) -> str:
    """Write what stands on each meaning of what was asked for."""
    blocks = ["\n".join(_lines(one)) for one in found]
    return "\n\n".join(blocks) + "\n"


def _lines(one: Uses) -> Iterator[str]:
    cited = ", ".join(
        part for part in (one.source if one.source != one.id else "", paged(one.page) if one.page else "") if part
    )
    title = f"{one.kind} {one.id}" if one.kind != "page" else f"{paged(one.id)} of {one.source}"
    where = "".join(f", {place.file}:{place.line}" for place in one.stands)
    yield from page.wrapped(f"{title}{where}")
    if one.text:
        yield from page.item(f"{printable(one.text)}{f' ({cited})' if cited and one.kind != 'page' else ''}", "  ")
    yield from page.item(_answers(one.answers))
    for file, lines in _by_file(one.places):
        yield from page.item(f"{file}: {_rows(lines)}")
    if not one.places:
        yield from page.item("No row and no recipe refers to it.")
    for who, tables in _readers(one.read):
        yield from page.item(f"{who}: {', '.join(tables)}")


def _answers(told: Told) -> str:
    if not told.tested:
        return "No answer names it."
    count = f"{told.tested:,} answer{'' if told.tested == 1 else 's'}"
    low = f" ({told.low_acid:,} of low-acid food)" if told.low_acid else ""
    named = [f"{food} {number:,}" for food, number in told.foods[:MOST_FOODS]]
    more = len(told.foods) - MOST_FOODS
    named += [f"{more:,} more food{'' if more == 1 else 's'}"] if more > 0 else []
    return f"{count}{low}: {', '.join(named)}"


def _readers(read: Iterable[Read]) -> Iterator[tuple[str, list[str]]]:
    """Who read, and when, with the tables that hold it."""
    found: dict[str, list[str]] = defaultdict(list)
    for one in read:
        again = "" if one.page == "all" else f", {paged(one.page)}"
        found[f"Read {one.date} by the {one.reader} from {one.copy} of {one.source}{again}"].append(one.reading)
    yield from found.items()


def _by_file(places: Iterable[Place]) -> Iterator[tuple[str, list[int]]]:
    lines: dict[str, list[int]] = defaultdict(list)
    for place in places:
        lines[place.file].append(place.line)
    yield from lines.items()


def _rows(lines: list[int]) -> str:
    count = f"{len(lines):,} line{'' if len(lines) == 1 else 's'}"
    named = [str(line) for line in lines[:MOST_LINES]] + (["..."] if len(lines) > MOST_LINES else [])
    return f"{count}, {', '.join(named)}" if len(lines) > 1 else f"line {named[0]}"


def uses_document(found: Iterable[Uses]) -> Document:
    """Lay out what stands on a thing (schema/uses.json)."""
    return {"kind": "uses", "uses": [_document(one) for one in found]}


def _document(one: Uses) -> Document:
    return {
        "kind": one.kind,
        "id": one.id,
        "stands": [place._asdict() for place in one.stands],
        "text": one.text,
        "source": one.source,
        "page": one.page,
        "answers": {
            "tested": one.answers.tested,
            "low_acid": one.answers.low_acid,
            "foods": [{"food": food, "tested": number} for food, number in one.answers.foods],
        },
        "places": [place._asdict() for place in one.places],
        "read": [read._asdict() for read in one.read],
    }
