"""Load sheets: a run sheet for each load of a day, in one folder."""

from __future__ import annotations

import os
from dataclasses import replace

from stillroom import screen
from stillroom.answers.shelf import Shelf
from stillroom.day.timetable import DayLoad, DayPlan
from stillroom.errors import BadInput
from stillroom.sheets import run_sheet


def write(folder: str, day: DayPlan, shelf: Shelf) -> None:
    """Write a run sheet for each load, named by its number and its food, like ``load-01-snap-beans.html``.

    Parameters
    ----------
    folder : str
        Made where there is none. A run sheet of ours of the same name is replaced, no other file is.
    day : DayPlan
    shelf : Shelf

    Raises
    ------
    BadInput
        The folder cannot be made, or a file of that name is no run sheet of ours.
    """
    try:
        os.makedirs(folder, exist_ok=True)
    except (OSError, ValueError) as error:
        told = getattr(error, "strerror", None) or "that is no name of a folder"
        raise BadInput(f'sheets "{screen.shown(folder, 200)}" cannot be made: {told}') from None
    for one in day.loads:
        plan = replace(day.foods[one.food].plan, start_min=day.start_min)
        run_sheet.write(os.path.join(folder, file_name(one, day)), plan, shelf, _of(one, day))


def file_name(one: DayLoad, day: DayPlan) -> str:
    """Name the sheet of a load."""
    wide = max(2, len(str(len(day.loads))))
    return f"load-{one.number:0{wide}}-{day.foods[one.food].plan.answer.food}.html"


def _of(one: DayLoad, day: DayPlan) -> run_sheet.OfDay:
    return run_sheet.OfDay(
        load=one.load,
        number=one.number,
        of=len(day.loads),
        canner=f"{one.canner}, burner {one.burner}",
        date="" if day.date is None else day.date.isoformat(),
    )
