"""``stillroom foods``: what can be asked for."""

from __future__ import annotations

import argparse
import sys

import stillroom
from stillroom.commands import DONE
from stillroom.commands import arguments as common

EXAMPLES = (
    ("stillroom foods salsa", DONE),
    ("stillroom foods --group pickles", DONE),
)


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument("text", nargs="*", help="words to look for in their names")
    parser.add_argument("--group", help="fruit, tomatoes, vegetables, meats-seafood, pickles or spreads")
    common.as_json(parser, "answer")


def run(asked: argparse.Namespace) -> int:
    """List and print."""
    listed = stillroom.foods(" ".join(asked.text) if asked.text else None, group=asked.group)
    if asked.json:
        from stillroom.sheets import documents

        sys.stdout.write(documents.text(documents.foods(listed)))
    else:
        from stillroom.sheets import answer_sheet

        sys.stdout.write(answer_sheet.foods_sheet(listed))
    return DONE
