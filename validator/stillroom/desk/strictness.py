"""Strictness: which side of a value is the safe one, for each column of each table.

What is not listed here as safe counts as weaker. Only a change that is shown to keep a jar at least as safe is called
stronger, and only one that cannot reach an answer is called wording.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from typing import Final, Literal, NamedTuple

from stillroom.answers.measures import TEASPOONS
from stillroom.answers.stems import plain
from stillroom.package.tables import GROUPS, TABLES

WEAKER: Final = "weaker"
STRONGER: Final = "stronger"
ADDED: Final = "added"
WITHDRAWN: Final = "withdrawn"
WORDING: Final = "wording"
ChangeKind = Literal["weaker", "added", "withdrawn", "stronger", "wording"]
"""Kinds of change, as schema/comparison.json lists them."""
KINDS = (WEAKER, ADDED, WITHDRAWN, STRONGER, WORDING)
"""Kinds of change, the gravest first."""

Row = Mapping[str, str]
SCHEDULE_FILES = frozenset(TABLES[name].file for name in GROUPS)

_NUMBER = re.compile(r"[0-9]{1,9}(\.[0-9]{1,9})?")
TEXT_CHANGED = "its text is another"
_STRICT = ("acid", "acidified", "low-acid")


class Judged(NamedTuple):
    """A kind of change and why it is one, as the end of a sentence."""

    kind: ChangeKind
    why: str


class Sides(NamedTuple):
    """Small tables of both versions, for changes whose side depends on other rows."""

    old: Callable[[str], tuple[Row, ...]]
    new: Callable[[str], tuple[Row, ...]]


class Cell(NamedTuple):
    """One changed cell with its rows."""

    old: str
    new: str
    old_row: Row
    new_row: Row
    sides: Sides


Judge = Callable[[Cell], Judged]
RowJudge = Callable[[Row, Sides], Judged]


class Rules(NamedTuple):
    """How one table is compared.

    Attributes
    ----------
    keys : tuple of tuple of str
        Columns by which rows that differ are paired, tried in turn; the first are the primary key.
    judges : dict of str to Judge
        By column; a column that is not there has no safe side.
    added, removed : RowJudge
        What a whole row means that comes or goes.
    """

    keys: tuple[tuple[str, ...], ...]
    judges: Mapping[str, Judge]
    added: RowJudge
    removed: RowJudge


# one cell


def number(cell: str) -> float | None:
    """Read a plain decimal number; None for anything else."""
    return float(cell) if _NUMBER.fullmatch(cell) else None


def _more_is_safer(what: str) -> Judge:
    def judge(cell: Cell) -> Judged:
        old, new = number(cell.old), number(cell.new)
        if old is None or new is None:
            return Judged(WEAKER, f"{what} cannot be compared")
        return Judged(WEAKER, f"less {what}") if new < old else Judged(STRONGER, f"more {what}")

    return judge


def _pressure(cell: Cell) -> Judged:
    return _more_is_safer("pressure")(cell)


def _lower_edge(cell: Cell) -> Judged:
    old, new = number(cell.old), number(cell.new)
    if old is not None and new is not None and new > old:
        return Judged(STRONGER, "narrower band")
    return Judged(WEAKER, "wider band")


def _upper_edge(cell: Cell) -> Judged:
    old, new = number(cell.old), number(cell.new)
    if new is not None and (cell.old == "" or (old is not None and new < old)):
        return Judged(STRONGER, "narrower band")
    return Judged(WEAKER, "wider band")


def _acidity(cell: Cell) -> Judged:
    if cell.old in _STRICT and cell.new in _STRICT and _STRICT.index(cell.new) > _STRICT.index(cell.old):
        return Judged(STRONGER, "stricter class")
    return Judged(WEAKER, "less strict class")


def _acid_amount(cell: Cell) -> Judged:
    def measured(row: Row) -> float | None:
        amount, one = number(row["quantity"]), TEASPOONS.get(row["unit"])
        if row["unit"] != cell.old_row["unit"] or row["unit"] != cell.new_row["unit"]:
            return None if amount is None or one is None else amount * one
        return amount

    old, new = measured(cell.old_row), measured(cell.new_row)
    if old is None or new is None:
        return Judged(WEAKER, "amounts cannot be compared")
    if new < old:
        return Judged(WEAKER, "less acid")
    return Judged(STRONGER, "more acid") if new > old else Judged(WORDING, "same amount")


def _any_of(cell: Cell) -> Judged:
    if cell.new == "":
        return Judged(STRONGER, "no longer one of several choices")
    return Judged(WEAKER, "another acid may stand in its place")


def _pack_of_relation(cell: Cell) -> Judged:
    return Judged(STRONGER, "one pack only") if cell.old == "" else Judged(WEAKER, "another pack may be used")


def _statement_kind(cell: Cell) -> Judged:
    order = ("note", "caution", "must")
    if cell.old in order and cell.new in order and order.index(cell.new) > order.index(cell.old):
        return Judged(STRONGER, "more binding")
    return Judged(WEAKER, "less binding")


def _wording(_: Cell) -> Judged:
    return Judged(WORDING, "does not reach a time, pressure or condition")


def _source(_: Cell) -> Judged:
    return Judged(WEAKER, "another source stands behind the row")


def _source_of_reading(cell: Cell) -> Judged:
    if cell.old == "":  # a version before readings named their source
        return Judged(WORDING, "the source of the reading is named")
    return Judged(WEAKER, "another source stands behind the reading")


def text_changed(_: Cell) -> Judged:
    """Judge a text that people are told: only the identical one is known to say the same."""
    return Judged(WEAKER, TEXT_CHANGED)


def _word_of(*columns: str) -> Callable[[str], Judge]:
    """Judge a word people ask by: weaker where the word meant another row of the same table before."""

    def of(file: str) -> Judge:
        def judge(cell: Cell) -> Judged:
            others = (row for row in cell.sides.old(file) if row[columns[0]] != cell.old_row[columns[0]])
            if any(plain(row[column]) == plain(cell.new) for row in others for column in columns):
                return Judged(WEAKER, "this word meant something else")
            return Judged(WORDING, "a name only")

        return judge

    return of


def _title_of_food(cell: Cell) -> Judged:
    words, food = plain(cell.new), cell.old_row["id"]
    foods = (
        (plain(name), row["id"]) for row in cell.sides.old("schedules/foods.csv") for name in (row["id"], row["title"])
    )
    aliases = ((plain(row["alias"]), row["food"]) for row in cell.sides.old("schedules/aliases.csv"))
    withheld = ((plain(row["alias"]), "") for row in cell.sides.old("schedules/withheld-names.csv"))
    for meanings in (foods, aliases, withheld):
        if any(name == words and meant != food for name, meant in meanings):
            return Judged(WEAKER, "this name meant something else")
    return Judged(WORDING, "a name only")


def _form_title(cell: Cell) -> Judged:
    others = (row for row in cell.sides.old("schedules/forms.csv") if row["food"] == cell.old_row["food"])
    if any(plain(row["title"]) == plain(cell.new) or plain(row["form"]) == plain(cell.new) for row in others):
        return Judged(WEAKER, "these words meant another form")
    return text_changed(cell)


# one row that comes or goes


def _is(kind: ChangeKind, why: str) -> RowJudge:
    return lambda row, sides: Judged(kind, why)


def _food_gone(row: Row, sides: Sides) -> bool:
    return all(food["id"] != row["food"] for food in sides.new("schedules/foods.csv"))


def _lost_with_food(why: str) -> RowJudge:
    def judge(row: Row, sides: Sides) -> Judged:
        return Judged(WITHDRAWN, "with its food") if _food_gone(row, sides) else Judged(WEAKER, why)

    return judge


def _relation_removed(row: Row, sides: Sides) -> Judged:
    if _food_gone(row, sides):
        return Judged(WITHDRAWN, "with its food")
    return Judged(WEAKER, "no longer held to the process of another food")


def _acid_added(row: Row, sides: Sides) -> Judged:
    # An amount for one jar, and the first amount of a food that follows another, hide amounts given before.
    had = any(r["food"] == row["food"] and r["use"] != "option" for r in sides.old("schedules/acid.csv"))
    follows = any(r["food"] == row["food"] for r in sides.new("schedules/relations.csv"))
    if row["jar"] or row["any_of"] or row["use"] == "option" or (follows and not had):
        return Judged(ADDED, "new amount")
    return Judged(STRONGER, "one more acid")


def _acid_removed(row: Row, sides: Sides) -> Judged:
    if _food_gone(row, sides):
        return Judged(WITHDRAWN, "with its food")
    if row["use"] == "option":
        return Judged(WITHDRAWN, "an option only")

    def together(other: Row) -> bool:
        return all(other[column] == row[column] for column in ("food", "jar", "use", "any_of"))

    if row["any_of"] and any(together(other) for other in sides.new("schedules/acid.csv")):
        return Judged(WITHDRAWN, "one of several equal choices")
    return Judged(WEAKER, "the acid is lost")


def _kind_of_statement(row: Row, sides: Sides) -> str:
    return next((entry["kind"] for entry in sides.new("shared/cautions.csv") if entry["id"] == row["statement"]), "")


def _condition_added(row: Row, sides: Sides) -> Judged:
    if _kind_of_statement(row, sides) in ("must", "caution"):
        return Judged(STRONGER, "one more condition")
    return Judged(ADDED, "a note may allow what was not allowed")


def _condition_removed(row: Row, sides: Sides) -> Judged:
    if _food_gone(row, sides):
        return Judged(WITHDRAWN, "with its food")
    scope = ("form", "pack", "jar", "canner")

    def covers(other: Row) -> bool:
        same = other["food"] == row["food"] and other["statement"] == row["statement"]
        return same and all(other[column] in ("", row[column]) for column in scope)

    if any(covers(other) for other in sides.new("schedules/conditions.csv")):
        return Judged(WORDING, "another row says so for more")
    return Judged(WEAKER, "a condition is lost")


_COMMON: dict[str, Judge] = {"source": _source, "page": _wording}
_ADDED = _is(ADDED, "new row")
_LOST = _is(WEAKER, "a row is lost")
_COMBINATION = ("food", "form", "pack", "jar", "method", "gauge")

SCHEDULE = Rules(
    (
        (*_COMBINATION, "altitude_from_ft", "altitude_to_ft", "minutes", "pressure_psi"),
        (*_COMBINATION, "altitude_from_ft", "minutes", "pressure_psi"),
        (*_COMBINATION, "altitude_to_ft", "minutes", "pressure_psi"),
        (*_COMBINATION, "altitude_from_ft", "pressure_psi"),
        (*_COMBINATION, "altitude_from_ft", "minutes"),
        (*_COMBINATION, "altitude_from_ft"),
    ),
    {
        **_COMMON,
        "minutes": _more_is_safer("time"),
        "pressure_psi": _pressure,
        "altitude_from_ft": _lower_edge,
        "altitude_to_ft": _upper_edge,
        "caption": _wording,
        "note": text_changed,
    },
    _is(ADDED, "new row"),
    _is(WITHDRAWN, "no longer answered"),
)

EVIDENCE = "a reading is evidence: no change of it is safer"


def _word_added(row: Row, sides: Sides) -> Judged:
    """A word that leads to what is withheld warns; any other leads to an answer, or to a plain refusal."""
    return Judged(STRONGER, "one more word for what is withheld") if row.get("withheld") else Judged(ADDED, "new word")


def _word_removed(row: Row, sides: Sides) -> Judged:
    if row.get("withheld"):
        return Judged(WEAKER, "this word is no longer refused")
    return Judged(WITHDRAWN, "word withdrawn")


class _Side(NamedTuple):
    """Which side of a table is the safe one, beside its key; ``looser``: more columns to pair differing rows by."""

    judges: Mapping[str, Judge]
    added: RowJudge
    removed: RowJudge
    looser: tuple[tuple[str, ...], ...] = ()


_EVIDENCE = _Side({}, _is(ADDED, "new evidence"), _is(WEAKER, "evidence is lost"))
_READ = _EVIDENCE._replace(judges={"source": _source_of_reading})
_READ_PLACE = ("guide", "food", "method", "gauge", "pack", "jar", "alt_lo_ft")

_OLD = _Side({}, _is(WORDING, "no answer is made from it"), _is(WEAKER, "an old figure is no longer recognized"))
"""Superseded tables and their readings: a new row reaches no answer, a changed one says something else of a leaflet."""

_SIDES: dict[str, _Side] = {
    "not-recommended": _Side(
        {**_COMMON, "caption": _wording, "note": text_changed},
        _is(STRONGER, "one more printed warning"),
        _is(WEAKER, "a printed warning is lost"),
        ((*_COMBINATION, "altitude_from_ft"),),
    ),
    "foods": _Side(
        {**_COMMON, "title": _title_of_food, "group": _wording, "acidity": _acidity},
        _is(ADDED, "new food"),
        _is(WITHDRAWN, "food withdrawn"),
    ),
    "aliases": _Side({}, _is(ADDED, "new name"), _is(WITHDRAWN, "name withdrawn")),
    "open-names": _Side({}, _is(ADDED, "one more meaning of a name"), _is(WEAKER, "one meaning fewer to choose from")),
    "forms": _Side({**_COMMON, "title": _form_title}, _ADDED, _lost_with_food("a form is lost")),
    **dict.fromkeys(("form-words", "pack-words"), _Side({}, _word_added, _word_removed)),
    **dict.fromkeys(("jar-words", "canner-words"), _Side({}, _word_added, _word_removed, (("word",),))),
    "relations": _Side({**_COMMON, "pack": _pack_of_relation}, _ADDED, _relation_removed),
    "headspace": _Side(
        {**_COMMON, "headspace_in": _more_is_safer("headspace")}, _ADDED, _lost_with_food("a headspace is lost")
    ),
    "yields": _Side(_COMMON, _ADDED, _is(WITHDRAWN, "no longer told")),
    "yield-relations": _Side(_COMMON, _ADDED, _is(WITHDRAWN, "no longer told")),
    "acid": _Side(
        {**_COMMON, "quantity": _acid_amount, "unit": _acid_amount, "any_of": _any_of},
        _acid_added,
        _acid_removed,
        (("food", "jar", "acid", "per", "use"),),
    ),
    "conditions": _Side(_COMMON, _condition_added, _condition_removed),
    "withheld": _Side(
        {**_COMMON, "title": text_changed, "reason": text_changed, "instead": text_changed},
        _is(STRONGER, "one more thing withheld"),
        _is(WEAKER, "no longer withheld"),
    ),
    "withheld-names": _Side(
        {}, _is(STRONGER, "one more name of what is withheld"), _is(WEAKER, "this name is no longer refused")
    ),
    "reading-schedules-first": _READ._replace(
        looser=((*_READ_PLACE, "minutes", "psi"), (*_READ_PLACE, "psi"), (*_READ_PLACE, "minutes"), _READ_PLACE)
    ),
    "reading-foods-first": _READ._replace(looser=(("guide", "food", "pack", "jar"),)),
    "reading-acid-first": _READ._replace(looser=(("food", "jar", "acid", "per"),)),
    "captions": _READ._replace(looser=(("guide", "caption", "when_note_says"),)),
    **dict.fromkeys(("superseded", "superseded-foods", "superseded-altitudes"), _OLD),
    "superseded-sources": _Side({}, _is(STRONGER, "nothing is answered from it"), _is(WEAKER, "a source counts again")),
    "reading-superseded-first": _OLD._replace(looser=(TABLES["superseded"].key, TABLES["superseded"].key[:-1])),
    "reading-pages-second": _EVIDENCE,
    "readers": _EVIDENCE,
    "footnotes": _EVIDENCE,
    "lost-cells": _READ._replace(looser=(TABLES["lost-cells"].key[1:],)),
    "cautions": _Side({"kind": _statement_kind, "text": text_changed}, _ADDED, _LOST),
    "sources": _Side({}, _is(ADDED, "new source"), _is(WEAKER, "a source is lost")),
    "guides": _Side({"title": _wording}, _ADDED, _LOST),
    "altitude-bands": _Side({"source": _source_of_reading}, _ADDED, _LOST, (("band_set", "altitude_from_ft"),)),
    "band-patterns": _Side({}, _ADDED, _LOST),
    "jars": _Side(
        {
            **_COMMON,
            **dict.fromkeys(
                ("title", "plural", "abbreviation"),
                _word_of("id", "title", "plural", "abbreviation")("shared/jars.csv"),
            ),
        },
        _ADDED,
        _is(WITHDRAWN, "jar withdrawn"),
    ),
    "jar-rules": _Side({**_COMMON, "statement": text_changed}, _ADDED, _LOST),
    "head-words": _Side(
        {"means": _wording},
        _is(WORDING, "word of foreign tables: no answer stands on it"),
        _is(WORDING, "word taken out"),
    ),
    "filler-words": _Side({}, _is(ADDED, "new word left out of names"), _is(WITHDRAWN, "word left out no more")),
    "packs": _Side({**_COMMON, "title": _word_of("id", "title")("shared/packs.csv")}, _ADDED, _LOST),
    "gauges": _Side({**_COMMON, "title": _word_of("id", "title")("shared/gauges.csv")}, _ADDED, _LOST),
    "canners": _Side({**_COMMON, "title": _word_of("id", "title")("shared/canners.csv")}, _ADDED, _LOST),
    "exceptions": _Side(
        {**_COMMON, "headspace_in": _more_is_safer("headspace")},
        _is(ADDED, "a check excuses one more row"),
        _is(STRONGER, "a check excuses one row fewer"),
    ),
    "rules": _Side({**_COMMON, "statement": text_changed}, _ADDED, _LOST),
}
"""By the name of the table."""
for _reading in ("schedules", "foods", "acid", "superseded"):
    _SIDES[f"reading-{_reading}-second"] = _SIDES[f"reading-{_reading}-first"]

RULES = {
    TABLES[name].file: Rules((*filter(None, (TABLES[name].key,)), *side.looser), side.judges, side.added, side.removed)
    for name, side in _SIDES.items()
}
"""By the file of the table."""


_GIVES_A_SCHEDULE = SCHEDULE_FILES | {
    f"schedules/{name}.csv" for name in ("foods", "forms", "relations", "headspace", "acid")
} | {"shared/jar-rules.csv"}  # fmt: skip
WORDS = frozenset(TABLES[name].file for name in ("form-words", "pack-words", "jar-words", "canner-words"))
"""Words that people ask by: no source stands behind one, so that none is turned."""
_READINGS = frozenset(declared.file for name, declared in TABLES.items() if name.startswith("reading-"))
_NO_SCHEDULE = _READINGS | {"schedules/yields.csv", "schedules/yield-relations.csv", "shared/exceptions.csv"}


def needs_source(file: str, kind: str) -> bool:
    """Whether a weaker change or a new row of a table needs another source, beside its entry in CHANGELOG.md.

    A new row does where rows of its table give a food a schedule; a changed one does wherever it can reach an answer.

    Parameters
    ----------
    file : str
        Path of the table from the top of the package.
    kind : str
        weaker or added.
    """
    if file.startswith("schedules/readings/"):  # what is read reaches people through the tables that are built from it
        return False
    return file in _GIVES_A_SCHEDULE if kind == ADDED else file not in _NO_SCHEDULE


def rules_of(file: str, columns: Iterable[str]) -> Rules:
    """Rules of a table; for one that is not known here, rows are told apart by their first columns.

    Parameters
    ----------
    file : str
        Path of the table from the top of the package.
    columns : iterable of str
        Its columns.
    """
    if file in SCHEDULE_FILES:
        return SCHEDULE
    if file in RULES:
        return RULES[file]
    named = tuple(columns)
    return Rules((named[:3], named[:2], named[:1]), {"page": _wording, "source": _source}, _ADDED, _LOST)
