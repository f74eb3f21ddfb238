"""Readings: every schedule cell is what the two separate readings of the publication say.

What it does
------------
Puts the two readings (schedules/readings/) side by side, place by place: food, form, canner, pack, jar, altitude and
option. Where they differ, a row of lost-cells.csv must say which of them lost the cell; a row there that explains
nothing is a finding, and so is a third reading of such a cell that says something else. From the two it rebuilds the
schedule tables and compares every cell with the files.

Why it matters
--------------
A number that two people, from two copies, read alike is very unlikely to be misread. An edit of a schedule alone, or
of one reading alone, cannot pass.

Example
-------
``schedules/vegetables.csv:3: readings: minutes "20" is 30 in both readings; lines 480 and 480 of the readings``

Source
------
The readings are of the USDA Complete Guide to Home Canning, 2015; each row of the first names its page.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import pandas as pd

    from stillroom.checked import CheckedPackage, Table
    from stillroom.finding import Finding

NAME = "readings"
NOT_RECOMMENDED = "not-recommended"
"""Table of the cells that are printed so."""
MOST = 1001
"""Most places that are told one by one."""
SOURCE = "usda-2015"
_PLACE = [
    "guide", "food", "form", "method", "gauge", "pack", "jar", "altitude_from_ft", "altitude_to_ft", "option",
]  # fmt: skip
_TABLE = ["guide", "food", "form", "method", "gauge"]
_CELLS = ["minutes", "pressure_psi", "status"]
_KEY = ["food", "form", "pack", "jar", "method", "gauge", "altitude_from_ft"]
_FILES = {"first": "reading-schedules-first", "second": "reading-schedules-second"}


def check(package: CheckedPackage) -> Iterator[Finding]:
    """Yield conflicts of the readings, and schedule cells that are not what they say."""
    captions = package.table("captions")
    both = _side_by_side(package, captions)
    yield from _explained(package, captions, both)
    yield from _conflicts(package, both)
    rebuilt = _rebuilt(package, both)
    yield from _compared(package, rebuilt)


def _at(file: str, line: float | None, wrong: str, mend: str, column: str = "", value: str = "") -> Finding:
    from stillroom.finding import Finding

    return Finding(NAME, file, None if line is None or line != line else int(line), column, value, wrong, "", mend)


def _text(table: Table, columns: list[str]) -> pd.DataFrame:
    """Columns of a table as plain text, with ``line``."""
    return table.frame[[*columns, "line"]].astype(dict.fromkeys(columns, object))


def _placed(package: CheckedPackage, captions: Table, reading: str) -> pd.DataFrame:
    """Give each printed cell of a reading its place, in the words of the schedule tables."""
    from stillroom import readings

    table = package.table(_FILES[reading])
    frame = _text(table, list(table.columns)).rename(
        columns={
            "food": "caption",
            "alt_lo_ft": "altitude_from_ft",
            "alt_hi_ft": "altitude_to_ft",
            "psi": "pressure_psi",
        }
    )
    frame = frame.merge(_captioned(captions, frame), left_index=True, right_index=True, how="inner")
    for name in ("method", "pack", "jar"):
        frame[name] = frame[name].map(lambda text: readings.WORDS.get(text, text))
    frame["status"] = frame["note"].map(readings.status)
    frame["option"] = frame.groupby(_PLACE[:-1], sort=False).cumcount() + 1
    if "page" not in frame:
        frame["page"] = ""
    return frame[[*_PLACE, *_CELLS, "page", "caption", "note", "line"]]


def _captioned(captions: Table, frame: pd.DataFrame) -> pd.DataFrame:
    """Food and form of each row of a reading, by its caption and, where captions.csv says so, its note."""
    import numpy as np

    known = _text(captions, list(captions.columns)).drop(columns="line")
    asked = frame[["guide", "caption", "note"]].reset_index(names="row")
    met = asked.merge(known, on=["guide", "caption"], how="inner")
    fits = [when in note for when, note in zip(met["when_note_says"], met["note"], strict=True)]
    return met[np.array(fits, dtype=bool)].drop_duplicates("row").set_index("row")[["food", "form"]]


def _side_by_side(package: CheckedPackage, captions: Table) -> pd.DataFrame:
    """Both readings by place: columns of the first with ``_1``, of the second with ``_2``."""
    first, second = (_placed(package, captions, reading) for reading in _FILES)
    both = first.merge(second, on=_PLACE, how="outer", suffixes=("_1", "_2"), sort=False)
    both["has_1"], both["has_2"] = both["line_1"].notna(), both["line_2"].notna()
    both["lost"] = ""
    return both


def _explained(package: CheckedPackage, captions: Table, both: pd.DataFrame) -> Iterator[Finding]:
    """Fill what lost-cells.csv explains, in place; yield its rows that explain nothing."""
    table = package.table("lost-cells")
    entries = {(row["guide"], row["caption"]): row for row in captions.rows}
    wanted = []
    for line, row in table.numbered():
        if row["third"] not in ("", row["kept"]):
            wrong = f"is not what was kept, {row['kept']}"
            yield _at(table.file, line, wrong, "look the cell up in the publication", "third", row["third"])
        entry = entries.get((row["guide"], row["caption"]))
        if entry is not None:
            wanted.append({**row, "food": entry["food"], "form": entry["form"], "line": line})
        else:
            yield _at(table.file, line, "is not in captions.csv", "add it there, or mend it", "caption", row["caption"])
    if not wanted:
        return
    import pandas as pd

    lost = pd.DataFrame(wanted)
    lost["option"] = pd.to_numeric(lost["option"], errors="coerce")
    met = lost.merge(both[_PLACE].reset_index(names="at"), on=_PLACE, how="left")
    places = met["at"].dropna().astype(int).unique()
    rows = dict(zip(places.tolist(), _records(both.loc[places]), strict=True))
    for record in _records(met):
        place = rows.get(record["at"])
        filled = None if place is None else _filled(place, record)
        if place is None or filled is None:
            wrong = f"explains nothing: the {record['reading']} reading did not lose this {record['cell']}"
            yield _at(table.file, record["line"], wrong, "remove the row, or restore the reading")
        else:
            place.update(filled)
    for name in ("lost", *(f"{cell}{of}" for cell in ("has", *_CELLS) for of in ("_1", "_2"))):
        cells = both[name].to_numpy(dtype=object, copy=True)
        cells[places] = [place[name] for place in rows.values()]
        both[name] = cells if not name.startswith("has") else cells.astype(bool)


def _records(frame: pd.DataFrame) -> list[dict[str, Any]]:
    return [{str(name): value for name, value in row.items()} for row in frame.to_dict("records")]


def _filled(row: dict[str, Any], record: dict[str, Any]) -> dict[str, Any] | None:
    """Take a lost cell from the other reading: the cells that change, or None where it was not lost as recorded."""
    own, other = ("_1", "_2") if record["reading"] == "first" else ("_2", "_1")
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


def _said(row: dict[str, Any]) -> str:
    """A combination and where its band begins, in words."""
    words = (row["food"], row["form"], row["pack"], row["jar"], row["gauge"] or row["method"])
    return f"{' '.join(word for word in words if word)} from {row['altitude_from_ft']} ft"


def _conflicts(package: CheckedPackage, both: pd.DataFrame) -> Iterator[Finding]:
    """Yield places on which the readings differ, once for each reading."""
    files = [package.table(name).file for name in _FILES.values()]
    differ = ~both["has_1"] | ~both["has_2"]
    for name in _CELLS:
        differ |= both[f"{name}_1"] != both[f"{name}_2"]
    for row in _records(both[differ].head(MOST)):
        where = _said(row)
        mend = "compare both with the printed page; a lost cell is recorded in lost-cells.csv"
        if not (row["has_1"] and row["has_2"]):
            have, lack = ("first", "second") if row["has_1"] else ("second", "first")
            number = 0 if row["has_1"] else 1
            yield _at(
                files[number], row[f"line_{number + 1}"], f"{where} is in the {have} reading only, not the {lack}", mend
            )
            continue
        said = [_value(row, "_1"), _value(row, "_2")]
        for number, line in enumerate((row["line_1"], row["line_2"])):
            if line == line:
                wrong = f"{where}: {said[0]} in the first reading, {said[1]} in the second"
                yield _at(files[number], line, wrong, mend)


def _value(row: dict[str, Any], of: str) -> str:
    pressure = f" at {row[f'pressure_psi{of}']} psi" if row[f"pressure_psi{of}"] else ""
    status = "" if row[f"status{of}"] == "tested" else f", {row[f'status{of}']}"
    return f"{row[f'minutes{of}'] or 'no'} min{pressure}{status}"


def _rebuilt(package: CheckedPackage, both: pd.DataFrame) -> pd.DataFrame:
    """Build the schedule rows from the readings, with the table each belongs to."""
    import pandas as pd

    built = both[_PLACE].copy()
    for name in (*_CELLS, "caption", "note"):
        built[name] = both[f"{name}_1"].where(both["has_1"] & both[f"{name}_1"].notna(), both[f"{name}_2"])
    built["page"] = both["page_1"].where(both["line_1"].notna(), "")
    pages = built[built["page"] != ""].groupby(_TABLE, sort=False)["page"].last().rename("table_page").reset_index()
    built = built.merge(pages, on=_TABLE, how="left")
    built["page"] = built["page"].where(built["page"] != "", built["table_page"])
    built["lost"] = both["lost"].to_numpy()
    built["first"], built["second"] = both["line_1"].to_numpy(), both["line_2"].to_numpy()
    built = pd.concat([built, _footnoted(package, built)], ignore_index=True)
    groups = {row["id"]: row["group"] for row in package.table("foods").rows}
    built["table"] = built["food"].map(groups)
    built["table"] = built["table"].where(built["status"] == "tested", NOT_RECOMMENDED)
    footnoted = built["note"].str.startswith("footnote: ", na=False) & (built["lost"] == "")
    built["note"] = built["note"].where(footnoted, built["lost"])
    built["source"] = SOURCE
    return built


def _footnoted(package: CheckedPackage, built: pd.DataFrame) -> pd.DataFrame:
    """Rows that a footnote gives to another form of the same food."""
    import pandas as pd

    foods = {(row["guide"], row["caption"]): row["food"] for row in package.table("captions").rows}
    entries = [
        {**row, "food": foods.get((row["guide"], row["caption"]), "")} for row in package.table("footnotes").rows
    ]
    notes = pd.DataFrame(entries, columns=["food", "form", "minutes", "when_note_says"])
    met = built.merge(notes, on="food", how="inner", suffixes=("", "_told"))
    said = [when in note for when, note in zip(met["when_note_says"], met["note"], strict=True)]
    told = met[said] if said else met
    lost = [f"footnote: {minutes} minutes for this form" for minutes in told["minutes_told"]]
    return told.assign(form=told["form_told"], minutes=told["minutes_told"], lost=lost)[list(built.columns)]


def _compared(package: CheckedPackage, rebuilt: pd.DataFrame) -> Iterator[Finding]:
    """Yield cells of the schedule files that the readings do not give, and rows that are missing."""
    from stillroom.tables import GROUPS

    for name in (*GROUPS, NOT_RECOMMENDED):
        table = package.table(name)
        columns = list(table.columns)
        actual = table.frame[[*columns, "line"]]
        wanted = rebuilt[rebuilt["table"] == name]
        have, want = _hashed(actual, columns), _hashed(wanted, columns)
        extra = actual[~have.isin(want) | have.duplicated(keep="last")].astype(dict.fromkeys(columns, object))
        missing = wanted[~want.isin(have)]
        yield from _paired(table, extra.head(5 * MOST), missing.head(5 * MOST), columns)
    for row in _records(rebuilt[rebuilt["table"].isna()].head(1)):
        yield _at("schedules/foods.csv", None, f'food "{row["food"]}" of captions.csv is missing', "add the food again")


def _hashed(frame: pd.DataFrame, columns: list[str]) -> pd.Series[int]:
    """One number for each row, equal where all cells are equal."""
    import pandas as pd

    as_text = frame[columns].astype(dict.fromkeys(columns, "category"))
    return pd.Series(pd.util.hash_pandas_object(as_text, index=False).to_numpy(), index=frame.index)


def _paired(table: Table, extra: pd.DataFrame, missing: pd.DataFrame, columns: list[str]) -> Iterator[Finding]:
    """Tell which cells differ: rows of the file against rows of the readings of nearly the same key."""
    left = dict(enumerate(_records(missing)))
    by_key: dict[tuple[str, ...], list[int]] = {}
    by_food: dict[str, list[int]] = {}
    for at, row in left.items():
        by_key.setdefault(tuple(row[name] for name in _KEY), []).append(at)
        by_food.setdefault(row["caption"], []).append(at)
    waiting: list[dict[str, Any]] = []
    for row in _records(extra):
        found = next((a for a in by_key.get(tuple(row[name] for name in _KEY), ()) if a in left), None)
        if found is None:
            waiting.append(row)
        else:
            yield from _cells(table, row, left.pop(found), columns)
    for row in waiting:
        near = [a for a in by_food.get(row["caption"], ()) if a in left][:200]
        best: int | None = max(near, key=lambda a: sum(row[name] == left[a][name] for name in columns), default=None)
        if best is None or sum(row[name] != left[best][name] for name in columns) > 3:
            wrong = "is a row that the readings do not give"
            yield _at(table.file, row["line"], wrong, "remove it, or add it to both readings from the printed page")
        else:
            yield from _cells(table, row, left.pop(best), columns)
    for row in left.values():
        wrong = f"{_said(row)}, {row['minutes']} min (page {row['page']}) is missing"
        yield _at(table.file, None, wrong, "add the row that both readings give")


def _cells(table: Table, row: dict[str, Any], wanted: dict[str, Any], columns: list[str]) -> Iterator[Finding]:
    from stillroom.finding import shown

    for name in columns:
        if row[name] != wanted[name]:
            given = f'is "{shown(wanted[name])}"' if wanted[name] else "is blank"
            lines = [f"{line:g}" for line in (wanted["first"], wanted["second"]) if line == line]
            wrong = f"{given} in the readings (line {' and '.join(dict.fromkeys(lines))})"
            yield _at(table.file, row["line"], wrong, f"compare with page {wanted['page']}", name, row[name])
