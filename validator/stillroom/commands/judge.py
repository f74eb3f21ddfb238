"""``stillroom judge``: did this batch get its schedule?"""

from __future__ import annotations

import argparse
import sys

import stillroom
from stillroom import extras
from stillroom.commands import DONE, FINDINGS


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument("batch", help="batch record, like batch.yaml; see schema/batch.json")
    parser.add_argument("--json", action="store_true", help="for programs; see schema/verdict.json")
    parser.add_argument("--chart", metavar="FILE", help="draw the run to FILE, .svg or .png")
    parser.add_argument("--save", metavar="DIR", help="add the batch to the season log in DIR")


def run(asked: argparse.Namespace) -> int:
    """Judge, print, and draw and save where that is asked for."""
    found = stillroom.judge(asked.batch)
    with extras.needed("run"):
        from stillroom import exchange, judgement, season, verdict, verdict_chart, verdict_sheet

        if asked.chart is not None:
            verdict_chart.draw(found, asked.chart)
        kept = None if asked.save is None else season.keep(found, asked.save)
        if asked.json:
            sys.stdout.write(exchange.text(judgement.document(found)))
        else:
            sys.stdout.write(verdict_sheet.verdict_sheet(found, stillroom.lookup(), sys.stdout.encoding))
        if kept is not None:
            sys.stderr.write(f"stillroom judge: {'kept as' if kept.new else 'already kept as'} {kept.path}\n")
    return DONE if found.verdict == verdict.DELIVERED else FINDINGS
