"""Class files: the options of ``stillroom table`` that write a sheet, a poster and a quiz for a class."""

from __future__ import annotations

import argparse
import os
from collections.abc import Callable

import stillroom
from stillroom.answers.names import Meaning
from stillroom.answers.shelf import Shelf
from stillroom.commands import BAD_INPUT, DONE
from stillroom.errors import BadInput
from stillroom.screen import printable

_FILES = {"sheet": "class sheet", "poster": "poster", "quiz": "quiz"}
"""Options that name a file, with what is written to it."""


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    ends = ".html, .md or .pdf"
    parser.add_argument(
        "--sheet", metavar="FILE", help=f"write the tables for a class, with the column of --at boxed; {ends}"
    )
    parser.add_argument("--poster", metavar="FILE", help=f"write a page for the wall: venting, bands, nevers; {ends}")
    parser.add_argument("--quiz", metavar="FILE", help=f"write a quiz made from the rows, with its key; {ends}")
    parser.add_argument("--large", action="store_true", help="of a sheet or quiz: to be read from the last row")
    parser.add_argument("--seed", metavar="N", help="number of the quiz: the same makes the same one; 1 by default")


def wanted(asked: argparse.Namespace) -> bool:
    """Tell whether any file is asked for.

    Raises
    ------
    BadInput
        An option that goes with such a file stands without it, or with output of another kind.
    """
    found = any(getattr(asked, name) is not None for name in _FILES)
    if asked.seed is not None and asked.quiz is None:
        raise BadInput("--seed is the number of a quiz: name its file with --quiz, or leave it out")
    if asked.large and asked.sheet is None and asked.quiz is None:
        raise BadInput("--large is for a sheet or a quiz: name its file with --sheet or --quiz, or leave it out")
    if found and (asked.json or asked.form != "text"):
        raise BadInput("a sheet, poster or quiz is written to its file: leave --json and --as out")
    return found


def write(asked: argparse.Namespace, shelf: Shelf, foods: tuple[Meaning, ...], altitude_ft: float | None) -> int:
    """Write the files that are asked for, and say which; all are tried, and what fails is told in a line of its own."""
    from stillroom.desk import quiz
    from stillroom.sheets import class_file, output

    paths = {name: path for name in _FILES if (path := getattr(asked, name)) is not None}
    for name, path in paths.items():
        class_file.kind(path, _FILES[name])
    if len({os.path.realpath(path) for path in paths.values()}) < len(paths):
        raise BadInput("a sheet, a poster and a quiz need a file each: name different ones")
    seed = quiz.seeded(quiz.SEED if asked.seed is None else asked.seed)
    steps = [_step(name, path, asked.large, seed, shelf, foods, altitude_ft) for name, path in paths.items()]
    return DONE if output.attempt(*steps) else BAD_INPUT


def _step(
    name: str,
    path: str,
    large: bool,
    seed: int,
    shelf: Shelf,
    foods: tuple[Meaning, ...],
    altitude_ft: float | None,
) -> Callable[[], None]:
    from stillroom.desk import quiz
    from stillroom.sheets import class_file, class_poster, class_quiz, class_sheet, output

    def done() -> None:
        if name == "sheet":
            page = class_sheet.class_sheet(shelf, foods, altitude_ft, large=large)
        elif name == "poster":
            page = class_poster.class_poster(shelf, foods, altitude_ft)
        else:
            questions = quiz.quiz(stillroom.lookup(), foods, seed, altitude_ft)
            page = class_quiz.class_quiz(shelf, foods, questions, seed, large=large)
        class_file.write(path, page)
        more = f", {len(questions)} questions (--seed {seed} makes the same again)" if name == "quiz" else ""
        output.say(f"{_FILES[name].capitalize()} written: {printable(path)}{more}\n")

    return done
