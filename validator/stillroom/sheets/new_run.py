"""New run: an empty record and an empty log of one canner load, to fill in by hand and then to judge.

The log has the lines of the printed run sheet: the events of its canner in their order, and the minutes of the process.
"""

from __future__ import annotations

import json
import os
import re
from typing import NamedTuple

from stillroom import screen
from stillroom.answers.answer import Answer, Option
from stillroom.errors import BadInput
from stillroom.sheets import output, run_sheet

RECORD, LOG = "batch.yaml", "run.csv"
"""Names of the two files."""


class _Lines(NamedTuple):
    """What the log of one canner has: the column that is filled in at each minute, what to write in it, the events
    before the process and after it, and what stops it."""

    column: str
    write: str
    before: tuple[str, ...]
    after: tuple[str, ...]
    stop: str


_LINES = {
    "dial": _Lines(
        "gauge_psi", "what the dial shows", ("vent-start", "weight-on"), ("heat-off", "lock-dropped"), "dip"
    ),
    "weighted": _Lines(
        "rocking",
        "yes where the weight rocks, and no where it does not",
        ("vent-start", "weight-on", "rocking"),
        ("heat-off", "lock-dropped"),
        "dip",
    ),
    "boiling-water": _Lines(
        "boiling",
        "yes where the water boils, and no where it does not",
        ("boil",),
        ("heat-off",),
        "stop of the boiling",
    ),
    "steam": _Lines(
        "steaming",
        "yes where steam flows, and no where it does not",
        ("steam-full",),
        ("heat-off",),
        "stop of the steam",
    ),
}
_PLAIN = re.compile(r"[0-9]+(\.[0-9]+)? (ft|m)|[a-z0-9]+([.-][a-z0-9]+)*|[0-9]{4}-[0-9]{2}-[0-9]{2}")


class Said(NamedTuple):
    """What a new record takes over as it was said.

    Attributes
    ----------
    altitude : str
        With its unit.
    day : str
        Day on which the log begins, like 2026-08-15.
    minutes : int or None
        Which of several equal processes.
    weight : str or None
        The weight that is on, like ``10 psi``.
    gauge : tuple of (str, str)
        Keys and values of the gauge, like ``reads_high_by`` and ``0.5 psi``.
    """

    altitude: str
    day: str
    minutes: int | None = None
    weight: str | None = None
    gauge: tuple[tuple[str, str], ...] = ()


def record(answer: Answer, said: Said) -> str:
    """Write an empty record.

    Parameters
    ----------
    answer : Answer
        The tested schedule of the load.
    said : Said
    """
    keys = {"food": answer.food, "form": answer.form, "pack": answer.pack, "jar": answer.jar}
    keys.update(altitude=said.altitude, canner=answer.canner, date=said.day, run=LOG)
    if answer.canner == "weighted":
        keys["weight"] = said.weight
    lines = [f"# One canner load. Fill in {LOG}, then: stillroom judge {RECORD}"]
    lines += [f"{key}: {_quoted(value)}" for key, value in keys.items() if value is not None]
    if len(answer.options) > 1:
        lines.append(f"option: {{minutes: {_option(answer, said.minutes).minutes}}}")
    if said.gauge:
        told = ", ".join(f"{key}: {_quoted(value)}" for key, value in said.gauge)
        lines.append(f"gauge: {{{told}}}")
    lines.append("# Take off the # of what you know:")
    lines.append("# jars: 7")
    if answer.canner == "dial" and not said.gauge:
        lines.append("# gauge: {reads_high_by: 0.5 psi, tested: 2026-06-01}")
    if answer.canner == "weighted" and said.weight is None:
        lines.append(f"# weight: {_option(answer, said.minutes).pressure_psi} psi")
    lines.append("# seals: {sealed: 7, failed: 0}")
    return "\n".join(lines) + "\n"


def log(answer: Answer, said: Said) -> str:
    """Write an empty log.

    Parameters
    ----------
    answer : Answer
        The tested schedule of the load.
    said : Said
    """
    lines, option = _LINES[answer.canner], _option(answer, said.minutes)
    at = "" if option.pressure_psi is None else f" at {option.pressure_psi} psi"
    every = min(run_sheet.EVERY_MIN, max(1, option.minutes // 2))
    rows = [f",,,{event}," for event in lines.before]
    rows += [f"{minute},,,," for minute in (*range(0, option.minutes, every), option.minutes)]
    rows += [f",,,{event}," for event in lines.after]
    told = (
        f"# {answer.title}: {option.minutes} minutes{at} ({option.source.in_brackets}).",
        "# time: as the clock shows it, like 9:15 or 21:15, at least beside each event and beside minute 0.",
        f"# {lines.column}: {lines.write}.",
        f"# After a {lines.stop} write new lines below, and begin again at minute 0.",
        "# A line that stays without a time and without a reading is passed over.",
        f"min,time,{lines.column},event,note",
    )
    return "\n".join((*told, *rows)) + "\n"


def write(folder: str, answer: Answer, said: Said) -> tuple[str, str]:
    """Write both into a folder, which is made where there is none. Nothing that is there is written over.

    Parameters
    ----------
    folder : str
    answer : Answer
    said : Said

    Returns
    -------
    tuple of str
        Paths of the record and of the log.

    Raises
    ------
    BadInput
        One of them is there already, or cannot be written; no such option.
    """
    made = ((os.path.join(folder, LOG), log(answer, said)), (os.path.join(folder, RECORD), record(answer, said)))
    for path, _ in made:
        if os.path.lexists(path):
            raise _there(path)
    try:
        os.makedirs(folder or ".", exist_ok=True)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "that is no name of a folder"
        raise BadInput(f'folder "{screen.shown(folder, 200)}" cannot be made: {reason}') from None
    for path, text in made:
        output.write(path, text.encode(), "run", lambda _: False)
    return made[1][0], made[0][0]


def _there(path: str) -> BadInput:
    return BadInput(f'"{screen.shown(path, 200)}" is there already: choose another folder with --out')


def _option(answer: Answer, minutes: int | None) -> Option:
    """The process that is used; the first printed where nothing is said."""
    for option in answer.options:
        if minutes in (None, option.minutes):
            return option
    said = " or ".join(str(option.minutes) for option in answer.options)
    raise BadInput(f"option minutes {minutes} is not in this schedule: it has {said} minutes")


def _quoted(value: str) -> str:
    """Write a value so that YAML reads the same text."""
    plain = _PLAIN.fullmatch(value) and value not in ("null", "true", "false")
    return value if plain else json.dumps(value, ensure_ascii=False)
