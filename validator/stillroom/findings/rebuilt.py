"""Rebuilt: the schedule tables as the two separate readings of the publication give them.

The readings (schedules/readings/) are put side by side, place by place: food, form, canner, pack, jar, altitude and
option. Where one lost a cell and lost-cells.csv says so, the other is taken. A conflict that no record explains, or a
record that explains nothing, stops the build. The check ``readings`` compares the schedule tables with what is built
here, cell by cell, and :func:`write` writes them.
"""

from __future__ import annotations

import csv
import io
import os
from collections.abc import Iterable, Iterator
from typing import Any, NamedTuple

import numpy as np
import pandas as pd

from stillroom.errors import BadPackage
from stillroom.findings import metric
from stillroom.findings.finding import Finding
from stillroom.findings.opened import CheckedPackage
from stillroom.findings.table import Table, Unreadable
from stillroom.package import files
from stillroom.package.tables import TABLES

NAME = "readings"
"""Check that tells what is wrong with the readings."""
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
MOST = 1001
"""Most places on which the readings differ that are told one by one."""
_NAMES = {"food": "caption", "alt_lo_ft": "altitude_from_ft", "alt_hi_ft": "altitude_to_ft", "psi": "pressure_psi"}
"""Columns of the readings that the schedule tables name otherwise."""
_BAND = ["guide", "food", "form", "method", "gauge", "pack", "jar", "altitude_from_ft", "altitude_to_ft"]
_PLACE = [*_BAND, "option"]
"""Where a printed cell stands. ``option`` counts equal options of one band in print order, from 1."""
_PRINTED_TABLE = ["guide", "food", "form", "method", "gauge", "source"]
_CELLS = ["minutes", "pressure_psi", "status", "source"]
_READINGS = {"first": "reading-schedules-first", "second": "reading-schedules-second"}
_SUFFIX = {"first": "_1", "second": "_2"}
"""By reading, what its columns end with where both stand side by side."""
_MADE_FROM = (*_READINGS.values(), "captions", "footnotes", "lost-cells", "foods", "sources", "altitude-bands")
"""Tables that the schedule tables are built from."""


class Reconciled(NamedTuple):
    """Both readings, side by side.

    Attributes
    ----------
    both : DataFrame
        One row for each place: columns of the first reading with ``_1``, of the second with ``_2``, lost cells filled.
    needless : list of Finding
        Records of lost-cells.csv that explain nothing or contradict themselves.
    """

    both: pd.DataFrame
    needless: list[Finding]


def status(note: str) -> str:
    """Status of a cell by the note its reading took."""
    return NOT_RECOMMENDED if "not recommended above" in note.lower() else "tested"


def columns_of(table: str) -> tuple[str, ...]:
    """Columns of a schedule table, or of the table of what is printed as not recommended."""
    return tuple(name for name in COLUMNS if name != "pressure_psi" or table != NOT_RECOMMENDED)


def records(frame: pd.DataFrame) -> list[dict[str, Any]]:
    """Rows of a frame as plain records."""
    return [{str(name): value for name, value in row.items()} for row in frame.to_dict("records")]


def said(row: dict[str, Any]) -> str:
    """Say a combination and where its band begins."""
    words = (row["food"], row["form"], row["pack"], row["jar"], row["gauge"] or row["method"])
    return f"{' '.join(word for word in words if word)} from {row['altitude_from_ft']} ft"


# Both readings side by side


def reconcile(package: CheckedPackage) -> Reconciled:
    """Put the readings side by side, and fill what lost-cells.csv explains.

    Raises
    ------
    Unreadable
        A table that is needed cannot be read.
    """
    first, second = (_placed(package, package.table(name)) for name in _READINGS.values())
    both = first.merge(second, on=_PLACE, how="outer", suffixes=(_SUFFIX["first"], _SUFFIX["second"]), sort=False)
    both["has_1"], both["has_2"] = both["line_1"].notna(), both["line_2"].notna()
    both["lost"] = ""
    lost, needless = _recorded(package.table("lost-cells"), package.table("captions"))
    return Reconciled(both, [*needless, *_fill(both, lost, package.table("lost-cells").file)])


def _text(table: Table) -> pd.DataFrame:
    """Columns of a table as plain text, with ``line``."""
    columns = list(table.columns)
    return table.frame[[*columns, "line"]].astype(dict.fromkeys(columns, object))


def _placed(package: CheckedPackage, table: Table) -> pd.DataFrame:
    """Give each printed cell of a reading its place, in the words and units of the schedule tables."""
    frame = _text(table).rename(columns=_NAMES)
    frame = frame.merge(_captioned(package, frame), left_index=True, right_index=True, how="inner")
    frame = metric.converted(frame, package)
    for name in ("method", "pack", "jar"):
        frame[name] = frame[name].map(lambda text: WORDS.get(text, text))
    frame["status"] = frame["note"].map(status)
    frame["option"] = frame.groupby(_BAND, sort=False).cumcount() + 1
    if "page" not in frame:
        frame["page"] = ""
    return frame[[*_PLACE, *_CELLS, "page", "caption", "note", "line"]]


def _captioned(package: CheckedPackage, frame: pd.DataFrame) -> pd.DataFrame:
    """Food and form of each row of a reading, by its publication, caption and, where captions.csv says so, its note."""
    known = _text(package.table("captions")).drop(columns="line").rename(columns={"source": "publication"})
    asked = frame[["guide", "caption", "note"]].reset_index(names="row")
    asked["publication"] = frame["source"].map(package.publications).to_numpy()
    met = asked.merge(known, on=["publication", "guide", "caption"], how="inner")
    fits = [when in note for when, note in zip(met["when_note_says"], met["note"], strict=True)]
    return met[np.array(fits, dtype=bool)].drop_duplicates("row").set_index("row")[["food", "form"]]


def _recorded(table: Table, captions: Table) -> tuple[pd.DataFrame, list[Finding]]:
    """Read the records of lost cells with the food of their caption; and what contradicts itself there."""
    entries = {(row["source"], row["guide"], row["caption"]): row for row in captions.rows}
    wanted: list[dict[str, Any]] = []
    wrong: list[Finding] = []
    for line, row in table.numbered():
        if row["third"] not in ("", row["kept"]):
            mend = "look the cell up in the publication"
            wrong.append(
                Finding(NAME, table.file, line, "third", row["third"], f"is not what was kept, {row['kept']}", "", mend)
            )
        entry = entries.get((row["source"], row["guide"], row["caption"]))
        if entry is None:
            wrong.append(_uncaptioned(table, line, row["caption"]))
        else:
            wanted.append({**row, "food": entry["food"], "form": entry["form"], "line": line})
    lost = pd.DataFrame(wanted, columns=[*table.columns, "food", "form", "line"])
    lost["option"] = pd.to_numeric(lost["option"], errors="coerce")
    return lost, wrong


def _uncaptioned(table: Table, line: int, caption: str) -> Finding:
    mend = "add it there, or mend it"
    return Finding(NAME, table.file, line, "caption", caption, "is not in captions.csv", "", mend)


def _fill(both: pd.DataFrame, lost: pd.DataFrame, file: str) -> Iterator[Finding]:
    """Take what a reading lost from the other, in place; yield records that explain nothing."""
    if lost.empty:
        return
    met = lost.merge(both[_PLACE].reset_index(names="at"), on=_PLACE, how="left")
    places = met["at"].dropna().astype(int).unique()
    rows = dict(zip(places.tolist(), records(both.loc[places]), strict=True))
    for record in records(met):
        place = rows.get(record["at"])
        filled = None if place is None else _filled(place, record)
        if place is None or filled is None:
            wrong = f"explains nothing: the {record['reading']} reading did not lose this {record['cell']}"
            mend = "remove the row, or restore the reading"
            yield Finding(NAME, file, int(record["line"]), "", "", wrong, "", mend)
        else:
            place.update(filled)
    for name in ("lost", *(f"{cell}{of}" for cell in ("has", *_CELLS) for of in _SUFFIX.values())):
        cells = both[name].to_numpy(dtype=object, copy=True)
        cells[places] = [place[name] for place in rows.values()]
        both[name] = cells if not name.startswith("has") else cells.astype(bool)


def _filled(row: dict[str, Any], record: dict[str, Any]) -> dict[str, Any] | None:
    """Take a lost cell from the other reading: the cells that change, or None where it was not lost as recorded."""
    own = _SUFFIX[record["reading"]]
    (other,) = set(_SUFFIX.values()) - {own}
    cell, kept = record["cell"], record["kept"]
    if not row[f"has{other}"] or (cell == "row") == row[f"has{own}"]:
        return None
    changed = {"lost": f"{cell} lost in the {record['reading']} reading: {record['note']}"}
    if cell == "row":
        psi = row[f"pressure_psi{other}"]
        if kept != f"{row[f'minutes{other}']} min" + (f" at {psi} psi" if psi else ""):
            return None
        return {**changed, **{f"{name}{own}": row[f"{name}{other}"] for name in _CELLS}, f"has{own}": True}
    if cell == "caption":
        lost = row[f"caption{own}"] != row[f"caption{other}"] and kept == row[f"caption{other}"]
        return changed if lost else None
    if cell not in _CELLS or row[f"{cell}{own}"] != "" or row[f"{cell}{other}"] != kept:
        return None
    return {**changed, f"{cell}{own}": kept}


# Conflicts


def conflicts(package: CheckedPackage, both: pd.DataFrame) -> Iterator[tuple[Finding, ...]]:
    """Yield places on which the readings differ, ``MOST`` of them: a finding for each reading that has the place."""
    differ = ~both["has_1"] | ~both["has_2"]
    for name in _CELLS:
        differ |= both[f"{name}_1"] != both[f"{name}_2"]
    files = {reading: package.table(name).file for reading, name in _READINGS.items()}
    for row in records(both[differ].head(MOST)):
        have = [reading for reading, of in _SUFFIX.items() if row[f"has{of}"]]
        if len(have) == 1:
            (lack,) = _SUFFIX.keys() - {*have}
            wrong = f"{said(row)} is in the {have[0]} reading only, not the {lack}"
        else:
            wrong = f"{said(row)}: {_value(row, '_1')} in the first reading, {_value(row, '_2')} in the second"
            have = [reading for reading, of in _SUFFIX.items() if not pd.isna(row[f"line{of}"])]
        mend = "compare both with the printed page; a lost cell is recorded in lost-cells.csv"
        yield tuple(
            Finding(NAME, files[reading], int(row[f"line{_SUFFIX[reading]}"]), "", "", wrong, "", mend)
            for reading in have
        )


def _value(row: dict[str, Any], of: str) -> str:
    pressure = f" at {row[f'pressure_psi{of}']} psi" if row[f"pressure_psi{of}"] else ""
    status = "" if row[f"status{of}"] == "tested" else f", {row[f'status{of}']}"
    source = f" ({row[f'source{of}']})" if row["source_1"] != row["source_2"] else ""
    return f"{row[f'minutes{of}'] or 'no'} min{pressure}{status}{source}"


# The schedule tables


def rows(package: CheckedPackage, both: pd.DataFrame) -> pd.DataFrame:
    """Build the schedule rows.

    Parameters
    ----------
    package : CheckedPackage
    both : DataFrame
        As :func:`reconcile` gives it.

    Returns
    -------
    DataFrame
        Columns of the schedule tables as text, ``table`` (the table a row belongs to; missing where foods.csv lacks
        the food), and ``first`` and ``second`` (its line in each reading; not a number where it has none).
    """
    built = both[_PLACE].copy()
    for name in (*_CELLS, "caption", "note"):
        built[name] = both[f"{name}_1"].where(both["has_1"] & both[f"{name}_1"].notna(), both[f"{name}_2"])
    built["page"] = _pages(built, both)
    built["lost"] = both["lost"].to_numpy()
    built["first"], built["second"] = both["line_1"].to_numpy(), both["line_2"].to_numpy()
    built = pd.concat([built, _footnoted(package, built)], ignore_index=True)
    groups = {row["id"]: row["group"] for row in package.table("foods").rows}
    built["table"] = built["food"].map(groups)
    built["table"] = built["table"].where(built["status"] == "tested", NOT_RECOMMENDED)
    footnoted = built["note"].str.startswith("footnote: ", na=False) & (built["lost"] == "")
    built["note"] = built["note"].where(footnoted, built["lost"])
    return built


def _pages(built: pd.DataFrame, both: pd.DataFrame) -> pd.Series[Any]:
    """Page of each row: as the first reading gives it, or that of the printed table for rows which it has not."""
    own = both["page_1"].where(both["line_1"].notna(), "")
    printed = built[_PRINTED_TABLE].assign(page=own)
    pages = printed[own != ""].groupby(_PRINTED_TABLE, sort=False)["page"].last().rename("table_page").reset_index()
    return own.where(own != "", printed.merge(pages, on=_PRINTED_TABLE, how="left")["table_page"])


def _footnoted(package: CheckedPackage, built: pd.DataFrame) -> pd.DataFrame:
    """Rows that a footnote gives to another form of the same food."""
    captions, of = package.table("captions").rows, package.publications
    foods = {(row["source"], row["guide"], row["caption"]): row["food"] for row in captions}
    entries = [
        {**row, "food": foods.get((of.get(row["source"], ""), row["guide"], row["caption"]), "")}
        for row in package.table("footnotes").rows
    ]
    notes = pd.DataFrame(entries, columns=["food", "form", "minutes", "when_note_says", "source", "page"])
    met = built.merge(notes, on="food", how="inner", suffixes=("", "_told"))
    said = [when in note for when, note in zip(met["when_note_says"], met["note"], strict=True)]
    told = met[said] if said else met
    lost = [f"footnote: {minutes} minutes for this form" for minutes in told["minutes_told"]]
    names = ("form", "minutes", "source", "page")
    return told.assign(lost=lost, **{name: told[f"{name}_told"] for name in names})[list(built.columns)]


# Building the files


def conflicts_of(root: str) -> list[str]:
    """Say every conflict of the two readings that lost-cells.csv does not explain, and every needless record there.

    Raises
    ------
    BadPackage
        A table that is needed cannot be read as it stands.
    """
    package = _opened(root)
    return _stopping(package, reconcile(package))


def rebuild(root: str) -> dict[str, list[tuple[str, ...]]]:
    """Build the schedule tables from the two readings.

    Parameters
    ----------
    root : str
        Folder of the package.

    Returns
    -------
    dict of str to list of tuple of str
        Rows by table name, sorted, in the order of :func:`columns_of` the table.

    Raises
    ------
    BadPackage
        The readings conflict, a lost cell is not recorded, or a table that is needed cannot be read as it stands.
    """
    package = _opened(root)
    reconciled = reconcile(package)
    stopping = _stopping(package, reconciled)
    if stopping:
        raise BadPackage(f"the two readings conflict in {len(stopping)} places; first: {stopping[0]}")
    built = rows(package, reconciled.both)
    lacking = built[built["table"].isna() | built["page"].isna()]
    if len(lacking):
        first = said(records(lacking)[0])
        raise BadPackage(f"{first}: its food is not in foods.csv, or its table has no page in the first reading")
    tables: dict[str, list[dict[str, Any]]] = {}
    for row in records(built):
        tables.setdefault(row["table"], []).append(row)
    return {
        name: [tuple(row[column] for column in columns_of(name)) for row in sorted(part, key=_order)]
        for name, part in tables.items()
    }


def write(root: str) -> None:
    """Rebuild the schedule tables and write them into ``schedules/``, each file whole or not at all."""
    for name, cells in rebuild(root).items():
        text = io.StringIO()
        csv.writer(text, lineterminator="\n").writerows([columns_of(name), *cells])
        files.replace(os.path.join(root, *TABLES[name].file.split("/")), text.getvalue().encode())


def _order(row: dict[str, Any]) -> tuple[object, ...]:
    """Order of schedule rows: by primary key, altitudes and minutes as numbers."""
    words = (row[name] for name in ("food", "form", "pack", "jar", "method", "gauge"))
    return (*words, int(row["altitude_from_ft"]), int(row["minutes"]))


def _opened(root: str) -> CheckedPackage:
    """Read a package, if the tables that the schedules are built from have no fault of form."""
    package = CheckedPackage(root)
    try:
        needed = {package.table(name).file for name in _MADE_FROM}
    except Unreadable as error:
        raise BadPackage(f"{error}; first: {package.problems[0]}") from None
    wrong = next((problem for problem in package.problems if problem.file in needed), None)
    if wrong is not None:
        raise BadPackage(str(wrong))
    return package


def _stopping(package: CheckedPackage, reconciled: Reconciled) -> list[str]:
    """Say all that stops the build, once for each place."""
    first_of_each = (findings[0] for findings in conflicts(package, reconciled.both))
    unbanded = (one for name in _READINGS.values() for one in metric.unconverted(package.table(name), package))
    return list(map(str, (*_without_captions(package), *unbanded, *reconciled.needless, *first_of_each)))


def _without_captions(package: CheckedPackage) -> Iterable[Finding]:
    """Yield rows of the readings and footnotes whose caption is not in captions.csv."""
    captions = package.table("captions")
    for name in _READINGS.values():
        table = package.table(name)
        frame = _text(table).rename(columns=_NAMES)
        left = frame.drop(index=_captioned(package, frame).index)
        yield from (_uncaptioned(table, int(row["line"]), row["caption"]) for row in records(left))
    known = {(row["source"], row["guide"], row["caption"]) for row in captions.rows}
    footnotes = package.table("footnotes")
    for line, row in footnotes.numbered():
        if (package.publications.get(row["source"], ""), row["guide"], row["caption"]) not in known:
            yield _uncaptioned(footnotes, line, row["caption"])
