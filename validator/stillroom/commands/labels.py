"""``stillroom labels``: labels for the jars on the shelf."""

from __future__ import annotations

import argparse
import sys

import stillroom
from stillroom import extras
from stillroom.commands import DONE

EXAMPLES = (
    ("stillroom judge shared/demo/beans.yaml --save shelf-2026", DONE),
    ("stillroom labels shelf-2026 --out labels.html", DONE),
    ("stillroom labels shelf-2026 --load 2026-08-15-snap-beans-1.yaml --paper a4 --out beans.html", DONE),
)


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument("folder", help="season log, filled by stillroom judge --save")
    parser.add_argument(
        "--out", required=True, metavar="FILE", help="file to write, .html, to be printed from a browser"
    )
    parser.add_argument("--load", metavar="ENTRY", help="file of one load; all by default")
    parser.add_argument("--paper", choices=("letter", "a4"), default="letter", help="30 labels on letter, 24 on a4")


def run(asked: argparse.Namespace) -> int:
    """Write them, and say how many."""
    with extras.needed("day"):
        from stillroom import screen
        from stillroom.errors import BadInput
        from stillroom.run import season
        from stillroom.sheets import label_sheet, output

        shelf = stillroom.shelf()
        loads = season.read(asked.folder, shelf.rules)
        if asked.load is not None:
            name = screen.name(asked.load)
            loads = tuple(load for load in loads if load.file == name)
            if not loads:
                raise BadInput(f"{name}: no such load in this season; stillroom season shows them all")
        number = label_sheet.write(loads, shelf, asked.out, asked.paper)
        output.say(f"{number} labels: {screen.shown(asked.out, 200)}\n")
    for load in loads:
        if load.unchecked:
            sys.stderr.write(f"stillroom labels: {load.file}: no label for {load.unchecked} with seals to check\n")
    return DONE
