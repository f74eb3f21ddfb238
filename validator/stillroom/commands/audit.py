"""``stillroom audit``: every cell of somebody else's table, held against what is published."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Iterator
from typing import TYPE_CHECKING

import stillroom
from stillroom import screen
from stillroom.commands import BAD_INPUT, DONE, FINDINGS
from stillroom.commands import arguments as common
from stillroom.errors import BadInput

if TYPE_CHECKING:
    from stillroom.foreign.audited import Audit

EXAMPLES = (
    ("stillroom audit shared/demo/roots.csv", FINDINGS),
    ('stillroom audit shared/demo/roots.csv --at "1650 ft" --json', FINDINGS),
    ('stillroom audit --line "peaches, raw pack, quarts, boiling water, 35 min at 1650 ft"', DONE),
)
_ENDS = (".csv", ".tsv", ".txt", ".md", ".markdown", ".html", ".htm", ".xlsx")
_OF_ONE = ("report", "corrected", "columns_out")


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument(
        "handout", nargs="*", help="files, or folders of them: CSV, TSV, .xlsx, Markdown, HTML, text in columns"
    )
    parser.add_argument("--line", metavar="TEXT", help="one process in words, in place of a file")
    parser.add_argument("--at", metavar="ALTITUDE", help='only what holds at this height, like "1650 ft"')
    common.canner(parser, "the canner of the whole table, where it names none", required=False)
    common.pack(parser, "the pack of the whole table, where it names none")
    parser.add_argument("--jar", help="the jar of the whole table, where it names none")
    parser.add_argument("--sheet", metavar="NAME", help="one sheet of a workbook; all by default")
    parser.add_argument("--columns", metavar="FILE", help="what each column is, in place of the guess (YAML)")
    parser.add_argument("--columns-out", metavar="FILE", help="write the guess to FILE, to be corrected")
    parser.add_argument("--names", metavar="FILE", help="foods by names of your own: CSV with the columns name, food")
    parser.add_argument("--missing", action="store_true", help="also what is published and not in the table")
    parser.add_argument("--all", action="store_true", help="every finding, however many there are")
    parser.add_argument("--strict", action="store_true", help="what is stronger than published is a finding, too")
    parser.add_argument("--report", metavar="FILE", help="write a report, .html, .md, .csv, or .xlsx: the sheet marked")
    parser.add_argument("--corrected", metavar="FILE", help="write the table with published values, .csv or .xlsx")
    common.as_json(parser, "audit")


def run(asked: argparse.Namespace) -> int:
    """Read, judge and print; then write what is asked for."""
    paths = _paths(asked)
    if asked.line is not None:
        return _one(asked, _audited(asked, _line(asked.line)))
    if len(paths) == 1:
        return _one(asked, _audited(asked, paths[0]))
    return _many(asked, paths)


def _line(text: str) -> object:
    from stillroom.foreign import line

    return line.table(text)


def _paths(asked: argparse.Namespace) -> list[str]:
    """Files that are named, and those in folders that are."""
    if asked.line is not None and asked.handout:
        raise BadInput("--line is in place of a file: leave one of the two out")
    paths: list[str] = []
    for path in asked.handout:
        if os.path.isdir(path):
            paths += [
                os.path.join(path, name)
                for name in sorted(os.listdir(path))
                if name.casefold().endswith(_ENDS) and not name.startswith(".")
            ]
        else:
            paths.append(path)
    if asked.line is None and not paths:
        raise BadInput("no handout is named: write stillroom audit handout.csv, or one process with --line")
    if len(paths) > 1:
        said = next((name for name in _OF_ONE if getattr(asked, name) is not None), None)
        if said is not None:
            raise BadInput(f"--{said.replace('_', '-')} is for one handout, and {len(paths)} are named")
    return paths


def _audited(asked: argparse.Namespace, handout: object) -> Audit:
    return stillroom.audit(
        handout,
        at=asked.at,
        canner=asked.canner,
        pack=asked.pack,
        jar=asked.jar,
        sheet=asked.sheet,
        columns=asked.columns,
        names=asked.names,
        missing=asked.missing,
    )


def _one(asked: argparse.Namespace, found: Audit) -> int:
    from stillroom.sheets import audit_sheet, documents, output

    output.say(
        documents.text(found.to_dict()) if asked.json else audit_sheet.audit_sheet(found, stillroom.shelf(), asked.all)
    )
    steps = []
    if asked.columns_out is not None:
        steps.append(lambda: _write_columns(asked.columns_out, found))
    if asked.report is not None:
        steps.append(lambda: found.report(asked.report))
    if asked.corrected is not None:
        steps.append(lambda: found.corrected(asked.corrected))
    return _status(asked, found) if output.attempt(*steps) else BAD_INPUT


def _write_columns(path: str, found: Audit) -> None:
    from stillroom.sheets import output

    begins = found.columns.split("\n", 1)[0].encode()
    output.write(path, found.columns.encode(), "the map of columns", lambda beginning: beginning.startswith(begins))


def _status(asked: argparse.Namespace, found: Audit) -> int:
    clean = found.ok and not (asked.strict and found.counts["stronger"])
    return DONE if clean else FINDINGS


def _many(asked: argparse.Namespace, paths: list[str]) -> int:
    """Audit one file after the other; what cannot be read is told and does not stop the rest."""
    from stillroom.sheets import audit_document, audit_sheet, documents, output

    found: list[Audit] = []
    unread: list[tuple[str, str]] = []
    for path in _counted(paths):
        try:
            found.append(_audited(asked, path)._replace(foreign=None))
        except BadInput as error:
            unread.append((os.path.basename(path), str(error)))
    if asked.json:
        output.say(documents.text(audit_document.documents_of(found, unread)))
    else:
        output.say(audit_sheet.summary(found, unread, stillroom.shelf()))
    if unread:
        return BAD_INPUT
    return max(_status(asked, one) for one in found)


def _counted(paths: list[str]) -> Iterator[str]:
    """Tell on a terminal how far it is."""
    shown = sys.stderr.isatty()
    for number, path in enumerate(paths, 1):
        if shown:
            name = screen.shown(os.path.basename(path), 40)
            sys.stderr.write(f"\r{_bar(number, len(paths))} {number} of {len(paths)}  {name:<40}")
            sys.stderr.flush()
        yield path
    if shown:
        sys.stderr.write("\r" + " " * 78 + "\r")


def _bar(done: int, of: int) -> str:
    filled = done * 20 // of
    return "#" * filled + "." * (20 - filled)
