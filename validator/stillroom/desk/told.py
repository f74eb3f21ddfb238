"""Told: what changed for people between two versions, in lines: answers of a food, and names by what they mean."""

from __future__ import annotations

from typing import NamedTuple

MADE, WEAKENED, TAKEN, STRENGTHENED = "made", "weakened", "taken away", "strengthened"
RETARGETED, RELEASED, NAMED = "retargeted", "no longer refused", "added"
UNNAMED, WITHHELD, OPENED = "withdrawn", "withheld now", "asked back now"
ANSWER_KINDS = (MADE, WEAKENED, TAKEN, STRENGTHENED)
NAME_KINDS = (RETARGETED, RELEASED, NAMED, UNNAMED, WITHHELD, OPENED)
GRAVE = frozenset((MADE, WEAKENED, RETARGETED, RELEASED, NAMED))
"""Kinds that need an entry in CHANGELOG.md; answers made or weakened need another source beside it."""


class Told(NamedTuple):
    """One line of what changed for people: the answers of one kind for one food, or some names of one kind.

    Attributes
    ----------
    kind : str
        Of answers ``made``, ``weakened``, ``taken away`` or ``strengthened``; of names as schema/comparison.json lists.
    about : str
        ``answers`` or ``names``.
    food : str
        Food id; of names the food or the withheld entry they now lead to, or did lead to.
    acidity : str
        Of the food; blank for what is withheld.
    number : int
        How many answers (one combination, one band and one option each) or names.
    example : str
        The first of the answers, before and now; all of the names.
    sources : frozenset of str
        What the new answers stand on: their rows, and the rules and the relation that carry these; of a name that is
        no longer refused also what it was refused with.
    needs_source : bool
        Whether another source must stand behind it: its times or pressures are new or lower, not its conditions alone.
        A name that leads elsewhere needs one where that is so of any answer that it gave before.
    """

    kind: str
    about: str
    food: str
    acidity: str
    number: int
    example: str
    sources: frozenset[str] = frozenset()
    needs_source: bool = False


class AnswersCompared(NamedTuple):
    """What changed for people between two versions.

    Attributes
    ----------
    told : tuple of Told
        The gravest first.
    missing : str
        Why a version could not be asked; blank where both were.
    """

    told: tuple[Told, ...]
    missing: str = ""

    def how_many(self, about: str, kind: str, acidity: str | None = None) -> int:
        """Count answers or names of one kind, of every food or of those of one acidity."""
        fitting = (one for one in self.told if (one.about, one.kind) == (about, kind))
        return sum(one.number for one in fitting if acidity in (None, one.acidity))


def summary(found: AnswersCompared) -> tuple[str, ...]:
    """Say in two lines how many answers and names changed, those of low-acid food by number."""
    if found.missing:
        return (f"Answers cannot be compared: {found.missing}",)
    lines = []
    for about, kinds in (("answers", ANSWER_KINDS), ("names", NAME_KINDS)):
        parts = []
        for kind in kinds:
            count, low = found.how_many(about, kind), found.how_many(about, kind, "low-acid")
            if count:
                parts.append(f"{count:,} {kind}" + (f" ({low:,} of low-acid food)" if low else ""))
        lines.append(f"{about.capitalize()}: {', '.join(parts) if parts else 'the same'}.")
    return tuple(lines)


def sentence(one: Told) -> str:
    """Say one line of what changed, as CHANGELOG.md needs it."""
    if one.about == "answers":
        what = "1 answer" if one.number == 1 else f"{one.number:,} answers"
        first = "" if one.number == 1 else ", first"
        return f"{one.food} ({one.acidity}): {what} {one.kind}{first}: {one.example}"
    what = "name" if one.number == 1 else f"{one.number} names"
    return f"{one.food}: {what} {one.kind}: {one.example}"
