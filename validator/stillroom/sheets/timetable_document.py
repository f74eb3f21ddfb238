"""Timetable document: a canning day of several foods as a plain document for programs (schema/day-plan.json)."""

from __future__ import annotations

from stillroom.day import clock
from stillroom.day.clock import Span
from stillroom.day.shopping import ToBuy
from stillroom.day.timetable import DayFood, DayLoad, DayPlan
from stillroom.sheets import day_document
from stillroom.sheets.documents import Document
from stillroom.sheets.timetable_sheet import GREEDY

VERSION = "1.0"
"""Version of schema/day-plan.json. What a key means never changes within a whole number; keys may come."""


def document(day: DayPlan) -> Document:
    """Lay out a day. Minutes are counted from its start."""
    start = day.start_min
    return {
        "kind": "day-plan",
        "version": VERSION,
        "date": None if day.date is None else day.date.isoformat(),
        "start": None if start is None else clock.told(start),
        "total_from_min": day.lasts.from_min,
        "total_to_min": day.lasts.to_min,
        "done_from": None if start is None else clock.told(start + day.lasts.from_min),
        "done_to": None if start is None else clock.told(start + day.lasts.to_min),
        "after_midnight": day.after_midnight or None,
        "burners": day.burners,
        "turnaround_min": day.turnaround_min,
        "how": GREEDY,
        "canners": [
            {"name": one.name, "kind": one.kind, "holds": {held.jar: held.jars for held in one.holds},
             "burner": one.burner} for one in day.canners
        ],
        "foods": [_food(food) for food in day.foods],
        "loads": [_load(one) for one in day.loads],
        "to_buy": [bought(line) for line in day.to_buy],
    }  # fmt: skip


def _food(food: DayFood) -> Document:
    return {
        "canner": food.canner,
        "preparation_min": food.preparation_min,
        **_span("begins", food.begins),
        **_span("ready", food.ready),
        "plan": day_document.document(food.plan),
    }


def _load(one: DayLoad) -> Document:
    return {
        "number": one.number,
        "food": one.food,
        "canner": one.canner,
        "burner": one.burner,
        "load": day_document.load(one.load),
    }


def bought(line: ToBuy) -> Document:
    """Lay out one line of the list to buy."""
    none = {"low": None, "high": None, "unit": None}
    return {
        **line._asdict(),
        "choices": [
            {"name": one.name, **(none if one.amount is None else one.amount._asdict())} for one in line.choices
        ],
        "foods": list(line.foods),
        "pages": list(line.pages),
    }


def _span(name: str, span: Span) -> Document:
    return {f"{name}_from_min": span.from_min, f"{name}_to_min": span.to_min}
