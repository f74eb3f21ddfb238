"""``stillroom take``: jars taken from the shelf."""

from __future__ import annotations

import argparse

import stillroom
from stillroom import extras
from stillroom.commands import DONE

EXAMPLES = (
    ("stillroom judge shared/demo/beans.yaml --save shelf-2026", DONE),
    ("stillroom take shelf-2026/2026-08-15-snap-beans-1.yaml --jars 2", DONE),
)


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument("entry", help="file of the load, as stillroom judge --save named it")
    parser.add_argument("--jars", default="1", metavar="JARS", help="how many; 1 by default")
    parser.add_argument("--back", action="store_true", help="put them back: they were written down by mistake")
    parser.add_argument("--lost", action="store_true", help="they came to harm: a seal let go, a jar broke or spoiled")


def run(asked: argparse.Namespace) -> int:
    """Take them off, and say what is left."""
    with extras.needed("day"):
        from stillroom.answers import question
        from stillroom.run import season
        from stillroom.sheets import output, season_sheet

        path, number = question.path("entry", asked.entry), question.count("jars", asked.jars, 100)
        rules = stillroom.shelf().rules
        load = season.take(path, number, rules, lost=asked.lost, back=asked.back)
        output.say(season_sheet.load_line(load))
        return DONE
