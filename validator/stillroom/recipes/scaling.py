"""Scaling: a printed recipe for the jars asked for, in whole printed batches, or a refusal that says why.

Brings the question, the batches and the amounts together. Jams and jellies are made one batch at a time (page 1-30).
"""

from __future__ import annotations

from collections.abc import Iterable

from stillroom.answers import wording
from stillroom.answers.answer import HeadspaceFor, Stated
from stillroom.answers.conditions import STERILE, carried_by, sterilizing
from stillroom.answers.shelf import Shelf
from stillroom.recipes import amounts, batches, printed, recipe_notes, recipe_question
from stillroom.recipes.printed import Entry, Recipe
from stillroom.recipes.recipe_question import Asked, Wanted, fits


def recipe(shelf: Shelf, wanted: Wanted) -> Recipe:
    """Give the recipe of a food; see :func:`stillroom.recipe`."""
    meaning = shelf.names.meaning(wanted.food, shelf.cite)
    entry = printed.read(shelf.package.root, meaning.food)
    asked = recipe_question.read(shelf, meaning, entry, wanted)
    column = recipe_question.read_column(entry, wanted.column)
    made = batches.needed(shelf, entry, asked, column)
    column = made.column if made else column
    left_out = recipe_question.left_out(shelf, entry, wanted.without)
    relation = shelf.relations.get(meaning.food)
    told = {key: tuple(_stated(shelf, entry, key, asked)) for key in
              ("may_change", "never_change", "cautions", "doubtful")}  # fmt: skip
    raw = tuple(amounts.raw_food(shelf, meaning.food, asked))
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
        batches=made,
        raw_food=raw,
        requires=tuple(_requires(shelf, meaning.food, asked)),
        acid=tuple(amounts.jar_acid(entry, asked)),
        ingredients=tuple(amounts.lines(entry, column, made, asked, left_out)),
        syrups=tuple(amounts.syrups(shelf, entry, asked)),
        steps=tuple(printed.step(row) for row in entry["steps"] if fits(row, asked)),
        headspace=tuple(
            HeadspaceFor(row["inches"], _for(row), row["page"])
            for row in entry.get("headspace", ())
            if fits(row, asked)
        ),
        canner=tuple(printed.direction(row) for row in entry.get("canner", ()) if fits(row, asked)),
        sterile_jars=tuple(entry.get("sterile_jars", ())),
        low_temperature_pasteurization=entry.get("low_temperature_pasteurization"),
        single_batch=entry.get("single_batch"),
        notes=tuple(recipe_notes.reckoned(shelf, entry, asked, made, bool(raw))),
        source=shelf.cite(entry["page"], entry["source"]),
        **told,
    )


def _for(row: Entry) -> str:
    return ", ".join(
        word
        for word in (row.get("variety"), f"{row['pack']} pack" if "pack" in row else None, row.get("jar"))
        if word is not None
    )


def _stated(shelf: Shelf, entry: Entry, key: str, asked: Asked) -> Iterable[Stated]:
    for row in entry.get(key, ()):
        if fits(row, asked):
            yield Stated.worded(key.replace("_", "-"), row["text"], shelf.cite(row["page"], entry["source"]))


def _requires(shelf: Shelf, food: str, asked: Asked) -> Iterable[Stated]:
    owner = shelf.owner(food)
    given: set[str] = set()
    told = False
    for row in shelf.package.conditions:
        statement = shelf.statements[row.statement]
        if (
            row.food in (food, owner)
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
