"""``stillroom table``: every printed cell of one food or of several."""

from __future__ import annotations

import argparse
import sys

import stillroom
from stillroom.answers import altitude
from stillroom.answers.printed_table import printed
from stillroom.commands import DONE, handout_options
from stillroom.commands import arguments as common

EXAMPLES = (
    ("stillroom table snap beans", DONE),
    ('stillroom table crushed tomatoes --at "1650 ft"', DONE),
    ('stillroom table "snap beans, crushed tomatoes" --to html --out handout.html', DONE),
)


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    common.foods(parser)
    parser.add_argument("--at", metavar="ALTITUDE", help='only the bands of this height, like "1650 ft"')
    parser.add_argument(
        "--as", dest="form", choices=("text", "markdown", "csv"), default="text", help="text by default"
    )
    handout_options.arguments(parser)
    common.as_json(parser, "answer")


def run(asked: argparse.Namespace) -> int:
    """Collect and print; several foods, and a name of several, have a table for each."""
    from stillroom.sheets import documents, table_sheet

    shelf = stillroom.shelf()
    handed_out = handout_options.wanted(asked)
    meanings = common.meant(asked, shelf)
    feet = None if asked.at is None else altitude.read(asked.at).feet
    tables = [printed(shelf, meaning, feet) for meaning in meanings]
    if handed_out:
        handout_options.put(asked, tables, shelf)
    elif asked.json:
        laid = [documents.table(found) for found in tables]
        sys.stdout.write(documents.text(laid[0] if len(laid) == 1 else documents.tables(laid)))
    elif asked.form == "csv":
        sys.stdout.write(table_sheet.table_csv(tables))
    else:
        write = table_sheet.table_markdown if asked.form == "markdown" else table_sheet.table_sheet
        sys.stdout.write("\n".join(write(found, shelf) for found in tables))
    return DONE
