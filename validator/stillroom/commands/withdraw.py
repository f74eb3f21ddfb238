"""``stillroom withdraw``: takes a food out of a package, and leaves word why."""

from __future__ import annotations

import argparse
import sys
from typing import TYPE_CHECKING

from stillroom import extras
from stillroom.commands import DONE, FINDINGS
from stillroom.commands import arguments as common
from stillroom.screen import printable

if TYPE_CHECKING:
    from stillroom.desk.withdrawal import Withdrawal

EXAMPLES = (
    ('stillroom withdraw figs --source psu-fats --page web --reason "It is under review."', DONE),
    (
        'stillroom withdraw figs --source psu-fats --page web --reason "It is under review." --instead "Freeze it."',
        DONE,
    ),
)
_OTHERWISE = "name the folder of a package with --package"


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument("food", nargs="+", help='id or title of the food, like "snap-beans"')
    parser.add_argument("--source", required=True, help="id in sources.csv of the publication that takes it back")
    parser.add_argument("--page", required=True, help="its page, as it is printed there; web where it has no pages")
    parser.add_argument(
        "--second-page", default="", metavar="PAGE", help="the page as a second person found it, without seeing yours"
    )
    parser.add_argument("--reason", required=True, help="one sentence for whoever asks for it")
    parser.add_argument("--instead", default="", help="what to do instead, in one sentence")
    parser.add_argument(
        "--package", metavar="FOLDER", help="folder of the package; the package this folder lies in by default"
    )
    parser.add_argument("--write", action="store_true", help="do it; without this, only say what would be done")


@extras.needed("check")
def run(asked: argparse.Namespace) -> int:
    """Say what is done, or would be, and do it if asked to."""
    from stillroom.desk import withdrawal

    root = common.package_folder(asked.package, installed=False, otherwise=_OTHERWISE)
    reason = withdrawal.Reason(asked.reason, asked.instead, asked.source, asked.page, asked.second_page)
    found = withdrawal.withdrawal(root, " ".join(asked.food), reason)
    if asked.write:
        withdrawal.write(root, found)
    sys.stdout.write("".join(f"{printable(line)}\n" for line in _told(found, done=asked.write)))
    return FINDINGS if found.findings else DONE


def _told(found: Withdrawal, *, done: bool) -> list[str]:
    lines = [f"{found.food}: {'withdrawn' if done else 'would be withdrawn; nothing is written yet'}"]
    for file, lost in found.rows:
        lines.append(f"  {file}: {abs(lost):,} row{'' if abs(lost) == 1 else 's'} {'out' if lost > 0 else 'in'}")
    lines += [f"  {file}: removed" for file, content in found.files.items() if content is None]
    lines.append(f"  withheld names: {', '.join(found.names)}")
    if found.closed:
        lines.append(f"  open names with one meaning left, taken out, to be decided by you: {', '.join(found.closed)}")
    if found.findings:
        lines.append("the checks then find:")
        lines += [f"  {finding}" for finding in found.findings]
    if done:
        lines.append(
            "Then: python -m stillroom.desk.prepare --reviewed, once somebody has reviewed it; it renews the hashes"
        )
    else:
        lines.append("To do it, add --write.")
    return lines
