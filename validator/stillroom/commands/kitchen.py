"""``stillroom kitchen``: write down once what every question needs, or show what is known."""

from __future__ import annotations

import argparse
import datetime
import os
import re
import sys
from collections.abc import Callable
from typing import Any

import stillroom
from stillroom.answers import kitchen as kitchens
from stillroom.answers import wording
from stillroom.commands import DONE
from stillroom.errors import BadInput, StillroomError
from stillroom.package import kitchen_file
from stillroom.screen import printable, shown

_JARS = re.compile(r"(.*[^\s=])[\s=]+([-+]?[0-9]{1,9})")
"""A jar and how many, like ``quart 7`` or ``12-ounce = 9``."""

Said = dict[str, Any]


EXAMPLES = (
    ("stillroom kitchen --show --kitchen shared/demo/kitchen.toml", DONE),
    ("stillroom kitchen", DONE),
)


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument("--show", action="store_true", help="print what is known and which file it stands in")
    where = parser.add_mutually_exclusive_group()
    where.add_argument("--kitchen", metavar="FILE", help="the file; in your folder for settings by default")
    where.add_argument("--here", action="store_true", help=f"{kitchen_file.NAME} in this folder, for work done here")
    parser.add_argument("--replace", action="store_true", help="write a kitchen file of stillroom anew")
    parser.add_argument("--altitude", help='with its unit, like "1650 ft" or "503 m"')
    parser.add_argument("--canner", action="append", help="boiling-water, dial, weighted or steam; may be repeated")
    parser.add_argument(
        "--gauge-reads-high",
        metavar="PSI",
        help='by how much, like "0.5 psi"; "-1 psi" where it reads low',
    )
    parser.add_argument("--gauge-tested", metavar="DATE", help="day of its last test, like 2026-06-01")
    parser.add_argument(
        "--holds",
        action="append",
        metavar="JARS",
        help='jars the canner holds, like "quart 7, pint 9"; of several canners "dial: quart 7", repeated',
    )
    parser.add_argument("--weight", action="append", metavar="PSI", help='a weight you own, like "5 psi"; repeated')


def run(asked: argparse.Namespace) -> int:
    """Show, or take what was said or answered and write it."""
    said = _said(asked)
    if asked.show:
        if said or asked.replace:
            raise BadInput("--show writes nothing: leave the other options out")
        return _show(kitchen_file.NAME if asked.here else asked.kitchen)
    path = _target(asked)
    if os.path.lexists(path) and not asked.replace:
        raise BadInput(f"{kitchen_file.shown(path)} is there already: edit it, or add --replace to write it anew")
    if not said:
        if sys.stdin is None or not sys.stdin.isatty():
            raise BadInput('nobody can be asked here: say it with options, like --altitude "1650 ft" --canner dial')
        said = _asked()
    file = kitchen_file.shown(path)
    found = kitchens.understood(said, stillroom.shelf())
    from stillroom.sheets import kitchen_sheet

    if path == kitchen_file.of_user():
        _folder(os.path.dirname(path))
    kitchen_sheet.write(path, found)
    sys.stdout.write(f"Kitchen file written: {printable(file)}\n\n")
    return _show(path)


def _show(path: str | None) -> int:
    places = kitchen_file.places()
    there = path if path is not None else kitchen_file.found()
    if there is None:
        sys.stdout.write(f"{wording.capital(kitchens.none_found())}.\n")
        return DONE
    from stillroom.sheets import kitchen_sheet

    shelf = stillroom.shelf()
    sys.stdout.write(kitchen_sheet.kitchen_sheet(kitchens.read(there, shelf), datetime.date.today(), shelf))
    if path is None and there == places[0] and len(places) > 1 and os.path.lexists(places[1]):
        sys.stdout.write(f"\nNot read, since the file in this folder comes first: {kitchen_file.shown(places[1])}\n")
    return DONE


def _target(asked: argparse.Namespace) -> str:
    if asked.here:
        return kitchen_file.NAME
    path: str | None = asked.kitchen if asked.kitchen is not None else kitchen_file.of_user()
    if not path:
        raise BadInput("no folder for your settings is known here: name the file with --kitchen FILE")
    return path


def _folder(folder: str) -> None:
    try:
        os.makedirs(folder, exist_ok=True)
    except (OSError, ValueError) as error:
        told = getattr(error, "strerror", None) or "that is no name of a folder"
        raise BadInput(f"folder {kitchen_file.shown(folder)} cannot be made: {told}") from None


# said in options


def _said(asked: argparse.Namespace) -> Said:
    """Lay out the options as a kitchen file has them."""
    gauge = {"reads_high_by": asked.gauge_reads_high, "tested": asked.gauge_tested}
    gauge = {key: value for key, value in gauge.items() if value is not None}
    said = {
        "altitude": asked.altitude,
        "canner": asked.canner,
        "gauge": gauge or None,
        "holds": None if asked.holds is None else _holds(asked.holds),
        "weights": asked.weight,
    }
    return {key: value for key, value in said.items() if value is not None}


def _holds(written: list[str]) -> Said:
    held: Said = {}
    for text in written:
        canner, colon, jars = text.rpartition(":")
        _merge(held, {canner.strip(): _jars(jars)} if colon else _jars(jars))
    return held


def _jars(text: str) -> Said:
    held: Said = {}
    for part in text.split(","):
        found = _JARS.fullmatch(part.strip())
        if found is None:
            raise BadInput(f'holds "{shown(part.strip())}" is not a jar and a number: write it like "quart 7, pint 9"')
        _merge(held, {found[1]: int(found[2])})
    return held


def _merge(held: Said, more: Said) -> None:
    for key, value in more.items():
        if key in held:
            raise BadInput(f'holds "{shown(key)}" is said twice: say it once')
        held[key] = value


# asked


def _asked() -> Said:
    """Ask on the terminal, one thing at a time; each answer is read at once, and an empty one leaves it out."""
    sys.stdout.write("An empty answer leaves a line out.\n")
    said: Said = {}
    _ask(said, 'Altitude, like "1650 ft" or "503 m"', lambda text: {"altitude": text})
    canners = ", ".join(stillroom.shelf().canners)
    _ask(said, f'Canner ({canners}); several like "boiling-water, dial"', lambda text: {"canner": _parts(text)})
    owned = kitchens.understood(said, stillroom.shelf()).canners if said else ()
    if "dial" in owned:
        _ask(
            said,
            'Dial gauge reads high by, like "0.5 psi" ("-0.5 psi" where it reads low)',
            _gauge(said, "reads_high_by"),
        )
        _ask(said, 'Day of its last test, like "2026-06-01"', _gauge(said, "tested"))
    for canner in owned:
        title = stillroom.shelf().canners[canner].title
        _ask(said, f'Jars the {title} holds, like "quart 7, pint 9"', _held(said, canner, len(owned) > 1))
    if "weighted" in owned:
        _ask(said, 'Weights you own, like "5 psi"; several with commas', lambda text: {"weights": _parts(text)})
    if not said:
        raise BadInput("nothing was answered: no kitchen file is written")
    return said


def _ask(said: Said, question: str, put: Callable[[str], Said]) -> None:
    """Ask until the answer is understood together with those before it."""
    while True:
        try:
            answer = input(f"{question}: ").strip()
        except EOFError:
            raise BadInput("the answers end here: no kitchen file is written") from None
        if not answer:
            return
        try:
            more = put(answer)
            kitchens.understood({**said, **more}, stillroom.shelf())
        except StillroomError as error:
            sys.stdout.write(f"  {error}\n")
        else:
            said.update(more)
            return


def _parts(text: str) -> list[str]:
    return [part.strip() for part in text.split(",")]


def _gauge(said: Said, key: str) -> Callable[[str], Said]:
    return lambda text: {"gauge": {**said.get("gauge", {}), key: text}}


def _held(said: Said, canner: str, several: bool) -> Callable[[str], Said]:
    if not several:
        return lambda text: {"holds": _jars(text)}
    return lambda text: {"holds": {**said.get("holds", {}), canner: _jars(text)}}
