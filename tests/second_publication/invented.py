"""An invented publication, beside the 2015 guide in a copy of the package. Not to be followed: nobody tested it.

It prints altitudes in meters and pressures in kPa, has pages of its own form, and a table of a food that the guide has
too. Its figures are chosen to differ from the guide's wherever they can, and mean nothing.
"""

from __future__ import annotations

import csv
from pathlib import Path
from typing import NamedTuple

import yaml

from tests.conftest import table

ID, GUIDE = "invented-handbook", "usda-2015"
BEANS, PEARS = "invented-handbook-snap-beans", "invented-handbook-pears"
VENT, VENT_TEXT = "invented-handbook-vent", "Vent the canner 12 minutes before pressurizing."
SOURCE = {
    "id": ID, "author": "Nobody", "title": "An invented handbook", "edition": "2031",
    "short": "invented handbook, 2031", "publisher": "Nobody", "licence": "invented for a test; not to be followed",
}  # fmt: skip
GUIDES = (
    {"source": ID, "guide": "1", "title": "Invented vegetables", "table": "vegetables", "first_page": "p. 12",
     "last_page": "p. 40"},
    {"source": ID, "guide": "2", "title": "Invented fruit", "table": "fruit", "first_page": "F-1", "last_page": "F-9"},
)  # fmt: skip


class Band(NamedTuple):
    """One band as it is printed, meters, and as it is converted: its last foot is the whole one below its last meter.

    300 m are 984.25 ft, 600 m are 1,968.50 ft, 900 m are 2,952.76 ft (one foot is 0.3048 m exactly).
    """

    from_m: str
    to_m: str
    from_ft: str
    to_ft: str


LOW, MIDDLE = Band("0", "300", "0", "984"), Band("301", "600", "985", "1968")
HIGH, OPEN = Band("601", "900", "1969", "2952"), Band("601", "", "1969", "")
DIAL, BOILING = (LOW, MIDDLE, HIGH), (LOW, MIDDLE, OPEN)
KPA, PSI = ("83", "90", "96"), ("13", "14", "14")
"""Pressures as printed, and rounded up to the psi: 83 kPa are 12.04 psi, 90 are 13.05, 96 are 13.92 (1 psi is
6.894757 kPa, NIST Special Publication 811)."""
HEADSPACE = {BEANS: "1.25", PEARS: "0.75"}
"""Inches; the guide has 1 and 0.5."""
BEANS_MIN = {"pint": "35", "quart": "40"}
PEARS_MIN = {"pint": ("30", "35", "45"), "quart": ("35", "40", "50")}
RISE = ("0", "5", "15")
"""Rise of times along the bands that no table of the 2015 guide has."""


def add(package: Path) -> None:
    """Add the publication to a copy of the package: everything but what is built from the rest."""
    _rows(package, "shared/sources.csv", SOURCE)
    _rows(package, "shared/guides.csv", *GUIDES)
    _bands(package)
    _foods(package)
    for name in ("first", "second"):
        _reading(package, name)
    _pages(package)


def _bands(package: Path) -> None:
    for name, bands in (("dial", DIAL), ("boiling-water", BOILING)):
        for place, band in enumerate(bands):
            _rows(package, "shared/altitude-bands.csv", {
                "source": ID, "band_set": name, "altitude_from_ft": band.from_ft, "altitude_to_ft": band.to_ft,
                "altitude_from_m": band.from_m, "altitude_to_m": band.to_m,
            })  # fmt: skip
            _rows(package, "shared/band-patterns.csv", {
                "source": ID, "band_set": name, "pattern": "1", "altitude_from_ft": band.from_ft,
                "rise_min": "0" if name == "dial" else RISE[place],
                "pressure_psi": PSI[place] if name == "dial" else "",
            })  # fmt: skip


def _foods(package: Path) -> None:
    titles = {BEANS: "Snap beans of the invented handbook", PEARS: "Pears of the invented handbook"}
    for food, group, acidity, page in ((BEANS, "vegetables", "low-acid", "p. 30"), (PEARS, "fruit", "acid", "F-4")):
        own = {"food": food, "source": ID, "page": page}
        _rows(package, "schedules/foods.csv", {
            "id": food, "title": titles[food], "group": group, "acidity": acidity, "source": ID, "page": page,
        })  # fmt: skip
        _rows(package, "schedules/headspace.csv", {**own, "headspace_in": HEADSPACE[food]})
        recipe = _recipe(food, titles[food], page)
        path = package / f"schedules/recipes/{food}.yaml"
        path.write_text(yaml.safe_dump(recipe, sort_keys=False, allow_unicode=True), encoding="utf-8")
    _rows(package, "shared/cautions.csv", {"id": VENT, "kind": "must", "text": VENT_TEXT, "carries": "yes"})
    _rows(package, "schedules/conditions.csv", {"food": BEANS, "statement": VENT, "source": ID, "page": "p. 33"})
    aliases = [
        row for row in table("schedules/aliases.csv", package) if row["alias"] not in ("green bean", "green beans")
    ]
    _write(package / "schedules/aliases.csv", aliases)
    for food in (BEANS, "snap-beans"):
        _rows(package, "schedules/open-names.csv", {"name": "green beans", "food": food})


def _recipe(food: str, title: str, page: str) -> dict[str, object]:
    steps = (
        "Wash and trim what goes into the jars.",
        f"Fill hot jars and leave {'1-1/4 inches' if food == BEANS else '3/4 inch'} of headspace.",
        "Work out the air bubbles and correct the headspace.",
        "Wipe the jar rims with a clean damp paper towel.",
    )
    return {
        "food": food, "title": title, "source": ID, "page": page, "packs": ["hot"], "jars": ["pint", "quart"],
        "ingredients": [{"name": "salt", "role": "salt", "quantity": 1, "unit": "teaspoon"}],
        "steps": [{"text": text, "page": page} for text in steps],
        "headspace": [{"inches": float(HEADSPACE[food]), "page": page}],
    }  # fmt: skip


CAPTIONS = {BEANS: ("1", "Snap and Italian Beans", "p. 31"), PEARS: ("2", "Pears", "F-5")}
"""Guide, caption and page of each table; the guide of 2015 prints both captions too."""


def _reading(package: Path, which: str) -> None:
    for food, (guide, caption, page) in CAPTIONS.items():
        if which == "first":
            _rows(package, "schedules/readings/captions.csv", {
                "source": ID, "guide": guide, "caption": caption, "food": food,
            })  # fmt: skip
        _rows(package, f"schedules/readings/foods-{which}.csv", {
            "guide": guide, "page": "p. 30" if food == BEANS else "F-4", "food": caption, "pack": "hot", "jar": "any",
            "headspace_in": HEADSPACE[food], "source": ID,
        })  # fmt: skip
        cells = [
            {"guide": guide, "page": page, "food": caption, "pack": "hot", "jar": jar, "source": ID, **cell}
            for jar in ("pint", "quart")
            for cell in (_beans(jar) if food == BEANS else _pears(jar))
        ]
        _rows(package, f"schedules/readings/schedules-{which}.csv", *cells)
    for what in ("foods", "schedules"):
        _rows(package, "schedules/readings/readers.csv", {
            "reading": f"reading-{what}-{which}", "source": ID, "of_page": "all", "copy": f"invented copy {which}",
            "reader": f"{which} invented reader", "date": "2031-02-03",
        })  # fmt: skip


def _beans(jar: str) -> list[dict[str, str]]:
    return [
        {"method": "pressure", "gauge": "dial", "alt_lo_m": band.from_m, "alt_hi_m": band.to_m, "kpa": kpa,
         "minutes": BEANS_MIN[jar]}
        for band, kpa in zip(DIAL, KPA, strict=True)
    ]  # fmt: skip


def _pears(jar: str) -> list[dict[str, str]]:
    return [
        {"method": "boiling_water", "alt_lo_m": band.from_m, "alt_hi_m": band.to_m, "minutes": minutes}
        for band, minutes in zip(BOILING, PEARS_MIN[jar], strict=True)
    ]


def _pages(package: Path) -> None:
    """Write the second reading of every page that the publication is cited with."""
    for food, (_, caption, page) in CAPTIONS.items():
        group, own, canner = ("vegetables", "p. 30", "dial") if food == BEANS else ("fruit", "F-4", "boiling-water")
        read = {
            ("foods", food): own, ("headspace", f"{food}|||"): own, (group, f"{food}||{caption}|{canner}"): page,
            **{("recipe", f"{food}|{part}"): own for part in ("start", "steps", "headspace")},
        }  # fmt: skip
        if food == BEANS:
            read["conditions", f"{food}|||||{VENT}"] = "p. 33"
        rows = [{"table": name, "key": key, "page": at} for (name, key), at in read.items()]
        _rows(package, "schedules/readings/pages-second.csv", *rows)


def _rows(package: Path, file: str, *more: dict[str, str]) -> None:
    """Add rows at the end of a table; what is not said is blank."""
    rows = table(file, package)
    _write(package / file, [*rows, *({name: row.get(name, "") for name in rows[0]} for row in more)])


def _write(path: Path, rows: list[dict[str, str]]) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, list(rows[0]), lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)


def edit(package: Path, file: str, at: dict[str, str], **cells: str) -> None:
    """Edit every row that has these cells; there must be one."""
    rows = table(file, package)
    met = [row for row in rows if all(row[name] == value for name, value in at.items())]
    assert met, f"{file} has no such row"
    for row in met:
        row.update(cells)
    _write(package / file, rows)


def drop(package: Path, file: str, at: dict[str, str]) -> None:
    """Drop every row that has these cells; there must be one."""
    rows = table(file, package)
    left = [row for row in rows if not all(row[name] == value for name, value in at.items())]
    assert len(left) < len(rows), f"{file} has no such row"
    _write(package / file, left)
