"""``stillroom seals``: how many jars of a kept load sealed."""

from __future__ import annotations

import argparse

import stillroom
from stillroom import extras
from stillroom.commands import DONE

EXAMPLES = (
    ("stillroom judge shared/demo/beans.yaml --save shelf-2026", DONE),
    ("stillroom seals shelf-2026/2026-08-15-snap-beans-1.yaml --sealed 17 --failed 1", DONE),
)


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument("entry", help="file of the load, as stillroom judge --save named it")
    parser.add_argument("--sealed", required=True, metavar="JARS", help="jars that sealed")
    parser.add_argument("--failed", default="0", metavar="JARS", help="jars that did not seal; 0 by default")


def run(asked: argparse.Namespace) -> int:
    """Write them into the entry, and say what it is now."""
    with extras.needed("day"):
        from stillroom.answers import question
        from stillroom.run import season
        from stillroom.sheets import output, season_sheet

        sealed, failed = (question.jars(name, getattr(asked, name), 100) for name in ("sealed", "failed"))
        load = season.tell_seals(question.path("entry", asked.entry), sealed, failed, stillroom.shelf().rules)
        output.say(season_sheet.load_line(load))
        return DONE
