"""``stillroom check``: all checks over a data package, each finding in one line."""

from __future__ import annotations

import argparse
import sys
from typing import TYPE_CHECKING

from stillroom import extras
from stillroom.commands import BAD_INPUT, DONE, FINDINGS
from stillroom.commands import arguments as common
from stillroom.errors import StillroomError
from stillroom.screen import printable

if TYPE_CHECKING:
    from stillroom.findings.finding import Report

EXAMPLES = (
    ("stillroom check", DONE),
    ("stillroom check . --against main", DONE),
    ("stillroom check --installed", DONE),
)
_OTHERWISE = "name the folder of a package, or check the installed data with --installed"


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument("path", nargs="?", help="folder of the package; the package this folder lies in by default")
    common.installed(parser, "a folder")
    parser.add_argument(
        "--against",
        metavar="VERSION",
        help="an older version, a git ref (then the commit where this one parted from it) or a path: "
        "find what is weaker and unexplained",
    )
    parser.add_argument("--list", action="store_true", help="list the checks with one sentence each")
    parser.add_argument("--format", choices=("text", "json", "github", "sarif"), default="text", help="text by default")


@extras.needed("check")
def run(asked: argparse.Namespace) -> int:
    """Check and print."""
    if asked.list:
        return _listed()
    import stillroom
    from stillroom.package.versions import prefix
    from stillroom.sheets import report_sheet

    root = common.package_folder(asked.path, installed=asked.installed, otherwise=_OTHERWISE)
    report = stillroom.check(root)
    if asked.against is not None:
        report = _held_against(report, root, asked.against)
    at = prefix(root) if asked.format in ("github", "sarif") else ""
    sys.stdout.write(report_sheet.written(report, asked.format, at))
    sys.stdout.flush()
    for line in (*report.left_out, *report.broken):
        sys.stderr.write(f"stillroom: {printable(line)}\n")
    return BAD_INPUT if report.broken else DONE if report.ok else FINDINGS


def _listed() -> int:
    from stillroom.findings import checks

    listed = checks.every()
    wide = max(len(one.name) for one in listed)
    sys.stdout.write("".join(f"{one.name:<{wide}}  {one.summary}\n" for one in listed))
    return DONE


def _held_against(report: Report, root: str, against: str) -> Report:
    """Add what the gate finds; where it cannot look, the findings of the checks are still told, and then why."""
    from stillroom.desk import gate

    try:
        held = gate.verdict(root, against)
        return report.joined(held.findings, gate.NAME, held.announced)
    except StillroomError as error:
        return report._replace(broken=(*report.broken, str(error)))
