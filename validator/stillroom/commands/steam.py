"""``stillroom steam``: how hot steam is at a gauge pressure and an altitude, and charts of why that matters.

For understanding; no schedule.
"""

from __future__ import annotations

import argparse
import re

import stillroom
from stillroom import extras, screen
from stillroom.commands import BAD_INPUT, DONE
from stillroom.commands import arguments as common
from stillroom.errors import BadInput

EXAMPLES = (
    ('stillroom steam --altitude "5000 ft" --psi 11', DONE),
    ('stillroom steam --altitude "1650 m" --psi "0.8 bar" --json', DONE),
    ("stillroom steam --why charts", DONE),
)
_BARE = re.compile(r"[-+\u2212]?[0-9]*\.?[0-9]+")


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    common.altitude(parser, required=False)
    parser.add_argument(
        "--psi", help='true gauge pressure, like 11; or with its unit, like "75 kPa" or "0.8 bar"; a table by default'
    )
    common.as_json(parser, "steam")
    parser.add_argument(
        "--plot", metavar="FILE", help="draw temperature over pressure, here and at sea level, to FILE, .svg or .png"
    )
    parser.add_argument(
        "--why",
        metavar="FOLDER",
        help="write charts of why schedules are as they are, with their data and words; no altitude",
    )


def run(asked: argparse.Namespace) -> int:
    """Look up and print; then draw where that is asked for."""
    if asked.why is not None:
        return _why(asked)
    if asked.altitude is None:
        raise BadInput('no altitude is named: write it like --altitude "1650 ft", or --why FOLDER for charts')
    psi = asked.psi
    if psi is not None and _BARE.fullmatch(psi.strip()):
        psi = f"{psi.strip()} psi"
    found = stillroom.steam(asked.altitude, psi)
    with extras.needed("day"):
        from stillroom.sheets import documents, output, steam_chart

        output.say(documents.text(found.to_dict()) if asked.json else str(found))
        steps = [] if asked.plot is None else [lambda: steam_chart.plot(found, asked.plot)]
        return DONE if output.attempt(*steps) else BAD_INPUT


def _why(asked: argparse.Namespace) -> int:
    """Write the charts of why, and say where."""
    said = next((name for name in ("altitude", "psi", "plot") if getattr(asked, name) is not None), None)
    if said is not None or asked.json:
        raise BadInput(f"--why writes charts for every altitude: leave out --{said or 'json'}")
    with extras.needed("charts"):
        from stillroom.sheets import output, why_folder

        *files, index = why_folder.write(asked.why, stillroom.shelf())
    output.say(f"{len(files)} files of charts, data and words are written. Open {screen.shown(index, 200)}\n")
    return DONE
