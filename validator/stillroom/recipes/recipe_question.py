"""Recipe question: what is asked of a recipe, read against what the publication prints, or refused."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import islice
from typing import NamedTuple

from stillroom.answers import question, refusal, wording
from stillroom.answers.answer import NoTestedSchedule
from stillroom.answers.charts import Combination
from stillroom.answers.names import Meaning
from stillroom.answers.shelf import Shelf
from stillroom.answers.stems import plain
from stillroom.errors import BadInput
from stillroom.package.records import JarRule
from stillroom.recipes.printed import Entry

MOST_JARS = 10_000
"""More jars than a household fills in a lifetime: a slip of the pen (from memory; only guards against slips)."""
MOST_NAMES = 100
"""More ingredients than any recipe has."""


class Wanted(NamedTuple):
    """What is asked of a recipe, as it was said; see :func:`stillroom.recipe`."""

    food: str
    jars: int | str | None = None
    jar: str | None = None
    pack: str | None = None
    variety: str | None = None
    column: str | None = None
    without: str | Iterable[str] | None = None


class Asked(NamedTuple):
    """What is asked of a recipe, in ids; ``printed_jar``: jar whose amounts hold, ``rule``: what carries them."""

    jars: int | None
    jar: str | None
    printed_jar: str | None
    rule: JarRule | None
    pack: str | None
    variety: str | None


def read(shelf: Shelf, meaning: Meaning, entry: Entry, wanted: Wanted) -> Asked:
    """Read what is asked of a recipe.

    Parameters
    ----------
    shelf : Shelf
    meaning : Meaning
        The food that was named, and the only pack its kind is tested in.
    entry : Entry
        The printed recipe.
    wanted : Wanted

    Raises
    ------
    BadInput
        A figure or word that cannot be read, or jars without their size.
    NoTestedSchedule
        A jar or pack that is not tested.
    """
    jars = None if wanted.jars is None else question.count("jars", wanted.jars, MOST_JARS)
    if jars is not None and wanted.jar is None:
        raise BadInput(f"{jars} jars of what size? Say the jar too: {wording.listed(entry['jars'])}")
    jar_id = None if wanted.jar is None else shelf.words.one("jar", wanted.jar, shelf.cite)
    printed_jar, rule = (None, None) if jar_id is None else _printed_jar(shelf, entry, jar_id)
    pack_id = None if wanted.pack is None else shelf.words.one("pack", wanted.pack)
    if pack_id is not None and pack_id not in entry["packs"]:
        said = f"{wording.listed(entry['packs'])} pack is" if entry["packs"] else "the publication names no pack here"
        raise NoTestedSchedule(
            "pack-not-tested",
            f"{entry['title']}: {pack_id} pack is not tested; {said}.",
            shelf.cite(entry["page"], entry["source"]),
        )
    asked = Asked(jars, jar_id, printed_jar, rule, pack_id, _variety(entry, wanted.variety, jars))
    if meaning.pack and pack_id not in (None, meaning.pack):
        raise refusal.other_kind(shelf, meaning, Combination("", pack_id, jar_id or "", ""), None)
    return asked


def _printed_jar(shelf: Shelf, entry: Entry, jar: str) -> tuple[str, JarRule | None]:
    """Jar whose amounts hold for the jar asked for, and the rule that carries the recipe to a jar it is not for."""
    rule = shelf.jar_rule(entry["food"], jar)
    carried = rule if rule is not None and rule.takes in entry["jars"] else None
    if jar in entry["jars"]:
        return (jar if carried is None or _speaks_of(entry, jar) else carried.takes), None
    if carried is not None:
        return carried.takes, carried
    tested = wording.listed([shelf.jars[name].plural for name in entry["jars"]], "and")
    raise NoTestedSchedule(
        "jar-not-tested",
        f"{entry['title']}: not tested in {shelf.jars[jar].plural}; tested jars: {tested}.",
        shelf.cite(entry["page"], entry["source"]),
    )


def _speaks_of(entry: Entry, jar: str) -> bool:
    """Whether the section has amounts of its own for this jar."""
    rows = [*entry.get("acid", ()), *entry.get("headspace", ()), *entry.get("steps", ()), *entry.get("canner", ())]
    pers = [line.get("per", {}).get("jar") for line in entry.get("ingredients", ())]
    return jar in [row.get("jar") for row in rows] or jar in pers


def _variety(entry: Entry, said: object, jars: int | None) -> str | None:
    rows = [*entry.get("ingredients", ()), *entry.get("yield", ())]
    have = list(dict.fromkeys(row["variety"] for row in rows if "variety" in row))
    if said is None:
        if jars is not None and len(have) > 1:
            raise BadInput(f"{entry['title']}: the amounts differ; say which with variety: {wording.listed(have)}")
        return None
    if not have:
        raise BadInput(f"{entry['title']}: the publication tells no varieties apart; leave the variety out")
    words = {plain(name): name for name in have}
    if not isinstance(said, str) or plain(said) not in words:
        raise BadInput(f"variety {question.shown(said)} is not one of {wording.listed(have)}")
    return str(words[plain(said)])


def read_column(entry: Entry, said: object) -> str | None:
    """Read the printed column that is wanted; None where none is named. BadInput: there is no such column."""
    have = [row["id"] for row in entry.get("batches", ())]
    if said is None or (isinstance(said, str) and said in have):
        return said
    if not have:
        raise BadInput(f"{entry['title']}: the recipe is printed in one column; leave the column out")
    raise BadInput(f"column {question.shown(said)} is not one of {wording.listed(have)}")


def left_out(shelf: Shelf, entry: Entry, without: object) -> tuple[str, ...]:
    """Name the ingredients that are left out, of those that the publication lets one leave out.

    Raises
    ------
    BadInput
        No name, or none of this recipe.
    NoTestedSchedule
        Code ``not-recommended``: it must stay.
    """
    return tuple(_may_leave_out(shelf, entry, name) for name in _named(without))


def _named(without: object) -> tuple[str, ...]:
    """Read the names of what to leave out: one name, several, or None for nothing."""
    if without is None:
        return ()
    if isinstance(without, str):
        names: tuple[object, ...] = (without,)
    elif isinstance(without, Iterable) and not isinstance(without, (bytes, Mapping)):
        names = tuple(islice(without, MOST_NAMES + 1))
    else:
        raise BadInput(f"without {question.shown(without)}: write the name of an ingredient, or a list of names")
    if len(names) > MOST_NAMES:
        raise BadInput(f"without: more than {MOST_NAMES} names; no recipe has so many ingredients")
    for name in names:
        if not isinstance(name, str) or not plain(name):
            raise BadInput(f"without {question.shown(name)}: write the name of an ingredient")
    return tuple(map(str, names))


def _may_leave_out(shelf: Shelf, entry: Entry, name: str) -> str:
    """Name of an ingredient that the publication lets one leave out; anything else is refused."""
    acids = [acid for row in entry.get("acid", ()) for acid in row["any_of"]]
    lines = [*entry.get("ingredients", ()), *({**acid, "role": "acid"} for acid in acids)]
    found = [line for line in lines if plain(name) == plain(line["name"])]
    found = found or [line for line in lines if plain(name) in plain(line["name"])]
    if not found:
        raise BadInput(f'without "{name[:40]}": {entry["title"]} has no such ingredient')
    in_jar = [line for line in found if not line.get("soak")] or found
    kept = next((line for line in in_jar if not may_go(line)), None)
    if kept is None:
        return str(in_jar[0]["name"])
    acid = kept["role"] == "acid"
    never = next((row for row in entry.get("never_change", ()) if not acid or "acid" in row["text"]), None)
    why = "the acid must not be left out or changed" if acid else f"{kept['name']} is not among what may be left out"
    raise NoTestedSchedule(
        "not-recommended",
        f"{entry['title']}: {why}; the schedule holds only for the recipe as tested.",
        shelf.cite(never["page"] if never else entry["page"], entry["source"]),
    )


def may_go(line: Entry) -> bool:
    """Whether the publication lets one leave an ingredient out."""
    return bool(line.get("optional")) or "adjustable" in line


def fits(row: Entry, asked: Asked) -> bool:
    """Whether a part of a recipe belongs to what was asked."""
    return (
        (asked.pack is None or row.get("pack") in (None, asked.pack))
        and (asked.jar is None or row.get("jar") in (None, asked.jar, asked.printed_jar))
        and (asked.variety is None or row.get("variety") in (None, asked.variety))
    )


def of_another_jar(row: Entry, entry: Entry, asked: Asked) -> bool:
    """Whether the line says what goes into another jar, where there is one for the jar asked for."""
    if asked.jar is None or row.get("per", {}).get("jar") in (None, "each", asked.jar, asked.printed_jar):
        return False
    same = [line for line in entry["ingredients"] if line["name"] == row["name"]]
    return any(line.get("per", {}).get("jar") in (asked.jar, asked.printed_jar) for line in same)
