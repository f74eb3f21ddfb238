"""``stillroom table``: every printed cell of one food or of several."""

from __future__ import annotations

import argparse
import sys

import stillroom
from stillroom.answers import altitude
from stillroom.answers.printed_table import printed
from stillroom.commands import DONE, class_files, handout_options
from stillroom.commands import arguments as common
from stillroom.errors import BadInput

EXAMPLES = (
    ('stillroom table crushed tomatoes --at "1650 ft"', DONE),
    ("stillroom table peaches --as csv", DONE),
    ('stillroom table "snap beans, crushed tomatoes" --to md', DONE),
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
    handout_options.arguments(parser)
    class_files.arguments(parser)
    common.as_json(parser, "answer")


def run(asked: argparse.Namespace) -> int:
    """Collect and print; several foods, and a name of several, have a table for each. Or write them for a class."""
    from stillroom.sheets import documents, table_sheet

    shelf, for_class = stillroom.shelf(), class_files.wanted(asked)
    handed_out = handout_options.wanted(asked)
    if for_class and handed_out:
        raise BadInput("a handout (--to, --out) and sheets for a class (--sheet, --poster, --quiz) are two calls")
    meanings = common.meant(asked, shelf)
    feet = None if asked.at is None else altitude.read(asked.at).feet
    if for_class:
        return class_files.write(asked, shelf, meanings, feet)
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
