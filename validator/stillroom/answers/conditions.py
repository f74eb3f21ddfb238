"""Conditions: what must hold for a schedule, its cautions and its headspace, as sentences with their pages."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from stillroom.answers import wording
from stillroom.answers.altitude import further_minutes
from stillroom.answers.answer import AcidFor, HeadspaceFor, Stated
from stillroom.answers.charts import Combination
from stillroom.answers.shelf import Shelf
from stillroom.package.records import Acid, JarRule

ACID = "acid"
"""Id of the sentence that says how much acid, and for which jar."""
STERILE = ("sterile-jars", "hot-or-sterile-jars")
"""Statements that speak of sterile jars."""
STERILIZE = "sterilize-jars-boil"
"""Rule that gives the minutes."""
VENT = "vent-time"
"""Rule that gives the minutes of venting."""
_PER = {
    "jar": "",
    "recipe": " in the recipe",
    "gallon": " per gallon",
    "quart": " per quart",
    "cup": " per cup",
    "one-quart": " in a batch of 1 quart",
    "seven-quarts": " in a batch of 7 quarts",
    "six-pints": " in a batch of 6 pints",
    "seven-12-ounce": " in a batch of seven 12-ounce jars",
}
_WHERE = {"jar": "Acid in each {jar}", "batch": "Acid", "soak": "Acid bath"}


class Facts(NamedTuple):
    """What goes with a printed row: requirements, cautions, headspace in inches, and the acid as data."""

    requires: tuple[Stated, ...]
    cautions: tuple[Stated, ...]
    headspace: tuple[HeadspaceFor, ...]
    acid: tuple[AcidFor, ...]


def facts(shelf: Shelf, food: str, at: Combination, printed_jar: str, altitude_ft: float | None) -> Facts:
    """Collect what must hold, acid first; the cautions, the standing one last; and the headspace.

    Parameters
    ----------
    shelf : Shelf
    food : str
        The food asked for. Acid and headspace come from the food itself where it has any, else from the food whose
        schedule it takes; statements from both, but of that one only those that carry (not gloves, lime dust or the
        color of its flesh).
    at : Combination
        What was asked, ids.
    printed_jar : str
        Jar whose printed row is used; differs from ``at.jar`` where a jar rule applies.
    altitude_ft : float or None
        Altitude, feet: the time that sterilizes empty jars grows with it. None: said for any altitude.
    """
    owner = shelf.owner(food)
    stated = list(_statements(shelf, food, owner, at, printed_jar, altitude_ft))
    acid = _acid(shelf, food, at.jar, printed_jar) or _acid(shelf, owner, at.jar, printed_jar)
    return Facts(
        acid=acid,
        requires=(
            *(_acid_sentence(shelf, needed, at.jar) for needed in acid),
            *(sentence for kind, sentence in stated if kind == "must"),
        ),
        cautions=(*(sentence for kind, sentence in stated if kind != "must"), shelf.standing),
        headspace=_headspace(shelf, food, at, printed_jar) or _headspace(shelf, owner, at, printed_jar),
    )


def follows(shelf: Shelf, food: str) -> Stated | None:
    """Say whose process a food takes; None where it has its own."""
    relation = shelf.relations.get(food)
    if relation is None:
        return None
    text = f"Takes the process of {shelf.foods[relation.follows].title.lower()}."
    return Stated.worded("follows", text, shelf.cite(relation.page, relation.source))


def carried_by(shelf: Shelf, rule: JarRule) -> Stated:
    """Write the rule that carries a time to another jar."""
    return Stated.worded("jar-rule", wording.capital(rule.statement) + ".", shelf.cite(rule.page, rule.source))


def sterilizing(shelf: Shelf, altitude_ft: float | None) -> Stated:
    """Say how empty jars are sterilized, with the minutes for an altitude in feet; None: for any altitude.

    Raises
    ------
    BadPackage
        shared/rules.csv has no rule for it, or one without minutes.
    """
    rule, least = shelf.rules.rule(STERILIZE), shelf.rules.whole(STERILIZE)
    if altitude_ft is None:
        lasts = f"{least} minutes below 1,000 ft, 1 minute more for each further 1,000 ft"
    else:
        lasts = f"{least + further_minutes(altitude_ft)} minutes at this altitude"
    text = (
        "To sterilize washed jars: stand them on the canner rack, water 1 inch over them, "
        f"and boil {lasts}; take each out as you fill it."
    )
    return Stated(STERILIZE, text, shelf.cite(rule.page, rule.source), rule.page)


def venting(shelf: Shelf, which: str = "the canner") -> Stated:
    """Say how long a pressure canner is vented before its time begins."""
    text = f"Vent {which} {shelf.rules.whole(VENT)} minutes before pressurizing, then time from full pressure."
    return shelf.rules.worded(VENT, text)


def _headspace(shelf: Shelf, food: str, at: Combination, printed_jar: str) -> tuple[HeadspaceFor, ...]:
    return tuple(
        HeadspaceFor(row.headspace_in, row.variety, row.page)
        for row in shelf.package.headspace
        if row.food == food and row.pack in ("", at.pack) and row.jar in ("", printed_jar)
    )


def _acid(shelf: Shelf, food: str, jar: str, printed_jar: str) -> tuple[AcidFor, ...]:
    """Acid that the schedule of a food needs for a jar, the alternatives to each with it."""
    rows = [row for row in shelf.package.acid if row.food == food and row.use != "option"]
    at = jar if any(row.jar == jar for row in rows) else printed_jar
    groups: dict[tuple[str, str, str], list[AcidFor]] = {}
    for place, row in enumerate(rows):
        if row.jar in ("", at):
            groups.setdefault((row.jar, row.use, row.any_of or f"row {place}"), []).append(_of_row(shelf, row))
    return tuple(first._replace(alternatives=tuple(others)) for first, *others in groups.values())


def _of_row(shelf: Shelf, row: Acid) -> AcidFor:
    cited = shelf.cite(row.page, row.source)
    return AcidFor(row.acid, row.quantity, row.unit, row.per, row.jar or None, row.use, row.note, cited, row.page)


def _acid_sentence(shelf: Shelf, needed: AcidFor, jar: str) -> Stated:
    where = _WHERE[needed.use].format(jar=shelf.jars[needed.jar].title if needed.jar else "")
    text = f"{where}: {wording.listed([_said(each) for each in (needed, *needed.alternatives)])}"
    if needed.jar and needed.jar != jar:
        text += f"; no amount is printed for a {shelf.jars[jar].title}"
    return Stated(ACID, text + ".", needed.source, needed.page)


def _said(acid: AcidFor) -> str:
    note = f" ({acid.note})" if acid.note else ""
    return f"{wording.units(acid.quantity, acid.unit)} of {acid.acid}{_PER[acid.per]}{note}"


def _statements(
    shelf: Shelf, food: str, owner: str, at: Combination, printed_jar: str, altitude_ft: float | None
) -> Iterable[tuple[str, Stated]]:
    given = set()
    for row in shelf.package.conditions:
        if (
            row.food in (food, owner)
            and row.form in ("", at.form)
            and row.pack in ("", at.pack)
            and row.jar in ("", at.jar, printed_jar)
            and row.canner in ("", at.canner)
            and row.statement not in given
        ):
            entry = shelf.statements[row.statement]
            if row.food != food and entry.carries == "no":
                continue
            given.add(row.statement)
            yield entry.kind, Stated(entry.id, entry.text, shelf.cite(row.page, row.source), row.page)
            if row.statement in STERILE and shelf.of_guide(food):
                yield entry.kind, sterilizing(shelf, altitude_ft)
