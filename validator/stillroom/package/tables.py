"""Tables: every table of the package by name, with its file, its schema and its key.

Made by ``made.py`` from datapackage.json and schema/; not to be edited.
"""

from __future__ import annotations

from typing import NamedTuple

from stillroom.package import records
from stillroom.package.csv_table import Kept


class Declared(NamedTuple):
    """Where a table stands: its file, its schema, and the columns that tell its rows apart."""

    file: str
    schema: str
    key: tuple[str, ...]


TABLES = {
    "fruit": Declared(
        "schedules/fruit.csv",
        "schema/schedule.json",
        ("food", "form", "pack", "jar", "method", "gauge", "altitude_from_ft", "minutes"),
    ),
    "tomatoes": Declared(
        "schedules/tomatoes.csv",
        "schema/schedule.json",
        ("food", "form", "pack", "jar", "method", "gauge", "altitude_from_ft", "minutes"),
    ),
    "vegetables": Declared(
        "schedules/vegetables.csv",
        "schema/schedule.json",
        ("food", "form", "pack", "jar", "method", "gauge", "altitude_from_ft", "minutes"),
    ),
    "meats-seafood": Declared(
        "schedules/meats-seafood.csv",
        "schema/schedule.json",
        ("food", "form", "pack", "jar", "method", "gauge", "altitude_from_ft", "minutes"),
    ),
    "pickles": Declared(
        "schedules/pickles.csv",
        "schema/schedule.json",
        ("food", "form", "pack", "jar", "method", "gauge", "altitude_from_ft", "minutes"),
    ),
    "spreads": Declared(
        "schedules/spreads.csv",
        "schema/schedule.json",
        ("food", "form", "pack", "jar", "method", "gauge", "altitude_from_ft", "minutes"),
    ),
    "not-recommended": Declared(
        "schedules/not-recommended.csv",
        "schema/not-recommended.json",
        ("food", "form", "pack", "jar", "method", "gauge", "altitude_from_ft", "minutes"),
    ),
    "answers": Declared(
        "schedules/answers.csv",
        "schema/answers.json",
        ("food", "form", "pack", "jar", "canner", "above_ft", "option"),
    ),
    "names": Declared("schedules/names.csv", "schema/names.json", ("name", "food", "form")),
    "foods": Declared("schedules/foods.csv", "schema/foods.json", ("id",)),
    "aliases": Declared("schedules/aliases.csv", "schema/aliases.json", ("alias",)),
    "open-names": Declared("schedules/open-names.csv", "schema/open-names.json", ("name", "food", "form")),
    "forms": Declared("schedules/forms.csv", "schema/forms.json", ("food", "form")),
    "form-words": Declared("schedules/form-words.csv", "schema/form-words.json", ("food", "word")),
    "relations": Declared("schedules/relations.csv", "schema/relations.json", ("food",)),
    "headspace": Declared("schedules/headspace.csv", "schema/headspace.json", ("food", "variety", "pack", "jar")),
    "yields": Declared("schedules/yields.csv", "schema/yields.json", ("food", "variety", "basis", "jar")),
    "yield-relations": Declared("schedules/yield-relations.csv", "schema/yield-relations.json", ("food",)),
    "syrups": Declared("schedules/syrups.csv", "schema/syrups.json", ("syrup", "load")),
    "acid": Declared("schedules/acid.csv", "schema/acid.json", ("food", "jar", "acid", "per", "use", "note")),
    "conditions": Declared(
        "schedules/conditions.csv",
        "schema/conditions.json",
        ("food", "form", "pack", "jar", "canner", "statement"),
    ),
    "withheld": Declared("schedules/withheld.csv", "schema/withheld.json", ("id",)),
    "withheld-names": Declared("schedules/withheld-names.csv", "schema/withheld-names.json", ("alias",)),
    "superseded": Declared(
        "schedules/superseded.csv",
        "schema/superseded.json",
        ("source", "caption", "pack", "container", "method", "minutes"),
    ),
    "superseded-foods": Declared(
        "schedules/superseded-foods.csv",
        "schema/superseded-foods.json",
        ("source", "caption", "pack", "food", "form", "withheld"),
    ),
    "superseded-altitudes": Declared(
        "schedules/superseded-altitudes.csv",
        "schema/superseded-altitudes.json",
        ("source", "method", "gauge", "altitude_ft", "over_min"),
    ),
    "superseded-sources": Declared("schedules/superseded-sources.csv", "schema/superseded-sources.json", ("source",)),
    "reading-schedules-first": Declared(
        "schedules/readings/schedules-first.csv",
        "schema/reading-schedules-first.json",
        (),
    ),
    "reading-schedules-second": Declared(
        "schedules/readings/schedules-second.csv",
        "schema/reading-schedules-second.json",
        (),
    ),
    "reading-foods-first": Declared("schedules/readings/foods-first.csv", "schema/reading-foods-first.json", ()),
    "reading-foods-second": Declared("schedules/readings/foods-second.csv", "schema/reading-foods-second.json", ()),
    "reading-acid-first": Declared("schedules/readings/acid-first.csv", "schema/reading-acid.json", ()),
    "reading-acid-second": Declared("schedules/readings/acid-second.csv", "schema/reading-acid.json", ()),
    "reading-superseded-first": Declared(
        "schedules/readings/superseded-first.csv",
        "schema/reading-superseded.json",
        (),
    ),
    "reading-superseded-second": Declared(
        "schedules/readings/superseded-second.csv",
        "schema/reading-superseded.json",
        (),
    ),
    "captions": Declared(
        "schedules/readings/captions.csv",
        "schema/captions.json",
        ("source", "guide", "caption", "when_note_says"),
    ),
    "footnotes": Declared(
        "schedules/readings/footnotes.csv",
        "schema/footnotes.json",
        ("source", "guide", "caption", "form"),
    ),
    "lost-cells": Declared(
        "schedules/readings/lost-cells.csv",
        "schema/lost-cells.json",
        (
            "source",
            "reading",
            "guide",
            "caption",
            "method",
            "gauge",
            "pack",
            "jar",
            "altitude_from_ft",
            "option",
            "cell",
        ),
    ),
    "reading-pages-second": Declared(
        "schedules/readings/pages-second.csv",
        "schema/reading-pages.json",
        ("table", "key", "page"),
    ),
    "readers": Declared("schedules/readings/readers.csv", "schema/readers.json", ("reading", "source", "of_page")),
    "sources": Declared("shared/sources.csv", "schema/sources.json", ("id",)),
    "guides": Declared("shared/guides.csv", "schema/guides.json", ("source", "guide")),
    "altitude-bands": Declared(
        "shared/altitude-bands.csv",
        "schema/altitude-bands.json",
        ("source", "band_set", "altitude_from_ft"),
    ),
    "band-patterns": Declared(
        "shared/band-patterns.csv",
        "schema/band-patterns.json",
        ("source", "band_set", "pattern", "altitude_from_ft"),
    ),
    "jars": Declared("shared/jars.csv", "schema/jars.json", ("id",)),
    "jar-words": Declared("shared/jar-words.csv", "schema/jar-words.json", ("word", "jar")),
    "jar-rules": Declared("shared/jar-rules.csv", "schema/jar-rules.json", ("food", "jar", "source")),
    "packs": Declared("shared/packs.csv", "schema/packs.json", ("id",)),
    "pack-words": Declared("shared/pack-words.csv", "schema/pack-words.json", ("word",)),
    "gauges": Declared("shared/gauges.csv", "schema/gauges.json", ("id",)),
    "filler-words": Declared("shared/filler-words.csv", "schema/filler-words.json", ("word",)),
    "canners": Declared("shared/canners.csv", "schema/canners.json", ("id",)),
    "canner-words": Declared("shared/canner-words.csv", "schema/canner-words.json", ("word", "canner")),
    "head-words": Declared("shared/head-words.csv", "schema/head-words.json", ("word",)),
    "rules": Declared("shared/rules.csv", "schema/rules.json", ("id",)),
    "practice": Declared("shared/practice.csv", "schema/practice.json", ("id",)),
    "cautions": Declared("shared/cautions.csv", "schema/cautions.json", ("id",)),
    "exceptions": Declared(
        "shared/exceptions.csv",
        "schema/exceptions.json",
        ("check", "food", "form", "pack", "jar", "gauge", "minutes"),
    ),
}
"""Every table by its name in datapackage.json."""
GROUPS = ("fruit", "tomatoes", "vegetables", "meats-seafood", "pickles", "spreads")
"""The schedule tables, one per guide or part of one."""
DERIVED = ("answers", "names")
"""Tables made from the others, and held to them by a check."""
CHECKED = ("band-patterns", "superseded", "superseded-foods", "superseded-altitudes", "superseded-sources")
"""Tables that no answer is made from, so that asking does not pay for them."""


class Tables:
    """The tables of one package, each read when it is first asked for."""

    root: str

    not_recommended = Kept("schedules/not-recommended.csv", records.NotRecommended)
    foods = Kept("schedules/foods.csv", records.Food)
    aliases = Kept("schedules/aliases.csv", records.Alias)
    open_names = Kept("schedules/open-names.csv", records.OpenName)
    forms = Kept("schedules/forms.csv", records.Form)
    form_words = Kept("schedules/form-words.csv", records.FormWord)
    relations = Kept("schedules/relations.csv", records.Relation)
    headspace = Kept("schedules/headspace.csv", records.Headspace)
    yields = Kept("schedules/yields.csv", records.Yield)
    yield_relations = Kept("schedules/yield-relations.csv", records.YieldRelation)
    syrups = Kept("schedules/syrups.csv", records.Syrup)
    acid = Kept("schedules/acid.csv", records.Acid)
    conditions = Kept("schedules/conditions.csv", records.Condition)
    withheld = Kept("schedules/withheld.csv", records.Withheld)
    withheld_names = Kept("schedules/withheld-names.csv", records.WithheldName)
    sources = Kept("shared/sources.csv", records.Source)
    guides = Kept("shared/guides.csv", records.Guide)
    altitude_bands = Kept("shared/altitude-bands.csv", records.AltitudeBand)
    jars = Kept("shared/jars.csv", records.Jar)
    jar_words = Kept("shared/jar-words.csv", records.JarWord)
    jar_rules = Kept("shared/jar-rules.csv", records.JarRule)
    packs = Kept("shared/packs.csv", records.Pack)
    pack_words = Kept("shared/pack-words.csv", records.PackWord)
    gauges = Kept("shared/gauges.csv", records.Gauge)
    filler_words = Kept("shared/filler-words.csv", records.FillerWord)
    canners = Kept("shared/canners.csv", records.Canner)
    canner_words = Kept("shared/canner-words.csv", records.CannerWord)
    head_words = Kept("shared/head-words.csv", records.HeadWord)
    rules = Kept("shared/rules.csv", records.Rule)
    practice = Kept("shared/practice.csv", records.Practice)
    statements = Kept("shared/cautions.csv", records.Statement)
    exceptions = Kept("shared/exceptions.csv", records.Excused)
