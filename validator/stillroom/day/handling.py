"""Handling: the general rules for filling jars, for the jars afterward, and for a jar in doubt, in order of need."""

from __future__ import annotations

from typing import Literal, NamedTuple

from stillroom.answers.altitude import further_minutes
from stillroom.answers.answer import Answer, Stated
from stillroom.answers.rulebook import Rulebook
from stillroom.package.records import Food

Kind = Literal["pressure", "boiling-water", "steam"]
"""Kinds of canner, as far as the general rules differ."""
BEFORE = (
    "jars-washed",
    "jar-surface",
    "lids-new",
    "lids-sound",
    "lids-keep",
    "air-bubbles",
    "rims-clean",
    "bands-fitted",
)
"""Rules for filling and closing jars."""
DURING_BOILING = ("boil-restart-rule", "boiling-water-top-up")
DURING_STEAM = ("steam-restart",)
DURING_PRESSURE = ("restart-rule", "steady-pressure")
COOL_STEAM = ("cool-jars",)
COOL_BOILING = ("boiling-water-wait", "cool-jars")
COOL_PRESSURE = ("no-forced-cooling", "vent-lock", "wait-after-weight-off", "cool-jars")
SEALS = ("seal-tests", "lost-liquid")
UNSEALED = ("reprocess-within", "do-not-taste")
STORE = ("label-and-store", "store-below", "store-away-from-heat", "frozen-by-accident", "use-within")
OPENING = ("look-before-opening", "look-while-opening")
TOXIN = ("taste-can-kill", "suspect-food-boil")
"""Of low-acid and tomato food, when a jar is opened."""
SUSPECT = (
    "suspect-is-poison", "suspect-sealed", "detoxify-gloves", "detoxify-pot", "detoxify-water", "detoxify-boil",
    "bleach-solution", "bleach-first", "bleach-wipe", "bleach-again", "bleach-wash",
)  # fmt: skip
"""What is done with a suspect jar of low-acid or tomato food, step by step."""

_MEASURED = {
    "lids-keep": "Lids kept unused seal well for at least {} years after they were made.",
    "canner-bottom": "On an electric range: a flat bottom, at most {} inches wider than the element.",
    "wait-after-weight-off": "Weight off, then wait {} minutes before opening the lid; lift it away from the face.",
    "boiling-water-wait": "Heat off, lid off, then wait {} minutes before taking the jars out.",
    "cool-jars": (
        "Cool the jars undisturbed at room temperature for {} hours, at least 1 in apart; never retighten lids."
    ),
    "reprocess-within": (
        "Within {} hours: new lid and the same full time again; or freeze it with 1-1/2 inches of headspace; "
        "or keep it in the refrigerator and use it within several days."
    ),
    "store-below": "Never above {} F; 50 to 70 F keeps quality.",
    "use-within": "Use within {} year.",
    "suspect-food-boil": (
        "If anything may have departed from the tested process, boil the food in a saucepan {} minutes (at this "
        "altitude) before anybody eats it, even where nothing looks spoiled; this is no guarantee, and no rescue for "
        "food known to be under-processed."
    ),
    "detoxify-pot": "Lay jars and lids gently on their sides in a pot of {} quarts or more; wash your gloved hands.",
    "detoxify-water": "Add water without a splash until it stands at least {} inch over the containers.",
    "detoxify-boil": (
        "Put the lid on and boil {} minutes; cool, and throw away jars, lids and food in the trash or a landfill."
    ),
    "bleach-first": (
        "Spray or wet everything the food or liquid may have touched (counters, tools, can openers, clothes); "
        "wait {} minutes."
    ),
    "bleach-again": "Wet all of it with bleach solution a second time, wait {} minutes again, and rinse.",
}
"""Rules whose sentence in a plan holds their figure."""
_CARRIED = {
    "steam-restart": (
        "boil-restart-rule",
        "If the steam no longer fills the canner, bring it back and time the whole process again from zero, as in the "
        "boiling water whose process it takes.",
    )
}
"""Sentences for a steam canner that stand on a rule of the boiling-water process it takes."""


class Handling(NamedTuple):
    """General rules that go with one plan, each list in the order of need.

    Attributes
    ----------
    before : tuple of Stated
        For filling and closing the jars.
    after : tuple of (str, tuple of Stated)
        From a dip of the pressure to the opening of a jar, under heads.
    suspect : tuple of Stated
        For a suspect jar; empty for food that is neither low-acid nor made of tomatoes.
    """

    before: tuple[Stated, ...]
    after: tuple[tuple[str, tuple[Stated, ...]], ...]
    suspect: tuple[Stated, ...]


def handling(answer: Answer, food: Food, kind: Kind, rules: Rulebook) -> Handling:
    """Gather the general rules for one plan."""

    def said(names: tuple[str, ...]) -> tuple[Stated, ...]:
        return tuple(sentence(name, rules, answer.altitude_ft) for name in names)

    return Handling(
        before=said((*_before(food), *(("canner-bottom",) if kind == "boiling-water" else ()))),
        after=tuple((head, said(names)) for head, names in afterward(food, kind)),
        suspect=said(SUSPECT) if toxin(food) else (),
    )


_DURING: dict[Kind, tuple[str, tuple[str, ...]]] = {
    "pressure": ("If the pressure dips", DURING_PRESSURE),
    "boiling-water": ("If the boiling stops", DURING_BOILING),
    "steam": ("If the steam stops", DURING_STEAM),
}
_COOL: dict[Kind, tuple[str, ...]] = {"pressure": COOL_PRESSURE, "boiling-water": COOL_BOILING, "steam": COOL_STEAM}


def afterward(food: Food, kind: Kind) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Name the rules from a dip of the pressure to the opening of a jar, under heads."""
    return (
        _DURING[kind],
        ("Cool", _COOL[kind]),
        ("Test the seals", SEALS),
        ("A jar that did not seal", UNSEALED),
        ("Label and store", STORE),
        ("When a jar is opened", (*OPENING, *opened(food))),
    )


def toxin(food: Food) -> bool:
    """Tell whether the publication's words on low-acid and tomato food are meant for a food (pages i, iii, 1-27)."""
    return food.acidity == "low-acid" or food.group == "tomatoes"


def opened(food: Food) -> tuple[str, ...]:
    """Name the rules for eating a food from its jar, beside looking at it."""
    if toxin(food):
        return (*TOXIN, "eat-unboiled") if food.acidity == "low-acid" else TOXIN
    return ("jelly-mold",) if food.group == "spreads" else ()


def sentence(name: str, rules: Rulebook, altitude_ft: float) -> Stated:
    """Write a rule as a sentence that holds its figure, with its page.

    Parameters
    ----------
    name : str
        Rule id.
    rules : Rulebook
    altitude_ft : float
        Altitude, feet: boiling before eating takes longer higher up.
    """
    if name in _CARRIED:
        rule, text = _CARRIED[name]
        return rules.worded(rule, text, name)
    if name not in _MEASURED:
        return rules.stated(name)
    return rules.worded(name, _MEASURED[name].format(figure(name, rules, altitude_ft)))


def figure(name: str, rules: Rulebook, altitude_ft: float) -> str:
    """Write the figure of a rule: a range with "to", and boiling before eating for the altitude, feet."""
    if name == "suspect-food-boil":
        return str(int(rules.figure(name)) + further_minutes(altitude_ft))
    return rules.rule(name).value.replace("-", " to ")


def _before(food: Food) -> tuple[str, ...]:
    """Leave the air bubbles out for sweet spreads, which need none of it (page 1-15)."""
    return tuple(name for name in BEFORE if not (name == "air-bubbles" and food.group == "spreads"))
