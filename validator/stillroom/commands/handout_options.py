"""Handout options: what ``stillroom table --to`` takes, and the handout that it makes of it."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING

from stillroom import screen
from stillroom.errors import BadInput

if TYPE_CHECKING:
    from stillroom.answers.printed_table import FoodTable
    from stillroom.answers.shelf import Shelf

_FORMS = ("md", "html", "csv", "xlsx", "docx")


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument(
        "--to",
        choices=_FORMS,
        help="a handout: a row for each food, pack and jar; printed, or written to --out (xlsx and docx always are)",
    )
    parser.add_argument("--out", metavar="FILE", help="file of the handout")
    parser.add_argument(
        "--bands",
        metavar="BANDS",
        help='columns of the handout, like "0-3,000 ft, above 3,000 ft"; each has the strongest process printed in it',
    )
    parser.add_argument(
        "--carried", action="store_true", help="rows of the handout for jars that a rule carries a time to, marked *"
    )


def wanted(asked: argparse.Namespace) -> bool:
    """Tell whether a handout is asked for.

    Raises
    ------
    BadInput
        Options of a handout without one, or two forms at once.
    """
    given = [f"--{name}" for name in ("out", "bands", "carried") if getattr(asked, name)]
    if asked.to is None:
        if given:
            raise BadInput(f"{given[0]} is for a handout: add --to with one of {', '.join(_FORMS)}")
        return False
    if asked.json or asked.form != "text":
        raise BadInput(f"--to and {'--json' if asked.json else '--as'} are two forms: leave one of them out")
    if asked.bands is not None and asked.at is not None:
        raise BadInput("--bands and --at both say the columns: leave one of them out")
    return True


def put(asked: argparse.Namespace, tables: Sequence[FoodTable], shelf: Shelf) -> None:
    """Make the handout, and print or write it."""
    from stillroom.sheets import handout, handout_bands, handout_files, output

    columns = () if asked.bands is None else handout_bands.read(asked.bands)
    if asked.to == "csv" and asked.at is None:
        columns = columns or handout.shared_columns(tables)
    laid = handout.handout(tables, shelf, columns, carried=asked.carried)
    handout_files.put(laid, asked.to, asked.out)
    if asked.out is not None:
        rows = sum(len(table.rows) for table in laid.tables)
        output.say(f"{rows} rows in {len(laid.tables)} tables: {screen.shown(asked.out, 200)}\n")
