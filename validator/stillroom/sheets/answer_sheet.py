"""Sheet: answers, refusals and lists as text for people, wrapped at 80 columns."""

from __future__ import annotations

from collections.abc import Iterable

from stillroom.answers import wording
from stillroom.answers.answer import STANDING, Answer, NoTestedSchedule, Option, Tested, UnknownFood
from stillroom.answers.shelf import Shelf
from stillroom.package.records import Food
from stillroom.sheets import page


def answer_sheet(answer: Answer, shelf: Shelf) -> str:
    """Write an answer like an entry of a good bulletin: what must hold first, then the time, then the source."""
    forms = {(form.food, form.form): form.title for form in shelf.package.forms}
    first = answer.options[0]
    what = [answer.title]
    if answer.form:
        what.append(next(t for (_, form), t in forms.items() if form == answer.form))
    if answer.pack:
        what.append(f"{answer.pack} pack")
    lines = [
        *page.wrapped(", ".join([*what, shelf.jars[answer.jar].plural])),
        *(page.wrapped(f'Asked for as "{answer.asked}"') if answer.asked else []),
        *page.wrapped(f"{wording.capital(shelf.canners[answer.canner].title)}, {wording.height(answer.altitude_ft)}"),
    ]
    if answer.follows:
        lines += ["", *page.wrapped(str(answer.follows))]
    lines += page.section("Required for safety:", map(str, first.requires))
    lines += ["", *_process(answer.options), *_not_recommended(first)]
    if first.by_rule:
        lines += page.wrapped(f"By rule: {first.by_rule}")
    lines += _headspace(first)
    if first.pressure_psi is not None:
        lines += _vent(shelf)
    cautions = dict.fromkeys(stated for option in answer.options for stated in option.cautions)
    lines += page.section("Also note:", (str(stated) for stated in cautions if stated.id != STANDING))
    return page.text([*lines, *page.foot(first.source, shelf.standing)])


def refusal_sheet(refusal: NoTestedSchedule, shelf: Shelf) -> str:
    """Write a refusal: why, who says so, and what comes near, with what differs."""
    lines = page.wrapped(
        ("" if isinstance(refusal, UnknownFood) else "No tested schedule. ") + wording.capital(refusal.reason)
    )
    if isinstance(refusal, UnknownFood) and refusal.suggestions:
        lines += [f"  - {name}" for name in refusal.suggestions]
    near = "Tested nearest to it (not a substitute; what differs is named):"
    lines += page.section(near, (_near(tested, shelf) for tested in refusal.tested))
    return page.text([*lines, *page.foot(refusal.source, shelf.standing)])


def foods_sheet(foods: Iterable[Food]) -> str:
    """List foods: id, acidity, page and title."""
    rows = [(food.id, food.acidity, food.page, food.title) for food in foods]
    wide = max((len(row[0]) for row in rows), default=0)
    return "".join(f"{name:<{wide}}  {acidity:<9}  {page:<5}  {title}\n" for name, acidity, page, title in rows)


def _process(options: tuple[Option, ...]) -> list[str]:
    said = [wording.process(option.minutes, option.pressure_psi) for option in options]
    band = wording.span(options[0].altitude_from_ft, options[0].altitude_to_ft)
    if len(said) == 1:
        return page.wrapped(f"Process {said[0]} ({band}).")
    return [
        *page.wrapped(f"Process one of these; the publication counts them as equal ({band}):"),
        *page.items(said),
    ]


def _not_recommended(option: Option) -> list[str]:
    if not option.not_recommended:
        return []
    times = wording.listed([wording.units(minutes, "minute") for minutes in option.not_recommended], "and")
    band = wording.span(option.altitude_from_ft, option.altitude_to_ft)
    return page.wrapped(
        f"Not recommended {band}: {times}. The table prints no pressure for it here (page {option.page})."
    )


def _headspace(option: Option) -> list[str]:
    if not option.headspace:
        return page.wrapped("Headspace: none printed.")
    rows = dict.fromkeys((row.inches, row.variety, row.page) for row in option.headspace)
    said = [f"{wording.units(inches, 'inch')}" + (f" for {variety}" if variety else "") for inches, variety, _ in rows]
    return page.wrapped(f"Headspace: {wording.listed(said, 'and')} (page {option.headspace[0].page}).")


def _vent(shelf: Shelf) -> list[str]:
    rule = shelf.rules.rule("vent-time")
    return page.wrapped(
        f"Vent the canner {rule.value} minutes before pressurizing, then time from full pressure (page {rule.page})."
    )


def _near(tested: Tested, shelf: Shelf) -> str:
    words = [f"{tested.pack} pack" if tested.pack else "", tested.form or "", shelf.jars[tested.jar].plural]
    words.append(shelf.canners[tested.canner].title)
    return f"{', '.join(w for w in words if w)} (page {tested.page}); differs in {'; '.join(tested.differs)}"
