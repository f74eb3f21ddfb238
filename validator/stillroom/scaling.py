"""Scaling: a printed recipe for the jars asked for, in whole printed batches, or a refusal that says why.

A batch is never stretched: amounts are whole multiples of the printed ones, so that the acid keeps its proportion to
the low-acid food. Acid that goes into each jar stays as printed. Where a recipe is printed in columns that do not
follow from each other, one printed column is taken whole: the one with the most acid in each jar, and of columns with
as much, the largest that divides the jars evenly. Jams and jellies are made one batch at a time (page 1-30).
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping
from itertools import islice
from typing import Any, NamedTuple

from stillroom import buying, loads, question, recipes, refusal, wording
from stillroom.answer import Citation, HeadspaceFor, Stated
from stillroom.charts import Combination
from stillroom.conditions import STERILE, carried_by, sterilizing
from stillroom.errors import BadInput, NoTestedSchedule
from stillroom.exchange import stated
from stillroom.names import plain
from stillroom.recipes import Amount, Batches, Entry, Ingredient, JarAcid, RawFood, Recipe, SyrupChoice
from stillroom.records import JarRule
from stillroom.shelf import Shelf

MOST_JARS = 10_000
"""More jars than a household fills in a lifetime: a slip of the pen (from memory; only guards against slips)."""
MOST_NAMES = 100
"""More ingredients than any recipe has."""
LOAD = {"quart": 7, "pint": 9}
"""Jars in a canner load of the printed yields; most canners hold 7 quarts and 8 or 9 pints (page 1-17)."""
_INSTEAD = "make that column instead, or ask your extension office"
_CUPS = {"teaspoon": 1 / 48, "tablespoon": 1 / 16, "cup": 1, "pint": 2, "quart": 4, "gallon": 16}
"""US cups: 3 teaspoons to a tablespoon, 16 tablespoons to a cup (NIST Handbook 44, appendix C)."""


class _Asked(NamedTuple):
    jars: int | None
    jar: str | None
    printed_jar: str | None
    rule: JarRule | None
    pack: str | None
    variety: str | None


def recipe(
    shelf: Shelf,
    food: str,
    *,
    jars: int | str | None = None,
    jar: str | None = None,
    pack: str | None = None,
    variety: str | None = None,
    column: str | None = None,
    without: str | Iterable[str] | None = None,
) -> Recipe:
    """Give the recipe of a food; see :func:`stillroom.recipe`."""
    meaning = shelf.names.meaning(food, shelf.cite)
    entry = recipes.read(shelf.package.root, meaning.food)
    asked = _read_question(shelf, entry, jars, jar, pack, variety)
    if meaning.pack and asked.pack not in (None, meaning.pack):
        raise refusal.other_kind(shelf, meaning, Combination("", asked.pack or "", asked.jar or "", ""), None)
    batches = _batches(shelf, entry, asked, _column(entry, column))
    column = batches.column if batches else column
    left_out = tuple(_may_leave_out(shelf, entry, name) for name in _named(without))
    lines = (
        _scaled(line, batches, asked)
        for row in entry.get("ingredients", ())
        if not (row["name"] in left_out and _may_go(row))
        and _fits(row, asked)
        and not _of_another_jar(row, entry, asked)
        for line in _by_column(row, entry, column)
    )
    relation = shelf.relations.get(meaning.food)
    told = {key: tuple(_stated(shelf, entry, key, asked)) for key in
              ("may_change", "never_change", "cautions", "doubtful")}  # fmt: skip
    raw = tuple(_raw_food(shelf, meaning.food, asked))
    return Recipe(
        food=meaning.food,
        title=entry["title"],
        packs=tuple(entry["packs"]),
        jars=tuple(entry["jars"]),
        follows=entry.get("follows") or (relation.follows if relation else None),
        jars_asked=asked.jars,
        jar=asked.jar,
        pack=asked.pack,
        variety=asked.variety,
        by_rule=None if asked.rule is None else carried_by(shelf, asked.rule),
        batches=batches,
        raw_food=raw,
        requires=tuple(_requires(shelf, meaning.food, asked)),
        acid=tuple(_jar_acid(entry, asked)),
        ingredients=tuple(lines),
        syrups=tuple(_syrups(shelf, entry, asked)),
        steps=tuple(recipes.step(row) for row in entry["steps"] if _fits(row, asked)),
        headspace=tuple(
            HeadspaceFor(row["inches"], _for(row), row["page"])
            for row in entry.get("headspace", ())
            if _fits(row, asked)
        ),
        canner=tuple(recipes.direction(row) for row in entry.get("canner", ()) if _fits(row, asked)),
        sterile_jars=tuple(entry.get("sterile_jars", ())),
        low_temperature_pasteurization=entry.get("low_temperature_pasteurization"),
        single_batch=entry.get("single_batch"),
        notes=tuple(_notes(shelf, entry, asked, batches, bool(raw))),
        source=shelf.cite(entry["page"], entry["source"]),
        **told,
    )


# reading the question


def _read_question(
    shelf: Shelf, entry: Entry, asked_jars: object, jar: str | None, pack: str | None, variety: str | None
) -> _Asked:
    title = entry["title"]
    jars = None if asked_jars is None else loads.count("jars", asked_jars, MOST_JARS)
    if jars is not None and jar is None:
        raise BadInput(f"{jars} jars of what size? Say the jar too: {wording.listed(entry['jars'])}")
    jar_id = None if jar is None else shelf.words.jar(jar)
    rule = None
    printed = jar_id
    if jar_id is not None and jar_id not in entry["jars"]:
        rule = shelf.jar_rule(entry["food"], jar_id)
        if rule is None or rule.takes not in entry["jars"]:
            tested = wording.listed([shelf.jars[name].plural for name in entry["jars"]], "and")
            raise NoTestedSchedule(
                "jar-not-tested",
                f"{title}: not tested in {shelf.jars[jar_id].plural}; tested jars: {tested}.",
                shelf.cite(entry["page"], entry["source"]),
            )
        printed = rule.takes
    elif jar_id is not None:
        rule = None
        carried = shelf.jar_rule(entry["food"], jar_id)
        if carried is not None and not _speaks_of(entry, jar_id) and carried.takes in entry["jars"]:
            printed = carried.takes
    pack_id = None if pack is None else shelf.words.pack(pack)
    if pack_id is not None and pack_id not in entry["packs"]:
        said = f"{wording.listed(entry['packs'])} pack is" if entry["packs"] else "the publication names no pack here"
        raise NoTestedSchedule(
            "pack-not-tested",
            f"{title}: {pack_id} pack is not tested; {said}.",
            shelf.cite(entry["page"], entry["source"]),
        )
    return _Asked(jars, jar_id, printed, rule, pack_id, _variety(entry, variety, jars))


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


def _column(entry: Entry, said: object) -> str | None:
    have = [row["id"] for row in entry.get("batches", ())]
    if said is None or (isinstance(said, str) and said in have):
        return said
    if not have:
        raise BadInput(f"{entry['title']}: the recipe is printed in one column; leave the column out")
    raise BadInput(f"column {question.shown(said)} is not one of {wording.listed(have)}")


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
    kept = next((line for line in in_jar if not _may_go(line)), None)
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


def _may_go(line: Entry) -> bool:
    return bool(line.get("optional")) or "adjustable" in line


# what fits the question


def _fits(row: Entry, asked: _Asked) -> bool:
    return (
        (asked.pack is None or row.get("pack") in (None, asked.pack))
        and (asked.jar is None or row.get("jar") in (None, asked.jar, asked.printed_jar))
        and (asked.variety is None or row.get("variety") in (None, asked.variety))
    )


def _of_another_jar(row: Entry, entry: Entry, asked: _Asked) -> bool:
    """Whether the line says what goes into another jar, where there is one for the jar asked for."""
    if asked.jar is None or row.get("per", {}).get("jar") in (None, "each", asked.jar, asked.printed_jar):
        return False
    same = [line for line in entry["ingredients"] if line["name"] == row["name"]]
    return any(line.get("per", {}).get("jar") in (asked.jar, asked.printed_jar) for line in same)


def _for(row: Entry) -> str:
    return ", ".join(
        word
        for word in (row.get("variety"), f"{row['pack']} pack" if "pack" in row else None, row.get("jar"))
        if word is not None
    )


def _stated(shelf: Shelf, entry: Entry, key: str, asked: _Asked) -> Iterable[Stated]:
    for row in entry.get(key, ()):
        if _fits(row, asked):
            yield Stated.worded(key.replace("_", "-"), row["text"], shelf.cite(row["page"], entry["source"]))


def _requires(shelf: Shelf, food: str, asked: _Asked) -> Iterable[Stated]:
    relation = shelf.relations.get(food)
    given: set[str] = set()
    told = False
    for row in shelf.package.conditions:
        statement = shelf.statements[row.statement]
        if (
            row.food in (food, relation.follows if relation else food)
            and statement.kind == "must"
            and (row.food == food or statement.carries == "yes")
            and (asked.pack is None or row.pack in ("", asked.pack))
            and (asked.jar is None or row.jar in ("", asked.jar, asked.printed_jar))
        ):
            only = [f"{row.pack} pack"] if row.pack and asked.pack is None else []
            only += [shelf.jars[row.jar].plural] if row.jar and asked.jar is None else []
            only += ["boiling water"] if row.canner == "boiling-water" else []
            text = wording.labeled(", ".join(only), statement.text) if only else statement.text
            if text not in given:
                given.add(text)
                yield Stated(statement.id, text, shelf.cite(row.page, row.source), row.page)
                if row.statement in STERILE and not told:
                    told = True
                    yield sterilizing(shelf, None)


# batches


def _batches(shelf: Shelf, entry: Entry, asked: _Asked, chosen: str | None) -> Batches | None:
    jars = asked.jars
    if jars is None or asked.jar is None:
        return None
    printed = [
        (row.get("id"), row["makes"], row["makes"], row["jar"], entry["page"]) for row in entry.get("batches", ())
    ] or [
        (None, row["from"], row["to"], row["jar"], row["page"])
        for row in entry.get("yield", ())
        if row.get("variety") in (None, asked.variety)
    ]
    if chosen is not None:
        printed = [row for row in printed if row[0] == chosen]
    fitting = [row for row in printed if row[3] in (asked.jar, asked.printed_jar)] or printed
    if not fitting:
        return None
    volume = {jar.id: jar.volume_fl_oz for jar in shelf.jars.values()}
    offers = [
        (
            column,
            _carried(low, volume[jar], volume[asked.jar]),
            _carried(high, volume[jar], volume[asked.jar]),
            jar,
            page,
        )
        for column, low, high, jar, page in fitting
    ]
    column, low, high, jar, page = max(
        offers,
        key=lambda offer: (
            round(_acid_in_a_jar(entry, offer[0], max(offer[1], 1)), 6),
            offer[1] > 0 and jars % offer[1] == 0,
            offer[1],
        ),
    )
    if low < 1:
        raise BadInput(f"{entry['title']}: one printed batch fills less than one {shelf.jars[asked.jar].title}")
    times = math.ceil(jars / low)
    by_volume = jar != asked.jar
    about = by_volume or any("about" in row for row in entry.get("yield", ()) if row["jar"] == jar)
    return Batches(times, column, "single_batch" in entry, low * times, high * times, by_volume, about, page)


def _carried(jars: float, volume_from: int, volume_to: int) -> int:
    return math.floor(jars * volume_from / volume_to)


def _acid_in_a_jar(entry: Entry, column: str | None, fills: int) -> float:
    """Cups of recipe acid in each jar of a printed column."""
    amounts = (
        recipes.amount(line, column)
        for line in entry.get("ingredients", ())
        if line["role"] == "acid" and "per" not in line and not line.get("soak")
    )
    return sum(found.low * _CUPS[found.unit] for found in amounts if found is not None) / fills


def _by_column(row: Entry, entry: Entry, column: str | None) -> Iterable[Ingredient]:
    """One line, or one for each printed column where none is chosen."""
    number = row.get("quantity")
    if column is not None or not isinstance(number, dict) or "from" in number:
        return [recipes.ingredient(row, column)]
    return [recipes.ingredient(row, name)._replace(variety=name) for name in number]


def _scaled(line: Ingredient, batches: Batches | None, asked: _Asked) -> Ingredient:
    if line.amount is None:
        return line
    if line.per is None:
        times = 1 if batches is None or batches.one_at_a_time else batches.times
        return line._replace(amount=line.amount.times(times))
    if asked.jars is not None and line.per.jar in ("each", asked.jar):
        return line._replace(total=line.amount.times(asked.jars))
    return line


def _jar_acid(entry: Entry, asked: _Asked) -> Iterable[JarAcid]:
    for row in entry.get("acid", ()):
        if asked.jar is None or row["jar"] == asked.printed_jar:
            lines = (recipes.ingredient(acid, None) for acid in row["any_of"])
            yield JarAcid(
                row["jar"], tuple(line._replace(total=_total(line.amount, asked)) for line in lines), row["page"]
            )


def _total(amount: Amount | None, asked: _Asked) -> Amount | None:
    return None if amount is None or asked.jars is None else amount.times(asked.jars)


# raw food and how it was reckoned


def _raw_food(shelf: Shelf, food: str, asked: _Asked) -> Iterable[RawFood]:
    if asked.jars is None or asked.jar is None:
        return
    rows = [row for row in buying.printed(food, shelf.package) if row.basis in buying.PER_JARS]
    volume = {jar.id: jar.volume_fl_oz for jar in shelf.jars.values()}
    for variety in dict.fromkeys(row.variety for row in rows):
        row = min(
            (row for row in rows if row.variety == variety),
            key=lambda row: (row.jar != asked.jar, row.jar != asked.printed_jar, row.basis != "canner load"),
        )
        share = asked.jars * volume[asked.jar] / volume[row.jar]
        fills = str(row.jars_from) if row.jars_from == row.jars_to else f"{row.jars_from} to {row.jars_to}"
        yield RawFood(
            variety,
            _quarter(row.pounds_from * share / row.jars_to),
            _quarter(row.pounds_to * share / row.jars_from),
            f"{buying.weighed(row, 'pounds')} for {fills} {_plural(shelf, row.jar, row.jars_to)}",
            row.page,
        )


def _syrups(shelf: Shelf, entry: Entry, asked: _Asked) -> Iterable[SyrupChoice]:
    """Syrups of the table on page 2-5 that the steps name, or all where they name none."""
    sent = " ".join(row["text"] for row in entry["steps"] if "syrup" in row["text"] and "2-5" in row["text"])
    if not sent:
        return
    named = set(re.findall("very light|light|medium|very heavy|heavy", sent))
    load = {"quart": "seven-quarts", "half-gallon": "seven-quarts"}.get(asked.jar or "", "nine-pints")
    for row in shelf.package.syrups:
        if (not named or row.title in named) and (asked.jar is None or row.load == load):
            yield SyrupChoice(row.title, row.sugar_percent, row.load, row.water_cup, row.sugar_cup, row.page)


def _quarter(pounds: float) -> float:
    """Up to the next quarter pound."""
    return math.ceil(round(pounds * 4, 6)) / 4


def _plural(shelf: Shelf, jar: str, number: int) -> str:
    return shelf.jars[jar].title if number == 1 else shelf.jars[jar].plural


def _notes(shelf: Shelf, entry: Entry, asked: _Asked, batches: Batches | None, raw: bool) -> Iterable[str]:
    if asked.jars is None or asked.jar is None:
        if entry.get("batches"):
            yield "The recipe is printed in columns; use one column whole, never a mixture."
            yield from _weaker_columns(shelf, entry)
        return
    jars = f"{asked.jars} {_plural(shelf, asked.jar, asked.jars)}"
    whole = [line for line in entry.get("ingredients", ()) if "per" not in line and "quantity" in line]
    if batches is None:
        if whole:
            yield f"No yield is printed for these amounts, so they stand as printed and are not multiplied for {jars}."
    else:
        yield from _batch_notes(shelf, entry, asked, batches, jars)
    if asked.rule is not None and entry.get("acid"):
        yield (
            f"No amount of acid is printed for a {shelf.jars[asked.jar].title}: the amount of the "
            f"{shelf.jars[asked.rule.takes].title} stands; never use less."
        )
    load = LOAD.get(asked.jar)
    if load is not None and asked.jars > load:
        loads = math.ceil(asked.jars / load)
        yield f"{loads} canner loads of up to {load} {shelf.jars[asked.jar].plural} (page 1-17)."
    if raw:
        yield "Pounds of raw food are averages, for buying; they are not part of the tested proportions."


def _batch_notes(shelf: Shelf, entry: Entry, asked: _Asked, batches: Batches, jars: str) -> Iterable[str]:
    fills = (
        str(batches.fills_from)
        if batches.fills_from == batches.fills_to
        else f"{batches.fills_from} to {batches.fills_to}"
    )
    fills = f"about {fills}" if batches.about else fills
    size = _plural(shelf, asked.jar or "", batches.fills_to)
    how = f" of the {batches.column} column" if batches.column else ""
    many = "1 batch" if batches.times == 1 else f"{batches.times} batches"
    if batches.one_at_a_time:
        yield (
            f"For {jars} make {many}, one at a time; the amounts are for ONE batch: larger ones may not set "
            f"(page {entry['single_batch']})."
        )
        yield f"Together they fill {fills} {size} (page {batches.page})."
    else:
        yield f"For {jars}: {many}{how}, {fills} {size} (page {batches.page})."
    if batches.by_volume:
        yield "The yield is printed for another jar and carried over by volume."
    if batches.column:
        yield from _column_notes(shelf, entry, asked, batches)


def _weaker_columns(shelf: Shelf, entry: Entry) -> Iterable[str]:
    """Say which printed columns have less acid in each jar than another."""
    strength = _strength(shelf, entry)
    strongest = max(strength, key=lambda column: strength[column])
    for column, acid in strength.items():
        if acid * 1.0001 < strength[strongest]:
            yield (
                f"As printed, the {column} column has less acid in each jar than {strongest} "
                f"({100 * acid / strength[strongest]:.0f} percent): {_INSTEAD}."
            )


def _strength(shelf: Shelf, entry: Entry) -> dict[str, float]:
    """Cups of recipe acid to a fluid ounce of jar, by printed column."""
    volume = {jar.id: jar.volume_fl_oz for jar in shelf.jars.values()}
    return {row["id"]: _acid_in_a_jar(entry, row["id"], row["makes"]) / volume[row["jar"]] for row in entry["batches"]}


def _column_notes(shelf: Shelf, entry: Entry, asked: _Asked, batches: Batches) -> Iterable[str]:
    strength = _strength(shelf, entry)
    mine = strength[batches.column or ""]
    stronger = [column for column, acid in strength.items() if acid > mine * 1.0001]
    if stronger:
        yield (
            f"As printed, the {batches.column} column has less acid in each jar than {wording.listed(stronger)} "
            f"({100 * mine / max(strength.values()):.0f} percent): {_INSTEAD}."
        )
    if len(entry["batches"]) > 1:
        evenly = asked.jars is not None and asked.jars == batches.fills_from
        others = [row["id"] for row in entry["batches"] if row["id"] != batches.column]
        if not evenly or batches.times > 1:
            yield f"The printed columns do not follow from each other; {wording.listed(others)} is not mixed in."


def document(found: Recipe) -> dict[str, Any]:
    """Lay out a recipe for programs (schema/recipe-answer.json)."""
    return {"kind": "recipe", **_plain(found)}


def _plain(value: Any) -> Any:
    if isinstance(value, Stated):
        return stated(value)
    if isinstance(value, Citation):
        return {**value._asdict(), "cite": value.cite()}
    if hasattr(value, "_asdict"):
        return {name: _plain(part) for name, part in value._asdict().items()}
    if isinstance(value, tuple):
        return [_plain(part) for part in value]
    return value
