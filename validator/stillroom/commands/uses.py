"""``stillroom uses``: what stands on a rule, a statement, a source, a page or a food, and who read it."""

from __future__ import annotations

import argparse
import sys

from stillroom.commands import DONE
from stillroom.commands import arguments as common

EXAMPLES = (
    ("stillroom uses half-pint-takes-pint", DONE),
    ("stillroom uses page 4-9", DONE),
    ("stillroom uses usda-2015 4-9 --json", DONE),
)
_OTHERWISE = "name the folder of a package with --package, or take the installed data with --installed"


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument(
        "thing",
        nargs="+",
        help="id of a rule, jar rule, statement, source, food or withheld thing, or a printed page like 4-9",
    )
    parser.add_argument(
        "--package", metavar="FOLDER", help="folder of the package; the package this folder lies in by default"
    )
    common.installed(parser, "the package this folder lies in")
    common.as_json(parser, "uses")


def run(asked: argparse.Namespace) -> int:
    """Find and print."""
    from stillroom.desk.uses import uses
    from stillroom.sheets import documents
    from stillroom.sheets.uses_sheet import uses_document, uses_sheet

    root = common.package_folder(asked.package, installed=asked.installed, otherwise=_OTHERWISE)
    found = uses(root, " ".join(asked.thing))
    sys.stdout.write(documents.text(uses_document(found)) if asked.json else uses_sheet(found))
    return DONE
