"""History: what superseded leaflets printed for a food beside what is published today; to be read, never used."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from stillroom.answers import superseded, wording
from stillroom.answers.answer import Stated
from stillroom.answers.earlier import SUPERSEDED
from stillroom.answers.shelf import Shelf
from stillroom.package.leaflets import Process, Step
from stillroom.package.records import Schedule

WARNING = "old-figures"
"""Id of the sentence that stands over every history."""


class OldCell(NamedTuple):
    """One figure of a leaflet, at one height, and what is published there today.

    Attributes
    ----------
    year : int
        Of the leaflet.
    called : str
        What the leaflet calls the food.
    form, pack, container : str
        Form id, blank where there is none; ``hot`` or ``raw``; a jar id, or a can.
    method : str
        ``boiling-water`` or ``pressure``.
    minutes : int
        Of the leaflet, with its altitude rule.
    pressure_psi : int or None
        Psi, with the altitude rule of the leaflet; None: boiling water.
    note : str
        What the leaflet ties the process to; blank: nothing more.
    source, page : str
        Source id and printed page.
    since : str
        What became of it, in words; blank for a can, in which nothing is tested today.
    today : tuple of TodayCell
        What is published today for the same form, pack and jar at that height; none where nothing is.
    """

    year: int
    called: str
    form: str
    pack: str
    container: str
    method: str
    minutes: int
    pressure_psi: int | None
    note: str
    source: str
    page: str
    since: str
    today: tuple[TodayCell, ...]


class TodayCell(NamedTuple):
    """A process of today.

    Attributes
    ----------
    canner : str
        Id.
    minutes : int
    pressure_psi : int or None
        Psi; None: boiling water.
    source, page : str
        Source id and printed page.
    """

    canner: str
    minutes: int
    pressure_psi: int | None
    source: str
    page: str


class History(NamedTuple):
    """What leaflets printed for a food, and what is published today.

    Attributes
    ----------
    food : str or None
        Food id; None where it is withheld today.
    withheld : str or None
        Id of what is withheld today; None for a food.
    title : str
    altitude_ft : float
        Height that both sides are told at, feet.
    cells : tuple of OldCell
        Oldest leaflet first; none where no leaflet had the food.
    rules : tuple of Stated
        Altitude rules of the leaflets.
    today : Stated or None
        Why it is refused today; None for a food.
    warning : Stated
        That the old figures are not to be used.
    """

    food: str | None
    withheld: str | None
    title: str
    altitude_ft: float
    cells: tuple[OldCell, ...]
    rules: tuple[Stated, ...]
    today: Stated | None
    warning: Stated


def of_food(shelf: Shelf, food: str, altitude_ft: float) -> History:
    """Collect the history of a food, at one height in feet."""
    return _history(shelf, food, shelf.foods[food].title, altitude_ft)._replace(food=food)


def of_withheld(shelf: Shelf, which: str, title: str, altitude_ft: float) -> History:
    """Collect the history of what is withheld today, by its id and title, at one height in feet."""
    refused = shelf.names.refused(which, shelf.cite)
    page = None if refused.source is None else refused.source.page
    today = Stated(which, refused.reason, refused.source, page)
    return _history(shelf, which, title, altitude_ft)._replace(withheld=which, today=today)


def _history(shelf: Shelf, name: str, title: str, altitude_ft: float) -> History:
    processes = shelf.package.leaflets.processes(name)
    cells = tuple(_cell(shelf, name, process, altitude_ft) for process in processes)
    guide = next((shelf.cite("", one.leaflet.superseded_by) for one in processes), None)
    replaced = (
        "" if guide is None else f" {guide.author} replaced them: its {guide.title} is of {_year(guide.edition)}."
    )
    warning = Stated(WARNING, f"Old figures, to be recognized: never can by them.{replaced}", None, None)
    return History(None, None, title, altitude_ft, cells, tuple(_rules(shelf, processes)), None, warning)


def _year(edition: str) -> str:
    return edition.split()[-1]


def _cell(shelf: Shelf, name: str, process: Process, altitude_ft: float) -> OldCell:
    printed, step = process.printed, _at(shelf.package.leaflets.steps(process.printed), altitude_ft)
    canners = [canner for canner in shelf.canners.values() if canner.method == printed.method and not canner.by_rule]
    found = {c.id: superseded.today(shelf, name, process, c.id, altitude_ft, altitude_ft) for c in canners}
    told = tuple(
        TodayCell(canner, cell.minutes, cell.pressure_psi, cell.source, cell.page)
        for canner, cells in found.items()
        for cell in cells
    )
    return OldCell(
        process.leaflet.year,
        process.sent.name,
        process.sent.form,
        printed.pack,
        printed.container,
        printed.method,
        step.minutes,
        step.pressure_psi,
        printed.note,
        printed.source,
        printed.page,
        _since(shelf, name, process, step, found),
        told,
    )


def _at(steps: Iterable[Step], altitude_ft: float) -> Step:
    return next(step for step in reversed(tuple(steps)) if step.from_ft <= max(altitude_ft, 0))


def _since(shelf: Shelf, name: str, process: Process, step: Step, found: dict[str, tuple[Schedule, ...]]) -> str:
    """Say what became of a process, canner by canner where the canners differ."""
    if name in shelf.foods and process.printed.container not in shelf.jars:
        return "no can is tested today"
    said = {
        canner: superseded.since(shelf, name, process, step, cells).removesuffix(" since")
        for canner, cells in found.items()
    }
    if len(set(said.values())) == 1:
        return next(iter(said.values()))
    return "; ".join(f"{canner}: {told}" for canner, told in said.items())


def _rules(shelf: Shelf, processes: Iterable[Process]) -> Iterator[Stated]:
    """Altitude rules of the leaflets for the methods of some processes, each in a sentence with its page."""
    wanted = dict.fromkeys((one.printed.source, one.printed.method, one.leaflet.year) for one in processes)
    for source, method, year in wanted:
        own = [rule for rule in shelf.package.leaflets.rules if (rule.source, rule.method) == (source, method)]
        for key in dict.fromkeys((rule.gauge, rule.over_min, rule.up_to_min, rule.page) for rule in own):
            rows = [rule for rule in own if (rule.gauge, rule.over_min, rule.up_to_min, rule.page) == key]
            steps = [
                f"{_added(rule.add_minutes, rule.pressure_psi, rule.add_psi)} at {rule.altitude_ft:,} ft"
                for rule in rows
            ]
            if rows[0].repeats:
                steps = [f"{steps[0]} and again at each {rows[0].altitude_ft:,} ft more"]
            gauge, over, up_to, page = key
            which = f" of {up_to} minutes or less" if up_to else f" of more than {over} minutes" if over else ""
            what = (
                f"a {gauge} gauge"
                if gauge
                else f"{'boiling water' if method == 'boiling-water' else 'pressure'}{which}"
            )
            text = f"{year}, {what}: {wording.listed(steps, 'and')}."
            yield Stated(SUPERSEDED, text, shelf.cite(page, source), page)


def _added(minutes: int | None, pressure_psi: int | None, add_psi: int | None) -> str:
    if minutes is not None:
        return f"{minutes} min more"
    return f"{pressure_psi} psi" if pressure_psi is not None else f"{add_psi} psi more"
