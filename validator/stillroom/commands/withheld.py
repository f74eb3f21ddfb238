"""``stillroom withheld``: what must not be canned, and what has no process."""

from __future__ import annotations

import argparse
import sys

import stillroom
from stillroom.commands import DONE
from stillroom.commands import arguments as common

EXAMPLES = (
    ("stillroom withheld", DONE),
    ("stillroom withheld garlic", DONE),
    ("stillroom withheld oven", DONE),
)


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument("words", nargs="*", help="words to look for, with their reasons; none: every title")
    common.as_json(parser, "answer")


def run(asked: argparse.Namespace) -> int:
    """List and print."""
    words = " ".join(asked.words) if asked.words else None
    listed = stillroom.withheld(words)
    if asked.json:
        from stillroom.sheets import documents

        sys.stdout.write(documents.text(documents.withheld(listed)))
    else:
        from stillroom.sheets import withheld_sheet

        sys.stdout.write(withheld_sheet.withheld_sheet(listed, stillroom.shelf(), words))
    return DONE
