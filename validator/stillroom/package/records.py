"""Records: one frozen type per table that answers are made from, with the columns of its schema in their order.

Made by ``made.py`` from datapackage.json and schema/; not to be edited. Annotations are read by the loader: ``Text`` is
never blank, ``Blank`` may be, ``int | None`` and ``float | None`` are None where the cell is blank. They are evaluated
here, as a name in quotes would have to be compiled each time asking begins.
"""

from typing import Annotated, NamedTuple

Text = Annotated[str, "Text"]
Blank = Annotated[str, "Blank"]


class Schedule(NamedTuple):
    """One row per published cell: food, pack, jar, canner and altitude band, with the process time in minutes and the
    pressure in psi (schema/schedule.json).
    """

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
    """Cells in which a table prints "not recommended" in place of a pressure, with the time printed beside them. Shown
    with an answer, never an answer (schema/not-recommended.json).
    """

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
    """Every food with a tested schedule of its own or by relation (schema/foods.json).

    Attributes
    ----------
    id : str
        Food id.
    title : str
        Title, after the section of the publication.
    group : str
        Table the food belongs to.
    acidity : str
        acid (pH 4.6 or lower by itself or by fermentation), acidified (only with the acid its recipe adds), or
        low-acid.
    source : str
        Source id, as in sources.csv.
    page : str
        Printed page of the source, like 4-8 or p. 31; web: the source has no printed pages.
    """

    id: Text
    title: Text
    group: Text
    acidity: Text
    source: Text
    page: Text


class Alias(NamedTuple):
    """Other names of foods; compared without case, accents or punctuation. A name means one food only
    (schema/aliases.json).
    """

    alias: Text
    food: Text
    form: Blank
    pack: Blank


class OpenName(NamedTuple):
    """Names that may mean any of several foods, one row for each. Asked by such a name, the answer asks which one is
    meant (schema/open-names.json).
    """

    name: Text
    food: Text
    form: Blank


class Form(NamedTuple):
    """Forms of one food for which the publication prints separate times (schema/forms.json)."""

    food: Text
    form: Text
    title: Text
    source: Text
    page: Text


class FormWord(NamedTuple):
    """Words people use for a form of one food (schema/form-words.json)."""

    food: Text
    word: Text
    form: Text


class Relation(NamedTuple):
    """Foods that the publication sends to the process of another food (schema/relations.json)."""

    food: Text
    follows: Text
    pack: Blank
    source: Text
    page: Text


class Headspace(NamedTuple):
    """Headspace, inches, by food and where printed by variety, pack and jar (schema/headspace.json)."""

    food: Text
    variety: Blank
    pack: Blank
    jar: Blank
    headspace_in: float
    source: Text
    page: Text


class Yield(NamedTuple):
    """Pounds of raw food per canner load or container, and how many jars they fill (schema/yields.json).

    Attributes
    ----------
    food : str
        Food id, as in foods.csv.
    variety : str
        Variety or ingredient the weight is for; blank: the food itself.
    basis : str
        What the weight is of.
    pounds_from : float
        Weight, pounds (lowest printed).
    pounds_to : float
        Weight, pounds (highest printed).
    jars_from : int
        Jars filled (lowest printed).
    jars_to : int
        Jars filled (highest printed).
    jar : str
        Jar size.
    source : str
        Source id, as in sources.csv.
    page : str
        Printed page of the source, like 4-8 or p. 31.
    note : str
        How the food is weighed, or that the weight is about; blank: nothing is printed.
    """

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
    """Foods whose section prints no quantity and sends to the section of another food, whose yields then hold
    (schema/yield-relations.json).
    """

    food: Text
    follows: Text
    source: Text
    page: Text


class Syrup(NamedTuple):
    """Sugar syrups for packing fruit: cups of water and sugar for a canner load. The 9-pint amount also does for 4
    quarts (schema/syrups.json).
    """

    syrup: Text
    title: Text
    sugar_percent: int
    load: Text
    water_cup: float
    sugar_cup: float
    source: Text
    page: Text


class Acid(NamedTuple):
    """Acid without which a schedule does not hold: in each jar, in the recipe, or in a dip or soak. Several rows for
    one food and jar in the same group are alternatives (schema/acid.json).
    """

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


class Condition(NamedTuple):
    """Which statement of cautions.csv belongs to which food, form, pack, jar and canner (schema/conditions.json)."""

    food: Text
    form: Blank
    pack: Blank
    jar: Blank
    canner: Blank
    statement: Text
    source: Text
    page: Text


class Withheld(NamedTuple):
    """What a publication says not to can, and what people ask for under a name that no published process covers
    (schema/withheld.json).

    Attributes
    ----------
    id : str
        Id.
    title : str
        What is not recommended, or has no process.
    code : str
        Code of the refusal. withheld: a publication says not to can it. no-process: people ask for it, and no
        publication here gives a process.
    kind : str
        food, form or practice.
    reason : str
        Why, in one sentence.
    instead : str
        What the publication offers instead; blank: nothing.
    source : str
        Source id, as in sources.csv.
    page : str
        Printed page of the source, like 4-8 or p. 31; web: the source has no pages.
    """

    id: Text
    title: Text
    code: Text
    kind: Text
    reason: Text
    instead: Blank
    source: Text
    page: Text


class WithheldName(NamedTuple):
    """Names people use for what is withheld (schema/withheld-names.json)."""

    alias: Text
    withheld: Text


class Source(NamedTuple):
    """The publications every figure is cited from (schema/sources.json)."""

    id: Text
    author: Text
    title: Text
    series: Blank
    edition: Text
    short: Blank
    publisher: Text
    address: Blank
    licence: Text
    amends: Blank


class Guide(NamedTuple):
    """The parts of a source, with their first and last printed page and the table they fill (schema/guides.json)."""

    source: Text
    guide: int
    title: Text
    table: Text
    first_page: Text
    last_page: Text


class AltitudeBand(NamedTuple):
    """The sets of altitude bands of each publication, feet. A band starts just above the one before it: 1,000.5 ft is
    in the band from 1,001. A publication that prints meters has them beside the feet that they become
    (schema/altitude-bands.json).
    """

    source: Text
    band_set: Text
    altitude_from_ft: int
    altitude_to_ft: int | None
    altitude_from_m: int | None
    altitude_to_m: int | None


class Jar(NamedTuple):
    """Jar sizes (schema/jars.json)."""

    id: Text
    title: Text
    plural: Text
    abbreviation: Text
    volume_fl_oz: int
    source: Text
    page: Text


class JarWord(NamedTuple):
    """Words a jar size is said with: measures, numbers, words that say no size, and jars that are none here
    (schema/jar-words.json).
    """

    word: Text
    jar: Blank
    kind: Text
    amount: float | None
    withheld: Blank


class JarRule(NamedTuple):
    """Published rules that carry the time of one jar size to another (schema/jar-rules.json)."""

    food: Blank
    jar: Text
    takes: Text
    source: Text
    page: Text
    statement: Text


class Pack(NamedTuple):
    """Styles of pack (schema/packs.json)."""

    id: Text
    title: Text
    source: Text
    page: Text


class PackWord(NamedTuple):
    """Words people use for a pack (schema/pack-words.json)."""

    word: Text
    pack: Text


class Gauge(NamedTuple):
    """Gauges of pressure canners (schema/gauges.json)."""

    id: Text
    title: Text
    source: Text
    page: Text


class FillerWord(NamedTuple):
    """Words that people put around the name of a food; left out where the name is not known with them. None may tell
    one food from another (garden huckleberries are no huckleberries) (schema/filler-words.json).
    """

    word: Text


class Canner(NamedTuple):
    """Canners one can ask for (schema/canners.json)."""

    id: Text
    title: Text
    method: Text
    gauge: Blank
    by_rule: Blank
    source: Text
    page: Text


class CannerWord(NamedTuple):
    """Words people use for a canner, and for what they use in place of one (schema/canner-words.json)."""

    word: Text
    canner: Blank
    kind: Text
    withheld: Blank


class HeadWord(NamedTuple):
    """Words that stand in the heads, titles and empty cells of tables of other people, and what they say of the column
    or cell. Used by the audit alone; no answer stands on them (schema/head-words.json).
    """

    word: Text
    means: Text


class Rule(NamedTuple):
    """General rules of the publication that are not a schedule (schema/rules.json)."""

    id: Text
    value: Blank
    unit: Blank
    statement: Text
    source: Text
    page: Text


class Practice(NamedTuple):
    """Rules of thumb for the canning day: common practice without a source. They are shown beside a plan and never
    decide anything (schema/practice.json).

    Attributes
    ----------
    id : str
        Id of the rule of thumb.
    value : str
        Figure or range.
    unit : str
        Unit of the figure.
    canner : str
        Canner it is for, as in canners.csv; blank: any pressure canner.
    statement : str
        The rule of thumb in one sentence.
    standing : str
        What it stands on: nothing printed.
    """

    id: Text
    value: Blank
    unit: Blank
    canner: Blank
    statement: Text
    standing: Text


class Statement(NamedTuple):
    """Statements that answers carry: must (without it the schedule does not hold), caution, or note
    (schema/cautions.json).
    """

    id: Text
    kind: Text
    text: Text
    carries: Text


class Excused(NamedTuple):
    """Published rows that a check would otherwise call wrong, each with its page. One that excuses nothing is itself a
    finding (schema/exceptions.json).
    """

    check: Text
    food: Text
    form: Blank
    pack: Blank
    jar: Blank
    gauge: Blank
    minutes: int | None
    headspace_in: float | None
    statement: Text
    source: Text
    page: Text
