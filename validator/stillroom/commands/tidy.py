"""``stillroom tidy``: mends the form of the tables, never a value."""

from __future__ import annotations

import argparse
import sys

from stillroom import extras
from stillroom.commands import DONE, FINDINGS
from stillroom.screen import printable

EXAMPLES = (
    ("stillroom tidy . --check", DONE),
    ("stillroom tidy .", DONE),
)


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument("path", nargs="?", default=".", help="folder of the package; this folder by default")
    parser.add_argument("--check", action="store_true", help="only say which files would change; exit 1 if any")


@extras.needed("check")
def run(asked: argparse.Namespace) -> int:
    """Tidy and say what changed."""
    from stillroom.desk.tidy import tidied

    changed = tidied(asked.path, write=not asked.check)
    verb = "would be tidied" if asked.check else "tidied"
    for file in changed:
        sys.stdout.write(f"{printable(file)}: {verb}\n")
    if not changed:
        sys.stdout.write("every table is tidy\n")
    return FINDINGS if asked.check and changed else DONE
