"""Prepare: every step between an edit of the data and its review, in one command.

Run it in the folder of the package::

    python -m stillroom.desk.prepare --against main
    python -m stillroom.desk.prepare --against main --reviewed

It builds the schedule tables from the two readings, mends their form, makes the tables of answers and names and the
registry of tables, runs all checks and the gate, and prints the section that CHANGELOG.md needs. With ``--reviewed`` it
first writes the hashes of the files that carry one: the second, deliberate step for what no rule can judge. No value is
ever changed.
"""

from __future__ import annotations

import argparse
import json
import os
import sys
from collections.abc import Iterator

from stillroom.answers.answer_rows import tables
from stillroom.answers.shelf import Shelf
from stillroom.desk import changelog, gate
from stillroom.desk.comparison import compare_versions
from stillroom.desk.tidy import replace, tidied
from stillroom.errors import BadPackage, StillroomError
from stillroom.findings import checks, hashes, rebuilt
from stillroom.findings.opened import CheckedPackage
from stillroom.package import files, made
from stillroom.package.package import Package
from stillroom.package.versions import folder_version, open_version

_CLEAN = "no findings"


def renewed(root: str) -> tuple[str, ...]:
    """Write the hashes of all files that must carry one as they are now, in place of those that are declared.

    Parameters
    ----------
    root : str
        Folder of the package.

    Returns
    -------
    tuple of str
        Files whose hash was another.

    Raises
    ------
    BadInput
        No such folder, or no datapackage.json in it.
    """
    package = CheckedPackage(root)
    path = os.path.join(package.root, "datapackage.json")
    before, now = hashes.declared(package.descriptor), hashes.actual(package)
    changed = [file for file in sorted({*before, *now}) if before.get(file) != now.get(file)]
    wanted = hashes.declaring(package.descriptor, now)
    if wanted != package.descriptor:
        text = json.dumps(wanted, indent=2, ensure_ascii=False)
        files.replace(path, f"{text}\n".encode())
    return tuple(changed)


def made_from_others(root: str) -> tuple[str, ...]:
    """Make the table of answers and the table of names anew, where they are not what the package answers.

    Parameters
    ----------
    root : str
        Folder of the package.

    Returns
    -------
    tuple of str
        Files that changed.

    Raises
    ------
    BadPackage
        The package contradicts itself, so that it cannot be asked; or a file cannot be written.
    """
    try:
        wanted = tables(Shelf(Package(root)))
    except (LookupError, ValueError) as error:
        raise BadPackage(f"the answers cannot be made: {type(error).__name__}: {error}") from None
    kept = CheckedPackage(root).derived
    changed = tuple(file for file, text in wanted.items() if kept.get(file) != text.encode())
    for file in changed:
        replace(os.path.join(root, *file.split("/")), wanted[file])
    return changed


def prepared(root: str, against: str | None, reviewed: bool) -> Iterator[str]:
    """Do every step, and say of each what it did.

    Parameters
    ----------
    root : str
        Folder of the package.
    against : str or None
        The version before, for the gate and the change log: a git ref, a folder, or a wheel or zip file.
    reviewed : bool
        Whether the hashes are renewed.

    Raises
    ------
    StillroomError
        The readings conflict, or a file cannot be read; what was done before stays done.
    """
    before = {table.file: table.sha256 for table in CheckedPackage(root).tables.values()}
    rebuilt.write(root)
    tidied(root)
    after = {table.file: table.sha256 for table in CheckedPackage(root).tables.values()}
    yield from (f"{file}: written anew" for file in after if after[file] != before.get(file))
    yield from (f"{file}: made anew" for file in made_from_others(root))
    own = os.path.join(root, "validator", "stillroom", "package")
    if os.path.isdir(own):
        yield from (f"{module}: made anew" for module in made.write(root, own))
    if reviewed:
        yield from (f"{file}: hash renewed" for file in renewed(root))
    report = checks.report(CheckedPackage(root))
    if against is not None:
        held = gate.verdict(root, against)
        report = report.joined(held.findings, gate.NAME, held.announced)
    yield from map(str, (*report.announced, *report.findings, *report.left_out, *report.broken))
    yield _CLEAN if report.ok else f"{len(report.findings):,} finding{'' if len(report.findings) == 1 else 's'}"
    if against is not None:
        with open_version(against, root, parted=True) as old, folder_version(root) as new:
            yield f"\nFor CHANGELOG.md:\n\n{changelog.section(compare_versions(old, new))}"


def main(words: list[str] | None = None) -> int:
    """Run the command; exit status 0: no findings, 1: findings, 2: it could not be done."""
    parser = argparse.ArgumentParser(prog="python -m stillroom.desk.prepare", allow_abbrev=False)
    parser.add_argument("path", nargs="?", default=".", help="folder of the package; this folder by default")
    parser.add_argument("--against", metavar="VERSION", help="the version before: a git ref or a path")
    parser.add_argument("--reviewed", action="store_true", help="the edit was reviewed: renew the declared hashes")
    asked = parser.parse_args(words)
    clean = False
    try:
        for line in prepared(asked.path, asked.against, asked.reviewed):
            sys.stdout.write(f"{line}\n")
            clean = clean or line == _CLEAN
    except StillroomError as error:
        sys.stderr.write(f"stillroom: {error}\n")
        return 2
    return 0 if clean else 1


if __name__ == "__main__":
    sys.exit(main())
