"""Stillroom: tested home-canning schedules, answered from published rows or refused.

Examples
--------
>>> import stillroom
>>> answer = stillroom.find("snap beans", pack="raw", jar="quart", altitude="1650 ft", canner="dial")
>>> answer.options[0].minutes, answer.options[0].pressure_psi
(25, 11)
"""

from __future__ import annotations

from contextlib import nullcontext as _nullcontext
from functools import lru_cache as _lru_cache
from typing import TYPE_CHECKING
from typing import Any as _Any
from typing import TypeVar as _TypeVar

from stillroom.answers import question as _question
from stillroom.answers.answer import (
    AcidFor,
    Answer,
    Citation,
    Code,
    HeadspaceFor,
    NoTestedSchedule,
    Option,
    Process,
    SayWhich,
    Stated,
    Tested,
    Understood,
    UnknownFood,
)
from stillroom.answers.answer import written_by as _written_by
from stillroom.answers.lookup import Lookup as _Lookup
from stillroom.answers.question import Canner, Jar, Pack, Question
from stillroom.answers.shelf import Shelf as _Shelf
from stillroom.errors import BadInput, BadPackage, StillroomError
from stillroom.package.package import Package as _Package
from stillroom.package.records import Food, Practice, Withheld, Yield

if TYPE_CHECKING:
    import datetime
    import os
    from collections.abc import Callable, Iterable, Mapping
    from pathlib import Path

    from stillroom.answers.kitchen import Held, Kitchen, Taken
    from stillroom.answers.printed_table import FoodTable, PrintedCell
    from stillroom.answers.steam import Steam, SteamAt
    from stillroom.day.clock import Span
    from stillroom.day.day import Load, OwnTimes, Plan, Step
    from stillroom.day.day_record import OwnCanner
    from stillroom.day.handling import Handling
    from stillroom.day.loads import Capacity
    from stillroom.day.shopping import Choice, ToBuy
    from stillroom.day.timetable import DayFood, DayLoad, DayPlan, Week
    from stillroom.desk.comparison import Change, Comparison
    from stillroom.desk.strictness import ChangeKind
    from stillroom.desk.told import AnswersCompared, Told
    from stillroom.findings.finding import Finding, Report
    from stillroom.foreign.audited import Audit, AuditCell, AuditFinding, CellVerdict, Published, ReadYourself
    from stillroom.foreign.auditing import Auditor as _Auditor
    from stillroom.foreign.grid import Cell, Foreign, Grid, GridRow, Said
    from stillroom.frames.many import Many
    from stillroom.package.contents import ColumnInfo, TableInfo
    from stillroom.package.files import Stamp
    from stillroom.recipes.buying import Purchase
    from stillroom.recipes.fills import Fill, Filling
    from stillroom.recipes.own_yield import Made
    from stillroom.recipes.printed import (
        Amount,
        Batches,
        Direction,
        Ingredient,
        JarAcid,
        Per,
        RawFood,
        Recipe,
        RecipeStep,
        SyrupChoice,
    )
    from stillroom.run.batch import Batch
    from stillroom.run.judgement import Judgement
    from stillroom.run.log_about import AboutLog
    from stillroom.run.log_slips import Slip
    from stillroom.run.log_times import Clock
    from stillroom.run.noted import Noted, Verdict
    from stillroom.run.periods import Period, Stretch
    from stillroom.run.runlog import Event, RunLog
    from stillroom.run.verdict import Judged, Needs

__all__ = [
    "AboutLog",
    "AcidFor",
    "Amount",
    "Answer",
    "AnswersCompared",
    "Audit",
    "AuditCell",
    "AuditFinding",
    "BadInput",
    "BadPackage",
    "Batch",
    "Batches",
    "Canner",
    "Capacity",
    "Cell",
    "CellVerdict",
    "Change",
    "ChangeKind",
    "Citation",
    "Choice",
    "Clock",
    "Code",
    "ColumnInfo",
    "Comparison",
    "DayFood",
    "DayLoad",
    "DayPlan",
    "Direction",
    "Event",
    "Fill",
    "Filling",
    "Finding",
    "Food",
    "FoodTable",
    "Foreign",
    "Grid",
    "GridRow",
    "Handling",
    "HeadspaceFor",
    "Held",
    "Ingredient",
    "Jar",
    "JarAcid",
    "Judged",
    "Judgement",
    "Kitchen",
    "Load",
    "Made",
    "Needs",
    "NoTestedSchedule",
    "Noted",
    "Option",
    "OwnCanner",
    "Pack",
    "Per",
    "Period",
    "Plan",
    "Practice",
    "PrintedCell",
    "Process",
    "Published",
    "Purchase",
    "Question",
    "RawFood",
    "ReadYourself",
    "Recipe",
    "RecipeStep",
    "Report",
    "RunLog",
    "Said",
    "SayWhich",
    "Slip",
    "Span",
    "Stamp",
    "Stated",
    "Steam",
    "SteamAt",
    "Step",
    "StillroomError",
    "Stretch",
    "SyrupChoice",
    "TableInfo",
    "Taken",
    "Tested",
    "ToBuy",
    "Told",
    "Understood",
    "UnknownFood",
    "Verdict",
    "Week",
    "Withheld",
    "Yield",
    "audit",
    "check",
    "compare",
    "data_path",
    "find",
    "find_many",
    "foods",
    "judge",
    "kitchen",
    "plan",
    "plan_day",
    "plan_weeks",
    "reading_for",
    "recipe",
    "steam",
    "table",
    "tables",
    "withheld",
]

__version__ = "0.1.0"
_Frame = _TypeVar("_Frame")


_RESULTS = {
    "Amount": ("recipes.printed", ""),
    "AboutLog": ("run.log_about", "day"),
    "AnswersCompared": ("desk.told", ""),
    "Audit": ("foreign.audited", ""),
    "AuditCell": ("foreign.audited", ""),
    "AuditFinding": ("foreign.audited", ""),
    "CellVerdict": ("foreign.audited", ""),
    "Published": ("foreign.audited", ""),
    "ReadYourself": ("foreign.audited", ""),
    "Cell": ("foreign.grid", ""),
    "Foreign": ("foreign.grid", ""),
    "Grid": ("foreign.grid", ""),
    "GridRow": ("foreign.grid", ""),
    "Said": ("foreign.grid", ""),
    "Batch": ("run.batch", "day"),
    "Batches": ("recipes.printed", ""),
    "Capacity": ("day.loads", ""),
    "Change": ("desk.comparison", ""),
    "ChangeKind": ("desk.strictness", ""),
    "Choice": ("day.shopping", ""),
    "Clock": ("run.log_times", "day"),
    "ColumnInfo": ("package.contents", ""),
    "Comparison": ("desk.comparison", ""),
    "DayFood": ("day.timetable", ""),
    "DayLoad": ("day.timetable", ""),
    "DayPlan": ("day.timetable", ""),
    "Direction": ("recipes.printed", ""),
    "Event": ("run.runlog", "day"),
    "Fill": ("recipes.fills", ""),
    "Filling": ("recipes.fills", ""),
    "Finding": ("findings.finding", ""),
    "FoodTable": ("answers.printed_table", ""),
    "Handling": ("day.handling", ""),
    "Held": ("answers.kitchen", ""),
    "Ingredient": ("recipes.printed", ""),
    "JarAcid": ("recipes.printed", ""),
    "Judged": ("run.verdict", "day"),
    "Judgement": ("run.judgement", "day"),
    "Kitchen": ("answers.kitchen", ""),
    "Load": ("day.day", ""),
    "Made": ("recipes.own_yield", ""),
    "Needs": ("run.verdict", "day"),
    "Noted": ("run.noted", ""),
    "OwnCanner": ("day.day_record", ""),
    "Per": ("recipes.printed", ""),
    "Period": ("run.periods", "day"),
    "Plan": ("day.day", ""),
    "PrintedCell": ("answers.printed_table", ""),
    "Purchase": ("recipes.buying", ""),
    "RawFood": ("recipes.printed", ""),
    "Recipe": ("recipes.printed", ""),
    "RecipeStep": ("recipes.printed", ""),
    "Report": ("findings.finding", ""),
    "RunLog": ("run.runlog", "day"),
    "Slip": ("run.log_slips", "day"),
    "Span": ("day.clock", ""),
    "Stamp": ("package.files", ""),
    "Steam": ("answers.steam", ""),
    "SteamAt": ("answers.steam", ""),
    "Step": ("day.day", ""),
    "Stretch": ("run.periods", "day"),
    "SyrupChoice": ("recipes.printed", ""),
    "TableInfo": ("package.contents", ""),
    "Taken": ("answers.kitchen", ""),
    "ToBuy": ("day.shopping", ""),
    "Told": ("desk.told", ""),
    "Verdict": ("run.noted", ""),
    "Week": ("day.timetable", ""),
}
"""Types of results that are loaded when they are first asked for: module, and optional group of libraries it needs."""


def __dir__() -> list[str]:
    """List what is promised, and no more: the names in ``__all__``, and the version."""
    return sorted([*__all__, "__version__"])


def __getattr__(name: str) -> _Any:
    """Load a type of result; the module it stands in may change, its name here does not."""
    if name not in _RESULTS:
        raise AttributeError(f"module 'stillroom' has no attribute {name!r}")
    from importlib import import_module

    from stillroom import extras

    module, group = _RESULTS[name]
    try:
        with extras.needed(group) if group else _nullcontext():
            return getattr(import_module(f"stillroom.{module}"), name)
    except StillroomError as error:
        raise extras.NotInstalled(f"{name}: {error}") from None


@_lru_cache(maxsize=1)
def shelf() -> _Shelf:
    """Open the shelf of the installed data, once."""
    return _Shelf(_Package())


@_lru_cache(maxsize=1)
def lookup() -> _Lookup:
    """Open the lookup of the installed data, once."""
    return _Lookup(shelf())


_WITHOUT_SHELF = ("documents", "steam_document", "audit_document", "audit_report", "audit_corrected")
"""Writers that need nothing but the result."""


def _written(writer: str) -> Callable[[_Any], _Any]:
    """Write a result out with what stands above the answers and is loaded when something is to be shown."""

    def write(result: _Any) -> _Any:
        from importlib import import_module

        module, name = writer.split(":")
        written = getattr(import_module(f"stillroom.sheets.{module}"), name)
        return written(result) if module in _WITHOUT_SHELF else written(result, shelf())

    return write


_written_by(
    text=_written("answer_sheet:answer_sheet"),
    html=_written("answer_table:answer_table"),
    document=_written("documents:answer"),
    refusal=_written("documents:refusal"),
    say_which=_written("documents:say_which"),
    table_document=_written("documents:table"),
    table_text=_written("table_sheet:table_sheet"),
    audit_text=_written("audit_sheet:audit_sheet"),
    audit_document=_written("audit_document:document"),
    audit_report=_written("audit_report:report"),
    audit_corrected=_written("audit_corrected:write"),
    steam_document=_written("steam_document:document"),
    steam_text=_written("steam_sheet:steam_sheet"),
)


def find(
    food: str,
    *,
    jar: Jar | str | None = None,
    altitude: object = None,
    canner: Canner | str | None = None,
    pack: Pack | str | None = None,
    form: str | None = None,
    kitchen: Kitchen | str | os.PathLike[str] | None = None,
) -> Answer:
    """Find the tested schedule for one food, packed one way, in one jar, in one canner, at one altitude.

    People's words are understood, and what was understood is said back. What is left out is never assumed: where the
    publication gives several answers, :class:`SayWhich` holds them all.

    Parameters
    ----------
    food : str
        Any name of it; case, number and the order of words do not matter. A misspelling gets suggestions, never a
        guess. What must not be canned is refused whatever else is said.
    jar : Jar or str, optional
        ``half-pint``, ``12-ounce``, ``pint``, ``pint-and-half``, ``quart`` or ``half-gallon``, or words like
        ``"16 oz"``. Needed for an answer.
    altitude : str or pint quantity, optional
        With its unit, like ``"1650 ft"`` or ``"503 m"``, or ``"sea level"``. Below sea level counts as the lowest
        band. Needed for an answer.
    canner : Canner or str, optional
        ``boiling-water``, ``dial``, ``weighted`` or ``steam`` (an atmospheric steam canner, by a derived rule), or
        words like ``"water bath"``; left out, or said only as ``"pressure canner"``: each that is tested.
    pack : Pack or str, optional
        ``hot`` or ``raw``; leave it out where the publication names no pack. Left out elsewhere: the only pack that is
        tested, or else each.
    form : str, optional
        Where the publication separates forms, like ``with-bones``.
    kitchen : Kitchen or path, optional
        Fills altitude and canner where they are left out; see :func:`kitchen`. None: no kitchen file is read.

    Returns
    -------
    Answer
        With at least one option: minutes, psi, headspace in inches, acid and conditions, each with the publication and
        the page it stands on.

    Raises
    ------
    BadInput
        The question cannot be understood, or jar or altitude is left out.
    SayWhich
        Food, form, pack, canner or jar is left open, and several are tested.
    NoTestedSchedule
        Nobody has tested it, or a publication says not to do it.
    BadPackage
        The data are damaged or missing.
    """
    if kitchen is not None:
        from stillroom.answers import kitchen as kitchens

        said = {"food": food, "jar": jar, "altitude": altitude, "canner": canner, "pack": pack, "form": form}
        return kitchens.answered(said, kitchens.given(kitchen, shelf()), shelf(), find)[0]
    _question.speakable(food=food, jar=jar, altitude=altitude, canner=canner, pack=pack, form=form)
    return lookup().find(_question.Question(food, jar, altitude, canner, pack, form))


def find_many(
    frame: _Frame,
    *,
    jar: Jar | str | None = None,
    altitude: str | None = None,
    canner: Canner | str | None = None,
    pack: Pack | str | None = None,
    form: str | None = None,
) -> _Frame:
    """Find the tested schedule for every row of a data frame, as :func:`find` does for one question.

    Parameters
    ----------
    frame : pandas, polars, Arrow, DuckDB, Dask or Spark frame
        With a column ``food``, an altitude (``altitude_ft`` or ``altitude_m``, numbers; or ``altitude``, text with its
        unit) and, as far as they differ from row to row, ``jar``, ``canner``, ``pack`` and ``form`` in words. A blank
        or missing cell is left out. Other columns are kept. Needs the optional group ``frames``.
    jar, altitude, canner, pack, form : str, optional
        What is asked in every row, in place of a column.

    Returns
    -------
    frame
        Of the same kind, in the same order, one row for each of equal options, the longest time first; all columns of
        the question, and after them:

        - ``at_ft``: the altitude that was understood, feet.
        - ``food_id``, ``form_id``, ``pack_id``, ``jar_id``, ``canner_id``: what was understood, ids of this package;
          missing where the publication names none, or nothing is known.
        - ``result``: ``tested``; the code of the refusal; ``say-which`` where something was left open and ``find``
          would ask back; ``bad-input`` where it cannot be understood. Only rows that say ``tested`` may be used.
        - ``option``: 1 and up for equal options; ``minutes`` of the process; ``pressure_psi``, psi above the air
          outside; ``vent_min``, minutes a pressure canner is vented before; ``headspace_in``, inches. Missing where
          there is none.
        - ``acid``, ``requires``, ``cautions``, ``by_rule``, ``follows``, ``source``, ``page``: as in
          ``schedules/answers.csv``: acid in words, ids of statements and rules, and what is cited.
        - ``reason``: why there is no answer, in one sentence that holds for every altitude of the row's band.

        DuckDB and polars run at once; Dask and Spark keep their own laziness and answer each part where it lies.

    Raises
    ------
    BadInput
        No data frame; no column ``food``, or none for the altitude; a column of another type, or one that the answer
        adds. What is wrong in a single row is said in its ``result``.
    StillroomError
        The optional group ``frames`` is not installed.
    BadPackage
        The data are damaged or missing.
    """
    from stillroom import extras

    said = {"jar": jar, "altitude": altitude, "canner": canner, "pack": pack, "form": form}
    for name, value in said.items():
        if value is not None:
            _question.text(name, value, '"quart"' if name == "jar" else '"1650 ft"' if name == "altitude" else '"dial"')
    with extras.needed("frames"):
        answered: _Frame = _many().answered(frame, said, find_many)
        return answered


@_lru_cache(maxsize=1)
def _many() -> Many:
    from stillroom.frames.many import Many

    return Many(lookup())


def foods(text: str | None = None, *, group: str | None = None) -> tuple[Food, ...]:
    """List the foods that have a tested schedule.

    Parameters
    ----------
    text : str, optional
        Words to look for in ids, titles and other names; names spelled nearly so if none has them. Best first.
    group : str, optional
        ``fruit``, ``tomatoes``, ``vegetables``, ``meats-seafood``, ``pickles`` or ``spreads``.

    Returns
    -------
    tuple of Food
        With id, title, group, acidity, source id and page; in the order of foods.csv where no words were given. Empty:
        nothing is called so, or nearly so.

    Raises
    ------
    BadInput
        Empty words, or no such group.
    BadPackage
        The data are damaged or missing.
    """
    said = None if text is None else _question.text("the words to look for:", text, '"corn"')
    among = None if group is None else _question.text("group", group, '"vegetables"')
    return lookup().foods(said, among)


def table(food: str, altitude: object = None) -> FoodTable:
    """Show every cell that is printed for a food.

    Parameters
    ----------
    food : str
        As for :func:`find`.
    altitude : str or pint quantity, optional
        With its unit, to see the bands of that height alone.

    Returns
    -------
    FoodTable
        With ``.cells``: minutes, psi, band in feet, source id, page; what is printed as not recommended is told apart.

    Raises
    ------
    BadInput
        The question cannot be understood.
    SayWhich
        The name stands for several foods.
    NoTestedSchedule
        It must not be canned, has no process, or nothing is called so.
    BadPackage
        The data are damaged or missing.
    """
    from stillroom.answers import altitude as heights
    from stillroom.answers.printed_table import printed

    _question.speakable(food=food, altitude=altitude)
    meaning = shelf().names.meaning(food, shelf().cite)
    return printed(shelf(), meaning, None if altitude is None else heights.read(altitude).feet)


def audit(
    handout: object,
    *,
    at: object = None,
    canner: str | None = None,
    pack: str | None = None,
    jar: str | None = None,
    sheet: str | None = None,
    columns: str | os.PathLike[str] | Mapping[str, Mapping[str, str]] | None = None,
    names: str | os.PathLike[str] | Mapping[str, str] | None = None,
    missing: bool = False,
) -> Audit:
    """Hold a table that somebody else wrote against what is published, cell by cell.

    What is not understood is ``unread``, never a guess and never ``untested``.

    Parameters
    ----------
    handout : str, path, or data frame
        A file: CSV, TSV, text in columns, Markdown, HTML or .xlsx; or a pandas, polars or Arrow frame.
    at : str or pint quantity, optional
        Altitude with its unit: only what holds there is judged.
    canner, pack, jar : str, optional
        What holds for the whole table, where it does not say so itself.
    sheet : str, optional
        Name of the sheet of a workbook; all by default.
    columns : path or mapping, optional
        What each column is, where the guess was wrong: a YAML file as ``Audit.columns`` has it, or its
        ``columns`` as a mapping.
    names : path or mapping, optional
        Foods by names of your own: a CSV file with the columns ``name`` and ``food``, or a mapping.
    missing : bool, optional
        Whether to tell, too, what is published and not in the table.

    Returns
    -------
    Audit
        With ``.ok``, ``.findings`` (each with its page), ``.cells``, ``.counts``, ``.reading``; prints itself as text.

    Raises
    ------
    BadInput
        The file cannot be read, has no table, or its columns cannot be understood.
    BadPackage
        The data are damaged or missing.
    """
    from stillroom.foreign import asked

    given = asked.given(shelf(), _auditor().words, at=at, said=(canner, pack, jar), columns=columns, names=names)
    foreign, path = asked.opened(handout, sheet)
    return _auditor().audit(foreign, given._replace(missing=missing))._replace(path=path)


@_lru_cache(maxsize=1)
def _auditor() -> _Auditor:
    from stillroom.foreign.auditing import Auditor
    from stillroom.package import contents

    return Auditor(lookup(), contents.version(shelf().package.root))


def withheld(words: str | None = None) -> tuple[Withheld, ...]:
    """List what must not be canned, and what people ask for that no publication here gives a process for.

    Parameters
    ----------
    words : str, optional
        Words to look for in titles and names, in any number. Where none has them all, what :func:`find` refuses under
        these words, as where more words stand around a name.

    Returns
    -------
    tuple of Withheld
        With title, code, reason, what to do instead, source id and page.

    Raises
    ------
    BadInput
        Empty words.
    BadPackage
        The data are damaged or missing.
    """
    said = None if words is None else _question.text("the words to look for:", words, '"garlic"')
    return shelf().names.withheld_with(said)


def reading_for(option: Option, reads_high_by: object) -> float:
    """Say what a dial must show for a schedule, when the gauge is off.

    Parameters
    ----------
    option : Option
        A schedule for a dial gauge, from :func:`find`.
    reads_high_by : str or pint quantity
        With its unit, like ``"0.5 psi"``; negative for a gauge that reads low.

    Returns
    -------
    float
        Psi on the dial: the exact sum where the gauge reads high. Where it reads low, the printed pressure: an
        adjustment is then possible, but not needed (page 1-20).

    Raises
    ------
    BadInput
        A boiling-water or weighted schedule, a figure without its unit, or a gauge more than 2 psi off either way,
        which must be replaced (page 1-20).
    """
    from stillroom.day import gauge

    if not isinstance(option, Option):
        raise BadInput(f"option {_question.shown(option)} is not a schedule: take one of the options that find() gives")
    _question.speakable(reads_high_by=reads_high_by)
    return gauge.reading_for(option, reads_high_by, shelf())


def kitchen(path: str | os.PathLike[str] | None = None) -> Kitchen:
    """Read a kitchen file: altitude, canners, gauge, jars held and weights, said once (schema/kitchen.json).

    Parameters
    ----------
    path : str or path, optional
        The file; by default ``kitchen.toml`` in the current folder, else in the folder for settings of the user.

    Returns
    -------
    Kitchen
        To be handed to :func:`find` and :func:`plan`; nothing reads a kitchen file unasked.

    Raises
    ------
    BadInput
        No such file, or a key or value that does not fit; names file and key.
    BadPackage
        The data are damaged or missing.
    """
    from stillroom.answers import kitchen as kitchens
    from stillroom.package import kitchen_file

    file = kitchen_file.found() if path is None else _question.path(kitchen_file.WHAT, path)
    if file is None:
        raise BadInput(kitchens.none_found())
    return kitchens.read(file, shelf())


def plan(
    food: str,
    *,
    jars: int | str | None = None,
    jar: Jar | str,
    altitude: object = None,
    canner: Canner | str | None = None,
    pack: Pack | str | None = None,
    form: str | None = None,
    holds: int | str | None = None,
    option_minutes: int | str | None = None,
    gauge_reads_high_by: object = None,
    gauge_tested: str | datetime.date | None = None,
    start: str | None = None,
    on: str | datetime.date | None = None,
    kitchen: Kitchen | str | os.PathLike[str] | None = None,
    pounds: float | str | None = None,
    bushels: float | str | None = None,
    variety: str | None = None,
    heating_min: int | str | None = None,
    season: str | os.PathLike[str] | None = None,
) -> Plan:
    """Plan a canning day: loads, raw food, water, and a clock for each load, every figure with its page.

    Exactly one of ``jars``, ``pounds`` and ``bushels`` is said.

    Parameters
    ----------
    food : str
        As for :func:`find`.
    jars : int or str, optional
        Jars in all, a whole number from 1 to 1,000.
    jar : Jar or str
        As for :func:`find`.
    altitude : str or pint quantity, optional
        As for :func:`find`; may be left out where the kitchen says it.
    canner : Canner or str, optional
        As for :func:`find`; may be left out where the kitchen says it.
    pack : Pack or str, optional
        As for :func:`find`.
    form : str, optional
        As for :func:`find`.
    holds : int or str, optional
        Jars the canner holds. By default as printed (page 1-17): seven quarts or nine pints; needed for other jars, and
        for a steam canner, of which nothing is printed. A pressure canner holds at most seven quarts, or eighteen pints
        in two layers.
    option_minutes : int or str, optional
        Which of several equal options, by its minutes; the first printed, at the lowest pressure, by default.
    gauge_reads_high_by : str or pint quantity, optional
        Error of the dial gauge, like ``"0.5 psi"``; negative for one that reads low.
    gauge_tested : str or date, optional
        Day the gauge was last tested; more than a year ago gives a caution (page 1-20).
    start : str, optional
        Time of day of the first heat on, like ``"08:00"``.
    on : str or date, optional
        Day of the canning, to judge the age of the gauge test by; today by default.
    kitchen : Kitchen or path, optional
        Fills what is left out: altitude, canner, jars held, gauge and its test, and which option there is a weight for;
        see :func:`kitchen`. None: no kitchen file is read. What came from it stands in ``Plan.taken``.
    pounds, bushels : float or str, optional
        Raw food in place of jars, like ``40``, ``"12.5"`` or ``"1/2"``. The printed yields give a range of jars, in
        ``Plan.filling``; loads are planned for the most of it. Where none is printed, as for pickles and jams, the
        recipe's own yield does, in whole batches: ``Plan.made``.
    variety : str, optional
        As for :func:`recipe`: where a recipe tells varieties apart and its own yield is needed.
    heating_min : int or str, optional
        Minutes in which your steam canner is full of steam: needed for one, since no page prints them.

    season : str or path, optional
        A season log: from three loads in this canner and jar on, their times for heating, coming up and cooling stand
        in place of the printed ranges, and the plan says so. What the publication fixes stays.

    Returns
    -------
    Plan
        Loads, purchases in pounds, water, and clocks in minutes. Each figure carries the page of the publication
        it stands on, but for rules of thumb, which stand apart in ``Plan.practice`` and have no source.

    Raises
    ------
    BadInput
        A question or figure that cannot be understood, a canner that holds more than is printed, or raw food of which
        no yield is printed for this jar.
    SayWhich
        As for :func:`find`.
    NoTestedSchedule
        As for :func:`find`.
    BadPackage
        The data are damaged or missing.
    """
    from stillroom.answers import kitchen as kitchens
    from stillroom.day import asked

    _question.speakable(
        jars=jars,
        pounds=pounds,
        bushels=bushels,
        variety=variety,
        heating_min=heating_min,
        holds=holds,
        option_minutes=option_minutes,
        gauge_reads_high_by=gauge_reads_high_by,
        gauge_tested=gauge_tested,
        start=start,
        on=on,
    )
    own = kitchens.given(kitchen, shelf())
    said = {"food": food, "jar": jar, "altitude": altitude, "canner": canner, "pack": pack, "form": form}
    figures = {
        "holds": holds,
        "option_minutes": option_minutes,
        "gauge_reads_high_by": gauge_reads_high_by,
        "gauge_tested": gauge_tested,
    }
    amount = {"jars": jars, "pounds": pounds, "bushels": bushels, "variety": variety, "heating_min": heating_min}
    times = None if season is None else _own_times(_question.path("season log", season))
    return asked.planned(said, figures, {**amount, "start": start, "on": on}, own, shelf(), find, times)


def _own_times(folder: str) -> Callable[[str, str], OwnTimes]:
    """Read a season log for the times of a canner."""
    from stillroom import extras

    with extras.needed("day"):
        from stillroom.run import own_clock, season
    entries = season.read(folder, shelf().rules)
    return lambda canner, jar: own_clock.lent(entries, canner, jar)


def plan_day(path: str | os.PathLike[str], *, kitchen: Kitchen | str | os.PathLike[str] | None = None) -> DayPlan:
    """Plan a canning day of several foods, canners and burners, by its record.

    Foods are taken in the order given. A canner and a burner do one load at a time; each food is prepared before its
    first load, and a canner is turned round between two loads, in the minutes that the record says.

    Parameters
    ----------
    path : str or path
        Record of the day (YAML, schema/day.json).
    kitchen : Kitchen or path, optional
        Fills what the record leaves out: altitude, jars held, the dial gauge and its test, and which option there is a
        weight for; see :func:`kitchen`. None: no kitchen file is read.

    Returns
    -------
    DayPlan
        Each load with its canner, its burner and its clock in minutes from the start of the day, each step with its
        page; each food as :func:`plan` gives it; and one list to buy, with its pages.

    Raises
    ------
    BadInput
        The record cannot be understood; names file, and line or food.
    SayWhich
        As for :func:`find`, of one of the foods.
    NoTestedSchedule
        As for :func:`find`, of one of the foods.
    BadPackage
        The data are damaged or missing.
    StillroomError
        The optional group ``day`` is not installed.
    """
    from stillroom import extras
    from stillroom.answers import kitchen as kitchens

    with extras.needed("day"):
        from stillroom.day import day_record, timetable

        own = kitchens.given(kitchen, shelf())
        return timetable.plan(day_record.read(_question.path("day record", path), shelf()), own, shelf(), find)


def plan_weeks(
    path: str | os.PathLike[str], *, kitchen: Kitchen | str | os.PathLike[str] | None = None
) -> tuple[Week, ...]:
    """Plan the canning of several weeks, by their record: hours, jars and lids of each.

    Parameters
    ----------
    path : str or path
        Record of the weeks (YAML, schema/day.json, with ``weeks`` in place of ``foods``).
    kitchen : Kitchen or path, optional
        As for :func:`plan_day`.

    Returns
    -------
    tuple of Week
        In the order given, each with its foods as those of one day, in minutes, and the pages of every figure.

    Raises
    ------
    BadInput
        As for :func:`plan_day`.
    SayWhich
        As for :func:`find`, of one of the foods.
    NoTestedSchedule
        As for :func:`find`, of one of the foods.
    BadPackage
        The data are damaged or missing.
    StillroomError
        The optional group ``day`` is not installed.
    """
    from stillroom import extras
    from stillroom.answers import kitchen as kitchens

    with extras.needed("day"):
        from stillroom.day import day_record, timetable

        own = kitchens.given(kitchen, shelf())
        records = day_record.read_weeks(_question.path("day record", path), shelf())
        return tuple(timetable.Week(name, timetable.plan(record, own, shelf(), find)) for name, record in records)


def recipe(
    food: str,
    jars: int | str | None = None,
    jar: Jar | str | None = None,
    *,
    pack: Pack | str | None = None,
    variety: str | None = None,
    column: str | None = None,
    without: str | Iterable[str] | None = None,
) -> Recipe:
    """Give the recipe of a food, as printed or for so many jars, in whole printed batches.

    Parameters
    ----------
    food : str
        As for :func:`find`.
    jars : int or str, optional
        Jars to fill, a whole number up to 10,000; needs ``jar``.
    jar : Jar or str, optional
        As for :func:`find`.
    pack : Pack or str, optional
        ``hot`` or ``raw``: only what belongs to one pack.
    variety : str, optional
        Where a recipe tells varieties apart, like ``apricots``.
    column : str, optional
        Where a recipe is printed for several sizes, the one to take, like ``one-quart``.
    without : str or iterable of str, optional
        Optional ingredients to leave out; anything that must stay is refused. None: nothing is left out.

    Returns
    -------
    Recipe
        Acid per jar, ingredients, steps, headspace in inches, what may and may never be changed, with pages. Amounts
        are in US measure; ``ingredient.amount.quantity`` is a pint quantity.

    Raises
    ------
    BadInput
        The question cannot be understood.
    SayWhich
        The name stands for several foods.
    NoTestedSchedule
        Not tested in this jar or pack, withheld, or a change that the publication does not allow.
    StillroomError
        PyYAML is not installed.
    BadPackage
        The data are damaged or missing.
    """
    from stillroom.recipes import scaling
    from stillroom.recipes.recipe_question import Wanted

    _question.speakable(food=food, jars=jars, jar=jar, pack=pack, variety=variety, column=column)
    return scaling.recipe(shelf(), Wanted(food, jars, jar, pack, variety, column, without))


def judge(path: str) -> Judgement:
    """Judge a canner load: whether this batch got its schedule, by its record and the log of its run.

    Parameters
    ----------
    path : str
        Batch record (YAML, schema/batch.json), which names the log of the run (CSV).

    Returns
    -------
    Judgement
        With ``verdict`` (``delivered``, ``short``, ``unproven`` or ``no verdict``), ``reasons``, the stretch that
        counts in minutes, ``cautions`` and what to do next, each with the page of the publication it stands on.

    Raises
    ------
    BadInput
        The record or the log cannot be understood; names file and line.
    SayWhich
        The record leaves open what several answers differ in.
    NoTestedSchedule
        Nobody has tested what the record says was canned.
    BadPackage
        The data are damaged or missing.
    StillroomError
        The optional group ``day`` is not installed.
    """
    from stillroom import extras

    with extras.needed("day"):
        from stillroom.run import judgement

        return judgement.judge(_question.path("batch record", path), lookup())


def steam(altitude: object, psi: object = None) -> Steam:
    """Say how hot saturated, air-free steam is at a gauge pressure and an altitude. For understanding; no schedule.

    Steam by IAPWS R7-97(2012), air by the U.S. Standard Atmosphere, 1976. Air that stays in a canner makes its steam
    cooler than that (venting, page 1-20). Minutes and pressure of a process come from :func:`find`, never from here.

    Parameters
    ----------
    altitude : str or pint quantity
        With its unit, like ``"5000 ft"`` or ``"503 m"``, or ``"sea level"``.
    psi : str or pint quantity, optional
        True pressure above the air outside, with its unit: ``"11 psi"``, ``"75 kPa"`` or ``"0.8 bar"``; from -15 to 30
        psi. Left out: 0 psi, and each whole psi from 5 to 15.

    Returns
    -------
    Steam
        Temperatures in degrees Fahrenheit, the pressure of the air outside in psi, the temperature of boiling water,
        and the gauge pressures at which steam is 240 and 250 degF there; its cautions carry the page they stand on.

    Raises
    ------
    BadInput
        An altitude or a pressure that cannot be read, has no unit, or is not within reason.
    BadPackage
        The data are damaged or missing.
    StillroomError
        The optional group ``day`` is not installed.
    """
    from stillroom import extras
    from stillroom.answers import steam as steam_table

    _question.speakable(altitude=altitude, psi=psi)
    with extras.needed("day"):
        return steam_table.steam(altitude, psi, shelf().rules)


def check(path: str | None = None, against: str | None = None) -> Report:
    """Check a data package: its structure, its times and pressures, its sources, its two readings.

    Parameters
    ----------
    path : str, optional
        Folder that holds datapackage.json; the installed data by default.
    against : str, optional
        An older version: a git ref of the repository that holds the package, a folder, or a wheel or zip file. Each
        change that makes a schedule weaker is a finding, unless its source changes with it and CHANGELOG.md names it.

    Returns
    -------
    Report
        With ``.ok`` and ``.findings``.

    Raises
    ------
    BadInput
        No such folder, or no datapackage.json in it; no such version.
    BadPackage
        The older version is damaged.
    """
    from stillroom import extras
    from stillroom.findings import second_process
    from stillroom.package.package import home

    extras.complete("check", extras.CHECK)
    root = home() if path is None else _question.path("package", path)
    older = None if against is None else _question.path("version", against)
    with second_process.started() as process:  # before the tables are loaded, which takes as long as what it loads
        from stillroom.findings import checks
        from stillroom.findings.checks import structure
        from stillroom.findings.opened import CheckedPackage

        package = CheckedPackage(root)
        if process is not None:
            structure.ahead(package, process)
        report = checks.report(package)
    if older is None:
        return report
    from stillroom.desk import gate

    held = gate.verdict(root, older)
    return report.joined(held.findings, gate.NAME, held.announced)


def compare(old: str, new: str | None = None) -> Comparison:
    """Compare two versions of the package, cell by cell.

    Parameters
    ----------
    old, new : str
        A folder, a wheel or zip file, or a git ref: of the repository that holds ``new``, where that is a folder, else
        of the one this folder stands in. ``new`` is the installed data by default.

    Returns
    -------
    Comparison
        With ``.changes``, each of a kind: weaker, added, withdrawn, stronger or wording; each with its source and page.

    Raises
    ------
    BadInput
        No such version.
    BadPackage
        A version is damaged.
    """
    import os

    from stillroom.desk.comparison import compare_versions
    from stillroom.package.package import home
    from stillroom.package.versions import open_version

    before = _question.path("version", old)
    root = home() if new is None else _question.path("version", new)
    beside = root if os.path.isdir(root) else "."
    with open_version(before, beside) as older, open_version(root, beside) as newer:
        return compare_versions(older, newer)


def tables() -> tuple[TableInfo, ...]:
    """List the tables of the installed package: what answers are made from, what is made of them, and readings.

    Returns
    -------
    tuple of TableInfo
        In the order of datapackage.json, each with name, title, description, the path of its CSV file and its columns,
        whose names and descriptions carry the units. Made once, then kept.

    Raises
    ------
    BadPackage
        The descriptor or a schema is damaged or missing.
    """
    from stillroom.package import contents

    return contents.tables()


def data_path(name: str | None = None) -> Path:
    """Say where the data lie, for a program that reads them by itself.

    Parameters
    ----------
    name : str, optional
        Name of a table, like ``answers``; :func:`tables` lists them. Left out: the folder with datapackage.json,
        schedules/, shared/ and schema/.

    Returns
    -------
    pathlib.Path
        Of the folder, or of the CSV file of the table. Beside the library where it is installed; in the checkout where
        the library stands in one. Only to be read: the next version of the package replaces it.

    Raises
    ------
    BadInput
        No table is called so; names those that come near.
    BadPackage
        The descriptor or a schema is damaged or missing.
    """
    from pathlib import Path

    from stillroom.package import contents
    from stillroom.package.package import home

    return Path(home()) if name is None else contents.file_of(_question.text("table", name, '"answers"'))
