"""``stillroom plan``: a canning day before it begins."""

from __future__ import annotations

import argparse
import sys

import stillroom
from stillroom.commands import DONE
from stillroom.commands import arguments as common
from stillroom.screen import printable

EXAMPLES = (
    ('stillroom plan snap beans --jars 14 --jar quart --pack raw --altitude "1650 ft" --canner dial', DONE),
    (
        'stillroom plan peaches --pounds 40 --jar pint --pack hot --altitude "sea level" --canner "water bath"',
        DONE,
    ),
)


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    common.food(parser)
    amount = parser.add_mutually_exclusive_group(required=True)
    amount.add_argument("--jars", help="how many jars in all")
    amount.add_argument("--pounds", help="raw food in place of jars, like 40")
    amount.add_argument("--bushels", help="raw food in place of jars, like 1")
    common.jar(parser)
    common.altitude(parser, required=False)
    common.canner(parser, "boiling-water, dial or weighted", required=False)
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
    parser.add_argument("--gauge-tested", metavar="DATE", help="day of its last test, like 2026-06-01")
    parser.add_argument("--start", help='time of day of the first heat on, like "08:00"')
    parser.add_argument("--sheet", metavar="FILE", help="write a run sheet to print, FILE.md or FILE.html")
    common.kitchen(parser)
    common.as_json(parser, "plan")


def run(asked: argparse.Namespace) -> int:
    """Plan, print, and write the run sheet if one was asked for."""
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
        option_minutes=asked.option_minutes,
        gauge_reads_high_by=asked.gauge_reads_high,
        gauge_tested=asked.gauge_tested,
        start=asked.start,
        kitchen=common.kitchen_file(asked),
    )
    if asked.sheet is not None:
        run_sheet.write(asked.sheet, plan, stillroom.shelf())
    if asked.json:
        from stillroom.sheets import day_document, documents

        sys.stdout.write(documents.text(day_document.document(plan)))
    else:
        from stillroom.sheets import day_sheet

        sys.stdout.write(day_sheet.day_sheet(plan, stillroom.shelf()))
        if asked.sheet is not None:
            sys.stdout.write(f"\nRun sheet written: {printable(asked.sheet)}\n")
    return DONE
