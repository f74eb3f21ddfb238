"""Asked: one plan from what was said of it and what a kitchen lends."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

from stillroom.answers import kitchen as kitchens
from stillroom.answers.answer import Answer
from stillroom.answers.kitchen import Kitchen
from stillroom.day import day, equipment
from stillroom.day.day import OwnTimes, Plan

if TYPE_CHECKING:
    from stillroom.answers.shelf import Shelf


def planned(
    question: Mapping[str, Any],
    figures: Mapping[str, Any],
    more: Mapping[str, Any],
    own: Kitchen | None,
    shelf: Shelf,
    ask: Callable[..., Answer],
    own_times: Callable[[str, str], OwnTimes] | None = None,
) -> Plan:
    """Ask for the tested schedule, fill what is left out from the kitchen, and plan.

    Parameters
    ----------
    question : mapping
        The arguments of :func:`stillroom.find`.
    figures : mapping
        ``holds``, ``option_minutes``, ``gauge_reads_high_by`` and ``gauge_tested``; None: left out.
    more : mapping
        The other arguments of :func:`stillroom.day.day.plan`, from ``jars`` to ``on``.
    own : Kitchen or None
    shelf : Shelf
    ask : callable
        Asks one whole question, like :func:`stillroom.find`.
    own_times : callable, optional
        Gives the owner's own times of a canner with jars of a size.

    Returns
    -------
    Plan
        Errors are those of :func:`stillroom.plan`.
    """
    answer, taken = kitchens.answered(question, own, shelf, ask)
    filled, lent = equipment.lent(figures, answer, own, day.canning_day(more.get("on")), shelf)
    times = None if own_times is None else own_times(answer.canner, answer.jar)
    return day.plan(answer, shelf, **filled, **more, taken=(*taken, *lent), own_clock=times)
