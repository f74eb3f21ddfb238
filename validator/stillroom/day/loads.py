"""Loads: how many jars go into the canner at a time, and in how many layers."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from stillroom.answers import question
from stillroom.answers.answer import Stated
from stillroom.answers.rulebook import Rulebook
from stillroom.errors import BadInput

if TYPE_CHECKING:
    from stillroom.answers.shelf import Shelf

MOST_JARS = 1_000
"""More in one day than a household canner can do: a slip of the pen (only guards against slips)."""
MOST_SMALL = 100
"""More jars smaller than a pint than any home canner holds: a slip of the pen (only guards against slips)."""


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
        No whole number; more than seven quarts or eighteen pints (page 1-17); or a jar size without a printed
        capacity and nothing said.
    """
    rules = shelf.rules
    plural = shelf.jars[jar].plural
    if holds is None:
        name = {"quart": "canner-capacity-quarts", "pint": "canner-capacity-pints"}.get(jar)
        if name is None:
            raise BadInput(f"no canner capacity is printed for {plural}: say how many yours holds with --holds")
        rule = rules.rule(name)
        return Capacity(int(rules.figures(name)[1]), rules.stated(name))
    number = question.count("holds", holds, 10**18)
    volume = {size: shelf.jars[size].volume_fl_oz for size in ("pint", "quart")}
    if shelf.jars[jar].volume_fl_oz >= volume["quart"]:
        limit = "canner-capacity-quarts"
    elif shelf.jars[jar].volume_fl_oz >= volume["pint"]:
        limit = "canner-capacity-pints-two-layers"
    else:
        return Capacity(question.count("holds", number, MOST_SMALL), None)
    rule = rules.rule(limit)
    if number > rules.figure(limit):
        said = f"{rule.statement[:1].lower()}{rule.statement[1:]}"
        raise BadInput(f"holds {number} {plural} is too many: {said} (page {rule.page}); plan more loads")
    return Capacity(number, None)


def split(jars: int, holds: int) -> tuple[int, ...]:
    """Split jars into full loads and, last, a part load."""
    full, rest = divmod(jars, holds)
    return (holds,) * full + ((rest,) if rest else ())


def layers(jars: int, jar: str, rules: Rulebook) -> int | None:
    """Count the layers of a load; None where nothing is printed for the jar size.

    Quarts and larger jars stand in one layer; pints in one up to nine and in two beyond (page 1-17).
    """
    if jar in ("quart", "half-gallon"):
        return 1
    if jar != "pint":
        return None
    return 1 if jars <= rules.figures("canner-capacity-pints")[1] else 2
