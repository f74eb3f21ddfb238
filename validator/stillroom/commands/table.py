"""``stillroom table``: every printed cell of foods, as text, as a handout, for a class, or beside old leaflets."""

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
    ('stillroom table "snap beans, crushed tomatoes" --to html --out handout.html', DONE),
    ('stillroom table "snap beans; tomatoes, crushed" --at "1650 ft" --sheet class.html --quiz quiz.pdf', DONE),
    ("stillroom table summer squash --history", DONE),
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
    parser.add_argument(
        "--history",
        action="store_true",
        help="what leaflets of 1965 to 1977 printed beside today's, at --at or at sea level; also of what is withheld",
    )
    common.as_json(parser, "answer")


def run(asked: argparse.Namespace) -> int:
    """Collect and print; several foods, and a name of several, have a table for each. Or write them for a class."""
    if asked.history:
        return _history(asked)
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


def _history(asked: argparse.Namespace) -> int:
    """Print then and now; what is withheld today has a history too, and is no bad input here."""
    from stillroom.answers import history
    from stillroom.sheets import documents, history_sheet

    if asked.all or class_files.wanted(asked) or handout_options.wanted(asked):
        raise BadInput("--history is for one food, and is printed: leave out --all, --to, --sheet, --poster and --quiz")
    shelf, name = stillroom.shelf(), " ".join(asked.food)
    feet = 0.0 if asked.at is None else altitude.read(asked.at).feet
    try:
        foods = dict.fromkeys(meaning.food for meaning in shelf.names.meanings(name, shelf.cite))
        found = [history.of_food(shelf, food, feet) for food in foods]
    except stillroom.NoTestedSchedule:
        entry = shelf.names.withheld(name)
        if entry is None:
            raise
        found = [history.of_withheld(shelf, entry.id, entry.title, feet)]
    if asked.json:
        laid = [history_sheet.document(one) for one in found]
        sys.stdout.write(documents.text(laid[0] if len(laid) == 1 else documents.histories(laid)))
    elif asked.form == "csv":
        sys.stdout.write(history_sheet.history_csv(found))
    else:
        write = history_sheet.history_markdown if asked.form == "markdown" else history_sheet.history_sheet
        sys.stdout.write("\n".join(write(one, shelf) for one in found))
    return DONE
