"""Records: one frozen type per table, with the columns of its schema in schema/ and in the same order.

Annotations are read by the loader: ``Text`` is never blank, ``Blank`` may be, ``int | None`` and ``float | None`` are
None where the cell is blank.
"""

from __future__ import annotations

from typing import NamedTuple

Text = str
Blank = str


class Schedule(NamedTuple):
    """One published cell (schema/schedule.json). Altitudes in feet, minutes, pressure in psi above the air outside."""

    food: Text
    form: Blank
    pack: Blank
    jar: Text
    method: Text
    gauge: Blank
    altitude_from_ft: int
    altitude_to_ft: int | None
    minutes: int
    pressure_psi: int | None
    source: Text
    page: Text
    caption: Text
    note: Blank


class NotRecommended(NamedTuple):
    """A cell printed as not recommended, with the time printed beside it (schema/not-recommended.json)."""

    food: Text
    form: Blank
    pack: Blank
    jar: Text
    method: Text
    gauge: Blank
    altitude_from_ft: int
    altitude_to_ft: int | None
    minutes: int
    source: Text
    page: Text
    caption: Text
    note: Blank


class Food(NamedTuple):
    """One food (schema/foods.json)."""

    id: Text
    title: Text
    group: Text
    acidity: Text
    source: Text
    page: Text


class Alias(NamedTuple):
    """A name people use (schema/aliases.json)."""

    alias: Text
    food: Text
    form: Blank
    pack: Blank


class Form(NamedTuple):
    """A form with its own times (schema/forms.json)."""

    food: Text
    form: Text
    title: Text
    source: Text
    page: Text


class Relation(NamedTuple):
    """A food sent to the process of another (schema/relations.json)."""

    food: Text
    follows: Text
    pack: Blank
    source: Text
    page: Text


class Headspace(NamedTuple):
    """Headspace in inches (schema/headspace.json)."""

    food: Text
    variety: Blank
    pack: Blank
    jar: Blank
    headspace_in: float
    source: Text
    page: Text


class Yield(NamedTuple):
    """Pounds of raw food and the jars they fill (schema/yields.json)."""

    food: Text
    variety: Blank
    basis: Text
    pounds_from: float
    pounds_to: float
    jars_from: int
    jars_to: int
    jar: Text
    source: Text
    page: Text
    note: Blank


class YieldRelation(NamedTuple):
    """A food whose section sends to the yields of another (schema/yield-relations.json)."""

    food: Text
    follows: Text
    source: Text
    page: Text


class Acid(NamedTuple):
    """Acid without which a schedule does not hold (schema/acid.json)."""

    food: Text
    jar: Blank
    acid: Text
    quantity: float
    unit: Text
    per: Text
    use: Text
    any_of: Blank
    note: Blank
    source: Text
    page: Text


class Syrup(NamedTuple):
    """A syrup for packing fruit, for one canner load (schema/syrups.json). US cups."""

    syrup: Text
    title: Text
    sugar_percent: int
    load: Text
    water_cup: float
    sugar_cup: float
    source: Text
    page: Text


class Condition(NamedTuple):
    """Which statement belongs to which food (schema/conditions.json)."""

    food: Text
    form: Blank
    pack: Blank
    jar: Blank
    canner: Blank
    statement: Text
    source: Text
    page: Text


class Statement(NamedTuple):
    """A statement that answers carry (schema/cautions.json): must, caution or note."""

    id: Text
    kind: Text
    text: Text
    carries: Text


class Withheld(NamedTuple):
    """What a publication says not to can, or gives no process for (schema/withheld.json)."""

    id: Text
    title: Text
    code: Text
    kind: Text
    reason: Text
    instead: Blank
    source: Text
    page: Text


class WithheldName(NamedTuple):
    """A name of what is withheld (schema/withheld-names.json)."""

    alias: Text
    withheld: Text


class Source(NamedTuple):
    """A publication (schema/sources.json)."""

    id: Text
    author: Text
    title: Text
    series: Blank
    edition: Text
    short: Blank
    publisher: Text
    address: Blank
    licence: Text


class Jar(NamedTuple):
    """A jar size (schema/jars.json)."""

    id: Text
    title: Text
    plural: Text
    abbreviation: Text
    volume_fl_oz: int
    source: Text
    page: Text


class JarRule(NamedTuple):
    """A published rule that carries a time to another jar (schema/jar-rules.json)."""

    food: Blank
    jar: Text
    takes: Text
    source: Text
    page: Text
    statement: Text


class Canner(NamedTuple):
    """A canner one can ask for (schema/canners.json)."""

    id: Text
    title: Text
    method: Text
    gauge: Blank
    by_rule: Blank
    source: Text
    page: Text


class Rule(NamedTuple):
    """A general rule of the publication (schema/rules.json)."""

    id: Text
    value: Blank
    unit: Blank
    statement: Text
    source: Text
    page: Text


class AltitudeBand(NamedTuple):
    """A band of one of the four sets the tables use, feet (schema/altitude-bands.json)."""

    band_set: Text
    altitude_from_ft: int
    altitude_to_ft: int | None


class Practice(NamedTuple):
    """A rule of thumb: common practice, no source (schema/practice.json)."""

    id: Text
    value: Blank
    unit: Blank
    canner: Blank
    statement: Text
    standing: Text
