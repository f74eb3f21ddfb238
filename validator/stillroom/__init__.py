"""Stillroom: tested home-canning schedules, answered from published rows or refused.

>>> import stillroom
>>> answer = stillroom.find("snap beans", pack="raw", jar="quart", altitude="1650 ft", canner="dial")
>>> answer.options[0].minutes, answer.options[0].pressure_psi
(25, 11)
"""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from stillroom.answer import Answer, Citation, Option, Stated, Tested
from stillroom.errors import BadInput, BadPackage, NoTestedSchedule, StillroomError, UnknownFood
from stillroom.lookup import Lookup
from stillroom.package import Package
from stillroom.records import Food

if TYPE_CHECKING:
    from stillroom.comparison import Comparison
    from stillroom.finding import Report

__all__ = [
    "Answer",
    "BadInput",
    "BadPackage",
    "Citation",
    "Food",
    "NoTestedSchedule",
    "Option",
    "Stated",
    "StillroomError",
    "Tested",
    "UnknownFood",
    "check",
    "compare",
    "find",
    "foods",
]

__version__ = "0.1.0"


@lru_cache(maxsize=1)
def lookup() -> Lookup:
    """Open the lookup of the installed data, once."""
    return Lookup(Package())


def find(
    food: str,
    *,
    jar: str,
    altitude: object,
    canner: str,
    pack: str | None = None,
    form: str | None = None,
) -> Answer:
    """Find the tested schedule for one food, packed one way, in one jar, in one canner, at one altitude.

    Parameters
    ----------
    food : str
        Id, title or another usual name; case does not matter. A misspelling gets suggestions, never a guess.
    jar : str
        ``half-pint``, ``12-ounce``, ``pint``, ``pint-and-half``, ``quart`` or ``half-gallon``.
    altitude : str or pint quantity
        With its unit, like ``"1650 ft"`` or ``"503 m"``. Below sea level counts as the lowest band.
    canner : str
        ``boiling-water``, ``dial`` or ``weighted``.
    pack : str, optional
        ``hot`` or ``raw``; left out where the publication names no pack.
    form : str, optional
        Where the publication separates forms, like ``with-bones``.

    Returns
    -------
    Answer
        With at least one option: minutes, psi, headspace in inches, conditions, source and page.

    Raises
    ------
    BadInput
        The question cannot be understood.
    NoTestedSchedule
        Nobody has tested it, or the publication says not to do it.
    BadPackage
        The data are damaged or missing.
    """
    return lookup().find(food, jar=jar, altitude=altitude, canner=canner, pack=pack, form=form)


def foods(text: str | None = None, *, group: str | None = None) -> tuple[Food, ...]:
    """List the foods that have a tested schedule.

    Parameters
    ----------
    text : str, optional
        Words to look for in ids, titles and other names; names spelled nearly so if none has them. Best first.
    group : str, optional
        ``fruit``, ``tomatoes``, ``vegetables``, ``meats-seafood``, ``pickles`` or ``spreads``.

    Raises
    ------
    BadInput
        Empty words, or no such group.
    """
    return lookup().foods(text, group)


def check(path: str | None = None, against: str | None = None) -> Report:
    """Check a data package: its structure, its times and pressures, its sources, its two readings.

    Parameters
    ----------
    path : str, optional
        Folder that holds datapackage.json; the installed data by default.
    against : str, optional
        An older version: a git ref of the repository that holds the package, a folder, or a wheel or zip file. Each
        change that makes a schedule weaker is a finding, unless its source changes with it and CHANGELOG.md names it.

    Returns
    -------
    Report
        With ``.ok`` and ``.findings``.

    Raises
    ------
    BadInput
        No such folder, or no datapackage.json in it; no such version.
    BadPackage
        The older version is damaged.
    """
    from stillroom import checks
    from stillroom.checked import CheckedPackage
    from stillroom.package import home

    root = home() if path is None else path
    report = checks.report(CheckedPackage(root))
    if against is None:
        return report
    from stillroom import gate

    return report.joined(gate.findings(root, against), gate.NAME)


def compare(old: str, new: str | None = None) -> Comparison:
    """Compare two versions of the package, cell by cell.

    Parameters
    ----------
    old, new : str
        A folder, a wheel or zip file, or a git ref: of the repository that holds ``new``, where that is a folder, else
        of the one this folder stands in. ``new`` is the installed data by default.

    Returns
    -------
    Comparison
        With ``.changes``, each of a kind: weaker, added, withdrawn, stronger or wording.

    Raises
    ------
    BadInput
        No such version.
    BadPackage
        A version is damaged.
    """
    import os

    from stillroom.comparison import compare_versions
    from stillroom.package import home
    from stillroom.versions import open_version

    root = home() if new is None else new
    beside = root if os.path.isdir(root) else "."
    with open_version(old, beside) as before, open_version(root, beside) as after:
        return compare_versions(before, after)
