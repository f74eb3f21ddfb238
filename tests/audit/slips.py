"""Slips of the pen in handouts that were right, each with the verdict, the row and the cell that an audit must give.

What is expected is worked out from the table of answers (``published.grade``), not by what is tested.
"""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Iterator
from itertools import islice, zip_longest
from typing import NamedTuple

from tests.audit.corpus import dash, foot_mark, handouts
from tests.audit.handout import Cell, Handout, Place
from tests.audit.published import BOILING, WORSE, Band, Fact, Option, answers, grade, refused

BAD = frozenset({"weaker", "untested", "withheld", "missing", "unread"})


class Slip(NamedTuple):
    """A handout with one slip in it.

    ``verdicts`` holds those that its row may be given, ``text`` the cell as it now stands where the finding must be
    about it, ``hint`` whether the slip has a look of its own. A ``note`` may be told under what is to be read oneself,
    with a warning, in place of a finding.
    """

    kind: str
    handout: Handout
    place: Place
    verdicts: frozenset[str]
    text: str | None = None
    hint: bool = False
    note: bool = False


Slips = Iterator[Slip]
KINDS: dict[str, Callable[[Handout], Slips]] = {}


def kind(name: str) -> Callable[[Callable[[Handout], Slips]], Callable[[Handout], Slips]]:
    """Enter a kind of slip."""

    def enter(make: Callable[[Handout], Slips]) -> Callable[[Handout], Slips]:
        KINDS[name] = make
        return make

    return enter


def _worst(facts: tuple[Fact, ...]) -> str:
    return max((grade(one) for one in facts), key=WORSE.index)


def _again(cell: Cell, **changed: int) -> Cell | None:
    """The cell with other minutes or another pressure in its one process; None where they do not stand in it once."""
    old = cell.facts[0].option
    text = cell.text
    for name, value in changed.items():
        was = str(getattr(old, name))
        if text.count(was) != 1 or "k" in text or "hr" in text:
            return None
        text = text.replace(was, str(value))
    return Cell(text, cell.kind, tuple(f._replace(option=f.option._replace(**changed)) for f in cell.facts), cell.rows)


def _one(name: str, handout: Handout, place: Place, cell: Cell | None, hint: bool = False, only: str = "") -> Slips:
    if cell is None or cell.text == handout.at(place).text:
        return
    verdict = _worst(cell.facts)
    if verdict != "same" and only in ("", verdict):
        yield Slip(name, handout.put({place: cell}), place, frozenset({verdict}), cell.text, hint=hint)


def _values(handout: Handout, *kinds: str) -> Iterator[tuple[Place, Cell]]:
    for place in handout.places(*kinds):
        cell = handout.at(place)
        if cell.facts:
            yield place, cell


@kind("time lowered")
def _time_lowered(handout: Handout) -> Slips:
    for place, cell in _values(handout, "minutes", "process"):
        yield from _one(
            "time lowered", handout, place, _again(cell, minutes=cell.facts[0].option.minutes - 5), only="weaker"
        )


@kind("time raised")
def _time_raised(handout: Handout) -> Slips:
    for place, cell in _values(handout, "minutes", "process"):
        yield from _one(
            "time raised", handout, place, _again(cell, minutes=cell.facts[0].option.minutes + 5), only="stronger"
        )


@kind("two digits exchanged")
def _digits(handout: Handout) -> Slips:
    for place, cell in _values(handout, "minutes", "process"):
        minutes = cell.facts[0].option.minutes
        turned = int(str(minutes)[::-1])
        if 10 <= minutes < 100 and turned >= 10 and turned != minutes:
            yield from _one("two digits exchanged", handout, place, _again(cell, minutes=turned), hint=turned < minutes)


@kind("value of the next row")
def _next_row(handout: Handout) -> Slips:
    for place, cell in _values(handout, "minutes"):
        below = (place[0], place[1] + 1, place[2])
        if below[1] < len(handout.tables[place[0]].rows) and handout.at(below).kind == "minutes":
            other = handout.at(below).facts[0].option.minutes
            yield from _one("value of the next row", handout, place, _again(cell, minutes=other), only="weaker")


@kind("pressure lowered")
def _pressure_lowered(handout: Handout) -> Slips:
    for place, cell in _values(handout, "psi", "process"):
        if (psi := cell.facts[0].option.psi) and psi > 5:
            yield from _one("pressure lowered", handout, place, _again(cell, psi=psi - 1), only="weaker")


@kind("pressure of another band")
def _another_band(handout: Handout) -> Slips:
    for place, cell in _values(handout, "psi"):
        left = (place[0], place[1], place[2] - 1)
        if handout.at(left).kind == "psi" and (psi := handout.at(left).facts[0].option.psi):
            yield from _one("pressure of another band", handout, place, _again(cell, psi=psi), only="weaker")


@kind("a weight that does not exist")
def _no_such_weight(handout: Handout) -> Slips:
    for place, cell in _values(handout, "psi"):
        if cell.facts[0].key[4] == "weighted" and len(cell.facts) == 1 and cell.facts[0].option.psi == 10:
            yield from _one("a weight that does not exist", handout, place, _again(cell, psi=12), only="stronger")


@kind("shifted one column")
def _shifted(handout: Handout) -> Slips:
    for place in handout.places("minutes"):
        row = handout.tables[place[0]].rows[place[1]]
        run = [c for c in range(place[2], len(row)) if row[c].kind == "minutes"]
        left = row[place[2] - 1].kind
        if left == "minutes" or len(run) < 4 or len({row[c].facts[0].key for c in run}) > 1:
            continue
        changes, verdicts = dict[Place, Cell](), set[str]()
        for c in run[1:]:
            moved = _again(row[c], minutes=row[c - 1].facts[0].option.minutes)
            if moved is None:
                break
            changes[place[0], place[1], c] = moved
            verdicts.add(_worst(moved.facts))
        if len(changes) == len(run) - 1 and "weaker" in verdicts:
            yield Slip("shifted one column", handout.put(changes), place, frozenset({"weaker"}), hint=True)


def _swapped(handout: Handout, one: Place, other: Place) -> tuple[dict[Place, Cell], set[str]]:
    first, second = handout.at(one), handout.at(other)
    changes: dict[Place, Cell] = {}
    for place, cell, by in ((one, first, second), (other, second, first)):
        moved = _again(cell, minutes=by.facts[0].option.minutes)
        if moved is not None and moved.text != cell.text:
            changes[place] = moved
    return changes, {_worst(cell.facts) for cell in changes.values()}


@kind("pints and quarts exchanged")
def _pints_quarts(handout: Handout) -> Slips:
    for place, cell in _values(handout, "minutes"):
        right = (place[0], place[1], place[2] + 1)
        if place[2] + 1 >= len(handout.tables[place[0]].rows[place[1]]) or handout.at(right).kind != "minutes":
            continue
        if cell.facts[0].key[3] == "pint" and handout.at(right).facts[0].key[3] == "quart":
            changes, verdicts = _swapped(handout, place, right)
            if len(changes) == 2 and "weaker" in verdicts:
                yield Slip("pints and quarts exchanged", handout.put(changes), place, frozenset({"weaker"}), hint=True)


@kind("hot and raw exchanged")
def _hot_raw(handout: Handout) -> Slips:
    """The words of the pack stand in each other's rows."""
    for place in handout.places("pack"):
        below = (place[0], place[1] + 2, place[2])
        if below[1] >= len(handout.tables[place[0]].rows) or handout.at(below).kind != "pack":
            continue
        hot, raw = handout.at(place), handout.at(below)
        rows = [handout.tables[place[0]].rows[r] for r in (place[1], below[1])]
        facts = [[c.facts[0] for c in row if c.kind == "minutes"] for row in rows]
        if (
            hot.rows > 1
            or hot.text.lower() != "hot"
            or raw.text.lower() != "raw"
            or not facts[0]
            or rows[0][0].text != rows[1][0].text
        ):
            continue
        grades = [
            {grade(one._replace(key=(*one.key[:2], pack, *one.key[3:]))) for one in those}
            for those, pack in zip(facts, ("raw", "hot"), strict=True)
        ]
        if "weaker" in grades[0] and grades[1] <= {"same", "stronger"}:
            changed = {place: Cell(raw.text, "pack", (), hot.rows), below: Cell(hot.text, "pack", (), raw.rows)}
            yield Slip("hot and raw exchanged", handout.put(changed), place, frozenset({"weaker"}), hint=True)


@kind("dial and weighted exchanged")
def _gauges(handout: Handout) -> Slips:
    for place in handout.places("canner"):
        pressure = handout.beside(place, "psi")
        if pressure is None:
            continue
        fact = handout.at(pressure).facts[0]
        other = "weighted" if fact.key[4] == "dial" else "dial"
        verdict = grade(fact._replace(key=(*fact.key[:4], other)))
        words = {"weighted": "Weighted gauge", "dial": "Dial gauge"}[other]
        if verdict == "weaker":
            yield Slip(
                "dial and weighted exchanged", handout.put({place: Cell(words, "canner")}), place, frozenset({verdict})
            )


def _band(name: str, move: Callable[[Band], Band | None], allowed: tuple[str, ...]) -> Callable[[Handout], Slips]:
    def make(handout: Handout) -> Slips:
        for place in handout.places("band"):
            value = handout.beside(place, "minutes")
            assert value is not None
            fact = handout.at(value).facts[0]
            band = move(fact.band)
            label = next((say for say in (dash, foot_mark) if say(fact.band) == handout.at(place).text), None)
            if band is None or label is None:
                continue
            verdict = grade(fact._replace(band=band))
            if verdict in allowed:
                yield Slip(name, handout.put({place: Cell(label(band), "band")}), place, frozenset({verdict}))

    return make


KINDS["band widened beyond"] = _band("band widened beyond", lambda b: (b[0], 2 * b[1]) if b[1] else None, ("weaker",))
KINDS["edge of a band moved up"] = _band(
    "edge of a band moved up", lambda b: (b[0], b[1] + 500) if b[1] else None, ("weaker",)
)
KINDS["band without an end"] = _band(
    "band without an end", lambda b: (b[0], None) if b[1] == 8000 else None, ("untested",)
)


UNREADABLE = ("garbled", "question mark", "cell left empty")
"""What is not drawn in a first row, nor where no other value stands in a row: ``test_seeded`` has these by name."""


def _alone(handout: Handout, place: Place) -> bool:
    row = handout.tables[place[0]].rows[place[1]]
    return sum(cell.kind in ("minutes", "psi", "process", "options") for cell in row) < 2


def _text(name: str, kinds: tuple[str, ...], change: Callable[[Cell], str | None], verdicts: frozenset[str],
          cell_known: bool = True) -> Callable[[Handout], Slips]:  # fmt: skip
    def make(handout: Handout) -> Slips:
        for place in handout.places(*kinds):
            cell = handout.at(place)
            if name in UNREADABLE and (place[1] == handout.tables[place[0]].heads or _alone(handout, place)):
                continue
            if cell.rows == 1 and (text := change(cell)) is not None and text != cell.text:
                other = Cell(text, cell.kind, cell.facts)
                known = text if cell_known else None
                yield Slip(name, handout.put({place: other}), place, verdicts, known, note=cell.kind == "note")

    return make


def _only(verdict: str, *more: str) -> frozenset[str]:
    return frozenset({verdict, *more})


def _weak_acid(cell: Cell) -> str | None:
    halves = {"1 Tbsp": "1/2 Tbsp", "2 Tbsp": "1 Tbsp", "1/4 tsp": "1/8 tsp", "1/2 tsp": "1/4 tsp"}
    amount = " ".join(cell.text.split()[:2])
    return halves[amount] + cell.text[len(amount) :]


def _vinegar(cell: Cell) -> str | None:
    food, _, _, jar, _ = cell.facts[0].key
    return "2 Tbsp vinegar (5%)" if food.startswith("tomato") and jar == "quart" else None


KINDS["acid halved"] = _text("acid halved", ("acid",), _weak_acid, _only("weaker"))
KINDS["acid left out"] = _text("acid left out", ("acid",), lambda cell: "", _only("missing"))
KINDS["vinegar for lemon juice"] = _text("vinegar for lemon juice", ("acid",), _vinegar, _only("weaker"))
KINDS["headspace halved"] = _text(
    "headspace halved",
    ("headspace",),
    lambda cell: {"1 inch": "1/2 inch", "1/2 inch": "1/4 inch"}.get(cell.text),
    _only("weaker"),
)
KINDS["cell left empty"] = _text("cell left empty", ("minutes", "psi", "process"), lambda cell: "", _only("missing"))
KINDS["garbled"] = _text("garbled", ("minutes", "psi", "process"), lambda cell: "3S", _only("unread"))
KINDS["question mark"] = _text("question mark", ("minutes", "process"), lambda cell: "??", _only("unread", "missing"))
KINDS["hours in minutes"] = _text(
    "hours in minutes", ("minutes",),
    lambda cell: "1.25" if cell.text.isdigit() and int(cell.text) > 20 else None, _only("weaker", "unread"),
)  # fmt: skip
KINDS["unknown food"] = _text("unknown food", ("food",), lambda cell: "Zorbleberries", _only("unread"), False)
KINDS["withheld food"] = _text("withheld food", ("food",), lambda cell: "Pumpkin butter", _only("withheld"), False)
KINDS["another withheld food"] = _text(
    "another withheld food", ("food",), lambda cell: "Broccoli", _only("withheld"), False
)
KINDS["food without a process"] = _text(
    "food without a process", ("food",), lambda cell: "Artichokes", _only("untested"), False
)
KINDS["oven in a note"] = _text(
    "oven in a note", ("note",), lambda cell: "Process in oven 60 min", _only("withheld"), False
)
KINDS["open kettle in a note"] = _text(
    "open kettle in a note", ("note",), lambda cell: "Open kettle is fine", _only("withheld"), False
)
KINDS["an electric multicooker"] = _text(
    "an electric multicooker", ("canner",), lambda cell: "Electric multicooker", _only("withheld", "untested"), False
)
KINDS["pressures that disagree"] = _text(
    "pressures that disagree", ("psi",),
    lambda cell: re.sub(r"\(\d+ kPa\)", "(48 kPa)", cell.text) if "psi" in cell.text else None,
    _only("weaker", "unread"),
)  # fmt: skip


@kind("jar of half a gallon")
def _half_gallon(handout: Handout) -> Slips:
    for place in handout.places("jar"):
        facts = [cell.facts[0] for cell in handout.tables[place[0]].rows[place[1]] if cell.facts]
        key = (*facts[0].key[:3], "half-gallon", facts[0].key[4])
        if key not in answers() and handout.at(place).rows == 1:
            cell = Cell("half-gallon", "jar")
            yield Slip("jar of half a gallon", handout.put({place: cell}), place, _only("untested", "withheld"))


@kind("pack that nobody tested")
def _untested_pack(handout: Handout) -> Slips:
    for place in handout.places("pack"):
        facts = [cell.facts[0] for cell in handout.tables[place[0]].rows[place[1]] if cell.facts]
        raw = [(*one.key[:2], "raw", *one.key[3:]) for one in facts]
        if handout.at(place).rows == 1 and all(refused(key) == "pack-not-tested" for key in raw):
            yield Slip("pack that nobody tested", handout.put({place: Cell("raw", "pack")}), place, _only("untested"))


@kind("low-acid food in boiling water")
def _low_acid(handout: Handout) -> Slips:
    """A row of a low-acid food among the fruit."""
    if handout.places("acid"):
        return
    for place in handout.places("food"):
        facts = [fact for cell in handout.tables[place[0]].rows[place[1]] for fact in cell.facts]
        if facts and all(fact.key[4] == BOILING for fact in facts) and handout.at(place).rows == 1:
            for food in ("Carrots", "Asparagus", "Green beans"):
                changed = handout.put({place: Cell(food, "food")})
                yield Slip("low-acid food in boiling water", changed, place, _only("withheld"))


@kind("time of one option with the pressure of another")
def _mixed_options(handout: Handout) -> Slips:
    name = "time of one option with the pressure of another"
    for place, cell in _values(handout, "options"):
        (more, less), (quick, high) = (fact.option for fact in cell.facts[:2])
        text = f"{quick} min at {less} psi"
        verdict = grade(cell.facts[0]._replace(option=Option(quick, less)))
        if verdict == "weaker" and (more, high) != (quick, less):
            yield Slip(name, handout.put({place: Cell(text, "options", cell.facts)}), place, _only("weaker"), text)


@kind("not recommended, given as a time")
def _not_recommended(handout: Handout) -> Slips:
    """The third option of tomatoes, above 1,000 ft, on a weight."""
    for place, cell in _values(handout, "minutes"):
        fact = cell.facts[0]
        pressure = handout.beside(place, "psi")
        if fact.key[4] != "weighted" or fact.option.psi != 15 or fact.band != (1000, None) or pressure is None:
            continue
        third = answers()[fact.key].get((None, 1000), [])[2:3]
        if third and grade(fact._replace(option=third[0])) == "withheld":
            other = Cell(str(third[0].minutes), "minutes", (fact._replace(option=third[0]),))
            yield Slip("not recommended, given as a time", handout.put({place: other}), place, _only("withheld"), None)


@kind("food in the wrong row")
def _wrong_row(handout: Handout) -> Slips:
    """The name of a food stands beside the times of another, and theirs are less."""
    others = {"Sweet potatoes": "sweet-potatoes", "Corn, whole kernel": "whole-kernel-corn"}
    for place in handout.places("food"):
        row = handout.tables[place[0]].rows[place[1]]
        facts = [one for cell in row if cell.kind in ("minutes", "process") for one in cell.facts]
        for text, food in others.items():
            moved = tuple(one._replace(key=(food, "", *one.key[2:])) for one in facts)
            known = moved and all(one.key in answers() for one in moved) and row[place[2]].rows == 1
            if known and text != handout.at(place).text and _worst(moved) == "weaker":
                changed = handout.put({place: Cell(text, "food")})
                yield Slip("food in the wrong row", changed, place, _only("weaker"))


def slips(chance: random.Random, of_each: int, kinds: tuple[str, ...] = tuple(KINDS)) -> list[Slip]:
    """Draw some slips of every kind, from different handouts as far as there are."""
    return [slip for name in kinds for slip in _drawn(KINDS[name], chance, of_each)]


def _drawn(make: Callable[[Handout], Slips], chance: random.Random, number: int) -> list[Slip]:
    right = [handout for handout in handouts() if not handout.stronger]
    chance.shuffle(right)
    found: list[list[Slip]] = []
    for handout in right:
        if len(found) < number and (some := list(islice(make(handout), 40))):
            chance.shuffle(some)
            found.append(some)
    return [one for turn in zip_longest(*found) for one in turn if one is not None][:number]
