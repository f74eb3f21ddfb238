"""Steam: the derived rule that carries boiling-water processes of acid foods to an atmospheric steam canner.

The 2015 guide does not recommend these canners (page 1-10); later work allows them for acid foods whose boiling-water
process, altitude included, is no longer than 45 minutes. The rule stands in shared/rules.csv with its own source, and
no option it gives passes for a figure of the guide.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from stillroom.answer import Option, Stated
from stillroom.errors import BadPackage, NoTestedSchedule

if TYPE_CHECKING:
    from stillroom.charts import Combination
    from stillroom.lookup import Lookup
    from stillroom.records import Rule

CANNER = "steam"
TAKES = "boiling-water"
"""Canner whose rows a steam canner takes."""
RULE = "steam-canner-derived"
MANUAL, SEPARATE = "steam-canner-manual", "pasteurization-allowed"
"""Statement that every answer for a steam canner carries, and the one of a treatment that needs a canner of water."""


def options(lookup: Lookup, food: str, asked: Combination, pack: str | None, altitude_ft: float) -> tuple[Option, ...]:
    """Find the options of a steam canner: those of boiling water that the rule carries over, or a refusal."""
    taken = asked._replace(canner=TAKES)
    try:
        boiled = lookup.options(food, taken, pack, altitude_ft)
    except NoTestedSchedule as error:
        raise reworded(error) from None
    return carried(lookup, food, taken, boiled, altitude_ft)


def carried(
    lookup: Lookup, food: str, asked: Combination, boiled: tuple[Option, ...], altitude_ft: float
) -> tuple[Option, ...]:
    """Carry boiling-water options to a steam canner.

    Parameters
    ----------
    lookup : Lookup
    food : str
        Food id.
    asked : Combination
        The boiling-water combination that is carried over.
    boiled : tuple of Option
        Boiling-water options at the altitude asked for.
    altitude_ft : float
        Altitude, feet; only to say what differs.

    Raises
    ------
    NoTestedSchedule
        Code ``canner-not-tested``: every process is longer than the rule allows.
    """
    rule, limit = _rule(lookup)
    short = tuple(option for option in boiled if option.minutes <= limit)
    if not short:
        from stillroom.refusal import nearest

        raise NoTestedSchedule(
            "canner-not-tested",
            f"{lookup.foods_by_id[food].title}: {min(option.minutes for option in boiled)} minutes at this altitude; "
            f"a steam canner may take only boiling-water processes of {limit} minutes or less, altitude included.",
            lookup.cite(rule.page, rule.source),
            nearest(lookup, food, asked._replace(canner=CANNER)._asdict(), altitude_ft),
        )
    cited = lookup.cite(rule.page, rule.source)
    said = f"{rule.statement}. Derived from {cited.author}, {cited.edition}; not part of the 2015 publication."
    texts = {entry.id: entry.text for entry in lookup.package.statements}
    manual = Stated(texts[MANUAL], None)
    return tuple(
        option._replace(
            by_rule=Stated(said if option.by_rule is None else f"{option.by_rule} {said}", None),
            cautions=(manual, *(caution for caution in option.cautions if caution.text != texts[SEPARATE])),
        )
        for option in short
    )


def reworded(refusal: NoTestedSchedule) -> NoTestedSchedule:
    """Say a refusal of the boiling-water process for somebody who asked for a steam canner."""
    if refusal.code in ("withheld", "unknown-food", "form-needed", "pack-needed", "method-unsafe"):
        reason = refusal.reason
    else:
        reason = f"{refusal.reason} A steam canner takes only boiling-water processes."
    return NoTestedSchedule(
        refusal.code,
        reason,
        refusal.source,
        tuple(
            tested._replace(
                differs=(
                    f"canner: {tested.canner} instead of {CANNER}",
                    *(said for said in tested.differs if not said.startswith("canner: ")),
                )
            )
            for tested in refusal.tested
        ),
    )


def _rule(lookup: Lookup) -> tuple[Rule, int]:
    rule = next((rule for rule in lookup.package.rules if rule.id == RULE), None)
    if rule is None or not rule.value.isdigit():
        raise BadPackage(f'shared/rules.csv has no rule "{RULE}" with a number of minutes')
    return rule, int(rule.value)
