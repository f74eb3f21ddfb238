"""Dayrecord: a canning day of several foods, canners and burners, as a person writes it down (schema/day.json)."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from stillroom import screen
from stillroom.answers import question, wording
from stillroom.answers.kitchen import Held
from stillroom.day import clock
from stillroom.errors import BadInput, StillroomError
from stillroom.package import schemas

if TYPE_CHECKING:
    from stillroom.answers.shelf import Shelf


@dataclass(frozen=True)
class OwnCanner:
    """A canner of the day.

    Attributes
    ----------
    name : str
        The owner's own.
    kind : str
        Id: dial, weighted, boiling-water or steam.
    holds : tuple of Held
        Jars it holds, by size; sizes that are not said are held as printed, or as the kitchen file says.
    burner : int or None
        Burner it stands on, from 1; None: any that is free.
    heating_min : int or None
        Minutes in which a steam canner is full of steam, the owner's own; None for others.
    reads_high_by : object
        Error of its dial gauge, as written, with its unit; None where nothing is said.
    tested : str or None
        Day its dial gauge was last tested.
    """

    name: str
    kind: str
    holds: tuple[Held, ...]
    burner: int | None
    heating_min: int | None
    reads_high_by: Any
    tested: str | None


@dataclass(frozen=True)
class Wanted:
    """A food of the day as it was written, with its canner.

    Attributes
    ----------
    said : mapping
        ``food``, ``form``, ``pack``, ``jar``, ``variety``, ``jars``, ``pounds`` and ``bushels``; None: left out.
    minutes : int or None
        Process time of the option that is wanted, minutes.
    canner : OwnCanner
    preparation_min : int
        The owner's own, minutes.
    """

    said: Mapping[str, Any]
    minutes: int | None
    canner: OwnCanner
    preparation_min: int


@dataclass(frozen=True)
class DayRecord:
    """A canning day as it was written. What was left out is None.

    Attributes
    ----------
    date : date or None
    altitude : object
        With its unit.
    start_min : int or None
        Minutes after midnight.
    burners : int
    turnaround_min : int
        Minutes between two loads of a canner.
    canners : tuple of OwnCanner
    foods : tuple of Wanted
        In the order given.
    shown : str
        Name of the file, for messages.
    at : str
        Key of the foods, for messages.
    """

    date: datetime.date | None
    altitude: Any
    start_min: int | None
    burners: int
    turnaround_min: int
    canners: tuple[OwnCanner, ...]
    foods: tuple[Wanted, ...]
    shown: str
    at: str = "foods"


_OF_FOOD = ("food", "form", "pack", "jar", "variety", "jars", "pounds", "bushels")


def read(path: str, shelf: Shelf) -> DayRecord:
    """Read the record of a canning day.

    Raises
    ------
    BadInput
        No such file, not plain YAML, an unknown key or a value that does not fit, or a record of weeks; names file, and
        line or key.
    """
    return _records(path, "foods", shelf)[0][1]


def read_weeks(path: str, shelf: Shelf) -> tuple[tuple[str, DayRecord], ...]:
    """Read the record of several weeks: the name of each, and its foods as those of one day. Errors as :func:`read`."""
    return _records(path, "weeks", shelf)


def is_of_weeks(path: str) -> bool:
    """Tell whether a record is of weeks. Errors as :func:`read`."""
    return "weeks" in schemas.read(path, "day", "day record")


def _records(path: str, key: str, shelf: Shelf) -> tuple[tuple[str, DayRecord], ...]:
    shown = screen.name(path)
    said = schemas.read(path, "day", "day record")
    try:
        if ("foods" in said) == ("weeks" in said):
            raise BadInput("foods or weeks: write one of them, and not both")
        if key not in said:
            other = "plan_weeks" if key == "foods" else "plan_day"
            raise BadInput(f"has no {key}: stillroom.{other} plans it")
        if key == "foods":
            return (("", _understood(said, said["foods"], "foods", shown, shelf)),)
        _of_a_day(said)
        return tuple(
            (str(week["week"]), _understood(said, week["foods"], f"weeks.{number}.foods", shown, shelf))
            for number, week in enumerate(said["weeks"], 1)
        )
    except BadInput as error:
        raise BadInput(f"{shown}: {error}") from None


def _of_a_day(said: Mapping[str, Any]) -> None:
    """Refuse what is of one day, and a week that stands twice."""
    for key in ("date", "start"):
        if key in said:
            raise BadInput(f"{key} is of one day: leave it out where weeks are planned")
    names = [str(week["week"]) for week in said["weeks"]]
    twice = next((name for number, name in enumerate(names) if name in names[:number]), None)
    if twice is not None:
        raise BadInput(f'week "{screen.shown(twice)}" stands twice: write its foods together')


def _understood(said: Mapping[str, Any], foods: Any, at: str, shown: str, shelf: Shelf) -> DayRecord:
    canners = tuple(_canner(entry, number, shelf) for number, entry in enumerate(said["canners"], 1))
    names = [canner.name for canner in canners]
    twice = next((name for number, name in enumerate(names) if name in names[:number]), None)
    if twice is not None:
        raise BadInput(f'canner "{twice}" stands twice: give each canner a name of its own')
    burners = said.get("burners", len(canners))
    for canner in canners:
        if canner.burner is not None and canner.burner > burners:
            raise BadInput(f'canner "{canner.name}" stands on burner {canner.burner} of {burners}: check the number')
    usual = said.get("preparation_min", 0)
    return DayRecord(
        date=None if "date" not in said else datetime.date.fromisoformat(said["date"]),
        altitude=said.get("altitude"),
        start_min=None if "start" not in said else clock.minute_of_day(said["start"]),
        burners=burners,
        turnaround_min=said.get("turnaround_min", 0),
        canners=canners,
        foods=tuple(
            Wanted(
                {key: entry.get(key) for key in _OF_FOOD},
                entry.get("option", {}).get("minutes"),
                _of_food(entry, f"{at}.{number}", canners),
                entry.get("preparation_min", usual),
            )
            for number, entry in enumerate(foods, 1)
        ),
        shown=shown,
        at=at,
    )


def _canner(entry: Mapping[str, Any], number: int, shelf: Shelf) -> OwnCanner:
    try:
        kind = shelf.words.one("canner", entry["kind"], shelf.cite)
        held: list[Held] = []
        for word, jars in entry.get("holds", {}).items():
            jar = shelf.words.one("jar", word, shelf.cite)
            if any(one.jar == jar for one in held):
                raise BadInput(f"holds.{jar} stands twice: write it once")
            held.append(Held(kind, jar, jars))
    except StillroomError as error:
        raise BadInput(f"canners.{number}: {error}") from None
    gauge = entry.get("gauge", {})
    if gauge and kind != "dial":
        raise BadInput(f'canners.{number}: gauge is for a dial gauge, and "{entry["name"]}" is {kind}: leave it out')
    if kind == "steam" and "heating_min" not in entry:
        raise BadInput(
            f"canners.{number}: no heating time is printed for a steam canner: write heating_min of your own"
        )
    if kind != "steam" and "heating_min" in entry:
        raise BadInput(f"canners.{number}: heating_min is for a steam canner; it is printed for others: leave it out")
    return OwnCanner(
        entry["name"],
        kind,
        tuple(held),
        entry.get("burner"),
        entry.get("heating_min"),
        gauge.get("reads_high_by"),
        gauge.get("tested"),
    )


def _of_food(entry: Mapping[str, Any], at: str, canners: tuple[OwnCanner, ...]) -> OwnCanner:
    name = entry.get("canner")
    names = [canner.name for canner in canners]
    if name is None and len(canners) == 1:
        return canners[0]
    if name not in names:
        said = "is left out" if name is None else f"{question.shown(name)} is none of the day's"
        raise BadInput(f"{at}: canner {said}: name one of {wording.listed(names)}")
    return canners[names.index(name)]
