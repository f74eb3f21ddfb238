"""Daysheet: a canning day as text for people, wrapped at 80 columns."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from stillroom.answers import kitchen, wording
from stillroom.answers.answer import Answer, Option, Stated, minded
from stillroom.answers.shelf import Shelf
from stillroom.day import clock, gauge
from stillroom.day.day import Load, Plan
from stillroom.recipes import buying
from stillroom.recipes.buying import PER_JARS, Purchase
from stillroom.recipes.fills import Fill, Filling
from stillroom.recipes.own_yield import Made
from stillroom.sheets import page, recipe_sheet

UNCOUNTED = "Preparing food and filling jars, also between loads, come on top: no time is printed."
"""What a plan leaves out."""
MOST_CLOCKS = 6
"""Loads that are each given a clock; of more, the first stands for all."""


def day_sheet(plan: Plan, shelf: Shelf) -> str:
    """Write a plan: what must hold first, then the figures, the loads, the food, the water and the clock."""
    lines = [*page.wrapped(title(plan, shelf)), *page.wrapped(place(plan, shelf))]
    if plan.taken:
        lines += page.wrapped(kitchen.sentence(plan.taken))
    if plan.answer.follows:
        lines += ["", *page.wrapped(str(plan.answer.follows))]
    lines += [*page.section("Required for safety:", map(str, plan.option.requires)), ""]
    for sentence in (*figures(plan, shelf), *headspace(plan.option)):
        lines += page.wrapped(sentence)
    if plan.timing is not None:
        lines += page.wrapped(str(plan.timing._replace(source=None)))
    lines += ["", *page.wrapped(loads_said(plan, shelf)), *_food(plan, shelf)]
    lines += page.wrapped(f"Water: {' '.join(str(stated) for stated in plan.water)}")
    lines += _section("Before you start:", plan.handling.before)
    lines += ["", *_clock(plan), "", *page.wrapped(f"{total_said(plan)} {UNCOUNTED}")]
    lines += page.section("Also note:", map(str, (*plan.cautions, *minded(plan.option))))
    lines += page.section("During and after:", (f"{head}: {_bare(said)}" for head, said in plan.handling.after))
    lines += _section("A jar that may have spoiled, step by step:", plan.handling.suspect)
    if plan.practice:
        compared = f"For comparison ({plan.practice[0].standing}):"
        lines += page.section(compared, (f"{row.statement}." for row in plan.practice))
    return page.text([*lines, *page.foot(plan.option.source, shelf.standing)])


def title(plan: Plan, shelf: Shelf) -> str:
    """Name the food, its form, the pack and the jars."""
    answer = plan.answer
    words = [answer.title, shelf.in_words("form", answer.form), shelf.in_words("pack", answer.pack)]
    said = jars_said(plan.jars, answer.jar, shelf)
    filled = plan.filling
    if filled is not None and filled.jars_from != filled.jars_to:
        said = f"{filled.jars_from} to {said}"
    return ", ".join([*filter(None, words), said])


def place(plan: Plan, shelf: Shelf) -> str:
    """Name the canner and the altitude."""
    canner = shelf.canners[plan.answer.canner]
    return f"{wording.capital(canner.title)}, {wording.height(plan.answer.altitude_ft)}"


def jars_said(number: int, jar: str, shelf: Shelf) -> str:
    """Write a number of jars: ``1 pint``, ``18 pints``."""
    size = shelf.jars[jar]
    return f"{number} {size.plural if number != 1 else size.title.removesuffix(' jar')}"


def figures(plan: Plan, shelf: Shelf) -> list[str]:
    """State the process, what the dial must show, and the equal options that were not taken."""
    option = plan.option
    band = wording.span(option.altitude_from_ft, option.altitude_to_ft)
    said = [f"Process {_option(option)} ({band}; {option.source.in_brackets})."]
    if plan.dial_psi is not None and plan.gauge_off_psi:
        off = f"{gauge.shown(abs(plan.gauge_off_psi))} psi {'high' if plan.gauge_off_psi > 0 else 'low'}"
        by = shelf.rules.rule("gauge-adjust-limit").page
        said.append(f"The dial must show at least {gauge.shown(plan.dial_psi)} psi: the gauge reads {off} (page {by}).")
    if option.by_rule:
        said.append(f"By rule: {option.by_rule}")
    if plan.others:
        others = wording.listed([_option(other) for other in plan.others])
        least = all(option.minutes <= other.minutes for other in plan.others)
        said.append(f"Equal to it and {'longer' if least else 'not taken'}: {others}; --option-minutes picks one.")
    return said


def headspace(option: Option) -> list[str]:
    """State the headspace, by variety where the publication tells them apart."""
    if not option.headspace:
        return ["Headspace: none printed."]
    rows = dict.fromkeys((row.inches, row.variety) for row in option.headspace)
    said = [f"{wording.units(inches, 'inch')}" + (f" for {variety}" if variety else "") for inches, variety in rows]
    return [f"Headspace: {wording.listed(said, 'and')} (page {option.headspace[0].page})."]


def loads_said(plan: Plan, shelf: Shelf) -> str:
    """Count the loads, full ones first, and their layers."""
    first, last = plan.loads[0], plan.loads[-1]
    number = len(plan.loads)
    if number == 1:
        said = f"1 load of {_load(first, plan, shelf)}"
    elif last.jars == first.jars:
        said = f"{number} loads of {_load(first, plan, shelf)} each"
    else:
        full = f"{number - 1} loads of {_load(first, plan, shelf)} each" if number > 2 else _load(first, plan, shelf)
        said = f"{number} loads: {full}, and last {_load(last, plan, shelf)}"
    by = "" if plan.capacity.by is None else f" (page {plan.capacity.by.page})"
    return f"Canner: {said}{by}."


def food_said(plan: Plan, shelf: Shelf) -> list[str]:
    """State the raw food, one line to each printed yield: what was said and fills the jars, or what to buy for them."""
    if plan.filling is not None:
        by = [_fill(fill, plan, shelf) for fill in plan.filling.by]
        return [
            *filling_said(plan, plan.filling, shelf),
            *(by if plan.made is None else [*by, *made_said(plan, plan.made, shelf)]),
        ]
    if plan.made is not None:
        return made_said(plan, plan.made, shelf)
    if not plan.purchases:
        plural = shelf.jars[plan.answer.jar].plural
        return [f"No yield is printed for {plural} of this food: see the recipe."]
    return [_purchase(bought, plan.answer, shelf) for bought in plan.purchases]


def made_said(plan: Plan, made: Made, shelf: Shelf) -> list[str]:
    """State the whole batches by the recipe's own yield, and what they are made of."""
    batches = made.batches
    jars = jars_said(batches.fills_to, plan.answer.jar, shelf)
    if batches.fills_from != batches.fills_to:
        jars = f"{batches.fills_from} to {jars}"
    many = f"{batches.times} batch{'' if batches.times == 1 else 'es'}"
    one = ", made one at a time" if batches.one_at_a_time and batches.times > 1 else ""
    about = "about " if batches.about else ""
    said = f"by the recipe's own yield {many}{one}: {about}{jars} (page {batches.page}"
    each = "each batch: " if batches.one_at_a_time and batches.times > 1 else ""
    volume = "; printed for another jar and carried over by volume" if batches.by_volume else ""
    lines = [
        f"{each}{recipe_sheet.measure(line.amount)} {line.name}" + (f" (1 batch: {line.note})" if line.note else "")
        for line in made.main
        if line.amount is not None
    ]
    return [f"{said}{volume})", *lines]


def filling_said(plan: Plan, filled: Filling, shelf: Shelf) -> list[str]:
    """State how many jars the raw food fills, and for how many the loads are planned."""
    much = wording.units(filled.number, filled.measure.removesuffix("s"))
    jars = _between(str(filled.jars_from), jars_said(filled.jars_to, plan.answer.jar, shelf))
    if filled.jars_from == filled.jars_to:
        jars = jars_said(filled.jars_to, plan.answer.jar, shelf)
    loads = wording.units(len(plan.loads), "load")
    return [f"{much} {'fills' if filled.number <= 1 else 'fill'} {jars} by what is printed; "
            f"planned for {filled.jars_to}, {loads}"]  # fmt: skip


def _fill(fill: Fill, plan: Plan, shelf: Shelf) -> str:
    jars = jars_said(fill.jars_to, plan.answer.jar, shelf)
    return (
        f"{jars if fill.jars_from == fill.jars_to else f'{fill.jars_from} to {jars}'}: {fill.printed}, page {fill.page}"
    )


def total_said(plan: Plan) -> str:
    """State how long the day takes, with the time of day where a start was said."""
    loads = "" if len(plan.loads) == 1 else f" for {len(plan.loads)} loads"
    said = f"Total{loads}: {clock.long(plan.lasts)} from heat on to jars out"
    if plan.start_min is not None:
        said += f", done at {clock.told_span(plan.start_min, plan.lasts)}"
    return f"{said}."


def _option(option: Option) -> str:
    return f"{option.minutes} minutes" + ("" if option.pressure_psi is None else f" at {option.pressure_psi} psi")


def _load(load: Load, plan: Plan, shelf: Shelf) -> str:
    in_layers = {None: "", 1: "", 2: " in two layers"}[load.layers]
    return jars_said(load.jars, plan.answer.jar, shelf) + in_layers


def _food(plan: Plan, shelf: Shelf) -> list[str]:
    said = food_said(plan, shelf)
    if plan.filling is not None:
        return ["Raw food:", *page.items(said)]
    if not plan.purchases and plan.made is None:
        return page.wrapped(f"To buy: {said[0][0].lower()}{said[0][1:]}")
    return ["To buy, raw:", *page.items(said)]


def _purchase(bought: Purchase, answer: Answer, shelf: Shelf) -> str:
    row = bought.printed
    pounds = _between(_kitchen(bought.pounds_from), _kitchen(bought.pounds_to))
    what = f"{buying.raw(row.food, row.variety, answer.title)}: " if row.variety else ""
    fills = _between(str(row.jars_from), str(row.jars_to))
    jars = shelf.jars[row.jar]
    named = jars.title.removesuffix(" jar") if fills == "1" else jars.plural
    printed = f"{buying.weighed(row, 'lb')} fill {fills} {named}, page {row.page}"
    if row.food != answer.food:
        printed += f", printed for {_small(shelf.foods[row.food].title)}"
    if row.basis in PER_JARS:
        return f"{what}{pounds} lb by the {'jar' if row.basis == 'average' else row.basis} ({printed})"
    number = _between(str(bought.containers_from), str(bought.containers_to))
    one = bought.containers_to == 1
    return f"{what}{number} {row.basis if one else f'{row.basis}s'} or {pounds} lb ({printed})"


def _small(title: str) -> str:
    return title[0].lower() + title[1:]


def _kitchen(pounds: float) -> str:
    return wording.amount(buying.up_to(Fraction(repr(pounds)), buying.QUARTERS))


def _between(low: str, high: str) -> str:
    return low if low == high else f"{low} to {high}"


def _clock(plan: Plan) -> list[str]:
    number = len(plan.loads)
    given = plan.loads if number <= MOST_CLOCKS else plan.loads[:1]
    lines = [line for load in given for line in (*_clock_of(load, plan), "")]
    return [*lines, f"Loads 2 to {number} follow, each with the same clock."] if len(given) < number else lines[:-1]


def _clock_of(load: Load, plan: Plan) -> list[str]:
    name = f"Load {load.number} of {len(plan.loads)}" if len(plan.loads) > 1 else "Clock"
    begins = "begins" if plan.start_min is not None else "begins after, h:min"
    return clock_rows(load, name, begins, plan.start_min)


def clock_rows(load: Load, name: str, begins: str, start_min: int | None) -> list[str]:
    """Set the clock of a load: a line for each step, under the heads of the columns."""
    lines = [_row(name, "lasts", begins, "page")]
    for step in load.steps:
        first, *more = page.column(step.text, 23)
        begins_at = clock.told_span(start_min, step.begins)
        lines.append(_row(f"  {first}", str(step.lasts), begins_at, step.page or "own"))
        lines += [f"    {rest}" for rest in more]
    return [*lines, _row("  Jars out", "", clock.told_span(start_min, load.ends), "")]


def _row(text: str, lasts: str, begins: str, page: str) -> str:
    return f"{text:<25}  {lasts:<12}  {begins:<33}  {page}".rstrip()


def _section(head: str, sentences: tuple[Stated, ...]) -> list[str]:
    return page.section(head, (_bare([said]) for said in sentences))


def _bare(sentences: Iterable[Stated]) -> str:
    """Write sentences without their publication, which the plan names once."""
    return " ".join(str(said._replace(source=None)) for said in sentences)
