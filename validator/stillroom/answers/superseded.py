"""Superseded: a stated time or pressure that a superseded leaflet printed is recognized as such; never an answer.

The altitude rule of the leaflet is applied as the leaflet says it: to a band of heights belongs every step of the rule
that some height of it takes, and no figure between two steps.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from stillroom.answers import wording
from stillroom.answers.answer import Stated
from stillroom.answers.earlier import SUPERSEDED
from stillroom.answers.shelf import Shelf
from stillroom.package.leaflets import Process, Step
from stillroom.package.records import Schedule


class _Stated(NamedTuple):
    """What a foreign table states: where, how long, and at what pressure; None where it states none."""

    form: str
    pack: str
    jar: str
    canner: str
    from_ft: float
    to_ft: float | None
    minutes: float | None
    psi: float | None


class _Match(NamedTuple):
    """A leaflet's process that is what was stated, and the step of its altitude rule."""

    process: Process
    step: Step


def recognized(
    shelf: Shelf,
    food: str,
    form: str | None,
    pack: str | None,
    jar: str,
    canner: str,
    from_ft: float,
    to_ft: float | None,
    minutes: float | None,
    psi: float | None,
) -> Stated | None:
    """Recognize a stated process that a superseded leaflet printed for the same food, way, jar and canner.

    Parameters
    ----------
    shelf : Shelf
    food : str
        Id of foods.csv, or of withheld.csv.
    form, pack : str or None
        Ids; None or blank: not stated, and then every one is looked at.
    jar, canner : str
        Ids, like ``quart`` and ``dial``.
    from_ft, to_ft : float, float or None
        Band that is stated, feet; None: no upper limit.
    minutes : float or None
        Stated time, minutes; None: none is stated, and the pressure alone is compared.
    psi : float or None
        Stated pressure, psi; None: none is stated, and the time alone is compared.

    Returns
    -------
    Stated or None
        Which leaflet printed it, with its page, and what became of it since; None where none printed exactly that.
    """
    known = shelf.canners.get(canner)
    if known is None or known.by_rule or (minutes is None and psi is None):
        return None
    asked = _Stated(form or "", pack or "", jar, canner, from_ft, to_ft, minutes, psi)
    found = sorted(_matches(shelf, food, asked), key=lambda one: (one.step.from_ft, one.process.leaflet.year))
    return None if not found else _said(shelf, food, asked, found)


def since(shelf: Shelf, food: str, process: Process, step: Step, cells: Iterable[Schedule]) -> str:
    """Say what became of a process: ``its time was raised since``, ``withdrawn since`` and so on.

    Parameters
    ----------
    shelf : Shelf
    food : str
        Id of foods.csv, or of withheld.csv.
    process : Process
    step : Step
        What the leaflet gave there.
    cells : iterable of Schedule
        What is published for the same way there today.
    """
    if food not in shelf.foods:
        return "withdrawn since"
    today = list(cells)
    if not today:
        return "not published so any more"
    parts = {"time": _moved(step.minutes, {cell.minutes for cell in today})}
    if step.pressure_psi is not None:
        pressures = {cell.pressure_psi for cell in today if cell.pressure_psi is not None}
        parts["pressure"] = _moved(step.pressure_psi, pressures)
    moved = {what: how for what, how in parts.items() if how}
    if not moved:
        return "unchanged since"
    if len(set(moved.values())) == 1:
        verb = "was" if len(moved) == 1 else "were"
        return f"its {wording.listed(list(moved), 'and')} {verb} {next(iter(moved.values()))} since"
    return f"{wording.listed([f'its {what} was {how}' for what, how in moved.items()], 'and')} since"


def today(
    shelf: Shelf, food: str, process: Process, canner: str, from_ft: float, to_ft: float | None
) -> tuple[Schedule, ...]:
    """List what is published today for the way of a superseded process, in the bands that a span of heights touches.

    Parameters
    ----------
    shelf : Shelf
    food : str
        Id of foods.csv; nothing is published for any other.
    process : Process
    canner : str
        Id.
    from_ft, to_ft : float, float or None
        Heights, feet; None: no upper limit.
    """
    if food not in shelf.foods:
        return ()
    rule = shelf.jar_rule(food, process.printed.container)
    chart = shelf.chart_of(food)
    ways = [at for at in chart if at.canner == canner and at.form == process.sent.form]
    ways = [at for at in ways if at.pack in ("", process.printed.pack)]
    own = [at for at in ways if at.jar == process.printed.container]
    taken = own or [at for at in ways if rule is not None and at.jar == rule.takes]
    return tuple(
        cell
        for at in taken
        for band in chart[at]
        if (band.to_ft is None or from_ft <= band.to_ft) and (to_ft is None or band.from_ft <= to_ft)
        for cell in band.cells
    )


def _matches(shelf: Shelf, food: str, asked: _Stated) -> Iterator[_Match]:
    canner = shelf.canners[asked.canner]
    for process in shelf.package.leaflets.processes(food):
        printed = process.printed
        if (printed.method, printed.container) != (canner.method, asked.jar):
            continue
        if asked.pack not in ("", printed.pack) or (asked.form and process.sent.form not in ("", asked.form)):
            continue
        ladders = {"", canner.gauge}
        for step in (step for gauge in sorted(ladders) for step in shelf.package.leaflets.steps(printed, gauge)):
            if _touches(step, asked.from_ft, asked.to_ft) and _same(step, asked):
                yield _Match(process, step)


def _touches(step: Step, from_ft: float, to_ft: float | None) -> bool:
    """Whether some height of a span takes a step; one that only ends where the step begins does not."""
    below = step.to_ft is None or from_ft < step.to_ft
    return below and (step.from_ft <= from_ft or to_ft is None or step.from_ft < to_ft)


def _same(step: Step, asked: _Stated) -> bool:
    return asked.minutes in (None, step.minutes) and asked.psi in (None, step.pressure_psi)


def _said(shelf: Shelf, food: str, asked: _Stated, found: list[_Match]) -> Stated:
    first = found[0]
    alike = [one for one in found if one.step[:2] == first.step[:2] and one.step.from_ft == first.step.from_ft]
    years = sorted({one.process.leaflet.year for one in alike})
    cells = today(shelf, food, first.process, asked.canner, asked.from_ft, asked.to_ft)
    ruled = f" with its rule for {first.step.from_ft:,} ft" if first.step.from_ft else ""
    what = "" if asked.minutes is not None else "The pressure is "
    cited = shelf.cite(first.process.sent.page if not ruled else first.step.page, first.process.printed.source)
    cited = cited if ruled else cited._replace(page=first.process.printed.page)
    printed = (
        f"{what}{'as' if what else 'As'} {cited.author} printed it in {wording.listed(list(map(str, years)), 'and')}"
    )
    return Stated(
        SUPERSEDED, f"{printed}{ruled}; {since(shelf, food, first.process, first.step, cells)}.", cited, cited.page
    )


def _moved(then: int, now: set[int]) -> str:
    """Say where the figures of today stand to one of then; blank: there."""
    if now == {then}:
        return ""
    if min(now) >= then:
        return "raised"
    return "lowered" if max(now) <= then else "changed"
