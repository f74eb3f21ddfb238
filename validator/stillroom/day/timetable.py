"""Timetable: several foods, canners and burners on one clock.

Foods are taken in the order given, and each load begins as soon as its canner, a burner and its food are ready: no
order is tried but this one. Every moment is a range, the earliest where all goes fast and the latest where all goes
slowly; a canner and a burner do one load at a time at both ends of it, and at any pace between.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from stillroom.answers.answer import Answer, NoTestedSchedule
from stillroom.answers.kitchen import Kitchen
from stillroom.day import asked, clock, shopping
from stillroom.day.clock import Span
from stillroom.day.day import Load, Plan
from stillroom.day.day_record import DayRecord, OwnCanner, Wanted
from stillroom.day.shopping import ToBuy
from stillroom.errors import BadInput

if TYPE_CHECKING:
    from stillroom.answers.shelf import Shelf


@dataclass(frozen=True)
class DayFood:
    """One food of the day.

    Attributes
    ----------
    plan : Plan
        As if it were canned alone; its clocks begin at its own first heat on.
    canner : str
        Name of its canner.
    preparation_min : int
        The owner's own, minutes.
    begins, ready : Span
        Preparation begins and is done, minutes from the start of the day, earliest and latest.
    """

    plan: Plan
    canner: str
    preparation_min: int
    begins: Span
    ready: Span


@dataclass(frozen=True)
class DayLoad:
    """One canner load of the day.

    Attributes
    ----------
    number : int
        From 1, in the order in which loads begin.
    food : int
        Place of its food in ``DayPlan.foods``, from 0.
    canner : str
        Name.
    burner : int
        From 1.
    load : Load
        Its number among the loads of its food, its jars, and its clock, minutes from the start of the day.
    """

    number: int
    food: int
    canner: str
    burner: int
    load: Load


@dataclass(frozen=True)
class DayPlan:
    """A canning day of several foods.

    Attributes
    ----------
    date : date or None
        Day of the canning; None where none was said.
    start_min : int or None
        Minutes after midnight; None where no start was said.
    burners : int
        How many there are.
    turnaround_min : int
        The owner's own minutes between two loads of a canner.
    canners : tuple of OwnCanner
        As the record names them.
    foods : tuple of DayFood
        In the order given.
    loads : tuple of DayLoad
        In the order in which they begin.
    to_buy : tuple of ToBuy
        For all foods together.
    lasts : Span
        Minutes from the start of the day to the last jars out.
    """

    date: datetime.date | None
    start_min: int | None
    burners: int
    turnaround_min: int
    canners: tuple[OwnCanner, ...]
    foods: tuple[DayFood, ...]
    loads: tuple[DayLoad, ...]
    to_buy: tuple[ToBuy, ...]
    lasts: Span

    @property
    def after_midnight(self) -> str:
        """Whether the day ends after midnight: ``surely``, ``maybe`` or ``no``; blank where no start was said."""
        if self.start_min is None:
            return ""
        if self.start_min + self.lasts.from_min > clock.DAY:
            return "surely"
        return "maybe" if self.start_min + self.lasts.to_min > clock.DAY else "no"


@dataclass(frozen=True)
class Week:
    """A week of canning.

    Attributes
    ----------
    name : str
        As the record names it.
    day : DayPlan
        Its foods as if they were all canned in one go.
    """

    name: str
    day: DayPlan

    @property
    def jars(self) -> dict[str, int]:
        """Jars by size, by id; as many new lids."""
        found: dict[str, int] = {}
        for food in self.day.foods:
            jar = food.plan.answer.jar
            found[jar] = found.get(jar, 0) + food.plan.jars
        return found

    @property
    def at_canners(self) -> Span:
        """Minutes of all loads together, one after the other."""
        return clock.total(one.load.lasts for one in self.day.loads)


def plan(record: DayRecord, own: Kitchen | None, shelf: Shelf, ask: Callable[..., Answer]) -> DayPlan:
    """Plan a day; see :func:`stillroom.plan_day`."""
    plans = [_planned(wanted, number, record, own, shelf, ask) for number, wanted in enumerate(record.foods, 1)]
    foods, loads = _set(plans, record)
    return DayPlan(
        date=record.date,
        start_min=record.start_min,
        burners=record.burners,
        turnaround_min=record.turnaround_min,
        canners=record.canners,
        foods=foods,
        loads=loads,
        to_buy=shopping.list_for(plans, shelf),
        lasts=Span(max(one.load.ends.from_min for one in loads), max(one.load.ends.to_min for one in loads)),
    )


def _planned(
    wanted: Wanted, number: int, record: DayRecord, own: Kitchen | None, shelf: Shelf, ask: Callable[..., Answer]
) -> Plan:
    canner, said = wanted.canner, wanted.said
    question = {key: said[key] for key in ("food", "form", "pack", "jar")}
    try:
        jar = shelf.words.one("jar", said["jar"], shelf.cite)
        return asked.planned(
            {**question, "altitude": record.altitude, "canner": canner.kind},
            {
                "holds": next((held.jars for held in canner.holds if held.jar == jar), None),
                "option_minutes": wanted.minutes,
                "gauge_reads_high_by": canner.reads_high_by,
                "gauge_tested": canner.tested,
            },
            {
                **{key: said[key] for key in ("jars", "pounds", "bushels", "variety")},
                "on": record.date,
                "heating_min": canner.heating_min,
            },
            own,
            shelf,
            ask,
        )
    except NoTestedSchedule as error:
        error.add_note(f"It is {record.at}.{number} of {record.shown}.")
        raise
    except BadInput as error:
        raise BadInput(f"{record.shown}: {record.at}.{number}: {error}") from None


class _Free:
    """When hands, canners and burners are free, minutes from the start of the day."""

    def __init__(self, record: DayRecord) -> None:
        self.hands = Span(0, 0)
        self._turnaround = record.turnaround_min
        self._canners: dict[str, Span] = {}
        self._burners = dict.fromkeys(range(1, record.burners + 1), Span(0, 0))
        self._on: dict[str, int] = {}

    def ready(self, canner: OwnCanner) -> tuple[Span, int]:
        """When a canner can be heated, and on which burner: the first that is free, its last one if it makes none
        wait."""
        free = self._canners.get(canner.name, Span(0, 0))
        burners = self._burners if canner.burner is None else {canner.burner: self._burners[canner.burner]}
        found = {burner: _later(free, at) for burner, at in burners.items()}
        last = self._on.get(canner.name)
        burner = min(found, key=lambda one: (found[one].to_min, found[one].from_min, one != last, one))
        return found[burner], burner

    def taken(self, canner: OwnCanner, burner: int, ends: Span) -> None:
        """Note that a load is in a canner until it ends."""
        self._canners[canner.name] = ends.plus(Span(self._turnaround, self._turnaround))
        self._burners[burner] = ends
        self._on[canner.name] = burner


def _set(plans: list[Plan], record: DayRecord) -> tuple[tuple[DayFood, ...], tuple[DayLoad, ...]]:
    """Set every load on the clock, greedily, in the order given.

    One pair of hands prepares one food after the other, each no earlier than its canner may need it, so that filled
    jars do not wait.
    """
    free = _Free(record)
    foods, loads = [], []
    for place, (plan, wanted) in enumerate(zip(plans, record.foods, strict=True)):
        lasts = wanted.preparation_min
        needed, _ = free.ready(wanted.canner)
        begins = _later(free.hands, Span(max(0, needed.from_min - lasts), max(0, needed.to_min - lasts)))
        done = free.hands = begins.plus(Span(lasts, lasts))
        foods.append(DayFood(plan, wanted.canner.name, lasts, begins, done))
        for load in plan.loads:
            able, burner = free.ready(wanted.canner)
            moved = _begun(load, _later(able, done))
            free.taken(wanted.canner, burner, moved.ends)
            loads.append(DayLoad(0, place, wanted.canner.name, burner, moved))
    loads.sort(key=lambda one: (one.load.begins, one.food, one.load.number))
    return tuple(foods), tuple(replace(one, number=number) for number, one in enumerate(loads, 1))


def _later(one: Span, other: Span) -> Span:
    return Span(max(one.from_min, other.from_min), max(one.to_min, other.to_min))


def _begun(load: Load, at: Span) -> Load:
    """Let a load begin at another time."""
    begins, steps = at, []
    for step in load.steps:
        steps.append(replace(step, begins=at))
        at = at.plus(step.lasts)
    return replace(load, steps=tuple(steps), begins=begins, ends=at)
