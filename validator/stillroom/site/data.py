"""Data: everything the page's script answers from, as one script with one assignment.

No rule is left to the script: which combination has which options in which band, and why one is refused, is asked of
the library here, once for each, and written down. What stands often (citations, sentences, options, reasons) stands
once and is named by its place. The same package makes the same bytes.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterable, Iterator
from fractions import Fraction
from functools import cached_property
from typing import Any

from stillroom.answers import conditions, derived, earlier, refusal
from stillroom.answers.answer import AcidFor, Citation, NoTestedSchedule, Option, Stated
from stillroom.answers.charts import Combination, Left
from stillroom.answers.lookup import Lookup
from stillroom.answers.names import Meaning
from stillroom.answers.shelf import Shelf
from stillroom.answers.stems import bag, plain
from stillroom.answers.wording import height
from stillroom.answers.words import PACKS
from stillroom.errors import BadPackage
from stillroom.package import files
from stillroom.package.records import Food
from stillroom.screen import printable
from stillroom.sheets import documents

NAME = "stillroomData"
"""Global name that the script assigns the data to."""
HEIGHT = "{height}"
"""Stands in a reason for the altitude that was asked."""
_PACK_ASKED = (None, "", *PACKS)
"""What may be said of the pack: nothing, that there is none, and each."""
_OTHER_FORM = "another form"
"""A form that no food has, for a reason that is asked with the form of another food."""
_OF_CANNER, _OF_PACK = ("method-unsafe", "canner-not-tested"), ("pack-not-tested",)
"""Codes of reasons that depend on the canner alone, and on the canner and the pack."""
_NOTHING = -1
"""Stands for a place that is not taken."""
Row = list[Any]


class _Pool:
    """Values that stand once, in the order in which they were first met."""

    def __init__(self) -> None:
        self.values: list[Any] = []
        self._places: dict[str, int] = {}

    def at(self, value: Any) -> int:
        """Give the place of a value."""
        place = self._places.setdefault(json.dumps(value), len(self.values))
        if place == len(self.values):
            self.values.append(value)
        return place


class _Pools:
    """What is named by its place, made from what the library answers."""

    def __init__(self, shelf: Shelf) -> None:
        self._shelf = shelf
        self.sources = [
            [one.id, one.author, one.title, one.series, one.edition, one.short] for one in shelf.package.sources
        ]
        self._source_ids = [one.id for one in shelf.package.sources]
        self.cited, self.stated, self.acids = _Pool(), _Pool(), _Pool()
        self.facts, self.options, self.refusals = _Pool(), _Pool(), _Pool()

    def citation(self, cited: Citation | None) -> int:
        return _NOTHING if cited is None else self.cited.at([self._source_ids.index(cited.id), cited.page])

    def sentence(self, said: Stated | None) -> int:
        if said is None:
            return _NOTHING
        text = self._sterilizing if said.id == conditions.STERILIZE else said.text
        return self.stated.at([text, said.page, self.citation(said.source)])

    @cached_property
    def _sterilizing(self) -> list[Any]:
        """Cut the sentence whose minutes grow with the altitude into what stands before them, their least, the rest."""
        words, higher = (conditions.sterilizing(self._shelf, feet).text.split(" ") for feet in (0.0, 1_000.0))
        at = next(place for place, word in enumerate(words) if word != higher[place])
        return [" ".join(words[:at]), int(words[at]), " ".join(words[at + 1 :])]

    def acid(self, needed: AcidFor) -> int:
        others = [self.acid(other) for other in needed.alternatives]
        told = [needed.acid, needed.quantity, needed.unit, needed.per, needed.jar, needed.use, needed.note]
        return self.acids.at([*told, self.citation(needed.source), others])

    def option(self, found: Option) -> int:
        facts = self.facts.at(
            [
                found.headspace_in,
                [list(row) for row in found.headspace],
                [self.sentence(said) for said in found.requires],
                self.sentence(found.vent),
                self.sentence(found.by_rule),
                [self.sentence(said) for said in found.cautions],
                [self.acid(needed) for needed in found.acid],
            ]
        )
        process = [found.minutes, found.pressure_psi, found.altitude_from_ft, found.altitude_to_ft]
        return self.options.at([*process, self.citation(found.source), list(found.not_recommended), facts])

    def reason(self, food: Food, error: NoTestedSchedule, feet: float | None = None, *, taken: bool = False) -> int:
        """Place a refusal without the title it begins with; ``taken``: it is of the canner whose rows are taken."""
        before, text = f"{printable(food.title)}: ", error.reason
        if not text.startswith(before):
            raise BadPackage(f'a refusal of {food.id} does not begin with its title: "{text[:60]}"')
        told = text[len(before) :]
        if feet is not None:
            told = told.replace(height(feet), HEIGHT)
        return self.refusals.at([error.code, told, self.citation(error.source), int(taken)])


class _Table:
    """Rows of one food: each combination that is looked up in a printed row, with what holds in its bands."""

    def __init__(self, lookup: Lookup, pools: _Pools, food: Food) -> None:
        self._lookup, self._pools, self._food = lookup, pools, food
        self._shelf = lookup.shelf
        self._chart = self._shelf.chart_of(food.id)
        own = (row.form for row in self._shelf.package.forms if row.food == food.id)
        self.forms = list(dict.fromkeys([*(at.form for at in self._chart), *own]))
        self._jars, self._canners = list(self._shelf.jars), list(self._shelf.canners)

    # rows

    def rows(self) -> Iterator[Row]:
        """Give printed rows first, in the order of the chart, then those that a rule makes of them."""
        for at in (*self._chart, *(at for at in self._every() if at not in self._chart)):
            printed = self._printed(at)
            if printed is not None:
                yield [*self._place(at), int(at in self._chart), *self._bands(at, printed)]

    def _place(self, at: Combination) -> list[int]:
        packs = _PACK_ASKED.index(at.pack)
        return [self.forms.index(at.form), packs, self._jars.index(at.jar), self._canners.index(at.canner)]

    def _every(self) -> Iterator[Combination]:
        for form in self.forms:
            for pack in ("", *PACKS):
                for jar in self._jars:
                    for canner in self._canners:
                        yield Combination(form, pack, jar, canner)

    def _printed(self, at: Combination) -> Combination | None:
        """Printed row that a combination is looked up in; None where there is none."""
        taken = self._taken(at)
        if taken in self._chart:
            return taken
        rule = self._shelf.jar_rule(self._food.id, at.jar)
        carried = None if rule is None else taken._replace(jar=rule.takes)
        return carried if carried in self._chart else None

    def _taken(self, at: Combination) -> Combination:
        return at._replace(canner=derived.TAKES) if self._shelf.canners[at.canner].by_rule else at

    def _bands(self, at: Combination, printed: Combination) -> Iterator[Any]:
        """Upper limit of each band with its options, or its refusal; last a refusal where the table ends."""
        bands = self._chart[printed]
        for band in bands:
            inside = band.from_ft + 1 if band.to_ft is None else band.to_ft
            yield band.to_ft
            yield self._held(at, float(inside))
        last = bands[-1].to_ft
        if last is not None:
            yield self._held(at, last + 1.0)

    def _held(self, at: Combination, feet: float) -> list[int] | int:
        """Places of the options at a height; the place of a refusal instead."""
        food, taken = self._food.id, self._taken(at)
        try:
            return [self._pools.option(option) for option in self._lookup.options(food, at, feet)]
        except NoTestedSchedule as error:
            said, of_taken = error, False
        if taken != at:
            try:
                self._lookup.options(food, taken, feet)
            except NoTestedSchedule:
                of_taken = True
        return self._pools.reason(self._food, said, feet, taken=of_taken)

    def earlier(self) -> Iterator[Row]:
        """Give each combination without a row for which a superseded leaflet gave a process, and what is said of it."""
        for at in self._every():
            if self._printed(at) is None and self._taken(at) == at:
                method = self._shelf.canners[at.canner].method
                said = earlier.of_way(self._shelf.package, self._food.id, at, method, self._shelf.cite)
                if said is not None:
                    yield [*self._place(at), self._pools.sentence(said)]

    # reasons

    def reasons(self) -> Row:
        """Why a combination without a row is refused: by canner, pack, form, jar, and whether the jar was left out.

        What a reason does not depend on is left out: a canner is refused whatever the pack, a pack whatever the jar.
        """
        return [self._of_canner(canner) for canner in self._canners]

    def _of_canner(self, canner: str) -> Any:
        any_so = self._why(Combination("", "", self._jars[0], canner), None, None, None)
        if self._code(any_so) in _OF_CANNER:
            return any_so
        return _one_or_all([self._of_pack(canner, pack) for pack in _PACK_ASKED])

    def _of_pack(self, canner: str, pack: str | None) -> Any:
        any_so = self._why(Combination("", pack or "", self._jars[0], canner), None, pack, None)
        if self._code(any_so) in _OF_PACK:
            return any_so
        asked: Iterable[str | None] = (None, _OTHER_FORM, *self.forms)
        return _one_or_all([self._of_form(canner, pack, form) for form in asked])

    def _code(self, reason: int) -> str:
        return str(self._pools.refusals.values[reason][0])

    def _of_form(self, canner: str, pack: str | None, form: str | None) -> Any:
        return _one_or_all([self._of_jar(canner, pack, form, jar) for jar in self._jars])

    def _of_jar(self, canner: str, pack: str | None, form: str | None, jar: str) -> Any:
        at = Combination(form or "", pack or "", jar, canner)
        if None not in (pack, form) and self._printed(at) is not None:
            return _NOTHING
        return _one_or_all([self._why(at, form, pack, said) for said in (jar, None)])

    def _why(self, at: Combination, form: str | None, pack: str | None, jar: str | None) -> int:
        about: Left = {"form": form, "pack": pack, "jar": jar, "canner": at.canner}
        why = refusal.why_untested(self._shelf, self._food.id, self._taken(at), about)
        error = NoTestedSchedule(why.code, why.reason, why.source)
        if self._taken(at) != at:
            error = derived.reworded(error, at.canner)
        return self._pools.reason(self._food, error)


def _one_or_all(values: list[Any]) -> Any:
    """Give what all values are; the values where they differ."""
    return values[0] if all(value == values[0] for value in values) and not isinstance(values[0], list) else values


class _Foods:
    """The foods of a package, and every name."""

    def __init__(self, shelf: Shelf, pools: _Pools) -> None:
        self._shelf, self._pools, self._lookup = shelf, pools, Lookup(shelf)
        self._package = shelf.package
        self.ids, self._jars = list(shelf.foods), list(shelf.jars)
        self.tables, self.reasons, self.carried = _Pool(), _Pool(), _Pool()
        self.forms = list(dict.fromkeys(row.form for row in self._package.forms))
        self._open = {row.name for row in self._package.open_names}
        self._tested = shelf.names.every_tested()
        self._sources = [one.id for one in shelf.package.sources]

    def foods(self) -> Iterator[Row]:
        for food in self._shelf.foods.values():
            table = _Table(self._lookup, self._pools, food)
            carried = [[jar, self._carried(food, jar)] for jar in self._jars if self._carried(food, jar)]
            yield [
                food.id,
                food.title,
                food.acidity,
                int(plain(food.id) in self._open),
                self._sources.index(food.source),
                self._pools.sentence(conditions.follows(self._shelf, food.id)),
                table.forms,
                [row.form for row in self._package.forms if row.food == food.id],
                [[row.word, row.form] for row in self._package.form_words if row.food == food.id],
                self._captions(food),
                self._other_kinds(food),
                self.carried.at(carried),
                self.tables.at(list(table.rows())),
                self.reasons.at(table.reasons()),
                list(table.earlier()),
            ]

    def _carried(self, food: Food, jar: str) -> str:
        rule = self._shelf.jar_rule(food.id, jar)
        return "" if rule is None else rule.takes

    def _captions(self, food: Food) -> list[str]:
        """Words of the captions of a food that stand in none of its names."""
        named = (name for name, found in self._tested.items() if found[0].food == food.id)
        cells = (cell for cell in self._package.schedules(food.group) if cell.food == food.id)
        captions = {plain(cell.caption) for cell in cells}
        return sorted(frozenset().union(*map(bag, captions)) - frozenset().union(*map(bag, named)))

    def _other_kinds(self, food: Food) -> list[Row]:
        """Say of each pack why it is not tested for a kind of the food that is tested in the other one."""
        kinds = []
        for pack in {found.pack for of_name in self._tested.values() for found in of_name if found.food == food.id}:
            for other in PACKS:
                if pack not in ("", other):
                    kinds.append([pack, other, *self._other_kind(food, pack, other)])
        return sorted(kinds)

    def _other_kind(self, food: Food, pack: str, other: str) -> tuple[str, int]:
        at = Combination("", other, self._jars[0], derived.TAKES)
        error = refusal.other_kind(self._shelf, Meaning(food.id, "", pack, "?"), at, None)
        return error.reason.removeprefix("?"), self._pools.citation(error.source)

    # names

    def meanings(self) -> tuple[_Pool, str, list[int]]:
        """Give the meanings, all names, and for each its meaning, twice its place, one more where it is not said back.

        A name that stands for several foods stands several times, one after the other.
        """
        pool, names, means = _Pool(), [], []
        for name, found in self._tested.items():
            for meaning in found:
                form = self.forms.index(meaning.form) if meaning.form else _NOTHING
                place = pool.at([self.ids.index(meaning.food), form, _PACK_ASKED.index(meaning.pack)])
                names.append(meaning.said or name)
                means.append(2 * place + int(not meaning.said))
                if plain(names[-1]) != name:
                    raise BadPackage(f'the name "{name}" is said back as another: "{meaning.said}"')
        return pool, _lines(names), means

    def withheld(self) -> Iterator[Row]:
        for entry in self._package.withheld:
            refused = self._shelf.names.refused(entry.id, self._shelf.cite)
            cited = self._pools.citation(refused.source)
            told = self._pools.sentence(refused.earlier)
            yield [entry.id, entry.title, entry.code, int(entry.kind == "practice"), refused.reason, cited, told]


def _lines(words: Iterable[str]) -> str:
    said = list(words)
    if any("\n" in word for word in said):
        raise BadPackage("a name has two lines")
    return "\n".join(said)


def _exactly(amount: float | None) -> str:
    return "0" if amount is None else str(Fraction(str(amount)))


def _words(shelf: Shelf) -> dict[str, Any]:
    """Words for jars, canners, packs and forms."""
    package, entries = shelf.package, [entry.id for entry in shelf.package.withheld]

    def withheld(which: str) -> int:
        return entries.index(which) if which else _NOTHING

    return {
        "jars": [[jar.id, jar.title, jar.plural, jar.abbreviation, jar.volume_fl_oz] for jar in package.jars],
        "canners": [[one.id, one.title, derived.TAKES if one.by_rule else ""] for one in package.canners],
        "formTitles": list({row.form: row.title for row in package.forms}.items()),
        "jarWords": [
            [row.word, row.jar, row.kind, _exactly(row.amount), withheld(row.withheld)] for row in package.jar_words
        ],
        "cannerWords": [
            [row.word, row.canner, withheld(row.withheld)] for row in package.canner_words if row.kind == "word"
        ],
        "cannerFillers": [row.word for row in package.canner_words if row.kind == "filler"],
        "packWords": [[row.word, row.pack] for row in package.pack_words],
        "fillers": [row.word for row in package.filler_words],
    }


def document(shelf: Shelf) -> dict[str, Any]:
    """Lay out all that the script needs, as plain values.

    Parameters
    ----------
    shelf : Shelf
        The package to answer from.

    Returns
    -------
    dict
        Minutes, psi, feet and inches as in schema/answer.json; lists of values by their places, as ``shelf.js`` of
        the script reads them.

    Raises
    ------
    BadPackage
        The package contradicts itself, so that nothing can be answered from it.
    """
    pools = _Pools(shelf)
    foods = _Foods(shelf, pools)
    laid, withheld = list(foods.foods()), list(foods.withheld())
    meanings, names, means = foods.meanings()
    refused = shelf.names.every_withheld()
    entries = [entry[0] for entry in withheld]
    return {
        "version": documents.VERSION,
        "standing": pools.sentence(shelf.standing),
        "ventMin": shelf.rules.whole(conditions.VENT),
        "gaugeLimitPsi": shelf.rules.whole("gauge-adjust-limit"),
        "vents": [pools.sentence(conditions.venting(shelf, which)) for which in ("the canner", "a pressure canner")],
        "sources": pools.sources,
        "cited": pools.cited.values,
        "stated": pools.stated.values,
        "acids": pools.acids.values,
        "facts": pools.facts.values,
        "options": pools.options.values,
        "refusals": pools.refusals.values,
        "carried": foods.carried.values,
        "tables": foods.tables.values,
        "reasons": foods.reasons.values,
        "foods": laid,
        "forms": foods.forms,
        "meanings": meanings.values,
        "names": names,
        "means": means,
        "withheld": withheld,
        "withheldNames": _lines(refused),
        "withheldMeans": [entries.index(which) for which in refused.values()],
        **_words(shelf),
    }


def script(shelf: Shelf) -> str:
    """Write the data as a script: one assignment of JSON.

    Nothing in it can end a script element or a line: ``<``, ``>``, ``&`` and the line ends of Unicode stand as escapes.

    Raises
    ------
    BadPackage
        As :func:`document`.
    """
    return f'"use strict";\nglobalThis.{NAME} = {literal(document(shelf))};\n'


def literal(value: Any) -> str:
    """Write a value as JSON that may stand in a script element and in a script of any encoding (ECMA-404, HTML)."""
    written = json.dumps(value, ensure_ascii=True, separators=(",", ":"), allow_nan=False)
    for sign in "<>&":
        written = written.replace(sign, f"\\u{ord(sign):04x}")
    return written


def page_scripts(names: Iterable[str] | None = None) -> dict[str, str]:
    """Read the scripts of the page by their names, in the order in which they are loaded.

    Parameters
    ----------
    names : iterable of str, optional
        Those to read; :data:`ORDER` by default.

    Returns
    -------
    dict
        Text by name.

    Raises
    ------
    BadPackage
        One of them is missing.
    """
    folder = os.path.join(os.path.dirname(__file__), "script")
    try:
        return {name: files.read(os.path.join(folder, name), _LARGEST).decode() for name in names or ORDER}
    except (OSError, files.Unread) as error:
        raise BadPackage(f"a script of the page cannot be read: {error}") from None


_LARGEST = 2**20
"""Bytes of a script; larger ones are none of ours."""
ORDER = (
    "letters.js",
    "outcomes.js",
    "numbers.js",
    "stems.js",
    "withheld_names.js",
    "likeness.js",
    "nearness.js",
    "names.js",
    "jar_sizes.js",
    "words.js",
    "altitude.js",
    "shelf.js",
    "refusal.js",
    "lookup.js",
    "understanding.js",
    "which.js",
    "answered.js",
    "told.js",
    "timer.js",
    "ask.js",
)
"""Scripts of the page, each after those it stands on. The data may be loaded before or after them."""
AUDIT_ORDER = (
    "audit_notation.js",
    "audit_spans.js",
    "audit_figures.js",
    "audit_facets.js",
    "audit_foods.js",
    "audit_layout.js",
    "audit_columns.js",
    "audit_claims.js",
    "audit_options.js",
    "audit_judged.js",
    "audit_amounts.js",
    "audit_amounts_held.js",
    "audit_looks.js",
    "audit_titles.js",
    "audit_found.js",
    "audit_corrections.js",
    "audit_marks.js",
    "audit_auditing.js",
    "audit_grid.js",
    "audit_delimited.js",
    "audit_wraps.js",
    "audit_pipes.js",
    "audit_inline.js",
    "audit_ruled.js",
    "audit_gutters.js",
    "audit_typed.js",
    "audit_tags.js",
    "audit_markup.js",
    "audit_forms.js",
    "audit_told.js",
    "audit.js",
)
"""Scripts of the page that audits a pasted table, after those of :data:`ORDER`; no other page needs them."""
