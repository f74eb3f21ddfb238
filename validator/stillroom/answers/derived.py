"""Derived: the rule that carries boiling-water processes of acid foods to an atmospheric steam canner.

The 2015 guide does not recommend these canners (page 1-10); later work allows them for acid foods whose boiling-water
process, altitude included, is within a limit. The rule stands in shared/rules.csv with its own source, and no option it
gives passes for a figure of the guide.
"""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from stillroom.answers.answer import NoTestedSchedule, Option, Stated, Tested
from stillroom.answers.refusal import nearest

if TYPE_CHECKING:
    from stillroom.answers.charts import Combination
    from stillroom.answers.shelf import Shelf

TAKES = "boiling-water"
"""Canner whose rows are taken."""
MANUAL, SEPARATE = "steam-canner-manual", "pasteurization-allowed"
"""Statement that every answer for a steam canner carries, and the one of a treatment that needs a canner of water."""
_OF_THE_FOOD = ("withheld", "unknown-food", "method-unsafe")
"""Refusals that have nothing to do with the canner."""


def carried(
    shelf: Shelf, food: str, asked: Combination, boiled: tuple[Option, ...], altitude_ft: float
) -> tuple[Option, ...]:
    """Carry boiling-water options to the canner asked for.

    Parameters
    ----------
    shelf : Shelf
    food : str
        Food id.
    asked : Combination
        What was asked, with a canner that takes its processes by a rule.
    boiled : tuple of Option
        Boiling-water options at the altitude asked for.
    altitude_ft : float
        Altitude, feet; only to say what differs.

    Raises
    ------
    NoTestedSchedule
        Code ``canner-not-tested``: every process is longer than the rule allows, or is of another publication than the
        guide, for whose processes the rule was made.
    BadPackage
        The rule is missing, or has no number of minutes.
    """
    name = shelf.canners[asked.canner].by_rule
    rule, limit, cited = shelf.rules.rule(name), shelf.rules.whole(name), shelf.rules.cite(name)
    if not shelf.of_guide(food):
        raise NoTestedSchedule(
            "canner-not-tested",
            f"{shelf.foods[food].title}: the rule for steam canners was made for the processes of another publication.",
            cited,
            partial(nearest, shelf, food, asked._asdict(), altitude_ft),
        )
    short = tuple(option for option in boiled if option.minutes <= limit)
    if not short:
        raise NoTestedSchedule(
            "canner-not-tested",
            f"{shelf.foods[food].title}: {min(option.minutes for option in boiled)} minutes at this altitude; "
            f"a steam canner may take only boiling-water processes of {limit} minutes or less, altitude included.",
            cited,
            partial(nearest, shelf, food, asked._asdict(), altitude_ft),
        )
    said = f"{rule.statement}. Derived from {cited.author}, {cited.edition}; not part of the 2015 publication."
    manual = Stated(MANUAL, shelf.statement(MANUAL).text, None, None)
    return tuple(
        option._replace(
            by_rule=Stated(name, said if option.by_rule is None else f"{option.by_rule} {said}", None, None),
            cautions=(manual, *(caution for caution in option.cautions if caution.id != SEPARATE)),
        )
        for option in short
    )


def reworded(refusal: NoTestedSchedule, canner: str) -> NoTestedSchedule:
    """Say a refusal of the boiling-water process for somebody who asked for a canner that takes it by a rule."""
    told = "" if refusal.code in _OF_THE_FOOD else " A steam canner takes only boiling-water processes."
    return NoTestedSchedule(
        refusal.code, f"{refusal.reason}{told}", refusal.source, lambda: _of_canner(refusal.tested, canner)
    )


def _of_canner(near: tuple[Tested, ...], canner: str) -> tuple[Tested, ...]:
    """Say of what is tested nearest that it is not for the canner asked for either."""
    return tuple(
        tested._replace(
            differs=(
                f"canner: {tested.canner} instead of {canner}",
                *(said for said in tested.differs if not said.startswith("canner: ")),
            )
        )
        for tested in near
    )
