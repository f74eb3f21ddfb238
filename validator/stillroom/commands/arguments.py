"""Arguments: the options that several commands share, written once."""

from __future__ import annotations

import argparse
import sys
from typing import Any

from stillroom.errors import BadInput
from stillroom.screen import printable


def food(parser: argparse.ArgumentParser, example: str = "snap beans") -> None:
    """Take the name of a food, in as many words as it has."""
    parser.add_argument("food", nargs="+", help=f'name of the food, like "{example}"')


def foods(parser: argparse.ArgumentParser) -> None:
    """Take the name of a food, or several with a semicolon between."""
    said = 'name of the food, like "snap beans"; several with a semicolon or a comma between'
    parser.add_argument("food", nargs="+", help=said)


def jar(parser: argparse.ArgumentParser, *, required: bool = True) -> None:
    """Take a jar size."""
    parser.add_argument(
        "--jar", required=required, help="half-pint, 12-ounce, pint, pint-and-half, quart or half-gallon"
    )


def altitude(parser: argparse.ArgumentParser, *, required: bool = True) -> None:
    """Take an altitude."""
    parser.add_argument("--altitude", required=required, help='with its unit, like "1650 ft" or "503 m"')


def canner(parser: argparse.ArgumentParser, accepted: str, *, required: bool = True) -> None:
    """Take a canner."""
    parser.add_argument("--canner", required=required, help=accepted)


def kitchen(parser: argparse.ArgumentParser) -> None:
    """Take a kitchen file, or none."""
    one = parser.add_mutually_exclusive_group()
    one.add_argument(
        "--kitchen",
        metavar="FILE",
        help="what you leave out comes from this file; kitchen.toml here, or your own, by default",
    )
    one.add_argument("--no-kitchen", action="store_true", help="read no kitchen file")


def pack(
    parser: argparse.ArgumentParser, about: str = "hot or raw; leave out where the publication names none"
) -> None:
    """Take a pack."""
    parser.add_argument("--pack", help=about)


def form(parser: argparse.ArgumentParser) -> None:
    """Take a form."""
    parser.add_argument("--form", help="where the publication separates forms, like with-bones")


def as_json(parser: argparse.ArgumentParser, schema: str) -> None:
    """Offer the answer as a document."""
    parser.add_argument("--json", action="store_true", help=f"for programs; see schema/{schema}.json")


def kitchen_file(asked: argparse.Namespace) -> str | None:
    """Path of the kitchen file that a command reads: the one named, else the one that is found; None for none."""
    if asked.kitchen is not None:
        path: str = asked.kitchen
        return path
    if asked.no_kitchen:
        return None
    from stillroom.package import kitchen_file as files

    return files.found()


def said(asked: argparse.Namespace) -> dict[str, Any]:
    """Give what was asked of a schedule, as the functions of the library take it."""
    return {
        "food": " ".join(asked.food),
        "jar": asked.jar,
        "altitude": asked.altitude,
        "canner": asked.canner,
        "pack": asked.pack,
        "form": asked.form,
    }


def installed(parser: argparse.ArgumentParser, instead_of: str) -> None:
    """Let a person say that the installed data are meant."""
    parser.add_argument("--installed", action="store_true", help=f"the installed data, instead of {instead_of}")


def package_folder(named: str | None, *, installed: bool, otherwise: str) -> str:
    """Folder of the package that a command is about: the one named, the installed one, or the one a person stands in.

    Parameters
    ----------
    named : str or None
        What was named; None, or ``.``, stands for this folder, which may lie within a package.
    installed : bool
        Whether the installed data were asked for.
    otherwise : str
        What to do where this folder lies in no package, for the error.

    Raises
    ------
    BadInput
        Both were asked for, or this folder lies in no package.
    """
    from stillroom.package.package import home
    from stillroom.package.top import top_above

    if installed:
        if named is not None:
            raise BadInput(f"{printable(named, 200)} and --installed are two packages: leave one of them out")
        return home()
    if named not in (None, "."):
        return str(named)
    top = top_above(".")
    if top is None:
        raise BadInput(f"no datapackage.json in this folder, nor above it in its repository: {otherwise}")
    if top != ".":
        sys.stderr.write(f"stillroom: the package is {printable(top, 200)}, above this folder\n")
    return top
