"""Sheet: answers, refusals and lists as text for people, wrapped at 80 columns."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable

from stillroom import wording
from stillroom.answer import STANDING, Answer, Option, Tested
from stillroom.errors import NoTestedSchedule, UnknownFood
from stillroom.records import Food
from stillroom.shelf import Shelf

WIDTH = 80


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
        *_wrapped(", ".join([*what, shelf.jars[answer.jar].plural])),
        *(_wrapped(f'Asked for as "{answer.asked}"') if answer.asked else []),
        *_wrapped(f"{wording.capital(shelf.canners[answer.canner].title)}, {wording.height(answer.altitude_ft)}"),
        "",
    ]
    if answer.follows:
        lines += [*_wrapped(str(answer.follows)), ""]
    if first.requires:
        lines += ["Required for safety:"]
        lines += [line for stated in first.requires for line in _item(str(stated))] + [""]
    lines += [*_process(answer.options), *_not_recommended(first)]
    if first.by_rule:
        lines += _wrapped(f"By rule: {first.by_rule}")
    lines += _headspace(first)
    if first.pressure_psi is not None:
        lines += _vent(shelf)
    cautions = dict.fromkeys(stated for option in answer.options for stated in option.cautions)
    minded = [str(stated) for stated in cautions if stated.id != STANDING]
    if minded:
        lines += ["", "Also note:", *(line for text in minded for line in _item(text))]
    lines += ["", *_wrapped(f"Source: {first.source.cite()}."), *_wrapped(_standing(shelf))]
    return "\n".join(lines) + "\n"


def refusal_sheet(refusal: NoTestedSchedule, shelf: Shelf) -> str:
    """Write a refusal: why, who says so, and what comes near, with what differs."""
    lines = _wrapped(
        ("" if isinstance(refusal, UnknownFood) else "No tested schedule. ") + wording.capital(refusal.reason)
    )
    if isinstance(refusal, UnknownFood) and refusal.suggestions:
        lines += [f"  - {name}" for name in refusal.suggestions]
    if refusal.tested:
        lines += ["", "Tested nearest to it (not a substitute; what differs is named):"]
        lines += [line for tested in refusal.tested for line in _item(_near(tested, shelf))]
    if refusal.source:
        lines += ["", *_wrapped(f"Source: {refusal.source.cite()}.")]
    return "\n".join([*lines, *([] if refusal.source else [""]), *_wrapped(_standing(shelf))]) + "\n"


def foods_sheet(foods: Iterable[Food]) -> str:
    """List foods: id, acidity, page and title."""
    rows = [(food.id, food.acidity, food.page, food.title) for food in foods]
    wide = max((len(row[0]) for row in rows), default=0)
    return "".join(f"{name:<{wide}}  {acidity:<9}  {page:<5}  {title}\n" for name, acidity, page, title in rows)


def _process(options: tuple[Option, ...]) -> list[str]:
    said = [wording.process(option.minutes, option.pressure_psi) for option in options]
    band = wording.span(options[0].altitude_from_ft, options[0].altitude_to_ft)
    if len(said) == 1:
        return _wrapped(f"Process {said[0]} ({band}).")
    return [
        *_wrapped(f"Process one of these; the publication counts them as equal ({band}):"),
        *(line for one in said for line in _item(one)),
    ]


def _not_recommended(option: Option) -> list[str]:
    if not option.not_recommended:
        return []
    times = wording.listed([wording.units(minutes, "minute") for minutes in option.not_recommended], "and")
    band = wording.span(option.altitude_from_ft, option.altitude_to_ft)
    return _wrapped(f"Not recommended {band}: {times}. The table prints no pressure for it here (page {option.page}).")


def _headspace(option: Option) -> list[str]:
    if not option.headspace:
        return _wrapped("Headspace: none printed.")
    rows = dict.fromkeys((row.inches, row.variety, row.page) for row in option.headspace)
    said = [f"{wording.units(inches, 'inch')}" + (f" for {variety}" if variety else "") for inches, variety, _ in rows]
    return _wrapped(f"Headspace: {wording.listed(said, 'and')} (page {option.headspace[0].page}).")


def _vent(shelf: Shelf) -> list[str]:
    rule = shelf.rules.rule("vent-time")
    return _wrapped(
        f"Vent the canner {rule.value} minutes before pressurizing, then time from full pressure (page {rule.page})."
    )


def _near(tested: Tested, shelf: Shelf) -> str:
    words = [f"{tested.pack} pack" if tested.pack else "", tested.form or "", shelf.jars[tested.jar].plural]
    words.append(shelf.canners[tested.canner].title)
    return f"{', '.join(w for w in words if w)} (page {tested.page}); differs in {'; '.join(tested.differs)}"


def _standing(shelf: Shelf) -> str:
    return f"Caution: {shelf.standing.text}"


def _wrapped(text: str) -> list[str]:
    return textwrap.wrap(text, WIDTH, break_long_words=True, break_on_hyphens=False)


def _item(text: str) -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent="  - ", subsequent_indent="    ", break_on_hyphens=False)
