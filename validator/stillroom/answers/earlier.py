"""Earlier: what a refusal says of a superseded leaflet that gave a process; it forbids, and never gives a figure."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING

from stillroom.answers import wording
from stillroom.answers.answer import Citation, Stated

if TYPE_CHECKING:
    from stillroom.answers.charts import Combination
    from stillroom.package.leaflets import Process
    from stillroom.package.package import Package

SUPERSEDED = "superseded"
"""Id of every sentence about a superseded figure."""


def of_withheld(package: Package, which: str, cite: Callable[[str, str], Citation]) -> Stated | None:
    """Say that a leaflet gave a process for what is withheld today; None where none did.

    Parameters
    ----------
    package : Package
    which : str
        Id of withheld.csv.
    cite : callable
        Makes a citation from a page and a source id.
    """
    return _told(package, package.leaflets.processes(which), cite, "none")


def of_way(
    package: Package, food: str, asked: Combination, method: str, cite: Callable[[str, str], Citation]
) -> Stated | None:
    """Say that a leaflet gave a process for a way of packing that is untested today; None where none did.

    Parameters
    ----------
    package : Package
    food : str
        Food id.
    asked : Combination
        What was asked; form and pack blank where they were left out.
    method : str
        Of the canner: ``boiling-water`` or ``pressure``.
    cite : callable
        Makes a citation from a page and a source id.
    """
    printed = [
        one
        for one in package.leaflets.processes(food)
        if (one.printed.method, one.printed.container) == (method, asked.jar)
        and asked.pack in ("", one.printed.pack)
        and asked.form in ("", one.sent.form)
    ]
    return _told(package, printed, cite, "none for this")


def _told(
    package: Package, printed: Iterable[Process], cite: Callable[[str, str], Citation], has: str
) -> Stated | None:
    """Write the sentence: the prohibition first, so that nobody takes it for a permission."""
    every = list(printed)
    if not every:
        return None
    last = max(every, key=lambda one: one.leaflet.year)
    names = dict.fromkeys(f'"{one.sent.name}"' for one in every if one.leaflet == last.leaflet)
    guide = next(row for row in package.sources if row.id == last.leaflet.superseded_by)
    text = (
        f"Do not use an old process: the {guide.edition.split()[-1]} guide has {has}, though a {last.leaflet.year} "
        f"leaflet gave one for {wording.listed(list(names), 'and')}."
    )
    return Stated.worded(SUPERSEDED, text, cite(last.sent.page, last.sent.source))
