"""Equipment: what a kitchen lends to a canning day beside altitude and canner: jars held, the dial gauge, the weights.

What a question says wins. Each figure is held to the publication where it is taken, so that one that does not fit is
told with the name of the kitchen file.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from stillroom.answers import wording
from stillroom.answers.answer import Answer, Option
from stillroom.answers.kitchen import Kitchen, Taken
from stillroom.day import gauge, loads
from stillroom.errors import BadInput

if TYPE_CHECKING:
    from stillroom.answers.shelf import Shelf


def lent(
    said: Mapping[str, Any], answer: Answer, kitchen: Kitchen | None, on: datetime.date, shelf: Shelf
) -> tuple[dict[str, Any], tuple[Taken, ...]]:
    """Fill what a plan leaves out.

    Parameters
    ----------
    said : mapping
        ``holds``, ``option_minutes``, ``gauge_reads_high_by`` and ``gauge_tested`` as said; None: left out.
    answer : Answer
        The tested schedule.
    kitchen : Kitchen or None
    on : date
        Day of the canning.
    shelf : Shelf

    Returns
    -------
    dict, tuple of Taken
        What was said, filled; and what came from the kitchen.

    Raises
    ------
    BadInput
        A figure of the kitchen that a plan does not take: more jars than is printed, a gauge more than 2 psi off (page
        1-20), a gauge test after the day, or no weight of the pressure that is needed.
    """
    filled: dict[str, Any] = dict(said)
    taken: list[Taken] = []
    if kitchen is None:
        return filled, ()
    file = kitchen.file

    def take(argument: str, value: Any, key: str, text: str) -> None:
        filled[argument] = value
        taken.append(Taken(file, key, text))

    jars = kitchen.capacity(answer.canner, answer.jar)
    if jars is not None and filled["holds"] is None:
        with _of(kitchen):
            loads.capacity(jars, answer.jar, answer.canner, shelf)
        take("holds", jars, "holds", f"canner holds {jars} {shelf.jars[answer.jar].plural}")
    if answer.canner == "dial":
        if kitchen.reads_high_by is not None and filled["gauge_reads_high_by"] is None:
            off = _off(answer, kitchen, shelf)
            take("gauge_reads_high_by", kitchen.reads_high_by, "gauge.reads_high_by", gauge_said(off))
        if kitchen.tested is not None and filled["gauge_tested"] is None:
            with _of(kitchen):
                gauge.overdue(kitchen.tested, on, shelf)
            take("gauge_tested", kitchen.tested, "gauge.tested", f"gauge tested on {kitchen.tested}")
    if answer.canner == "weighted" and kitchen.weights:
        option = _within_weights(answer, filled["option_minutes"], kitchen)
        if option is not None:
            take("option_minutes", option.minutes, "weights", f"a weight of {option.pressure_psi} psi")
    return filled, tuple(taken)


def notes(answer: Answer, kitchen: Kitchen | None, on: datetime.date, shelf: Shelf) -> tuple[str, ...]:
    """Say beside an answer what a kitchen changes of it: what the dial must show, a test overdue, a weight not owned.

    A gauge that must be replaced is a note here and an error in a plan: the answer itself holds for any gauge.
    """
    if kitchen is None or answer.options[0].pressure_psi is None:
        return ()
    if answer.canner == "dial":
        return (*_dial(answer, kitchen, shelf), *_overdue(kitchen, on, shelf))
    if answer.canner == "weighted" and kitchen.weights:
        try:
            _within_weights(answer, None, kitchen)
        except BadInput as error:
            return (f"{error}.",)
    return ()


def notes_on_all(
    answers: Iterable[Answer], kitchen: Kitchen | None, on: datetime.date, shelf: Shelf
) -> tuple[str, ...]:
    """Say beside several answers what a kitchen changes of those for a dial gauge, in one note for all of them."""
    dial = [answer for answer in answers if answer.canner == "dial" and answer.options[0].pressure_psi is not None]
    if kitchen is None or not dial:
        return ()
    told = [_dial(answer, kitchen, shelf) for answer in dial]
    if len(set(told)) > 1 and kitchen.reads_high_by is not None:
        off = gauge.error_psi(kitchen.reads_high_by)
        page = shelf.rules.rule("gauge-adjust-limit").page
        more = "the printed pressure" if off <= 0 else f"{gauge.shown(off)} psi more than is printed"
        said = wording.capital(gauge_said(off))
        told = [(f"{said}: in each answer for it the dial must show at least {more} (page {page}).",)]
    return (*told[0], *_overdue(kitchen, on, shelf))


def _dial(answer: Answer, kitchen: Kitchen, shelf: Shelf) -> tuple[str, ...]:
    if kitchen.reads_high_by is None:
        return ()
    try:
        shows = [gauge.reading_for(option, kitchen.reads_high_by, shelf) for option in answer.options]
    except BadInput as error:
        return (f"{wording.capital(str(error))}.",)
    said = wording.capital(gauge_said(gauge.error_psi(kitchen.reads_high_by)))
    page = shelf.rules.rule("gauge-adjust-limit").page
    several = len(answer.options) > 1
    least = wording.listed(
        [
            f"{gauge.shown(psi)} psi" + (f" for {wording.units(option.minutes, 'minute')}" if several else "")
            for psi, option in zip(shows, answer.options, strict=True)
        ]
    )
    return (f"{said}: the dial must show at least {least} (page {page}).",)


def _overdue(kitchen: Kitchen, on: datetime.date, shelf: Shelf) -> tuple[str, ...]:
    found = None if kitchen.tested is None else gauge.overdue(kitchen.tested, on, shelf)
    return () if found is None else (str(found),)


def _off(answer: Answer, kitchen: Kitchen, shelf: Shelf) -> Fraction:
    with _of(kitchen):
        gauge.reading_for(answer.options[0], kitchen.reads_high_by, shelf)
    return gauge.error_psi(kitchen.reads_high_by)


def gauge_said(off: Fraction) -> str:
    """Say by how much a gauge is off: psi, positive where it reads high."""
    if off == 0:
        return "your gauge reads true"
    return f"your gauge reads {gauge.shown(abs(off))} psi {'high' if off > 0 else 'low'}"


def _within_weights(answer: Answer, minutes: Any, kitchen: Kitchen) -> Option | None:
    """Option that a weight is owned for: the one said, else the first printed; None where another was said."""
    said = None if minutes is None else str(minutes).strip()
    options = [option for option in answer.options if said in (None, str(option.minutes))]
    if not options:
        return None  # a plan refuses it in its own words
    for option in options:
        if option.pressure_psi in kitchen.weights_psi:
            return option
    needed = wording.listed([f"{option.pressure_psi} psi" for option in options])
    whose = f"{kitchen.file}: " if kitchen.file else ""
    raise BadInput(f"{whose}weights has none of {needed}, which this schedule needs: add it if you own one")


@contextmanager
def _of(kitchen: Kitchen) -> Iterator[None]:
    try:
        yield
    except BadInput as error:
        raise BadInput(f"{kitchen.file}: {error}" if kitchen.file else str(error)) from None
