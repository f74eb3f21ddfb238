"""``stillroom compare``: what changed between two versions of the package, and the CHANGELOG section it needs."""

from __future__ import annotations

import argparse
import sys

from stillroom import extras
from stillroom.commands import DONE
from stillroom.commands import arguments as common

EXAMPLES = (
    ("stillroom compare main", DONE),
    ("stillroom compare main . --changelog", DONE),
)
_OTHERWISE = "name the newer version after the older one, or take the installed data with --installed"


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument("old", help="a folder, a wheel or zip file, or a git ref of the repository that holds NEW")
    parser.add_argument("new", nargs="?", help="the same; the package this folder lies in by default")
    common.installed(parser, "NEW")
    parser.add_argument("--changelog", action="store_true", help="only the section for CHANGELOG.md")
    common.as_json(parser, "comparison")


@extras.needed("desk")
def run(asked: argparse.Namespace) -> int:
    """Compare and print."""
    import stillroom
    from stillroom.desk import changelog
    from stillroom.sheets import documents
    from stillroom.sheets.comparison_sheet import comparison_document, comparison_sheet

    new = common.package_folder(asked.new, installed=asked.installed, otherwise=_OTHERWISE)
    found = stillroom.compare(asked.old, new)
    if asked.json:
        sys.stdout.write(documents.text(comparison_document(found)))
    else:
        sys.stdout.write(changelog.section(found) if asked.changelog else comparison_sheet(found))
    return DONE
