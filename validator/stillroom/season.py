"""Season: the log of judged canner loads, one YAML file per load (schema/season-entry.json). Never overwritten."""

from __future__ import annotations

import calendar
import csv
import io
import os
import tempfile
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date as Day  # noqa: N812  (an entry has a date of its own)
from typing import Any, NamedTuple

import yaml

from stillroom import document
from stillroom.errors import BadInput
from stillroom.judgement import Judgement
from stillroom.judgement import document as laid_out
from stillroom.verdict import DELIVERED

VERDICTS = ("delivered", "unproven", "short", "no verdict")
_MOST = 10_000


class Kept(NamedTuple):
    """Where a load was kept, and whether it was new there."""

    path: str
    new: bool


@dataclass(frozen=True)
class Entry:
    """One load of the season.

    Attributes
    ----------
    file : str
        Name of its file.
    date, best_by : date
        Day of the run, and the last day of the year to use it in (page 1-11).
    food, title, jar, verdict : str
    jars : int
    sealed, failed : int or None
        None where the seals were not recorded.
    """

    file: str
    date: Day
    food: str
    title: str
    jar: str
    jars: int
    verdict: str
    sealed: int | None
    failed: int | None
    best_by: Day

    @property
    def on_shelf(self) -> int:
        """Jars to keep: those of a delivered load that sealed, or are not known to have failed."""
        if self.verdict != DELIVERED:
            return 0
        return self.jars - (self.failed or 0) if self.sealed is None else self.sealed


def best_by(canned: Day) -> Day:
    """Day a year later; the last of February for the 29th (use within a year, page 1-11)."""
    leap_day = (canned.month, canned.day) == (2, 29) and not calendar.isleap(canned.year + 1)
    return canned.replace(year=canned.year + 1, day=28 if leap_day else canned.day)


def keep(found: Judgement, folder: str) -> Kept:
    """Add a judged load to the season log.

    Parameters
    ----------
    found : Judgement
        Its record must say the number of jars, and its record or its log the day.
    folder : str
        Made if it is not there.

    Returns
    -------
    Kept
        ``new`` is False where the very same load is there already; nothing is written then.

    Raises
    ------
    BadInput
        No day, no number of jars, or a folder that cannot be written to.
    """
    day = found.date
    if day is None:
        raise BadInput(f'{found.batch.shown}: a season entry needs the day: write it, like "date: 2026-08-15"')
    if found.batch.jars is None:
        raise BadInput(f'{found.batch.shown}: a season entry needs the number of jars: write it, like "jars: 7"')
    text = yaml.safe_dump(_entry(found, day), sort_keys=False, allow_unicode=True, width=100).encode()
    try:
        os.makedirs(folder, exist_ok=True)
        handle, part = tempfile.mkstemp(prefix=".", suffix=".part", dir=folder)
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(text)
                file.flush()
                os.fsync(file.fileno())
            os.chmod(part, 0o644)
            return _placed(part, os.path.join(folder, f"{day.isoformat()}-{found.answer.food}"), text)
        finally:
            os.unlink(part)
    except OSError as error:
        raise BadInput(f'season log "{folder}" cannot be written: {error.strerror}') from None


def _placed(part: str, stem: str, text: bytes) -> Kept:
    """Give the finished file the first free name. A link never replaces what is there, whoever else is writing."""
    for count in range(1, _MOST):
        path = f"{stem}-{count}.yaml"
        try:
            os.link(part, path)
        except FileExistsError:
            with open(path, "rb") as file:
                if file.read(len(text) + 1) == text:
                    return Kept(path, False)
            continue
        return Kept(path, True)
    raise BadInput(f'season log: "{stem}" has {_MOST - 1:,} entries already: use another folder')


def _entry(found: Judgement, day: Day) -> dict[str, Any]:
    said = laid_out(found)
    record, log = found.batch, found.log
    return {
        "date": day.isoformat(),
        **{key: said[key] for key in ("food", "title", "form", "pack", "jar", "jars", "canner", "altitude_ft")},
        **{key: said[key] for key in ("verdict", "reasons")},
        "required": {key: said["required"][key] for key in ("minutes", "pressure_psi")},
        "longest_hold_min": said["longest_hold_min"],
        "sealed": record.sealed,
        "failed": record.failed,
        "best_by": best_by(day).isoformat(),
        "log_from": log.clock.iso(log.first_us),
        "source": found.option.source.cite(),
        "note": record.note,
    }


def read(folder: str) -> tuple[Entry, ...]:
    """Read a season log, oldest load first.

    Raises
    ------
    BadInput
        No such folder, or a file in it that is no season entry; names file and key. No file is left out.
    """
    try:
        names = sorted(name for name in os.listdir(folder) if name.endswith((".yaml", ".yml")) and name[0] != ".")
    except OSError as error:
        raise BadInput(f'season log "{folder}" cannot be read: {error.strerror}') from None
    if len(names) > _MOST:
        raise BadInput(f'season log "{folder}" has more than {_MOST:,} entries: is it the right folder?')
    entries = []
    for name in names:
        said = document.read(os.path.join(folder, name), "season-entry", "season entry")
        sealed, failed = said.get("sealed"), said.get("failed")
        if (sealed or 0) + (failed or 0) > said["jars"]:
            raise BadInput(f"{name}: seals tell of more jars than the load had")
        entries.append(
            Entry(
                name,
                Day.fromisoformat(said["date"]),
                said["food"],
                said["title"],
                said["jar"],
                said["jars"],
                said["verdict"],
                sealed,
                failed,
                Day.fromisoformat(said["best_by"]),
            )
        )
    return tuple(sorted(entries, key=lambda entry: (entry.date, entry.file)))


COLUMNS = ("date", "food", "title", "jar", "jars", "verdict", "sealed", "failed", "on_shelf", "best_by", "file")


def rows(entries: Iterable[Entry]) -> list[dict[str, Any]]:
    """Lay the loads out for programs; dates in ISO 8601."""
    return [
        {name: v.isoformat() if isinstance(v := getattr(entry, name), Day) else v for name in COLUMNS}
        for entry in entries
    ]


def as_csv(entries: Iterable[Entry]) -> str:
    """Write the loads as CSV. A cell that a spreadsheet would take for a formula cannot occur: ids, titles, numbers."""
    out = io.StringIO()
    writer = csv.DictWriter(out, COLUMNS, lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows(entries))
    return out.getvalue()
