"""Answer rows: every question this package can be asked, with its answer, as rows of one table, and every name.

What is written to ``schedules/answers.csv`` and ``schedules/names.csv`` is made here and nowhere else. One filter on a
row answers a question: no rule, relation or band is left to whoever reads them. Asking does not load this module.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from stillroom.answers import conditions
from stillroom.answers.answer import NoTestedSchedule, Option
from stillroom.answers.charts import Combination
from stillroom.answers.derived import TAKES
from stillroom.answers.lookup import Lookup
from stillroom.answers.names import Meaning
from stillroom.answers.shelf import Shelf
from stillroom.package.records import JarRule

ANSWERS, NAMES = "schedules/answers.csv", "schedules/names.csv"
TESTED = "tested"
"""What ``result`` says where there is an answer; else it is the code of the refusal."""


class AnswerRow(NamedTuple):
    """One combination, one band of altitudes and one of its equal options, or a refusal.

    Attributes
    ----------
    food, form, pack, jar, canner : str
        Ids; ``form`` and ``pack`` blank where the publication names none.
    above_ft, to_ft : int or None
        It holds above the one (exclusive) and up to the other (inclusive), feet; None: no limit on that side.
    option : int or None
        1, 2 and so on for equal options, the longest time first; None for a refusal.
    result : str
        ``tested``, or the code of the refusal.
    minutes, pressure_psi : int or None
        Process time, minutes, and canner pressure, psi (None in boiling water and steam).
    headspace_in : float or None
        Inches; None where the publication tells varieties apart or prints none.
    acid : str
        What acid each jar or batch needs, in words; blank where none.
    requires, cautions : str
        Ids of statements and rules, with a space between.
    by_rule : str
        Ids of the rules that carry a printed row to this jar or canner, with a space between.
    follows : str
        Food whose process it takes; blank where it has its own.
    source, page : str
        What is cited; of a refusal only where a publication says so.
    """

    food: str
    form: str
    pack: str
    jar: str
    canner: str
    above_ft: int | None
    to_ft: int | None
    option: int | None
    result: str
    minutes: int | None
    pressure_psi: int | None
    headspace_in: float | None
    acid: str
    requires: str
    cautions: str
    by_rule: str
    follows: str
    source: str
    page: str


class NameRow(NamedTuple):
    """One meaning of a name, folded as :func:`stillroom.answers.stems.plain` folds it.

    Attributes
    ----------
    name : str
        Lower case, no accents, words with one space between them.
    food, form, pack : str
        What it means: a food, its form where the name says it, and the only pack that is tested for this kind of it.
        All blank where the name is of something withheld.
    withheld, result : str
        Id of what is withheld and the code of its refusal; blank for a food.
    """

    name: str
    food: str
    form: str
    pack: str
    withheld: str
    result: str


def answer_rows(shelf: Shelf, foods: Iterable[str] | None = None) -> Iterator[AnswerRow]:
    """Answer every combination of foods, forms, packs, jars and canners, in each band of altitudes.

    Parameters
    ----------
    shelf : Shelf
    foods : iterable of str, optional
        Food ids; all foods by default, in their order.

    Raises
    ------
    BadPackage
        The package contradicts itself, so that nothing can be answered from it.
    """
    lookup = Lookup(shelf)
    for food in shelf.foods if foods is None else foods:
        for at in _combinations(shelf, food):
            yield from _rows(lookup, food, at)


def name_rows(shelf: Shelf) -> Iterator[NameRow]:
    """Give every name with each of its meanings, in the order of the names; what is withheld wins over what is tested.

    Parameters
    ----------
    shelf : Shelf
    """
    withheld, tested = shelf.names.every_withheld(), shelf.names.every_tested()
    codes = {row.id: row.code for row in shelf.package.withheld}
    for name in sorted({*withheld, *tested}):
        if name in withheld:
            yield NameRow(name, "", "", "", withheld[name], codes[withheld[name]])
        else:
            yield from sorted(_of_food(name, meaning) for meaning in tested[name])


def written(rows: Iterable[tuple[object, ...]], columns: Iterable[str]) -> str:
    """Write rows as the package's CSV files are written.

    Parameters
    ----------
    rows : iterable of tuple
        Values; None is a blank cell.
    columns : iterable of str
        Their names, for the head.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(columns)
    writer.writerows([_cell(value) for value in row] for row in rows)
    return out.getvalue()


def tables(shelf: Shelf) -> dict[str, str]:
    """Make both tables of one package: their texts by file.

    Raises
    ------
    BadPackage
        As :func:`answer_rows`.
    """
    return {
        ANSWERS: written(answer_rows(shelf), AnswerRow._fields),
        NAMES: written(name_rows(shelf), NameRow._fields),
    }


def _cell(value: object) -> object:
    return "" if value is None else f"{value:g}" if isinstance(value, float) else value


def _of_food(name: str, meaning: Meaning) -> NameRow:
    return NameRow(name, meaning.food, meaning.form, meaning.pack, "", "")


# which questions there are


def _combinations(shelf: Shelf, food: str) -> Iterator[Combination]:
    """Everything that can be asked of one food with nothing left open.

    A pack can be named of any food, and is left out only where the publication has none.
    """
    rows = shelf.chart_of(food)
    for form in dict.fromkeys(at.form for at in rows):
        named = any(at.pack for at in rows if at.form == form)
        for pack in (*(() if named else ("",)), *(pack.id for pack in shelf.package.packs)):
            for jar in shelf.jars:
                for canner in shelf.canners:
                    yield Combination(form, pack, jar, canner)


def _edges(shelf: Shelf, food: str, canner: str) -> list[int]:
    """Upper limits, feet, of all bands of a food in the canner whose rows are taken for this one."""
    takes = _taken(shelf, canner)
    charts = (bands for at, bands in shelf.chart_of(food).items() if at.canner == takes)
    return sorted({band.to_ft for bands in charts for band in bands if band.to_ft is not None})


def _taken(shelf: Shelf, canner: str) -> str:
    return TAKES if shelf.canners[canner].by_rule else canner


# from answers to rows


def _rows(lookup: Lookup, food: str, at: Combination) -> Iterator[AnswerRow]:
    """Rows of one combination: neighboring heights with one and the same answer are one row."""
    edges: list[int | None] = [*_edges(lookup.shelf, food, at.canner), None]
    held: list[tuple[int | None, int | None, tuple[AnswerRow, ...]]] = []
    for low, high in zip([None, *edges], edges, strict=False):
        height = (low or 0) + 1 if high is None else high
        said = tuple(_answered(lookup, food, at, float(height)))
        if held and held[-1][2] == said:
            held[-1] = (held[-1][0], high, said)
        else:
            held.append((low, high, said))
    for low, high, rows in held:
        yield from (_placed(row, low, high) for row in rows)


def _placed(row: AnswerRow, low: int | None, high: int | None) -> AnswerRow:
    return row._replace(above_ft=low, to_ft=high)


def _answered(lookup: Lookup, food: str, at: Combination, altitude_ft: float) -> Iterator[AnswerRow]:
    """Rows of one combination at one height. ``above_ft`` and ``to_ft`` are still those of the printed band."""
    shelf = lookup.shelf
    try:
        options = lookup.options(food, at, altitude_ft)
    except NoTestedSchedule as refusal:
        nothing = AnswerRow(food, *at, None, None, None, refusal.code, None, None, None, "", "", "", "", "", "", "")
        yield (
            nothing if refusal.source is None else nothing._replace(source=refusal.source.id, page=refusal.source.page)
        )
        return
    for place, option in enumerate(options, 1):
        yield _tested(shelf, food, at, place, option)


def _tested(shelf: Shelf, food: str, at: Combination, place: int, option: Option) -> AnswerRow:
    owner = shelf.owner(food)
    return AnswerRow(
        food,
        *at,
        above_ft=option.altitude_from_ft,
        to_ft=option.altitude_to_ft,
        option=place,
        result=TESTED,
        minutes=option.minutes,
        pressure_psi=option.pressure_psi,
        headspace_in=option.headspace_in,
        acid=" ".join(stated.text for stated in option.requires if stated.id == conditions.ACID),
        requires=_ids(stated.id for stated in option.requires),
        cautions=_ids(stated.id for stated in option.cautions),
        by_rule=_ids(_rules(shelf, food, at)),
        follows="" if owner == food else owner,
        source=option.source.id,
        page=option.page,
    )


def _ids(ids: Iterable[str]) -> str:
    return " ".join(dict.fromkeys(ids))


def _rules(shelf: Shelf, food: str, at: Combination) -> Iterator[str]:
    """Name the rules that carry a printed row to this jar and canner."""
    derived = shelf.canners[at.canner].by_rule
    rule = shelf.jar_rule(food, at.jar)
    printed = at._replace(canner=_taken(shelf, at.canner))
    if rule is not None and printed not in shelf.chart_of(food):
        yield rule_name(rule)
    if derived:
        yield derived


def rule_name(rule: JarRule) -> str:
    """Name a jar rule, which has no id of its own: ``half-pint-takes-pint``, with its food where it is for one only."""
    return "-".join(part for part in (rule.food, rule.jar, "takes", rule.takes) if part)
