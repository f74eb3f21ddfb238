"""``stillroom season``: what was put up."""

from __future__ import annotations

import argparse

import stillroom
from stillroom import extras
from stillroom.commands import BAD_INPUT, DONE
from stillroom.commands import arguments as common

EXAMPLES = (
    ("stillroom judge shared/demo/beans.yaml --save shelf-2026", DONE),
    ("stillroom season shelf-2026", DONE),
    ("stillroom season shelf-2026 --year 2026", DONE),
)


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument("folder", help="season log, filled by stillroom judge --save")
    common.as_json(parser, "season")
    parser.add_argument("--csv", metavar="FILE", help="write the loads to FILE as CSV")
    parser.add_argument("--year", metavar="YEAR", help="add up the loads of YEAR: jars by food, losses, hours at heat")
    parser.add_argument("--clock", action="store_true", help="how long your own canner takes to heat, come up and cool")
    parser.add_argument("--plot", metavar="FILE", help="draw jars by food and seals to FILE, .svg or .png")


def run(asked: argparse.Namespace) -> int:
    """Read and print; then write what is asked for."""
    with extras.needed("day"):
        from stillroom.answers import dates
        from stillroom.run import own_clock, season
        from stillroom.sheets import documents, output, season_chart, season_document, season_sheet

        shelf = stillroom.shelf()
        entries = season.read(asked.folder, shelf.rules)
        year = None if asked.year is None else season.year_of(entries, dates.year("year", asked.year))
        if asked.json:
            clocks = own_clock.clocks(entries) if asked.clock else None
            output.say(documents.text(season_document.document(entries, year, clocks)))
        elif asked.clock:
            output.say(season_sheet.clock_sheet(own_clock.clocks(entries), shelf))
        elif year is not None:
            output.say(season_sheet.year_sheet(year, shelf))
        else:
            output.say(season_sheet.season_sheet(entries, shelf))
        steps = []
        if asked.csv is not None:
            table = season_document.as_csv(entries).encode()
            steps.append(lambda: output.write(asked.csv, table, "CSV", season_document.our_csv))
        if asked.plot is not None:
            steps.append(lambda: season_chart.plot(entries, asked.plot))
        return DONE if output.attempt(*steps) else BAD_INPUT
