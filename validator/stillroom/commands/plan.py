"""``stillroom plan``: a canning day before it begins, of one food, or of several by a record."""

from __future__ import annotations

import argparse
import os

import stillroom
from stillroom import extras
from stillroom.commands import BAD_INPUT, DONE
from stillroom.commands import arguments as common
from stillroom.errors import BadInput
from stillroom.screen import printable

EXAMPLES = (
    ('stillroom plan snap beans --jars 14 --jar quart --pack raw --altitude "1650 ft" --canner dial', DONE),
    ('stillroom plan peaches --pounds 40 --jar pint --pack hot --altitude "sea level" --canner "water bath"', DONE),
    ("stillroom plan shared/demo/day.yaml --sheets day-sheets", DONE),
)
_RECORD = (".yaml", ".yml")
"""How the name of a record ends; no food is called so."""
_OF_A_DAY = ("gantt", "sheets")
_OF_A_FOOD = (
    *("jars", "pounds", "bushels", "jar", "altitude", "canner", "pack", "form", "variety", "holds", "option_minutes"),
    *("heating_min", "gauge_reads_high", "gauge_tested", "start", "sheet", "season"),
)


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument(
        "food",
        nargs="+",
        help='name of the food, like "snap beans"; or the record of a day of several, like day.yaml (schema/day.json)',
    )
    amount = parser.add_mutually_exclusive_group()
    amount.add_argument("--jars", help="how many jars in all")
    amount.add_argument("--pounds", help="raw food in place of jars, like 40")
    amount.add_argument("--bushels", help="raw food in place of jars, like 1")
    common.jar(parser, required=False)
    common.altitude(parser, required=False)
    common.canner(parser, "boiling-water, dial, weighted or steam", required=False)
    common.pack(parser)
    common.form(parser)
    parser.add_argument("--variety", help="where a recipe tells varieties apart, like apricots")
    parser.add_argument("--holds", help="jars your canner holds; as printed for pints and quarts by default")
    parser.add_argument(
        "--option-minutes", metavar="MIN", help="which of several equal options; the first printed by default"
    )
    parser.add_argument(
        "--gauge-reads-high",
        metavar="PSI",
        help='by how much, like "0.5 psi"; "-1 psi" where it reads low',
    )
    parser.add_argument("--heating-min", metavar="MIN", help="minutes in which your steam canner is full of steam")
    parser.add_argument("--gauge-tested", metavar="DATE", help="day of its last test, like 2026-06-01")
    parser.add_argument("--start", help='time of day of the first heat on, like "08:00"')
    parser.add_argument("--sheet", metavar="FILE", help="write a run sheet to print, FILE.md or FILE.html")
    parser.add_argument("--season", metavar="DIR", help="your season log: your canner's own times, from three loads on")
    parser.add_argument("--gantt", metavar="FILE", help="of a day record: draw the day to FILE, .svg or .png")
    parser.add_argument("--sheets", metavar="DIR", help="of a day record: write a run sheet for each load into DIR")
    common.kitchen(parser)
    common.as_json(parser, "plan")


def run(asked: argparse.Namespace) -> int:
    """Plan, print, and write what was asked for."""
    if len(asked.food) == 1 and os.path.splitext(asked.food[0])[1].lower() in _RECORD:
        _leave_out(asked, _OF_A_FOOD, f"{printable(asked.food[0], 60)} says it itself")
        with extras.needed("day"):
            from stillroom.day import day_record

            of_weeks = day_record.is_of_weeks(asked.food[0])
        if of_weeks:
            _leave_out(asked, _OF_A_DAY, "it is for the record of one day, and this is one of weeks")
            return _weeks(asked)
        return _day(asked)
    _leave_out(asked, _OF_A_DAY, "it is for the record of a day, like day.yaml")
    return _food(asked)


def _leave_out(asked: argparse.Namespace, names: tuple[str, ...], why: str) -> None:
    for name in names:
        if getattr(asked, name) is not None:
            raise BadInput(f"--{name.replace('_', '-')}: {why}: leave it out")


def _food(asked: argparse.Namespace) -> int:
    from stillroom.sheets import output

    if asked.sheet is not None:
        from stillroom.sheets import run_sheet

        run_sheet.kind(asked.sheet)
    plan = stillroom.plan(
        **common.said(asked),
        jars=asked.jars,
        pounds=asked.pounds,
        bushels=asked.bushels,
        variety=asked.variety,
        holds=asked.holds,
        heating_min=asked.heating_min,
        option_minutes=asked.option_minutes,
        gauge_reads_high_by=asked.gauge_reads_high,
        gauge_tested=asked.gauge_tested,
        start=asked.start,
        kitchen=common.kitchen_file(asked),
        season=asked.season,
    )
    if asked.sheet is not None:
        run_sheet.write(asked.sheet, plan, stillroom.shelf())
    if asked.json:
        from stillroom.sheets import day_document, documents

        output.say(documents.text(day_document.document(plan)))
    else:
        from stillroom.sheets import day_sheet

        written = "" if asked.sheet is None else f"\nRun sheet written: {printable(asked.sheet)}\n"
        output.say(f"{day_sheet.day_sheet(plan, stillroom.shelf())}{written}")
    return DONE


def _day(asked: argparse.Namespace) -> int:
    from stillroom.sheets import documents, drawing, output, timetable_document, timetable_sheet

    if asked.gantt is not None:
        drawing.ending(asked.gantt, "gantt")
    day = stillroom.plan_day(asked.food[0], kitchen=common.kitchen_file(asked))
    if asked.json:
        output.say(documents.text(timetable_document.document(day)))
    else:
        output.say(timetable_sheet.timetable_sheet(day, stillroom.shelf()))
    steps = []
    if asked.gantt is not None:
        from stillroom.sheets import gantt

        def drawn() -> None:
            with extras.needed("charts"):
                gantt.draw(day, asked.gantt)

        steps.append(drawn)
    if asked.sheets is not None:
        from stillroom.sheets import load_sheets

        steps.append(lambda: load_sheets.write(asked.sheets, day, stillroom.shelf()))
    return DONE if output.attempt(*steps) else BAD_INPUT


def _weeks(asked: argparse.Namespace) -> int:
    from stillroom.sheets import documents, output, weeks_sheet

    weeks = stillroom.plan_weeks(asked.food[0], kitchen=common.kitchen_file(asked))
    if asked.json:
        output.say(documents.text(weeks_sheet.document(weeks)))
    else:
        output.say(weeks_sheet.weeks_sheet(weeks, stillroom.shelf()))
    return DONE
