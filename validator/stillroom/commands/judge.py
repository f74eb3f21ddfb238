"""``stillroom judge``: did this batch get its schedule? And before it, an empty record and log to fill in."""

from __future__ import annotations

import argparse
import datetime
import re
import sys
from typing import TYPE_CHECKING

import stillroom
from stillroom import extras, screen
from stillroom.answers import pressure
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
    parser.add_argument("batch", nargs="?", help="batch record, like batch.yaml; see schema/batch.json")
    common.as_json(parser, "verdict")
    parser.add_argument("--chart", metavar="FILE", help="draw the run to FILE, .svg or .png")
    parser.add_argument(
        "--compare-undisturbed",
        action="store_true",
        help="say what its dips cost, and draw the run beside the one without them; the verdict stands",
    )
    parser.add_argument("--save", metavar="DIR", help="add the batch to the season log in DIR, or amend its entry")

    parser.add_argument(
        "--new", nargs="+", metavar="FOOD", help="begin a load of this food: write an empty batch.yaml and run.csv"
    )
    parser.add_argument("--out", metavar="DIR", help="folder they are written to; this folder by default")
    common.jar(parser, required=False)
    common.altitude(parser, required=False)
    common.canner(parser, "boiling-water, dial, weighted or steam", required=False)
    common.pack(parser)
    common.form(parser)
    parser.add_argument("--option-minutes", metavar="MIN", help="which of several equal options; the first by default")
    parser.add_argument("--weight", metavar="PSI", help="weight that is on, with its unit, as it is stamped on it")
    parser.add_argument("--date", metavar="DATE", help="day on which the log begins, like 2026-08-15; today by default")
    common.kitchen(parser)


def run(asked: argparse.Namespace) -> int:
    """Judge and print; then draw and keep where that is asked for. No failing file costs the verdict."""
    if asked.new is not None:
        return _begin(asked)
    _only_judged(asked)
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


_OF_NEW = ("out", "jar", "altitude", "canner", "pack", "form", "option_minutes", "weight", "date", "kitchen")


def _only_judged(asked: argparse.Namespace) -> None:
    """See that a record is named, and nothing said that is for a new one."""
    said = next((name for name in _OF_NEW if getattr(asked, name) is not None), None)
    if said is not None:
        raise BadInput(f"--{said.replace('_', '-')} is for a new load: name its food with --new, or leave it out")
    if asked.batch is None:
        raise BadInput("no batch record is named: write stillroom judge batch.yaml, or begin one with --new FOOD")


def _begin(asked: argparse.Namespace) -> int:
    """Write an empty record and log."""
    judged = (asked.batch, asked.chart, asked.save)
    if asked.json or asked.compare_undisturbed or any(said is not None for said in judged):
        raise BadInput(
            "--new begins a record and judges none: leave out the record, --json, --chart, --save and the like"
        )
    from stillroom.answers import dates
    from stillroom.sheets import new_run, output

    asked.food = asked.new
    said = common.said(asked)
    path = common.kitchen_file(asked)
    own = None if path is None else stillroom.kitchen(path)
    answer = stillroom.find(**said, kitchen=own)
    stillroom.shelf().need_guide(answer.food, "no run is judged")
    day = datetime.date.today() if asked.date is None else dates.day("date", asked.date)
    minutes = _minutes(asked.option_minutes)
    if asked.weight is not None:
        pressure.in_psi(asked.weight, "weight")
        if answer.canner != "weighted":
            raise BadInput(f"--weight is for a weighted gauge, and the canner is {answer.canner}: leave it out")
    altitude = asked.altitude or f"{answer.altitude_ft!r} ft"
    new = new_run.Said(altitude, day.isoformat(), minutes, asked.weight, _gauge(answer, own))
    record, log = new_run.write(asked.out or "", answer, new)
    output.say(f"{screen.shown(record, 200)} and {screen.shown(log, 200)} are written. Fill in the log, then:\n\n")
    output.say(f"stillroom judge {screen.shown(record, 200)}\n")
    return DONE


def _minutes(written: str | None) -> int | None:
    if written is None:
        return None
    if not re.fullmatch("[0-9]{1,4}", written.strip()):
        raise BadInput(f'option minutes "{screen.shown(written, 20)}" is no whole number: write it like 20')
    return int(written)


def _gauge(answer: stillroom.Answer, own: stillroom.Kitchen | None) -> tuple[tuple[str, str], ...]:
    """What a kitchen says of the dial gauge."""
    if own is None or answer.canner != "dial":
        return ()
    told = {"reads_high_by": own.reads_high_by, "tested": own.tested}
    return tuple((key, str(value)) for key, value in told.items() if value is not None)


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
        from stillroom.run import season

        kept = season.keep(found, folder, stillroom.shelf().rules)
    told = "kept as" if kept.new else "amended" if kept.amended else "already kept as"
    sys.stderr.write(f"stillroom judge: {told} {screen.shown(kept.path, 200)}\n")
    if kept.same_log is not None:
        sys.stderr.write(
            f"stillroom judge: {kept.same_log} has the same log and another record: if it is the same load, "
            "move one of the two away\n"
        )
