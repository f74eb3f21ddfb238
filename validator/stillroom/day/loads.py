"""Loads: how many jars go into the canner at a time, and in how many layers."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from stillroom.answers import question
from stillroom.answers.answer import Stated
from stillroom.errors import BadInput

if TYPE_CHECKING:
    from stillroom.answers.shelf import Shelf

MOST_JARS = 1_000
"""More in one day than a household canner can do: a slip of the pen (only guards against slips)."""
MOST_UNPRINTED = 100
"""More jars than any home canner holds for which no page gives a limit: a slip of the pen (only guards against slips).
"""


class Capacity(NamedTuple):
    """Jars that one load holds.

    Attributes
    ----------
    jars : int
        How many.
    by : Stated or None
        The printed capacity it was taken from; None: as said.
    """

    jars: int
    by: Stated | None


def capacity(holds: object, jar: str, canner: str, shelf: Shelf) -> Capacity:
    """Find how many jars of one size a load holds.

    Parameters
    ----------
    holds : int, str or None
        As said; None: the printed capacity, where there is one.
    jar, canner : str
        Ids.
    shelf : Shelf

    Raises
    ------
    BadInput
        No whole number; more than seven quarts or eighteen pints in a pressure canner (page 1-17); or a jar size or a
        canner without a printed capacity and nothing said.
    """
    printed = _printed(jar, canner, shelf)
    if holds is None:
        if printed is None:
            of = "steam canners" if shelf.canners[canner].by_rule else shelf.jars[jar].plural
            raise BadInput(f"no canner capacity is printed for {of}: say how many yours holds with --holds")
        return Capacity(int(shelf.rules.figures(printed)[1]), shelf.rules.stated(printed))
    number = question.count("holds", holds, 10**18)
    limit = _limit(jar, canner, shelf)
    if limit is None:
        return Capacity(question.count("holds", number, MOST_UNPRINTED), None)
    rule = shelf.rules.rule(limit)
    if number > shelf.rules.figure(limit):
        said = f"{rule.statement[:1].lower()}{rule.statement[1:]}"
        plural = shelf.jars[jar].plural
        raise BadInput(f"holds {number} {plural} is too many: {said} (page {rule.page}); plan more loads")
    return Capacity(number, None)


def beyond_print(jars: int, jar: str, canner: str, shelf: Shelf) -> str | None:
    """Name the printed capacity that a canner of the owner's goes beyond; None where it does not, or none is printed.

    Only what is printed of large pressure canners is a limit; a boiling-water canner may be larger than most.
    """
    printed = _printed(jar, canner, shelf)
    return printed if printed is not None and jars > shelf.rules.figures(printed)[1] else None


def _printed(jar: str, canner: str, shelf: Shelf) -> str | None:
    """Rule that prints what most canners hold; none is printed for a steam canner."""
    if shelf.canners[canner].by_rule:
        return None
    return {"quart": "canner-capacity-quarts", "pint": "canner-capacity-pints"}.get(jar)


def _limit(jar: str, canner: str, shelf: Shelf) -> str | None:
    """Rule that prints what no pressure canner holds more of; None for smaller jars, and for canners without
    pressure."""
    if shelf.canners[canner].method != "pressure":
        return None
    volume = {size: shelf.jars[size].volume_fl_oz for size in ("pint", "quart")}
    if shelf.jars[jar].volume_fl_oz >= volume["quart"]:
        return "canner-capacity-quarts"
    return "canner-capacity-pints-two-layers" if shelf.jars[jar].volume_fl_oz >= volume["pint"] else None


def split(jars: int, holds: int) -> tuple[int, ...]:
    """Split jars into full loads and, last, a part load."""
    full, rest = divmod(jars, holds)
    return (holds,) * full + ((rest,) if rest else ())


def layers(jars: int, jar: str, canner: str, shelf: Shelf) -> int | None:
    """Count the layers of a load; None where nothing is printed for the jar size or for so many jars.

    Quarts and larger jars stand in one layer; pints in one up to nine and in two beyond (page 1-17). Of a steam canner
    nothing is printed.
    """
    beyond = beyond_print(jars, jar, canner, shelf) is not None
    if shelf.canners[canner].by_rule:
        return None
    if jar in ("quart", "half-gallon"):
        return None if beyond else 1
    if jar != "pint":
        return None
    return 2 if beyond else 1
