"""Season: the log of judged canner loads, one YAML file per load (schema/season-entry.json).

A load is known by its record, the seals left out, and by the hash of its log. Saving it again amends its entry, as when
the seals are tested on the next day. A file that is no entry of that load is never overwritten.
"""

from __future__ import annotations

import calendar
import os
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date as Day  # noqa: N812  (an entry has a date of its own)
from typing import Any, NamedTuple

import yaml

from stillroom import screen
from stillroom.answers import wording
from stillroom.answers.rulebook import Rulebook
from stillroom.errors import BadInput
from stillroom.package import files, schemas
from stillroom.run import own_clock
from stillroom.run.judgement import Judgement
from stillroom.run.log_times import FIRST_YEAR, LAST_YEAR, cut_min
from stillroom.run.verdict import DELIVERED

NOT_SAFE, NOT_CHECKED, CHECKED = "not safe to keep", "seals not checked", "seals checked"
"""What is said of a load: it was not shown to have got its schedule; some of its seals are unknown; all are known."""
_MOST = 10_000
_HASHES = ("record_sha256", "log_sha256")
_OF_SEALS = ("sealed", "failed")
_OF_SHELF = ("eaten", "lost")
"""What happens to jars on the shelf; judging the load again changes none of it."""
_OF_OLD = (
    *("date", "food", "form", "pack", "jar", "jars", "canner", "altitude_ft", "note"),
    *("log_from", "longest_hold_min"),
)
"""What tells one load from another in an entry without hashes."""


class Kept(NamedTuple):
    """Where a load was kept.

    Attributes
    ----------
    path : str
        The entry.
    new : bool
        Whether the load was new there.
    amended : bool
        Whether the entry was there and says something else now.
    same_log : str or None
        Another entry with the same log and another record: most likely the same load, written down differently.
    """

    path: str
    new: bool
    amended: bool = False
    same_log: str | None = None


@dataclass(frozen=True)
class Entry:
    """One load of the season.

    Attributes
    ----------
    file : str
        Name of its file, made fit to be shown.
    date, best_by : date
        Day of the run, and the last day to use it on.
    food, title, jar, verdict : str
    jars : int
    sealed, failed : int or None
        None where the seals were not recorded.
    eaten, lost : int
        Jars taken from the shelf: opened to be eaten, and those that came to harm on it (a seal that let go, a jar that
        broke or spoiled).
    held_min : float or None
        Longest unbroken stretch of its process, minutes; None without a verdict.
    canner : str
    stages : dict of str to float
        What its log shows of heating, coming up and cooling, minutes; see :mod:`stillroom.run.own_clock`.
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
    eaten: int = 0
    lost: int = 0
    held_min: float | None = None
    canner: str = ""
    stages: Mapping[str, float] = field(default_factory=dict)

    @property
    def on_shelf(self) -> int:
        """Jars to keep: those of a delivered load that are known to have sealed, and were not taken since."""
        return (self.sealed or 0) - self.eaten - self.lost if self.verdict == DELIVERED else 0

    @property
    def unchecked(self) -> int:
        """Jars of a delivered load of whose seal nothing is known."""
        known = (self.sealed or 0) + (self.failed or 0)
        return self.jars - known if self.verdict == DELIVERED else 0

    @property
    def standing(self) -> str:
        """:data:`NOT_SAFE`, :data:`NOT_CHECKED` or :data:`CHECKED`."""
        if self.verdict != DELIVERED:
            return NOT_SAFE
        return NOT_CHECKED if self.unchecked else CHECKED


SEALED, UNSEALED, EATEN, LOST = "sealed", "did not seal", "eaten", "lost"
_HEADS: dict[str, Callable[[Entry], int]] = {
    SEALED: lambda load: load.on_shelf,
    NOT_CHECKED: lambda load: load.unchecked,
    UNSEALED: lambda load: 0 if load.standing == NOT_SAFE else load.failed or 0,
    NOT_SAFE: lambda load: load.jars if load.standing == NOT_SAFE else 0,
    EATEN: lambda load: 0 if load.standing == NOT_SAFE else load.eaten,
    LOST: lambda load: 0 if load.standing == NOT_SAFE else load.lost,
}
"""Heads under which jars are counted: each jar of a load stands under one; under the first, those still there."""


def jars(head: str, loads: Iterable[Entry]) -> int:
    """Add up the jars of loads that stand under one head, like :data:`SEALED`."""
    return sum(_HEADS[head](load) for load in loads)


def best_by(canned: Day, years: int) -> Day:
    """Day so many years later; the last of February for the 29th."""
    year = canned.year + years
    leap_day = (canned.month, canned.day) == (2, 29) and not calendar.isleap(year)
    return canned.replace(year=year, day=28 if leap_day else canned.day)


# keeping


def keep(found: Judgement, folder: str, rules: Rulebook) -> Kept:
    """Add a judged load to the season log, or amend its entry.

    Seals that the record does not tell stay as the entry has them.

    Parameters
    ----------
    found : Judgement
        Its record must say the number of jars, and its record or its log the day.
    folder : str
        Made if it is not there.
    rules : Rulebook
        Say how long jars keep.

    Returns
    -------
    Kept

    Raises
    ------
    BadInput
        No day, no number of jars, a log that has changed since, a file in the folder that is no entry, or a folder that
        cannot be written to.
    """
    day = found.date
    if day is None:
        raise BadInput(f'{found.batch.shown}: a season entry needs the day: write it, like "date: 2026-08-15"')
    if found.batch.jars is None:
        raise BadInput(f'{found.batch.shown}: a season entry needs the number of jars: write it, like "jars: 7"')
    entry = _entry(found, day, rules)
    try:
        os.makedirs(folder, exist_ok=True)
        with files.alone(folder):
            path, same_log = _there(folder, entry, rules)
            if path is None:
                path = _placed(folder, f"{day.isoformat()}-{found.answer.food}", entry, rules)
                if path is not None:
                    return Kept(path, True, same_log=same_log)
                path, same_log = _there(folder, entry, rules)  # kept by another in the same moment
            return Kept(str(path), False, _amended(str(path), entry, rules), same_log)
    except OSError as error:
        shown = screen.shown(folder, 200)
        raise BadInput(f'season log "{shown}" cannot be written: {error.strerror}') from None


def _there(folder: str, entry: dict[str, Any], rules: Rulebook) -> tuple[str | None, str | None]:
    """Find the entry of this load, and else the name of one with the same log."""
    same_log = None
    for path in _paths(folder):
        said = _maybe_said(path, rules)
        if said is None:
            continue  # somebody else's file; its name is taken
        if _same_load(said, entry):
            return path, None
        if said.get("log_sha256") == entry["log_sha256"]:
            same_log = screen.name(path)
    return None, same_log


def _same_load(said: dict[str, Any], entry: dict[str, Any]) -> bool:
    """Compare by the hashes. An entry older than those is the same where it tells of the same batch and of a log that
    begins at the same time of day; a log that counts minutes could be of any load."""
    if "log_sha256" in said:
        return all(said.get(name) == entry[name] for name in _HASHES)
    return said.get("log_from") is not None and all(said.get(name) == entry[name] for name in _OF_OLD)


def _placed(folder: str, stem: str, entry: dict[str, Any], rules: Rulebook) -> str | None:
    """Give a new entry the first free name; None where one of them is the same load, kept in the same moment."""
    with files.unfinished(folder, _text(entry)) as part:
        for count in range(1, _MOST):
            path = os.path.join(folder, f"{stem}-{count}.yaml")
            if files.placed(part, path):
                return path
            said = _maybe_said(path, rules)
            if said is not None and _same_load(said, entry):
                return None
    raise BadInput(f'season log: "{stem}" has {_MOST - 1:,} entries already: use another folder')


def _amended(path: str, entry: dict[str, Any], rules: Rulebook) -> bool:
    said = _said(path, rules)
    if all(entry[name] is None for name in _OF_SEALS):
        entry = {**entry, **{name: said.get(name) for name in _OF_SEALS}}
    entry |= {name: said[name] for name in _OF_SHELF if name in said}
    _need_jars(entry, screen.name(path))
    if said == entry:
        return False
    files.replace(path, _text(entry))
    return True


def _text(entry: dict[str, Any]) -> bytes:
    return yaml.safe_dump(entry, sort_keys=False, allow_unicode=True, width=100).encode()


def _entry(found: Judgement, day: Day, rules: Rulebook) -> dict[str, Any]:
    answer, option, record, log = found.answer, found.option, found.batch, found.log
    return {
        "date": day.isoformat(),
        "food": answer.food,
        "title": answer.title,
        "form": answer.form,
        "pack": answer.pack,
        "jar": answer.jar,
        "jars": record.jars,
        "canner": answer.canner,
        "altitude_ft": answer.altitude_ft,
        "verdict": found.verdict,
        "reasons": list(found.reasons),
        "required": {"minutes": option.minutes, "pressure_psi": option.pressure_psi},
        "longest_hold_min": None if found.longest_hold_us is None else cut_min(found.longest_hold_us),
        "sealed": record.sealed,
        "failed": record.failed,
        "best_by": best_by(day, rules.whole("use-within")).isoformat(),
        "log_from": log.clock.iso(log.first_us),
        "source": option.source.cite(),
        "note": record.note,
        "record_sha256": record.sha256,
        "log_sha256": log.sha256(),
        **({"stages": took} if (took := own_clock.stages(found)) else {}),
    }


# seals, and jars taken from the shelf


def tell_seals(path: str, sealed: int, failed: int, rules: Rulebook) -> Entry:
    """Write into an entry how many of its jars sealed.

    Parameters
    ----------
    path : str
        The entry.
    sealed, failed : int
        Jars; together at most those of the load.
    rules : Rulebook

    Raises
    ------
    BadInput
        No entry of a season, more jars than the load had, fewer than were taken from the shelf, or it cannot be
        written.
    """
    return _changed(path, lambda said: {**said, "sealed": sealed, "failed": failed}, rules)


def take(path: str, jars_taken: int, rules: Rulebook, *, lost: bool = False, back: bool = False) -> Entry:
    """Take jars of an entry from the shelf, or put back those that were written down as taken by mistake.

    Parameters
    ----------
    path : str
        The entry.
    jars_taken : int
        How many; at most those on the shelf, or those taken.
    rules : Rulebook
    lost : bool, optional
        They came to harm: a seal that let go, a jar that broke or spoiled. Else they are opened to be eaten.
    back : bool, optional
        They were not taken after all.

    Raises
    ------
    BadInput
        No entry of a season, a load that is not safe to keep, fewer jars on the shelf or fewer taken, or it cannot be
        written.
    """
    name = "lost" if lost else "eaten"

    def change(said: dict[str, Any]) -> dict[str, Any]:
        taken: int = said.get(name) or 0
        if back:
            if jars_taken > taken:
                raise BadInput(f"{screen.name(path)}: {_jars(taken)} {name}: no more can be put back")
            return {**said, name: taken - jars_taken}
        _need_on_shelf(_entry_of(path, said), jars_taken)
        return {**said, name: taken + jars_taken}

    return _changed(path, change, rules)


def _need_on_shelf(load: Entry, jars_taken: int) -> None:
    if load.standing == NOT_SAFE:
        raise BadInput(
            f"{load.file}: this load is {NOT_SAFE}, and none of its jars is on the shelf: do not eat from it"
        )
    if jars_taken > load.on_shelf:
        raise BadInput(
            f"{load.file}: {_jars(load.on_shelf)} on the shelf, fewer than {jars_taken}"
            + ("; its seals are not checked yet: say them first, with stillroom seals" if load.unchecked else "")
        )


def _jars(number: int) -> str:
    return f"{number} jar{'' if number == 1 else 's'}"


def _changed(path: str, change: Callable[[dict[str, Any]], dict[str, Any]], rules: Rulebook) -> Entry:
    """Read an entry and write it anew, while no other process of ours changes the folder."""
    name, target = screen.name(path), os.path.realpath(path)
    _said(target, rules)  # what is no entry is told as such, whatever its folder is
    try:
        with files.alone(os.path.dirname(target)):
            entry = change(_said(target, rules))
            _need_jars(entry, name)
            files.replace(target, _text(entry))
    except OSError as error:
        raise BadInput(f"{name}: cannot be written: {error.strerror}") from None
    return _entry_of(path, entry)


def _need_jars(said: dict[str, Any], name: str) -> None:
    """See that the jars of an entry add up."""
    sealed, failed = said.get("sealed") or 0, said.get("failed") or 0
    if sealed + failed > said["jars"]:
        raise BadInput(f"{name}: seals tell of {sealed + failed} jars where the load had {said['jars']}")
    taken = sum(said.get(each) or 0 for each in _OF_SHELF)
    if taken > sealed:
        raise BadInput(f"{name}: {taken} jars were taken from the shelf, more than the {sealed} that sealed")


# reading


def read(folder: str, rules: Rulebook) -> tuple[Entry, ...]:
    """Read a season log, oldest load first.

    Parameters
    ----------
    folder : str
    rules : Rulebook
        Say how long jars keep.

    Raises
    ------
    BadInput
        No such folder, a file in it that is no season entry, or two entries of one load; names file and key. No file is
        left out.
    """
    seen: dict[tuple[Any, ...], str] = {}
    entries = []
    try:
        paths = _paths(folder)
    except OSError as error:
        raise BadInput(f'season log "{screen.shown(folder, 200)}" cannot be read: {error.strerror}') from None
    for path in paths:
        said = _said(path, rules)
        name = screen.name(path)
        load = tuple(said.get(key) for key in _HASHES)
        if None not in load and seen.setdefault(load, name) != name:
            raise BadInput(f"{name}: is the same load as {seen[load]}: keep one of the two, and move the other away")
        entries.append(_entry_of(path, said))
    return tuple(sorted(entries, key=lambda entry: (entry.date, entry.file)))


def _entry_of(path: str, said: dict[str, Any]) -> Entry:
    return Entry(
        file=screen.name(path),
        date=Day.fromisoformat(said["date"]),
        food=said["food"],
        title=said["title"],
        jar=said["jar"],
        jars=said["jars"],
        verdict=said["verdict"],
        sealed=said.get("sealed"),
        failed=said.get("failed"),
        best_by=Day.fromisoformat(said["best_by"]),
        eaten=said.get("eaten") or 0,
        lost=said.get("lost") or 0,
        held_min=said.get("longest_hold_min"),
        canner=said["canner"],
        stages=said.get("stages", {}),
    )


class Year(NamedTuple):
    """What a year's loads came to.

    Attributes
    ----------
    year : int
    loads, not_safe_loads : int
        All loads, and those that are not shown to have got their schedule.
    jars, sealed, failed, unchecked, not_safe, eaten, lost, on_shelf : int
        Jars put up, and what became of them; ``not_safe`` are those of loads that are not safe to keep.
    held_min : float
        Minutes at heat: the longest unbroken stretches of all loads added up.
    by_food : tuple of (str, int, int)
        For each food its title, jars put up, and jars that came to nothing (unsealed, not safe or lost).
    """

    year: int
    loads: int
    not_safe_loads: int
    jars: int
    sealed: int
    failed: int
    unchecked: int
    not_safe: int
    eaten: int
    lost: int
    on_shelf: int
    held_min: float
    by_food: tuple[tuple[str, int, int], ...]


def year_of(entries: Iterable[Entry], year: int) -> Year:
    """Add up the loads of one year.

    Parameters
    ----------
    entries : iterable of Entry
    year : int
    """
    loads = [load for load in entries if load.date.year == year]
    safe = [load for load in loads if load.standing != NOT_SAFE]
    foods = {title: [load for load in loads if load.title == title] for title in sorted({load.title for load in loads})}
    return Year(
        year=year,
        loads=len(loads),
        not_safe_loads=len(loads) - len(safe),
        jars=sum(load.jars for load in loads),
        sealed=sum(load.sealed or 0 for load in safe),
        failed=sum(load.failed or 0 for load in safe),
        unchecked=sum(load.unchecked for load in safe),
        not_safe=jars(NOT_SAFE, loads),
        eaten=sum(load.eaten for load in safe),
        lost=sum(load.lost for load in safe),
        on_shelf=sum(load.on_shelf for load in safe),
        held_min=sum(load.held_min or 0.0 for load in loads),
        by_food=tuple((title, sum(load.jars for load in of), sum(map(_wasted, of))) for title, of in foods.items()),
    )


def _wasted(load: Entry) -> int:
    return load.jars if load.standing == NOT_SAFE else (load.failed or 0) + load.lost


def eat_first(entries: Iterable[Entry]) -> tuple[Entry, ...]:
    """Order the loads that have jars on the shelf: those to be used soonest first."""
    return tuple(sorted((load for load in entries if load.on_shelf > 0), key=lambda load: (load.best_by, load.file)))


def _paths(folder: str) -> list[str]:
    names = sorted(name for name in os.listdir(folder) if name.endswith((".yaml", ".yml")) and name[0] != ".")
    if len(names) > _MOST:
        shown = screen.shown(folder, 200)
        raise BadInput(f'season log "{shown}" has more than {_MOST:,} entries: is it the right folder?')
    return [os.path.join(folder, name) for name in names]


def _said(path: str, rules: Rulebook) -> dict[str, Any]:
    """Read one entry, and see that its figures can be."""
    said = schemas.read(path, "season-entry", "season entry")
    name = screen.name(path)
    day, by = Day.fromisoformat(said["date"]), Day.fromisoformat(said["best_by"])
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        raise BadInput(f"{name}: date {day} is not a day between {FIRST_YEAR} and {LAST_YEAR}: check the year")
    rule, years = rules.rule("use-within"), rules.whole("use-within")
    if by > best_by(day, years):
        long = wording.years(years)
        raise BadInput(
            f"{name}: best_by {by} is more than {long} after {day}: use jars within {long} (page {rule.page})"
        )
    _need_jars(said, name)
    return said


def _maybe_said(path: str, rules: Rulebook) -> dict[str, Any] | None:
    """Read one entry; None where the file is something else."""
    try:
        return _said(path, rules)
    except BadInput:
        return None
