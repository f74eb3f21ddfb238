"""Readings: two separate readings of the printed tables, reconciled into the schedule tables.

Where one reading lost a cell and lost-cells.csv says so, the other is taken. A conflict that no record explains stops
the build; so does a record that explains nothing. The schedule tables are what this module builds, and a check
compares them cell by cell.
"""

from __future__ import annotations

import csv
import io
import os
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from stillroom import files
from stillroom.errors import BadPackage

Row = dict[str, str]
COLUMNS = (
    "food", "form", "pack", "jar", "method", "gauge", "altitude_from_ft", "altitude_to_ft",
    "minutes", "pressure_psi", "source", "page", "caption", "note",
)  # fmt: skip
NOT_RECOMMENDED = "not-recommended"
"""Table of the cells that are printed so; it has no column for the pressure."""
WORDS = {
    "boiling_water": "boiling-water",
    "half_pint": "half-pint",
    "half_gallon": "half-gallon",
    "other:12-ounce": "12-ounce",
    "none": "",
}
"""Words of the readings that the schedule tables write otherwise."""
_NOT_RECOMMENDED = "not recommended above"


class Place(NamedTuple):
    """Where a printed cell stands. ``option`` counts equal options of one combination in print order, from 1."""

    guide: str
    food: str
    form: str
    method: str
    gauge: str
    pack: str
    jar: str
    altitude_from_ft: str
    altitude_to_ft: str
    option: int


class Cell(NamedTuple):
    """What one reading saw in a cell; blank where it lost it."""

    minutes: str
    pressure_psi: str
    status: str
    page: str
    caption: str
    note: str


def table(root: str, name: str) -> list[Row]:
    """Read one table of schedules/readings/ as text."""
    path = os.path.join(root, "schedules", "readings", f"{name}.csv")
    try:
        with open(path, encoding="utf-8", newline="") as file:
            return list(csv.DictReader(file, strict=True))
    except FileNotFoundError:
        raise BadPackage(f"schedules/readings/{name}.csv is missing") from None
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise BadPackage(f"schedules/readings/{name}.csv cannot be read: {error}") from None


def _placed(rows: list[Row], captions: list[Row], reading: str) -> dict[Place, Cell]:
    known: dict[tuple[str, str], list[Row]] = {}
    for entry in captions:
        known.setdefault((entry["guide"], entry["caption"]), []).append(entry)
    cells: dict[Place, Cell] = {}
    for line, row in enumerate(rows, start=2):
        fitting = [e for e in known.get((row["guide"], row["food"]), ()) if e["when_note_says"] in row["note"]]
        if not fitting:
            raise BadPackage(
                f'schedules/readings/schedules-{reading}.csv:{line}: caption "{row["food"]}" is not in captions.csv'
            )
        entry = fitting[0]
        where = (
            row["guide"], entry["food"], entry["form"], WORDS.get(row["method"], row["method"]), row["gauge"],
            WORDS.get(row["pack"], row["pack"]), WORDS.get(row["jar"], row["jar"]),
            row["alt_lo_ft"], row["alt_hi_ft"],
        )  # fmt: skip
        option = 1
        while Place(*where, option) in cells:
            option += 1
        cells[Place(*where, option)] = Cell(
            row["minutes"], row["psi"], status(row["note"]), row.get("page", ""), row["food"], row["note"]
        )
    return cells


def status(note: str) -> str:
    """Status of a cell by the note its reading took."""
    return "not-recommended" if _NOT_RECOMMENDED in note.lower() else "tested"


def _lost(root: str, captions: list[Row]) -> dict[str, dict[Place, Row]]:
    foods = {(e["guide"], e["caption"]): e for e in captions}
    lost: dict[str, dict[Place, Row]] = {"first": {}, "second": {}}
    for line, row in enumerate(table(root, "lost-cells"), start=2):
        if row["third"] not in ("", row["kept"]):
            raise BadPackage(f'schedules/readings/lost-cells.csv:{line}: third "{row["third"]}" is not what was kept')
        entry = foods.get((row["guide"], row["caption"]))
        if entry is None:
            raise BadPackage(
                f'schedules/readings/lost-cells.csv:{line}: caption "{row["caption"]}" is not in captions.csv'
            )
        place = Place(
            row["guide"], entry["food"], entry["form"], row["method"], row["gauge"], row["pack"], row["jar"],
            row["altitude_from_ft"], row["altitude_to_ft"], int(row["option"]),
        )  # fmt: skip
        lost[row["reading"]][place] = row
    return lost


def conflicts(root: str) -> list[str]:
    """Say every conflict of the two readings that lost-cells.csv does not explain, and every needless record there."""
    _, found = _reconciled(root)
    return found


def _reconciled(root: str) -> tuple[dict[Place, Cell], list[str]]:
    captions = table(root, "captions")
    first = _placed(table(root, "schedules-first"), captions, "first")
    second = _placed(table(root, "schedules-second"), captions, "second")
    lost = _lost(root, captions)
    merged: dict[Place, Cell] = {}
    found: list[str] = []
    used: set[tuple[str, Place]] = set()
    for place in {**first, **second}:
        one, two = first.get(place), second.get(place)
        for reading, cell, other in (("first", one, two), ("second", two, one)):
            record = lost[reading].get(place)
            if record is not None and _explains(record, cell, other):
                used.add((reading, place))
                if record["cell"] in ("minutes", "pressure_psi"):
                    assert cell is not None and other is not None
                    kept = cell._replace(**{record["cell"]: getattr(other, record["cell"])})
                    one, two = (kept, two) if reading == "first" else (one, kept)
                elif record["cell"] == "row":
                    one, two = one or two, two or one
        if one is None or two is None:
            found.append(f"{_say(place)}: in the {'second' if one is None else 'first'} reading only")
        elif one[:3] != two[:3]:
            found.append(f"{_say(place)}: {_value(one)} in the first reading, {_value(two)} in the second")
        if one is not None:
            merged[place] = one if place in first or place not in second else second[place]._replace(page="")
    for reading, records in lost.items():
        for place in records:
            if (reading, place) not in used:
                found.append(f"{_say(place)}: lost-cells.csv says the {reading} reading lost it; it did not")
    return merged, found


def _explains(record: Row, cell: Cell | None, other: Cell | None) -> bool:
    if other is None:
        return False
    if record["cell"] == "row":
        return cell is None
    if cell is None:
        return False
    if record["cell"] == "caption":
        return cell.caption != other.caption
    column = Cell._fields.index(record["cell"])
    return cell[column] == "" and other[column] == record["kept"]


def _say(place: Place) -> str:
    words = [place.food, place.form, place.pack, place.jar, place.gauge or place.method]
    return f"{' '.join(w for w in words if w)} from {place.altitude_from_ft} ft, option {place.option}"


def _value(cell: Cell) -> str:
    return (
        f"{cell.minutes or 'no'} min"
        + (f" at {cell.pressure_psi} psi" if cell.pressure_psi else "")
        + ("" if cell.status == "tested" else f", {cell.status}")
    )


def rebuild(root: str, source: str = "usda-2015") -> dict[str, list[tuple[str, ...]]]:
    """Build the schedule tables from the two readings.

    Parameters
    ----------
    root : str
        Folder of the package.
    source : str
        Source id that the readings are of.

    Returns
    -------
    dict of str to list of tuple of str
        Rows by table name, sorted, in the order of :func:`columns_of` the table.

    Raises
    ------
    BadPackage
        The readings conflict, or a lost cell is not recorded.
    """
    merged, found = _reconciled(root)
    if found:
        raise BadPackage(f"the two readings conflict in {len(found)} places; first: {found[0]}")
    with open(os.path.join(root, "schedules", "foods.csv"), encoding="utf-8", newline="") as file:
        groups = {row["id"]: row["group"] for row in csv.DictReader(file)}
    pages = _pages(merged)
    notes = {place: row for part in _lost(root, table(root, "captions")).values() for place, row in part.items()}
    tables: dict[str, list[tuple[str, ...]]] = {}
    for place, cell in [*merged.items(), *_footnoted(root, merged)]:
        record = notes.get(place)
        note = f"{record['cell']} lost in the {record['reading']} reading: {record['note']}" if record else ""
        if cell.note.startswith("footnote: "):
            note = cell.note
        recommended = cell.status == "tested"
        tables.setdefault(groups[place.food] if recommended else NOT_RECOMMENDED, []).append((
            place.food, place.form, place.pack, place.jar, place.method, place.gauge, place.altitude_from_ft,
            place.altitude_to_ft, cell.minutes, *([cell.pressure_psi] if recommended else []), source,
            cell.page or pages[place._replace(altitude_from_ft="", altitude_to_ft="", pack="", jar="", option=0)],
            cell.caption, note,
        ))  # fmt: skip
    return {name: sorted(rows, key=order) for name, rows in tables.items()}


def columns_of(table: str) -> tuple[str, ...]:
    """Columns of a schedule table, or of the table of what is printed as not recommended."""
    return tuple(name for name in COLUMNS if name != "pressure_psi" or table != NOT_RECOMMENDED)


def write(root: str) -> None:
    """Rebuild the schedule tables and write them into ``schedules/``, each file whole or not at all."""
    for name, rows in rebuild(root).items():
        text = io.StringIO()
        csv.writer(text, lineterminator="\n").writerows([columns_of(name), *rows])
        files.replace(os.path.join(root, "schedules", f"{name}.csv"), text.getvalue().encode())


def order(row: tuple[str, ...]) -> tuple[object, ...]:
    """Order of schedule rows: by primary key, altitudes and minutes as numbers."""
    return (*row[:6], int(row[6]), int(row[8]))


def _pages(merged: dict[Place, Cell]) -> dict[Place, str]:
    """Page of each table, for rows that only the reading without pages has."""
    return {
        place._replace(altitude_from_ft="", altitude_to_ft="", pack="", jar="", option=0): cell.page
        for place, cell in merged.items()
        if cell.page
    }


def _footnoted(root: str, merged: dict[Place, Cell]) -> Iterator[tuple[Place, Cell]]:
    """Rows that a footnote gives to another form of the same food."""
    captions: Iterable[Row] = table(root, "captions")
    for entry in table(root, "footnotes"):
        food = next(c["food"] for c in captions if (c["guide"], c["caption"]) == (entry["guide"], entry["caption"]))
        for place, cell in merged.items():
            if place.food == food and entry["when_note_says"] in cell.note:
                note = f"footnote: {entry['minutes']} minutes for this form"
                yield place._replace(form=entry["form"]), cell._replace(minutes=entry["minutes"], note=note)
