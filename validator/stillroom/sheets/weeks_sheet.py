"""Weeks sheet: the canning of several weeks, as text for people and as a plain document (schema/weeks-plan.json)."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from stillroom.answers import wording
from stillroom.answers.shelf import Shelf
from stillroom.day import clock
from stillroom.day.timetable import DayFood, Week
from stillroom.sheets import day_sheet, page, timetable_document, timetable_sheet
from stillroom.sheets.documents import Document

VERSION = "1.0"
"""Version of schema/weeks-plan.json. What a key means never changes within a whole number; keys may come."""
COUNTED = (
    "Hours of a week are those of canning all of it in one go, with your own minutes for preparation and turnaround; "
    "several days take more. Jars are the most that the raw food fills."
)
"""How the weeks were added up."""
FOR_EACH_DAY = (
    "This is an overview. What is required for safety, the clock and the run sheets are given for each day: write its "
    "foods into a record of its own, and plan it with stillroom plan."
)
"""What the weeks leave out."""


def weeks_sheet(weeks: Sequence[Week], shelf: Shelf) -> str:
    """Write the weeks: hours, loads, jars and lids of each, its foods, and all together."""
    lines: list[str] = []
    for week in weeks:
        hours, canners = clock.long(week.day.lasts), clock.long(week.at_canners)
        loads = wording.units(len(week.day.loads), "load")
        lines += page.wrapped(f"Week {week.name}: {hours}; {loads}, {canners} at the canners")
        jars, lids = _jars(week.jars, shelf), sum(week.jars.values())
        lines += page.item(f"{jars}; {wording.units(lids, 'new lid')} (page {shelf.rules.rule('lids-new').page})")
        lines += page.items(_food(food, shelf) for food in week.day.foods)
        lines += [""]
    total = _total(weeks)
    every = f"{_jars(total, shelf)}; {wording.units(sum(total.values()), 'new lid')}"
    lines += page.wrapped(f"All {wording.units(len(weeks), 'week')}: {every}.")
    lines += ["", *page.wrapped(f"How it is counted: {COUNTED}")]
    lines += page.wrapped(
        f"Before each: stillroom plan, with its date. How a week is planned: {timetable_sheet.GREEDY}"
    )
    return page.text([*lines, *page.foot(weeks[0].day.foods[0].plan.option.source, shelf.standing)])


def document(weeks: Iterable[Week]) -> Document:
    """Lay out the weeks for programs."""
    weeks = tuple(weeks)
    return {
        "kind": "weeks-plan",
        "version": VERSION,
        "weeks": [_week(week) for week in weeks],
        "jars": _total(weeks),
        "lids": sum(_total(weeks).values()),
    }


def _week(week: Week) -> Document:
    return {
        "week": week.name,
        "foods": [
            {
                "food": food.plan.answer.food,
                "title": food.plan.answer.title,
                "jar": food.plan.answer.jar,
                "jars_from": food.plan.jars if food.plan.filling is None else food.plan.filling.jars_from,
                "jars": food.plan.jars,
                "loads": len(food.plan.loads),
                "canner": food.canner,
            }
            for food in week.day.foods
        ],
        "loads": len(week.day.loads),
        "total_from_min": week.day.lasts.from_min,
        "total_to_min": week.day.lasts.to_min,
        "canner_from_min": week.at_canners.from_min,
        "canner_to_min": week.at_canners.to_min,
        "jars": week.jars,
        "lids": sum(week.jars.values()),
        "to_buy": [timetable_document.bought(line) for line in week.day.to_buy],
    }


def _total(weeks: Iterable[Week]) -> dict[str, int]:
    found: dict[str, int] = {}
    for week in weeks:
        for jar, number in week.jars.items():
            found[jar] = found.get(jar, 0) + number
    return found


def _jars(by_size: Mapping[str, int], shelf: Shelf) -> str:
    return wording.listed([day_sheet.jars_said(number, jar, shelf) for jar, number in by_size.items()], "and")


def _food(food: DayFood, shelf: Shelf) -> str:
    plan = food.plan
    process = wording.process(plan.option.minutes, plan.option.pressure_psi)
    loads = wording.units(len(plan.loads), "load")
    return (
        f"{day_sheet.title(plan, shelf)}: {loads}, canner {food.canner}; {process} ({plan.option.source.in_brackets})"
    )
