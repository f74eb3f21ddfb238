"""``stillroom export``: every table, typed, as files that other programs read."""

from __future__ import annotations

import argparse

from stillroom.commands import DONE

EXAMPLES = (
    ("stillroom export canning.sqlite --to sqlite", DONE),
    ("stillroom export canning.json --to json", DONE),
    ("stillroom export canning-csv --to csv --readings", DONE),
)


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument("out", help="file to write; for parquet and csv a folder, one file for each table")
    parser.add_argument(
        "--to", required=True, choices=("parquet", "sqlite", "duckdb", "json", "xlsx", "csv"), help="the form"
    )
    parser.add_argument("--readings", action="store_true", help="the tables that tell how the print was read, too")
    parser.add_argument("--package", metavar="FOLDER", help="folder of the package; the installed data by default")


def run(asked: argparse.Namespace) -> int:
    """Write, and say what was written."""
    from stillroom import screen
    from stillroom.package.package import home
    from stillroom.sheets import output
    from stillroom.sheets.exported import export

    root = home() if asked.package is None else asked.package
    written = export(root, asked.out, asked.to, readings=asked.readings)
    output.say("".join(f"{screen.printable(path)}\n" for path in written))
    return DONE
