"""``stillroom table``: every printed cell of a food, or of several."""

from __future__ import annotations

import argparse
import sys

import stillroom
from stillroom.answers import altitude, several_foods
from stillroom.answers.printed_table import printed
from stillroom.commands import DONE, class_files
from stillroom.commands import arguments as common

EXAMPLES = (
    ('stillroom table crushed tomatoes --at "1650 ft"', DONE),
    ("stillroom table peaches --as csv", DONE),
    ('stillroom table "snap beans; tomatoes, crushed" --at "1650 ft" --sheet class.html --quiz quiz.pdf', DONE),
)


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    common.foods(parser)
    parser.add_argument(
        "--at",
        metavar="ALTITUDE",
        help='only the bands of this height, like "1650 ft"; on a class sheet and poster: boxed',
    )
    parser.add_argument(
        "--as", dest="form", choices=("text", "markdown", "csv"), default="text", help="text by default"
    )
    class_files.arguments(parser)
    common.as_json(parser, "answer")


def run(asked: argparse.Namespace) -> int:
    """Collect and print; a list of foods, and a name of several, has a table for each. Or write them for a class."""
    from stillroom.sheets import documents, table_sheet

    shelf, for_class = stillroom.shelf(), class_files.wanted(asked)
    meanings = several_foods.meanings(shelf, " ".join(asked.food))
    feet = None if asked.at is None else altitude.read(asked.at).feet
    if for_class:
        return class_files.write(asked, shelf, meanings, feet)
    tables = [printed(shelf, meaning, feet) for meaning in meanings]
    if asked.json:
        laid = [documents.table(found) for found in tables]
        sys.stdout.write(documents.text(laid[0] if len(laid) == 1 else documents.tables(laid)))
    elif asked.form == "csv":
        sys.stdout.write(table_sheet.table_csv(tables))
    else:
        write = table_sheet.table_markdown if asked.form == "markdown" else table_sheet.table_sheet
        sys.stdout.write("\n".join(write(found, shelf) for found in tables))
    return DONE
