"""``stillroom check``: all checks over a data package, each finding in one line."""

from __future__ import annotations

import argparse
import os
import sys

from stillroom import extras
from stillroom.commands import BAD_INPUT, DONE, FINDINGS
from stillroom.screen import printable

EXAMPLES = (
    ("stillroom check", DONE),
    ("stillroom check . --against main", DONE),
)


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument("path", nargs="?", help="folder of the package; this folder, else the installed data")
    parser.add_argument(
        "--against",
        metavar="VERSION",
        help="an older version, a git ref or a path: find what is weaker and unexplained",
    )
    parser.add_argument("--list", action="store_true", help="list the checks with one sentence each")
    parser.add_argument("--format", choices=("text", "json", "github", "sarif"), default="text", help="text by default")


@extras.needed("check")
def run(asked: argparse.Namespace) -> int:
    """Check and print."""
    if asked.list:
        from stillroom.findings import checks

        listed = checks.every()
        wide = max(len(one.name) for one in listed)
        sys.stdout.write("".join(f"{one.name:<{wide}}  {one.summary}\n" for one in listed))
        return DONE
    import stillroom
    from stillroom.sheets import report_sheet

    path = asked.path or ("." if os.path.lexists("datapackage.json") else None)
    report = stillroom.check(path, against=asked.against)
    sys.stdout.write(report_sheet.written(report, asked.format))
    sys.stdout.flush()
    for line in (*report.left_out, *report.broken):
        sys.stderr.write(f"stillroom: {printable(line)}\n")
    return BAD_INPUT if report.broken else DONE if report.ok else FINDINGS
