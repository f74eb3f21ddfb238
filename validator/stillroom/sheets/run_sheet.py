"""Runsheet: a canner load on paper, as Markdown or HTML, with a log to fill in by hand.

Page one is for the stove and fits US letter and A4, in type that is read at arm's length; page two has the recipe, with
the acid of each jar, and what to look at before; what comes afterward follows. It is printed once for each canner load,
and fits the screen of a phone.
"""

from __future__ import annotations

import os
import re
from typing import Any, NamedTuple

from stillroom.answers import wording
from stillroom.answers.answer import Stated, minded
from stillroom.answers.rulebook import Rulebook
from stillroom.answers.shelf import Shelf
from stillroom.day import clock, gauge, handling, prepared
from stillroom.day.day import Load, Plan
from stillroom.errors import BadInput
from stillroom.recipes import recipe_notes
from stillroom.recipes.printed import Recipe
from stillroom.sheets import day_sheet, output, page, recipe_sheet

KINDS = {".md": "markdown", ".html": "html", ".htm": "html"}
"""Kinds of sheet, by the end of the file name."""
MARK = "Stillroom run sheet"
"""Stands in every run sheet."""
_OURS = re.compile(
    rf"<!DOCTYPE html>.*<title>{MARK}: |# [^\n]*\n\n[^\n]*\. {MARK}(, print once for each load)?\.".encode(), re.DOTALL
)
"""How a run sheet begins, by which one of ours is known again; no other file is overwritten."""
EVERY_MIN = 5
"""Most minutes between two lines of the log; fewer for a short process, whose readings may be half of it apart."""
TWICE = 11
"""Lines up to which the log is printed twice, the second for a start over."""
ROWS = 9
"""Lines in one column of a longer log."""
PAGE_LINES, LINE_LETTERS = 56, 100
"""Lines of page one on letter, the shorter page, and letters in a line; found by printing many sheets."""
MOST_LOADS = 4
"""Loads that get a line of their own on the page; beyond it the last lines are left out."""


class Check(NamedTuple):
    """Something to look at before the start. ``page`` None: common practice, no source."""

    text: str
    page: str | None


class OfDay(NamedTuple):
    """The load of a day that a sheet is for.

    Attributes
    ----------
    load : Load
        Its clock counts from the start of the day.
    number, of : int
        Its number on the day, and how many loads the day has.
    canner : str
        The owner's name of the canner, and its burner.
    date : str
        Day of the canning; blank where none was said.
    """

    load: Load
    number: int
    of: int
    canner: str
    date: str


def kind(path: str) -> str:
    """Tell the kind of sheet from a file name.

    Raises
    ------
    BadInput
        The name ends in neither .md nor .html.
    """
    found = KINDS.get(os.path.splitext(path)[1].lower())
    if found is None:
        raise BadInput(f'sheet "{path}" is neither Markdown nor HTML: let its name end in .md or .html')
    return found


def write(path: str, plan: Plan, shelf: Shelf, of_day: OfDay | None = None) -> None:
    """Write a run sheet to a file, whole or not at all; for one load where a day of several foods is planned.

    Raises
    ------
    BadInput
        See :func:`kind`; or a file of that name is no run sheet of ours, or it cannot be written.
    """
    made = markdown(plan, shelf, of_day) if kind(path) == "markdown" else html(plan, shelf, of_day)
    output.write(path, made.encode(), "sheet", lambda beginning: _OURS.match(beginning) is not None)


def html(plan: Plan, shelf: Shelf, of_day: OfDay | None = None) -> str:
    """Write a run sheet as one page of HTML."""
    return _filled("runsheet.html", plan, shelf, of_day)


def markdown(plan: Plan, shelf: Shelf, of_day: OfDay | None = None) -> str:
    """Write a run sheet as Markdown."""
    return re.sub(r"\n{3,}", "\n\n", _filled("runsheet.md", plan, shelf, of_day)).strip() + "\n"


def _filled(template: str, plan: Plan, shelf: Shelf, of_day: OfDay | None) -> str:
    try:
        import jinja2
    except ImportError:
        raise BadInput('a run sheet needs Jinja2: install it with pip install "stillroom[day]"') from None
    templates = jinja2.Environment(
        loader=jinja2.PackageLoader("stillroom.sheets", "templates"),
        autoescape=lambda name: name is not None and ".html" in name,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    templates.filters["md"] = page.markdown
    return templates.get_template(f"{template}.jinja").render(**contents(plan, shelf, of_day))


def contents(plan: Plan, shelf: Shelf, of_day: OfDay | None = None) -> dict[str, Any]:
    """Gather what the templates print."""
    rules = shelf.rules
    recipe = prepared.recipe_of(plan, shelf)
    load = plan.loads[0] if of_day is None else of_day.load
    practice = () if load.part else plan.practice
    checks, after = _checks(plan, rules), _after(plan, shelf, rules)
    checks_first, front = _front(plan, shelf, checks, after, of_day)
    return {
        "mark": MARK,
        "title": day_sheet.title(plan, shelf),
        "place": day_sheet.place(plan, shelf),
        "follows": plan.answer.follows,
        "requires": [str(stated) for stated in plan.option.requires],
        "numbers": _numbers(plan, rules),
        "timing": "" if plan.timing is None else str(plan.timing._replace(source=None)),
        "figures": day_sheet.figures(plan, shelf),
        "headspace": day_sheet.headspace(plan.option)[0],
        "loads": _loads(plan, shelf) if of_day is None else (),
        "loads_left_out": max(0, len(plan.loads) - MOST_LOADS),
        "load_count": len(plan.loads),
        "of_day": of_day,
        "of_day_jars": "" if of_day is None else day_sheet.jars_said(of_day.load.jars, plan.answer.jar, shelf),
        "planned": () if of_day is None else _planned(plan, of_day.load),
        "loads_said": day_sheet.loads_said(plan, shelf),
        "total": day_sheet.total_said(plan),
        "food": day_sheet.food_said(plan, shelf),
        "recipe_for": day_sheet.jars_said(recipe.jars_asked or plan.jars, plan.answer.jar, shelf) if recipe else "",
        "recipe": None if recipe is None else _card(recipe, shelf),
        "water": " ".join(str(stated) for stated in plan.water),
        "checks": checks,
        "checks_first": checks_first,
        "steps": [(step.text, str(step.lasts), step.page or "own", step.event) for step in plan.loads[0].steps],
        "log": _log(plan),
        "log_head": _log_head(plan),
        "no_source": "common practice, no source",
        "measure": _measure(plan),
        "front": after[:front],
        "after": after[front:],
        "mind": [str(stated) for stated in (*plan.cautions, *minded(plan.option))],
        "practice": [f"{row.statement}." for row in practice],
        "practice_standing": practice[0].standing if practice else "",
        "source": plan.option.source.cite(),
        "caution": shelf.standing.text,
    }


def _front(
    plan: Plan, shelf: Shelf, checks: list[Check], after: list[tuple[str, list[Stated]]], of_day: OfDay | None
) -> tuple[bool, int]:
    """Choose what page one has room for beside what must stand there: the checks, and how many of the rules."""

    def lines(*texts: object) -> int:
        return sum(-(-len(str(text)) // LINE_LETTERS) for text in texts)

    def rules(place: int) -> int:
        head, sentences = after[place]
        return lines(f"{head} {' '.join(map(str, sentences))}")

    requires = plan.option.requires
    said = [" ".join([*day_sheet.figures(plan, shelf), *day_sheet.headspace(plan.option), *map(str, plan.water)])]
    said += [] if of_day else [f"{day_sheet.loads_said(plan, shelf)} {day_sheet.total_said(plan)}"]
    used = (
        10.0
        + lines(*said, plan.answer.follows or "")
        + 1.3 * lines(f"{plan.timing.text if plan.timing else ''}{' ' * 20}")
    )
    used += (1.5 + lines(*requires)) if requires else 0
    used += 4 + 1.35 * len(plan.loads[0].steps) + 4.2 + 1.55 * len(_log(plan)[0]) + rules(0)
    more = 2 + 1.25 * (len(checks) + 3) / 2
    checks_first = used + more <= PAGE_LINES
    used += more if checks_first else 0
    return checks_first, 2 if used + rules(1) <= PAGE_LINES else 1


def _card(recipe: Recipe, shelf: Shelf) -> recipe_sheet.Card:
    """Give the parts of a recipe, without its loads of a canner of the printed size: those of the plan stand beside."""
    card = recipe_sheet.card(recipe, shelf)
    loads = set(recipe_notes.loads_said(shelf, recipe.jars_asked or 0, recipe.jar or ""))
    return card._replace(notes=tuple(note for note in card.notes if note not in loads))


def _planned(plan: Plan, load: Load) -> list[str]:
    """When each step of the load of a day is planned to begin, and the jars to come out."""
    return [clock.told_span(plan.start_min, at) for at in (*(step.begins for step in load.steps), load.ends)]


def _numbers(plan: Plan, rules: Rulebook) -> list[tuple[str, str]]:
    process = (f"{plan.option.minutes} min", f"process time, {plan.option.source.in_brackets}")
    if plan.option.pressure_psi is None:
        full = "steam" if plan.kind == "steam" else "full boil"
        return [process, (full, f"all the time, page {rules.rule('boil-restart-rule').page}")]
    vent = rules.rule("vent-time")
    pressure = (f"{plan.option.pressure_psi} psi", f"pressure, {plan.option.source.in_brackets}")
    if plan.dial_psi is not None and plan.dial_psi != plan.option.pressure_psi:
        pressure = (f"{gauge.shown(plan.dial_psi)} psi", "at least, on this dial")
    return [process, pressure, (f"{vent.value} min", f"venting first, page {vent.page}")]


def _measure(plan: Plan) -> str:
    if not plan.under_pressure:
        return "column full?" if plan.kind == "steam" else "boiling?"
    return "dial, psi" if plan.dial_psi is not None else "weight rocking?"


def _loads(plan: Plan, shelf: Shelf) -> list[tuple[str, str, str, str]]:
    shown = []
    for load in plan.loads[:MOST_LOADS]:
        layers = " in 2 layers" if load.layers == 2 else ""
        shown.append(
            (
                f"{load.number}",
                day_sheet.jars_said(load.jars, plan.answer.jar, shelf) + layers,
                clock.told_span(plan.start_min, load.begins),
                clock.told_span(plan.start_min, load.ends),
            )
        )
    return shown


def _every(plan: Plan) -> int:
    """Minutes between two lines of the log: what is typed in as it was filled must be close enough to be judged."""
    return min(EVERY_MIN, max(1, plan.option.minutes // 2))


def _minutes(plan: Plan) -> list[int]:
    return [*range(0, plan.option.minutes, _every(plan)), plan.option.minutes]


def _log(plan: Plan) -> list[list[str]]:
    """Lay out the minutes of the log, column by column; a short log twice, the second for a start over."""
    minutes = [str(minute) for minute in _minutes(plan)]
    if len(minutes) <= TWICE:
        return [minutes, minutes]
    rows = -(-len(minutes) // max(2, -(-len(minutes) // ROWS)))
    padded = minutes + [""] * (-len(minutes) % rows)
    return [padded[at : at + rows] for at in range(0, len(padded), rows)]


def _log_head(plan: Plan) -> str:
    stops = {"pressure": "dip", "boiling-water": "stop of the boiling", "steam": "stop of the steam"}[plan.kind]
    again = "in the right half" if len(_minutes(plan)) <= TWICE else "on a new sheet"
    return (
        f"Log of the process, every {wording.units(_every(plan), 'minute')}; after a {stops} begin again at 0, {again}"
    )


def _checks(plan: Plan, rules: Rulebook) -> list[Check]:
    washed = rules.rule("jars-washed").page
    jars = [
        Check(f"Jars: washed and hot (page {washed}), no nick in a rim", rules.rule("jar-surface").page),
        Check("Lids: new, not dented, gasket whole", rules.rule("lids-sound").page),
        Check("Bubbles out; rims wiped with a damp paper towel", rules.rule("air-bubbles").page),
        Check("Bands: as the maker of the lids says", rules.rule("bands-fitted").page),
    ]
    rack = Check("Rack: in place, jars upright on it", rules.rule("jars-upright").page)
    layers = [_thumb("Layers: a second rack between two layers", "racks-between-layers", rules)]
    if plan.kind == "steam" or not any(load.layers != 1 for load in plan.loads):
        layers = []
    bottom = Check("Canner: flat bottom on an electric range", rules.rule("canner-bottom").page)
    if not plan.under_pressure:
        return [*jars, *([bottom] if plan.kind == "boiling-water" else []), rack, *layers]
    return [
        *jars,
        rack,
        *layers,
        Check("Gasket: clean, not nicked or dried", rules.rule("gasket-care").page),
        _thumb("Vent: open, you can see through", "vent-clear", rules),
        Check("Plug: whole, not scratched", rules.rule("safety-fuse").page),
        _thumb("Lock: its piston moves freely", "vent-lock-moves", rules),
        _gauge_check(plan, rules),
    ]


def _gauge_check(plan: Plan, rules: Rulebook) -> Check:
    if plan.dial_psi is not None:
        return Check("Gauge: tested on ..................., off by ........ psi", rules.rule("gauge-check").page)
    weight = f"Weight: the one for {plan.option.pressure_psi} psi, rocking as its maker says"
    return Check(weight, rules.rule("steady-pressure").page)


def _thumb(text: str, name: str, rules: Rulebook) -> Check:
    """Make a check of a rule of thumb, which has to be there."""
    rules.practice(name)
    return Check(text, None)


_SHORT = {
    "boiling-water-top-up": "Pour in boiling water to keep the jars that deep under water.",
    "lost-liquid": "A jar that lost liquid: do not open it to add more.",
    "store-away-from-heat": "Away from heat, damp and sun.",
    "look-before-opening": "Lid tight and curved down, nothing leaked, no bubbles rising, no odd color.",
    "look-while-opening": "No spurting, no odd smell, no mold.",
    "jelly-mold": "Scraping mold off a spread does not make it harmless.",
    "taste-can-kill": "One taste of spoiled food can kill.",
    "suspect-food-boil": "If anything went otherwise than tested, boil it {} min in a saucepan before eating.",
    "suspect-is-poison": (
        "If it may have spoiled, treat it as poison: leave it shut, touch an open or leaking one only in gloves, "
        "and take the steps that stillroom plan prints."
    ),
}
"""Rules in the few words that a page has room for; a plan has them in full."""
_IN_PLAN = frozenset(("frozen-by-accident", "eat-unboiled"))
"""Rules that only the plan has room for."""


def _after(plan: Plan, shelf: Shelf, rules: Rulebook) -> list[tuple[str, list[Stated]]]:
    """Gather what to do in a dip and afterward, and with a jar in doubt."""
    food = shelf.foods[plan.answer.food]
    parts = [
        (head, [name for name in names if name not in _IN_PLAN]) for head, names in handling.afterward(food, plan.kind)
    ]
    if handling.toxin(food):
        parts[-1][1].append("suspect-is-poison")
    return [(head, [_sentence(name, plan, rules) for name in names]) for head, names in parts]


def _sentence(name: str, plan: Plan, rules: Rulebook) -> Stated:
    """Write a rule for paper: short, and without its publication, which the sheet names once."""
    altitude_ft = plan.answer.altitude_ft
    if name in _SHORT:
        return rules.worded(name, _SHORT[name].format(handling.figure(name, rules, altitude_ft)))
    return handling.sentence(name, rules, altitude_ft)._replace(source=None)
