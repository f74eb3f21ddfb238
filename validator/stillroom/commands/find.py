"""``stillroom find``: one question, one answer or refusal."""

from __future__ import annotations

import argparse
import sys

import stillroom
from stillroom.commands import DONE


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument("food", nargs="+", help='name of the food, like "snap beans"')
    parser.add_argument("--pack", help="hot or raw; leave out where the publication names none")
    parser.add_argument("--jar", required=True, help="half-pint, 12-ounce, pint, pint-and-half, quart or half-gallon")
    parser.add_argument("--altitude", required=True, help='with its unit, like "1650 ft" or "503 m"')
    parser.add_argument("--canner", required=True, help="boiling-water, dial, weighted or steam")
    parser.add_argument("--form", help="where the publication separates forms, like with-bones")
    parser.add_argument("--json", action="store_true", help="for programs; see schema/answer.json")


def run(asked: argparse.Namespace) -> int:
    """Ask and print."""
    answer = stillroom.find(
        " ".join(asked.food),
        jar=asked.jar,
        altitude=asked.altitude,
        canner=asked.canner,
        pack=asked.pack,
        form=asked.form,
    )
    if asked.json:
        from stillroom import exchange

        sys.stdout.write(exchange.text(exchange.answer(answer)))
    else:
        from stillroom import sheet

        sys.stdout.write(sheet.answer_sheet(answer, stillroom.shelf()))
    return DONE
