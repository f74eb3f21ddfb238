"""``stillroom recipe``: how a food is prepared, for the jars asked for."""

from __future__ import annotations

import argparse
import sys

import stillroom
from stillroom.commands import DONE
from stillroom.commands import arguments as common

EXAMPLES = (
    ("stillroom recipe apple butter", DONE),
    ("stillroom recipe figs --jars 14 --jar pint", DONE),
)


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    common.food(parser, "apple pie filling")
    parser.add_argument("--jars", help="how many jars you want to fill; needs --jar")
    common.jar(parser, required=False)
    common.pack(parser, "hot or raw, to see the steps of one pack only")
    parser.add_argument("--variety", help="where a recipe tells varieties apart, like apricots")
    parser.add_argument("--column", help="where a recipe is printed for several sizes, like one-quart")
    parser.add_argument(
        "--without",
        action="append",
        default=[],
        metavar="INGREDIENT",
        help="leave an optional ingredient out; refused for anything that must stay; may be repeated",
    )
    common.as_json(parser, "recipe-answer")


def run(asked: argparse.Namespace) -> int:
    """Ask and print."""
    found = stillroom.recipe(
        " ".join(asked.food),
        asked.jars,
        asked.jar,
        pack=asked.pack,
        variety=asked.variety,
        column=asked.column,
        without=asked.without,
    )
    if asked.json:
        from stillroom.sheets import documents, recipe_document

        sys.stdout.write(documents.text(recipe_document.document(found)))
    else:
        from stillroom.sheets import recipe_sheet

        sys.stdout.write(recipe_sheet.recipe_sheet(found, stillroom.shelf()))
    return DONE
