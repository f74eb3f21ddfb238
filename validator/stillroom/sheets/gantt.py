"""Gantt: a canning day drawn to SVG or PNG, a row for each canner, in hatches that are told apart without color.

Every row has two lanes: the upper where all goes fast, the lower where all goes slowly. The day runs between them.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any, NamedTuple

from stillroom.day import clock
from stillroom.day.timetable import DayLoad, DayPlan
from stillroom.sheets import drawing, timetable_sheet

if TYPE_CHECKING:
    from matplotlib.axes import Axes

WIDE_IN = 11.0
"""Width, inches."""
_LETTER_IN = 0.068
"""Width of a letter of the labels, inches."""
_LANE = 0.34
"""Height of a lane, where a row is 1 high."""
_LOOKS: dict[str, tuple[str, str, str]] = {
    "prepare": ("preparation", "white", "+++"),
    "heat": ("heating", "white", "////"),
    "vent": ("venting", "white", "...."),
    "come-up": ("to pressure", "white", "xxxx"),
    "process": ("PROCESS", "#333333", ""),
    "cool": ("cooling by itself", "white", "\\\\\\\\"),
    "wait": ("wait", "white", ""),
}
"""Name, face and hatch of each kind of stretch."""


class _Bar(NamedTuple):
    """One stretch in one lane: row, lane (0 fast, 1 slow), kind, begin and length in minutes."""

    row: int
    lane: int
    kind: str
    begins: int
    lasts: int


def draw(day: DayPlan, path: str) -> None:
    """Draw a day.

    Parameters
    ----------
    day : DayPlan
    path : str
        File to write, ending in .svg or .png.

    Raises
    ------
    BadInput
        Another ending, or a file that cannot be written or is not ours.
    StillroomError
        Matplotlib is not installed.
    """
    rows = ["your hands", *(canner.name for canner in day.canners)]
    with drawing.sheet(path, "gantt", (WIDE_IN, 1.9 + 0.95 * len(rows))) as figure:
        axes = figure.subplots()
        for bar in _bars(day, rows):
            _, face, hatch = _LOOKS[bar.kind]
            axes.barh(
                _height(bar.row, bar.lane), bar.lasts, left=bar.begins, height=_LANE,
                facecolor=face, edgecolor="black", hatch=hatch, linewidth=0.8,
            )  # fmt: skip
        _labels(axes, day, rows)
        _clock(axes, day)
        axes.set_yticks(range(len(rows)), [_row(name, day) for name in rows])
        axes.set_ylim(len(rows) - 0.4, -0.6)
        axes.spines[["top", "right"]].set_visible(False)
        axes.set_title(timetable_sheet.title(day), loc="left", fontweight="bold")
        figure.legend(handles=_legend(day), loc="outside lower center", ncols=7, frameon=False, fontsize=8)


def _bars(day: DayPlan, rows: list[str]) -> Iterator[_Bar]:
    for food in day.foods:
        if food.preparation_min:
            for lane in (0, 1):
                yield _Bar(0, lane, "prepare", food.begins[lane], food.preparation_min)
    for one in day.loads:
        for step in one.load.steps:
            for lane in (0, 1):
                yield _Bar(rows.index(one.canner, 1), lane, step.id, step.begins[lane], step.lasts[lane])


def _labels(axes: Axes, day: DayPlan, rows: list[str]) -> None:
    """Write the food over each load and each preparation, as far as there is room, and the number into its process."""
    inches = (WIDE_IN - 1.6) / max(1, day.lasts.to_min)
    told = [(0, food.begins.from_min, timetable_sheet.name(food)) for food in day.foods if food.preparation_min]
    for one in day.loads:
        row = rows.index(one.canner, 1)
        told.append((row, one.load.begins.from_min, f"{one.number} {_food(one, day)}"))
        process = next(step for step in one.load.steps if step.id == "process")
        for lane in (0, 1):
            middle = process.begins[lane] + process.lasts[lane] / 2
            axes.text(middle, _height(row, lane), f"{one.number}", color="white", fontsize=8, fontweight="bold",
                      ha="center", va="center", clip_on=True)  # fmt: skip
    for row, begins, text in told:
        further = [other for at, other, _ in told if at == row and other > begins]
        room = int((min(further, default=day.lasts.to_min) - begins) * inches / _LETTER_IN)
        said = text if len(text) <= room else f"{text[: max(1, room - 1)]}."
        axes.text(begins, row - 0.32, said, fontsize=8, va="bottom", ha="left")


def _height(row: int, lane: int) -> float:
    """Middle of a lane, in rows from the top."""
    return row + (lane - 0.5) * (_LANE + 0.04) + 0.1


def _food(one: DayLoad, day: DayPlan) -> str:
    return timetable_sheet.name(day.foods[one.food])


def _row(name: str, day: DayPlan) -> str:
    burners = sorted({one.burner for one in day.loads if one.canner == name})
    on = f"\nburner {', '.join(map(str, burners))}" if burners else ""
    return f"{name[:24]}{on}"


def _clock(axes: Axes, day: DayPlan) -> None:
    """Set the hours, and a line at each midnight."""
    start, end = day.start_min or 0, day.lasts.to_min
    every = clock.HOUR * max(1, -(-end // (14 * clock.HOUR)))
    first = -start % clock.HOUR
    ticks = list(range(first, end + 1, every))
    axes.set_xticks(ticks, [_hour(start + tick, day) for tick in ticks])
    axes.set_xlim(0, max(1, end) * 1.01)
    axes.grid(axis="x", color="#bbbbbb", linewidth=0.5)
    axes.set_axisbelow(True)
    hours = "time of day" if day.start_min is not None else "hours from the start of the day"
    axes.set_xlabel(f"{hours}; in each row the upper lane where all goes fast, the lower where all goes slowly")
    for midnight in range(clock.DAY - start, end, clock.DAY) if day.start_min is not None else ():
        axes.axvline(midnight, color="black", linestyle="--", linewidth=1.2)
        axes.text(midnight, -0.6, " midnight", fontsize=8, va="top")


def _hour(minute: int, day: DayPlan) -> str:
    if day.start_min is None:
        return f"{minute // clock.HOUR}"
    return clock.told(minute % clock.DAY)


def _legend(day: DayPlan) -> list[Any]:
    from matplotlib.patches import Patch

    used = {step.id for one in day.loads for step in one.load.steps}
    used |= {"prepare"} if any(food.preparation_min for food in day.foods) else set()
    return [
        Patch(facecolor=face, edgecolor="black", hatch=hatch, label=name)
        for kind, (name, face, hatch) in _LOOKS.items()
        if kind in used
    ]
