"""``stillroom find``: one question, one answer or refusal."""

from __future__ import annotations

import argparse
import sys

import stillroom
from stillroom.commands import BAD_INPUT, DONE, NO_TESTED_SCHEDULE
from stillroom.commands import arguments as common

EXAMPLES = (
    ('stillroom find snap beans --pack raw --jar quart --altitude "1650 ft" --canner dial', DONE),
    ('stillroom find peaches --jar pints --altitude "0.5 km" --canner "water bath"', BAD_INPUT),
    ("stillroom find garlic in oil", NO_TESTED_SCHEDULE),
)


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    common.food(parser)
    common.pack(parser)
    common.jar(parser, required=False)
    common.altitude(parser, required=False)
    common.canner(parser, "boiling-water, dial, weighted or steam; left out: each that is tested", required=False)
    common.form(parser)
    common.kitchen(parser)
    common.as_json(parser, "answer")


def run(asked: argparse.Namespace) -> int:
    """Ask and print."""
    path = common.kitchen_file(asked)
    own = None if path is None else stillroom.kitchen(path)
    try:
        answer = stillroom.find(**common.said(asked), kitchen=own)
    except stillroom.SayWhich as error:
        for note in _notes(error.answers, own):
            error.add_note(note)
        raise
    if asked.json:
        from stillroom.sheets import documents

        sys.stdout.write(documents.text(documents.answer(answer)))
    else:
        from stillroom.sheets import answer_sheet

        sys.stdout.write(answer_sheet.answer_sheet(answer, stillroom.shelf(), _notes((answer,), own)))
    return DONE


def _notes(answers: tuple[stillroom.Answer, ...], own: stillroom.Kitchen | None) -> tuple[str, ...]:
    """Say what the gauge and the weights of a kitchen change of the answers."""
    if own is None:
        return ()
    from stillroom.sheets import kitchen_sheet

    return kitchen_sheet.notes(answers, own, stillroom.shelf())
