"""Timetable sheet: a canning day of several foods as text for people, wrapped at 80 columns."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from stillroom.answers import kitchen, wording
from stillroom.answers.answer import Stated, minded
from stillroom.answers.shelf import Shelf
from stillroom.day import clock
from stillroom.day.clock import Span
from stillroom.day.shopping import Choice, ToBuy
from stillroom.day.timetable import DayFood, DayLoad, DayPlan
from stillroom.sheets import day_sheet, page, recipe_sheet

GREEDY = (
    "Foods are taken in the order given, and each load begins as soon as its canner, a burner and its food are ready; "
    "no other order is tried. One pair of hands prepares one food after the other, each just before its first load. "
    "Preparation and turnaround are your own minutes; of two times, the first is where all goes fast, the second where "
    "all goes slowly."
)
"""How the day was planned."""
_HEADS = {
    "produce": "Produce", "jars": "Jars", "lids": "Lids", "acid": "Acid", "vinegar": "Vinegar", "salt": "Salt",
    "sugar": "Sugar", "other": "Other",
}  # fmt: skip


def timetable_sheet(day: DayPlan, shelf: Shelf) -> str:
    """Write a day: what must hold first, then the foods, the order of the day, the list to buy and every clock."""
    lines = [*page.wrapped(title(day)), *page.wrapped(total_said(day))]
    for sentence in (*midnight_said(day), *uncounted(day), *_from_kitchen(day)):
        lines += page.wrapped(sentence)
    for food in day.foods:
        head = f"Required for safety, {food.plan.answer.title}:"
        lines += page.section(head, map(str, food.plan.option.requires))
    lines += ["", "Foods:"]
    for number, food in enumerate(day.foods, 1):
        lines += page.item(_food(food, shelf), f"{number:>3}. ")
    lines += ["", *_order(day, shelf), "", "To buy:"]
    for line in day.to_buy:
        lines += page.item(bought(line))
    lines += _shared("Before you start:", [food.plan.handling.before for food in day.foods])
    for one in day.loads:
        lines += ["", *_clock(one, day, shelf)]
    lines += page.section("Also note:", _notes(day))
    lines += page.section("During and after:", _after(day))
    lines += _shared("A jar that may have spoiled, step by step:", [food.plan.handling.suspect for food in day.foods])
    lines += ["", *page.wrapped(f"How it is planned: {GREEDY}")]
    sources = dict.fromkeys(food.plan.option.source._replace(page="") for food in day.foods)
    first, *others = [next(f.plan.option.source for f in day.foods if f.plan.option.source.id == one.id)
                      for one in {one.id: one for one in sources}.values()]  # fmt: skip
    return page.text([*lines, *page.foot(first, shelf.standing, others)])


def title(day: DayPlan) -> str:
    """Name the day: its date and altitude, loads and foods."""
    altitude = wording.height(day.foods[0].plan.answer.altitude_ft)
    words = ["Canning day", *([] if day.date is None else [day.date.isoformat()]), altitude]
    return ", ".join(words)


def total_said(day: DayPlan) -> str:
    """Say how many loads there are and how long the day takes."""
    said = [
        f"{wording.units(len(day.loads), 'load')} of {wording.units(len(day.foods), 'food')}",
        f"{wording.units(len(day.canners), 'canner')} on {wording.units(day.burners, 'burner')}",
        clock.long(day.lasts),
    ]
    done = "" if day.start_min is None else f", from {clock.told(day.start_min)}, done at {when(day, day.lasts)}"
    return f"{'; '.join(said)}{done}."


def midnight_said(day: DayPlan) -> tuple[str, ...]:
    """Say that the day ends after midnight, where it does or may."""
    if day.after_midnight in ("", "no"):
        return ()
    surely = day.after_midnight == "surely"
    said = "ends after midnight even where all goes fast" if surely else "may end after midnight"
    return (f"This day {said}: begin earlier, leave a food out, or take a second canner.",)


def uncounted(day: DayPlan) -> tuple[str, ...]:
    """Say what the day does not count, since no minutes of it were said."""
    unsaid = [name(food) for food in day.foods if not food.preparation_min]
    parts = [f"preparing {wording.listed(unsaid, 'and')}"] if unsaid else []
    parts += ["the turnaround between two loads"] if not day.turnaround_min and len(day.loads) > 1 else []
    return (f"Not counted, since no minutes of it were said: {wording.listed(parts, 'and')}.",) if parts else ()


def when(day: DayPlan, span: Span) -> str:
    """Tell a moment of the day: times of day, or hours and minutes where no start was said."""
    return clock.told_span(day.start_min, span)


def name(food: DayFood) -> str:
    """Name a food in few words: its title up to the first comma."""
    return food.plan.answer.title.partition(",")[0]


def bought(line: ToBuy) -> str:
    """Write one line of the list to buy."""
    said = wording.listed([_choice(one) for one in line.choices])
    pages = f"page {wording.listed(line.pages, 'and')}" if line.pages else ""
    about = "; ".join(filter(None, (line.note, pages)))
    whose = "" if line.kind in ("jars", "lids") else f", for {wording.listed(line.foods, 'and')}"
    return f"{_HEADS[line.kind]}: {said}{whose}" + (f" ({about})" if about else "")


def _choice(one: Choice) -> str:
    return one.name if one.amount is None else f"{recipe_sheet.measure(one.amount)} {one.name}"


def _food(food: DayFood, shelf: Shelf) -> str:
    plan = food.plan
    said = [day_sheet.title(plan, shelf), f"canner {food.canner}, {shelf.canners[plan.answer.canner].title}."]
    told = [*day_sheet.figures(plan, shelf), *day_sheet.headspace(plan.option), day_sheet.loads_said(plan, shelf)]
    if plan.filling is not None:
        told += [f"{sentence}." for sentence in day_sheet.filling_said(plan, plan.filling, shelf)]
    told += [] if plan.timing is None else [_bare(plan.timing)]
    told += [f"Water: {' '.join(_bare(stated) for stated in plan.water)}"]
    return f"{', '.join(said)} {' '.join(told)}"


def _order(day: DayPlan, shelf: Shelf) -> list[str]:
    """List what begins when: preparations, loads and jars out, in their order."""
    head = "Order of the day:" if day.start_min is not None else "Order of the day, h:min from the start:"
    happens: list[tuple[Span, int, str]] = []
    for food in day.foods:
        if food.preparation_min:
            happens.append((food.begins, 1, f"prepare {name(food)} ({food.preparation_min} min of your own)"))
    for one in day.loads:
        happens.append((one.load.begins, 2, f"heat on: {load_said(one, day, shelf)}"))
        happens.append((one.load.ends, 0, f"jars out: load {one.number}, canner {one.canner}"))
    lines = [head]
    for at, _, text in sorted(happens):
        lines += page.wrapped(text, f"  {when(day, at):<24}  ", " " * 28)
    return lines


def load_said(one: DayLoad, day: DayPlan, shelf: Shelf) -> str:
    """Name a load: its number, food, jars, canner and burner."""
    food = day.foods[one.food]
    jars = day_sheet.jars_said(one.load.jars, food.plan.answer.jar, shelf)
    of = f" ({one.load.number} of {len(food.plan.loads)})" if len(food.plan.loads) > 1 else ""
    return f"load {one.number}, {name(food)}{of}, {jars}, canner {one.canner}, burner {one.burner}"


def _clock(one: DayLoad, day: DayPlan, shelf: Shelf) -> list[str]:
    begins = "begins" if day.start_min is not None else "begins after, h:min"
    return [
        *page.wrapped(wording.capital(load_said(one, day, shelf))),
        *day_sheet.clock_rows(one.load, "", begins, day.start_min),
    ]


def _from_kitchen(day: DayPlan) -> Iterator[str]:
    taken = tuple(dict.fromkeys(one for food in day.foods for one in food.plan.taken))
    if taken:
        yield kitchen.sentence(taken)


def _notes(day: DayPlan) -> Iterator[str]:
    """Cautions, each with the foods it is of, unless it is of all."""
    of: dict[str, list[str]] = {}
    for food in day.foods:
        for stated in (*food.plan.cautions, *minded(food.plan.option)):
            of.setdefault(_bare(stated), []).append(name(food))
    for text, foods in of.items():
        every = len(dict.fromkeys(foods)) == len({name(food) for food in day.foods})
        yield text if every else f"{wording.listed(list(dict.fromkeys(foods)), 'and')}: {text}"


def _after(day: DayPlan) -> Iterator[str]:
    """General rules under their heads; where foods differ, each kind of canner and of food has its own."""
    heads: dict[str, dict[tuple[str, ...], list[str]]] = {}
    for food in day.foods:
        for head, sentences in food.plan.handling.after:
            heads.setdefault(head, {}).setdefault(tuple(map(_bare, sentences)), []).append(name(food))
    every = len({name(food) for food in day.foods})
    for head, ways in heads.items():
        for texts, foods in ways.items():
            of = list(dict.fromkeys(foods))
            yield f"{head}{'' if len(of) == every else ', ' + wording.listed(of, 'and')}: {' '.join(texts)}"


def _shared(head: str, lists: Iterable[Iterable[Stated]]) -> list[str]:
    return page.section(head, dict.fromkeys(_bare(stated) for sentences in lists for stated in sentences))


def _bare(stated: Stated) -> str:
    return str(stated._replace(source=None))
