"""Leaflets: superseded processes with their altitude rules; read when an old figure is asked about.

Nothing is answered from them. Their records stand here and not beside the others, so that no question pays for them.
"""

import os
from collections.abc import Iterator
from functools import cached_property
from typing import Annotated, Any, NamedTuple, TypeVar

from stillroom.package.csv_table import read_table
from stillroom.package.tables import TABLES

Record = TypeVar("Record", bound=tuple[Any, ...])
Text = Annotated[str, "Text"]
Blank = Annotated[str, "Blank"]
HIGHEST_FT = 10_000
"""Height to which a rule that repeats is followed, feet: no leaflet prints one above it."""


class Printed(NamedTuple):
    """A process as a leaflet prints it (schema/superseded.json)."""

    source: Text
    caption: Text
    pack: Text
    container: Text
    method: Text
    minutes: int
    pressure_psi: int | None
    page: Text
    note: Blank


class Sent(NamedTuple):
    """Which food a caption was the process of (schema/superseded-foods.json)."""

    source: Text
    caption: Text
    pack: Blank
    food: Blank
    form: Blank
    withheld: Blank
    called: Blank
    page: Text

    @property
    def name(self) -> str:
        """What the leaflet calls the food."""
        return self.called or self.caption


class Raised(NamedTuple):
    """What a leaflet adds at an altitude (schema/superseded-altitudes.json)."""

    source: Text
    method: Text
    gauge: Blank
    altitude_ft: int
    repeats: Blank
    over_min: int
    up_to_min: int | None
    add_minutes: int | None
    pressure_psi: int | None
    add_psi: int | None
    page: Text


class Replaced(NamedTuple):
    """A leaflet, its year, and what took its place (schema/superseded-sources.json)."""

    source: Text
    year: int
    superseded_by: Text
    first_page: Text
    last_page: Text


class Process(NamedTuple):
    """A superseded process of one food.

    Attributes
    ----------
    printed : Printed
        As printed, before the altitude rule of its leaflet.
    sent : Sent
        How the leaflet names the food, and what the food is today.
    leaflet : Replaced
    """

    printed: Printed
    sent: Sent
    leaflet: Replaced


class Step(NamedTuple):
    """A superseded process from one altitude to the next.

    Attributes
    ----------
    minutes : int
        Process time, minutes.
    pressure_psi : int or None
        Psi; None: boiling water.
    from_ft : int
        Altitude from which it holds, feet; 0: as printed, without a rule.
    to_ft : int or None
        Altitude at which the next step begins, feet; None: no further one.
    page : str
        Page of the rule; blank where none is needed.
    """

    minutes: int
    pressure_psi: int | None
    from_ft: int
    to_ft: int | None
    page: str


class Leaflets:
    """The superseded tables of one package, each read when it is first asked for.

    Parameters
    ----------
    root : str
        Folder that holds schedules/.
    """

    def __init__(self, root: str) -> None:
        self._root = root

    @cached_property
    def replaced(self) -> dict[str, Replaced]:
        """Leaflets by source id."""
        return {row.source: row for row in self._read("superseded-sources", Replaced)}

    @cached_property
    def rules(self) -> tuple[Raised, ...]:
        """The altitude rules."""
        return self._read("superseded-altitudes", Raised)

    @cached_property
    def _sent(self) -> tuple[Sent, ...]:
        return self._read("superseded-foods", Sent)

    @cached_property
    def _printed(self) -> tuple[Printed, ...]:
        return self._read("superseded", Printed)

    def sent(self, name: str) -> tuple[Sent, ...]:
        """Captions that a food of today, or what is withheld today, was called by; oldest leaflet first."""
        found = [row for row in self._sent if name and name in (row.food, row.withheld)]
        return tuple(sorted(found, key=lambda row: self.replaced[row.source].year))

    def processes(self, name: str) -> tuple[Process, ...]:
        """Processes that were printed for a food of today, or for what is withheld today; oldest leaflet first.

        Parameters
        ----------
        name : str
            Id of foods.csv or of withheld.csv.
        """
        return tuple(
            Process(printed, sent, self.replaced[sent.source])
            for sent in self.sent(name)
            for printed in self._printed
            if (printed.source, printed.caption) == (sent.source, sent.caption) and sent.pack in ("", printed.pack)
        )

    def steps(self, printed: Printed, gauge: str = "") -> tuple[Step, ...]:
        """Follow the altitude rule of a leaflet from sea level upward.

        Parameters
        ----------
        printed : Printed
        gauge : str
            ``weighted`` for what is printed for a weight alone; else what is printed for every canner.
        """
        rules = [rule for rule in self.rules if rule.gauge == gauge and _is_for(rule, printed)]
        raised = sorted((height, rule, times) for rule in rules for height, times in _heights(rule))
        if not raised:
            return (Step(printed.minutes, printed.pressure_psi, 0, None, ""),) if not gauge else ()
        ends = [*(height for height, _, _ in raised[1:]), None]
        first = Step(printed.minutes, printed.pressure_psi, 0, raised[0][0], "")
        steps = (
            _raised(printed, rule, times, height, end) for (height, rule, times), end in zip(raised, ends, strict=True)
        )
        return (first, *steps)

    def _read(self, name: str, record: type[Record]) -> tuple[Record, ...]:
        shown = TABLES[name].file
        return read_table(os.path.join(self._root, *shown.split("/")), record, shown)


def _is_for(rule: Raised, printed: Printed) -> bool:
    within = rule.over_min < printed.minutes and (rule.up_to_min is None or printed.minutes <= rule.up_to_min)
    return within and (rule.source, rule.method) == (printed.source, printed.method)


def _heights(rule: Raised) -> Iterator[tuple[int, int]]:
    """Heights at which a rule sets in, feet, and how many times it is applied there."""
    last = HIGHEST_FT if rule.repeats else rule.altitude_ft
    yield from ((height, height // rule.altitude_ft) for height in range(rule.altitude_ft, last + 1, rule.altitude_ft))


def _raised(printed: Printed, rule: Raised, times: int, height: int, end: int | None) -> Step:
    minutes = printed.minutes + times * (rule.add_minutes or 0)
    psi = printed.pressure_psi if rule.pressure_psi is None else rule.pressure_psi
    return Step(minutes, None if psi is None else psi + times * (rule.add_psi or 0), height, end, rule.page)
