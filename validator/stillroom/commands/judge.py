"""``stillroom judge``: did this batch get its schedule?"""

from __future__ import annotations

import argparse
import sys
from typing import TYPE_CHECKING

import stillroom
from stillroom import extras
from stillroom.commands import BAD_INPUT, DONE, FINDINGS
from stillroom.commands import arguments as common
from stillroom.errors import BadInput

if TYPE_CHECKING:
    from stillroom.run.judgement import Judgement
    from stillroom.run.undisturbed import Undisturbed


EXAMPLES = (
    ("stillroom judge shared/demo/beans.yaml", DONE),
    ("stillroom judge shared/demo/corn.yaml --json", FINDINGS),
    ("stillroom judge shared/demo/corn.yaml --compare-undisturbed --chart dip.svg", FINDINGS),
)


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument("batch", help="batch record, like batch.yaml; see schema/batch.json")
    common.as_json(parser, "verdict")
    parser.add_argument("--chart", metavar="FILE", help="draw the run to FILE, .svg or .png")
    parser.add_argument(
        "--compare-undisturbed",
        action="store_true",
        help="say what its dips cost, and draw the run beside the one without them; the verdict stands",
    )
    parser.add_argument("--save", metavar="DIR", help="add the batch to the season log in DIR, or amend its entry")


def run(asked: argparse.Namespace) -> int:
    """Judge and print; then draw and keep where that is asked for. No failing file costs the verdict."""
    found = stillroom.judge(asked.batch)
    with extras.needed("day"):
        from stillroom.run import undisturbed, verdict
        from stillroom.sheets import output

        beside = undisturbed.undisturbed(found, stillroom.shelf().rules) if asked.compare_undisturbed else None
    closed: Exception | None = None
    try:
        _print(found, asked, beside)
    except (BrokenPipeError, BadInput) as error:
        closed = error  # the load is kept all the same
    steps = []
    if asked.chart is not None:
        steps.append(lambda: _draw(found, asked.chart, beside))
    if asked.save is not None:
        steps.append(lambda: _keep(found, asked.save))
    if not output.attempt(*steps):
        return BAD_INPUT
    if closed is not None:
        raise closed
    return DONE if found.verdict == verdict.DELIVERED else FINDINGS


def _print(found: Judgement, asked: argparse.Namespace, beside: Undisturbed | None) -> None:
    with extras.needed("day"):
        from stillroom.run import undisturbed
        from stillroom.sheets import documents, output, verdict_document, verdict_sheet

        if asked.json:
            document = verdict_document.document(found)
            if asked.compare_undisturbed:
                document["undisturbed"] = verdict_document.undisturbed(beside)
            output.say(documents.text(document))
        else:
            nothing = (undisturbed.NOTHING,) if asked.compare_undisturbed else ()
            told = nothing if beside is None else beside.because
            output.say(verdict_sheet.verdict_sheet(found, stillroom.shelf(), sys.stdout.encoding, told))


def _draw(found: Judgement, path: str, beside: Undisturbed | None) -> None:
    with extras.needed("day"):
        from stillroom.sheets import undisturbed_chart, verdict_chart

        if beside is None:
            verdict_chart.draw(found, path)
        else:
            undisturbed_chart.draw(found, beside, path)


def _keep(found: Judgement, folder: str) -> None:
    with extras.needed("day"):
        from stillroom import screen
        from stillroom.run import season

        kept = season.keep(found, folder, stillroom.shelf().rules)
    told = "kept as" if kept.new else "amended" if kept.amended else "already kept as"
    sys.stderr.write(f"stillroom judge: {told} {screen.shown(kept.path, 200)}\n")
    if kept.same_log is not None:
        sys.stderr.write(
            f"stillroom judge: {kept.same_log} has the same log and another record: if it is the same load, "
            "move one of the two away\n"
        )
