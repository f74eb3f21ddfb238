"""Sheet: answers, refusals and lists as text for people, wrapped at 80 columns."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from stillroom.answers import wording
from stillroom.answers.answer import (
    STANDING,
    Answer,
    Citation,
    NoTestedSchedule,
    Option,
    SayWhich,
    Stated,
    Tested,
    Understood,
    UnknownFood,
)
from stillroom.answers.conditions import venting
from stillroom.answers.shelf import Shelf
from stillroom.package.records import Food
from stillroom.sheets import page


def answer_sheet(answer: Answer, shelf: Shelf, notes: Iterable[str] = ()) -> str:
    """Write an answer like an entry of a good bulletin: what must hold first, then the time, then the source.

    ``notes``: what the gauge and the weights of a kitchen change of it, as ``kitchen_sheet.notes`` gives them.
    """
    first, notes = answer.options[0], tuple(notes)
    lines = [
        *page.wrapped(", ".join(filled(answer, shelf))),
        *(page.wrapped(f'Asked for as "{answer.asked}"') if answer.asked else []),
        *page.wrapped(f"{wording.capital(shelf.canners[answer.canner].title)}, {wording.height(answer.altitude_ft)}"),
    ]
    lines += [line for understood in answer.understood for line in page.wrapped(str(understood))]
    if answer.follows:
        lines += ["", *page.wrapped(str(answer.follows))]
    lines += page.section("Required for safety:", map(str, first.requires))
    lines += ["", *_process(answer.options), *_not_recommended(first)]
    lines += [line for note in notes for line in page.wrapped(note)]
    if first.by_rule:
        lines += page.wrapped(f"By rule: {first.by_rule}")
    lines += _headspace(answer, shelf)
    if first.vent is not None:
        lines += page.wrapped(str(first.vent))
    cautions = dict.fromkeys(stated for option in answer.options for stated in option.cautions)
    lines += page.section("Also note:", (str(stated) for stated in cautions if stated.id != STANDING))
    guided = shelf.of_guide(answer.food)
    others = () if guided or not notes else (shelf.rules.cite("gauge-adjust-limit"),)
    return page.text([*lines, *page.foot(first.source, shelf.standing, others)])


def refusal_sheet(refusal: NoTestedSchedule, shelf: Shelf) -> str:
    """Write a refusal: why, who says so, and what comes near, with what differs."""
    lines = page.wrapped(
        ("" if isinstance(refusal, UnknownFood) else "No tested schedule. ") + wording.capital(refusal.reason)
    )
    lines += [line for note in getattr(refusal, "__notes__", ()) for line in page.wrapped(note)]
    if isinstance(refusal, UnknownFood) and refusal.suggestions:
        lines += [f"  - {name}" for name in refusal.suggestions]
    lines += page.wrapped(str(refusal.earlier)) if refusal.earlier else []
    near = "Tested nearest to it (not a substitute; what differs is named):"
    lines += page.section(near, (_near(tested, shelf) for tested in refusal.tested))
    return page.text([*lines, *page.foot(refusal.source, shelf.standing)])


def say_which_sheet(error: SayWhich, shelf: Shelf) -> str:
    """Write all answers to a question that leaves something open: what is the same once, then each meaning."""
    if not error.answers:
        lines = page.wrapped(f"Say which {error.what}: {error.reason}.")
        return page.text([*lines, *page.items(error.choices), *page.foot(None, shelf.standing)])
    first, shared = error.answers[0], _shared(error.answers)
    lines = page.wrapped(", ".join(_same_for_all(error, shelf)))
    lines += [line for understood in shared.understood for line in page.wrapped(str(understood))]
    lines += page.wrapped(f"Left open: the {error.what} ({wording.listed(error.choices)}). Every answer:")
    guided = all(shelf.of_guide(answer.food) for answer in error.answers)
    for told, group in _alike(error, shelf).items():
        lines += ["", *_in_short(told, group, shared, shelf, not guided)]
    lines += page.section("Of your kitchen:", getattr(error, "__notes__", ()))
    lines += page.section("Required for safety, whichever it is:", map(str, shared.requires))
    pressures = [option.pressure_psi for answer in error.answers for option in answer.options]
    if guided and any(psi is not None for psi in pressures):
        lines += ["", *vent(shelf, "the canner" if None not in pressures else "a pressure canner")]
    lines += page.section("Also note:", (str(stated) for stated in shared.cautions if stated.id != STANDING))
    untold = [choice for choice in error.choices if not _has_answer(choice, error, shelf)]
    lines += page.section("No tested schedule in this jar and canner, at this altitude:", untold)
    return page.text([*lines, *page.foot(first.options[0].source, shelf.standing, _others(error, shelf))])


def _others(error: SayWhich, shelf: Shelf) -> Iterable[Citation]:
    """Pages of the first answer of each further publication."""
    first: dict[str, Citation] = {}
    for answer in error.answers:
        first.setdefault(shelf.foods[answer.food].source, answer.options[0].source)
    return tuple(first.values())[1:]


def filled(answer: Answer, shelf: Shelf) -> list[str]:
    """Name what an answer puts into the jars: the food, its form, the pack and the jars."""
    return [told for what, told in _told(answer, shelf).items() if told and what != "canner"]


def _told(answer: Answer, shelf: Shelf) -> dict[str, str]:
    """What an answer is for, part by part, in words; the jars as several."""
    return {
        "food": answer.title,
        "form": shelf.in_words("form", answer.form),
        "pack": shelf.in_words("pack", answer.pack),
        "jar": shelf.jars[answer.jar].plural,
        "canner": shelf.in_words("canner", answer.canner),
    }


def _several(error: SayWhich) -> dict[str, bool]:
    """For each part of a question, whether its answers differ in it, or are asked about it."""
    return {
        what: what == error.what or len({getattr(answer, what) for answer in error.answers}) > 1
        for what in ("food", "form", "pack", "jar", "canner")
    }


def _same_for_all(error: SayWhich, shelf: Shelf) -> list[str]:
    """What is the same in every answer, in words."""
    first, several = error.answers[0], _several(error)
    same = [told for what, told in _told(first, shelf).items() if told and not several[what]]
    return [*map(wording.capital, same[:1]), *same[1:], wording.height(first.altitude_ft)]


class _Shared(NamedTuple):
    """What was understood for every answer, and what every answer requires and minds."""

    understood: tuple[Understood, ...]
    requires: tuple[Stated, ...]
    cautions: tuple[Stated, ...]


def _shared(answers: tuple[Answer, ...]) -> _Shared:
    options = [option for answer in answers for option in answer.options]
    return _Shared(
        tuple(said for said in answers[0].understood if all(said in answer.understood for answer in answers)),
        tuple(said for said in options[0].requires if all(said in option.requires for option in options)),
        tuple(said for said in options[0].cautions if all(said in option.cautions for option in options)),
    )


def _alike(error: SayWhich, shelf: Shelf) -> dict[str, Answer]:
    """Answers under what they are for; those that differ in their pack alone stand together."""
    several = _several(error)
    groups: dict[tuple[object, ...], list[Answer]] = {}
    for answer in error.answers:
        groups.setdefault((answer.food, answer.form, answer.jar, answer.canner, answer.options), []).append(answer)
    named = {}
    for first, *others in groups.values():
        packs = [answer.pack for answer in (first, *others) if answer.pack]
        told = {**_told(first, shelf), "pack": shelf.in_words("pack", wording.listed(packs))}
        named[wording.capital(", ".join(part for what, part in told.items() if part and several[what]))] = first
    return named


def _in_short(told: str, answer: Answer, shared: _Shared, shelf: Shelf, vents: bool) -> list[str]:
    """Set one answer of several: its processes, and what it alone requires and minds; ``vents``: how it is vented."""
    first = answer.options[0]
    said = wording.listed([wording.process(option.minutes, option.pressure_psi) for option in answer.options])
    band = wording.span(first.altitude_from_ft, first.altitude_to_ft)
    own = [str(understood) for understood in answer.understood if understood not in shared.understood]
    own += [str(answer.follows)] if answer.follows else []
    own += [" ".join(_not_recommended(first))] if first.not_recommended else []
    own += [f"By rule: {first.by_rule}"] if first.by_rule else []
    own += [f"Required: {stated}" for stated in first.requires if stated not in shared.requires]
    own += [" ".join(_headspace(answer, shelf))]
    own += [" ".join(vent(shelf))] if vents and first.pressure_psi is not None and shelf.of_guide(answer.food) else []
    minded = dict.fromkeys(stated for option in answer.options for stated in option.cautions)
    own += [str(stated) for stated in minded if stated not in shared.cautions and stated.id != STANDING]
    return [*page.wrapped(f"{told}: {said} ({band}; {first.source.in_brackets})."), *page.items(own)]


def _has_answer(choice: str, error: SayWhich, shelf: Shelf) -> bool:
    return choice in {shelf.in_words(error.what, getattr(answer, error.what)) for answer in error.answers}


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
        f"Not recommended {band}: {times}. The table prints no pressure for it here ({option.source.in_brackets})."
    )


def _headspace(answer: Answer, shelf: Shelf) -> list[str]:
    option = answer.options[0]
    if not option.headspace:
        return page.wrapped("Headspace: none printed.")
    rows = dict.fromkeys((row.inches, row.variety, row.page) for row in option.headspace)
    said = [f"{wording.units(inches, 'inch')}" + (f" for {variety}" if variety else "") for inches, variety, _ in rows]
    printed = shelf.named_page(answer.food, option.headspace[0].page)
    return page.wrapped(f"Headspace: {wording.listed(said, 'and')} ({printed}).")


def vent(shelf: Shelf, which: str = "the canner") -> list[str]:
    """Say how long a canner is vented."""
    return page.wrapped(str(venting(shelf, which)))


def _near(tested: Tested, shelf: Shelf) -> str:
    words = [f"{tested.pack} pack" if tested.pack else "", tested.form or "", shelf.jars[tested.jar].plural]
    words.append(shelf.canners[tested.canner].title)
    said = wording.listed([wording.process(*process) for process in tested.processes])
    times, printed = f": {said}" if said else "", shelf.cite(tested.page, tested.source).in_brackets
    return f"{', '.join(w for w in words if w)}{times} ({printed}); differs in {'; '.join(tested.differs)}"
