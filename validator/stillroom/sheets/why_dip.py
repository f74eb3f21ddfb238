"""Why a dip costs the whole time: an invented run whose pressure falls once, and its steam beside that of an even run.

The run is shared/demo/dip.yaml, judged as any other; the comparison is that of ``judge --compare-undisturbed``.
What steam amounts to is told for information and is no verdict.
"""

from __future__ import annotations

import os
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from stillroom.answers import saturation, steam
from stillroom.answers.answer import Stated
from stillroom.answers.lookup import Lookup
from stillroom.answers.shelf import Shelf
from stillroom.errors import BadPackage
from stillroom.run import judgement, lethality, undisturbed
from stillroom.run.arrays import Real, Whole
from stillroom.run.judgement import Judgement
from stillroom.run.log_times import MINUTE
from stillroom.run.periods import Stretch
from stillroom.run.undisturbed import Undisturbed
from stillroom.sheets import why
from stillroom.sheets.why import Why

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

NAME = "dip"
RUN = "shared/demo/dip.yaml"
COLUMNS = (
    "minute",
    "gauge_psi",
    "steam_F",
    "steam_C",
    "F0_min",
    "undisturbed_psi",
    "undisturbed_F",
    "undisturbed_F0_min",
)
_F0_DIGITS = 3
_BARS_F, _BAR_LOW_F = 16, 8
"""Room above the highest temperature for the bars of the clock, and how far the bars stand above it, degF."""


class Course(NamedTuple):
    """A run and the same run without its dip, from the closing of the vent to the opening of the canner.

    Attributes
    ----------
    found : Judgement
    beside : Undisturbed
    minute : array of float64
        Minutes at each reading.
    steam_F, even_F : array of float64
        Temperature of steam, of the run and of the undisturbed one, degF.
    sum_min, even_min : array of float64
        What the steam has come to by then, minutes at the reference temperature.
    before : Stretch
        At pressure before the dip: time that does not count.
    counts : Stretch
        The stretch that counts.
    """

    found: Judgement
    beside: Undisturbed
    minute: Real
    steam_F: Real  # noqa: N815  (units stand in names)
    even_F: Real  # noqa: N815
    sum_min: Real
    even_min: Real
    before: Stretch
    counts: Stretch

    @property
    def lost_min(self) -> float:
        """Minutes at the requirement that amount to what the steam of the dip lacks."""
        rate = lethality.lethal_rate(np.array(_needed_F(self)))
        return float((self.even_min[-1] - self.sum_min[-1]) / rate)

    @property
    def worth(self) -> float:
        """What a minute at the lowest pressure of the dip is worth, in minutes at the requirement."""
        low, needed = lethality.lethal_rate(np.array([_lowest_F(self), _needed_F(self)]))
        return float(low / needed)


def course(shelf: Shelf) -> Course:
    """Judge the invented run and lay it out.

    Parameters
    ----------
    shelf : Shelf

    Raises
    ------
    BadPackage
        The run shows no dip with a whole time after it.
    BadInput
        The record or its log is damaged or missing.
    """
    found = judgement.judge(os.path.join(shelf.package.root, *RUN.split("/")), Lookup(shelf))
    beside = undisturbed.undisturbed(found, shelf.rules)
    if beside is None or len(beside.dips) != 1 or found.judged.hold is None or beside.lowest_F is None:
        raise BadPackage(f"{RUN} shows no dip with a whole time after it: restore it")
    part = undisturbed.part(found)
    time_us, gap, feet = found.log.time_us[part], found.needs.max_gap_us, found.answer.altitude_ft
    hot, even = (saturation.steam_of_each_F(psi[part], feet) for psi in (found.true_psi, beside.psi))
    first = beside.dips[0][0]
    held = np.flatnonzero(found.true_psi[:first] >= beside.required_psi)
    return Course(
        found=found,
        beside=beside,
        minute=time_us / MINUTE,
        steam_F=hot,
        even_F=even,
        sum_min=_summed(time_us, hot, gap),
        even_min=_summed(time_us, even, gap),
        before=Stretch(int(found.log.time_us[held[0]]), int(found.log.time_us[held[-1]])),
        counts=found.judged.hold,
    )


def _summed(time_us: Whole, degrees: Real, gap_us: int) -> Real:
    """What steam has come to at each reading, minutes at the reference temperature."""
    return np.array([lethality.F0_min(time_us[:upto], degrees[:upto], gap_us) for upto in range(1, len(time_us) + 1)])


def why_dip(shelf: Shelf) -> Why:
    """Make the chart.

    Parameters
    ----------
    shelf : Shelf

    Raises
    ------
    BadPackage
        The run shows no dip with a whole time after it.
    BadInput
        The record or its log is damaged or missing.
    """
    drawn = course(shelf)
    return Why(
        id=NAME,
        title="A dip costs the whole time, not some minutes",
        alt=_alt(drawn),
        sentences=_sentences(drawn, shelf),
        cautions=(_information(), steam.without_air(shelf.rules), steam.NO_SCHEDULE),
        columns=COLUMNS,
        rows=_rows(drawn),
        size_in=(why.WIDE_IN, 6.8),
        draw=lambda figure: _draw(figure, drawn),
    )


def _information() -> Stated:
    return Stated(
        "lethality-information",
        f"The sum (minutes at {lethality.REFERENCE_F:g} degF, z {lethality.Z_F:g} degF) is that of the canner's steam, "
        "for information. It is no verdict: the food in the jars lags behind the steam, and nobody measured it.",
        None,
        None,
    )


def _rows(drawn: Course) -> tuple[tuple[why.Cell, ...], ...]:
    part = undisturbed.part(drawn.found)
    columns = (
        drawn.minute, drawn.found.true_psi[part], drawn.steam_F, drawn.sum_min,
        drawn.beside.psi[part], drawn.even_F, drawn.even_min,
    )  # fmt: skip
    return tuple(
        (
            *(minute, psi, why.data(hot), why.data(why.celsius(hot)), round(summed, _F0_DIGITS)),
            *(even_psi, why.data(even), round(even_sum, _F0_DIGITS)),
        )
        for minute, psi, hot, summed, even_psi, even, even_sum in zip(*(c.tolist() for c in columns), strict=True)
    )


def _lowest_F(drawn: Course) -> float:  # noqa: N802
    """Temperature of steam at the lowest pressure of the dip, degF."""
    return saturation.steam_F(drawn.beside.lowest_psi or 0.0, drawn.found.answer.altitude_ft)


def _needed_F(drawn: Course) -> float:  # noqa: N802
    """Temperature of steam at the requirement, degF."""
    return saturation.steam_F(drawn.beside.required_psi, drawn.found.answer.altitude_ft)


def _minutes(stretch: Stretch) -> str:
    return f"{stretch.us / MINUTE:g}"


def _alt(drawn: Course) -> str:
    need = f"{drawn.beside.required_psi:g} psi"
    return (
        "Two line charts over the minutes of an invented run. Above, the temperature of steam: it stays over the "
        f"{_needed_F(drawn):.1f} degrees Fahrenheit of {need} for {_minutes(drawn.before)} minutes, dips to "
        f"{_lowest_F(drawn):.1f} degrees, and then stays over it for {_minutes(drawn.counts)} minutes; a bar marks the "
        "first stretch as not counting, and the second as counting. Below, what the steam amounts to in minutes at "
        f"{lethality.REFERENCE_F:g} degrees: {drawn.sum_min[-1]:.2f} at the end, and {drawn.even_min[-1]:.2f} for the "
        "same run without the dip, two lines that lie close together."
    )


def _sentences(drawn: Course, shelf: Shelf) -> tuple[Stated, ...]:
    need = f"{drawn.beside.required_psi:g} psi"
    return (
        Stated(
            "invented-dip",
            f"In this invented run the pressure fell once below {need}, to {drawn.beside.lowest_psi:g}, where a minute "
            f"does {drawn.worth:.0%} of what a minute at {need} does. As a sum of steam that is about "
            f"{drawn.lost_min:.1f} minutes.",
            None,
            None,
        ),
        shelf.rules.worded(
            "restart-rule",
            f"The rule asks for more, and it is the rule that counts: the {_minutes(drawn.before)} minutes before the "
            f"dip are gone, and the whole {drawn.found.option.minutes} begin again from zero",
        ),
        Stated(
            "nobody-measured",
            "Adding a few minutes at the end is not the same: the sum is of the steam around the jars, not of the food "
            "in their middle, and no publication used here has a process with a dip.",
            None,
            None,
        ),
    )


def _draw(figure: Figure, drawn: Course) -> None:
    above, below = figure.subplots(2, 1, sharex=True, height_ratios=(4, 3))
    _temperature(above, drawn)
    _sum(below, drawn)
    below.set_xlabel("minute of the log")
    for axes in (above, below):
        why.plain(axes)
    why.note(figure, "An invented run. For information; no verdict, no schedule.")


def _temperature(axes: Axes, drawn: Course) -> None:
    needed = _needed_F(drawn)
    axes.plot(drawn.minute, drawn.steam_F, color=why.INK, lw=2, zorder=4)
    axes.axhline(needed, color=why.PALE, lw=1.2, ls=":", zorder=2)
    end = float(drawn.minute[-1])
    why.label(
        axes, f"{drawn.beside.required_psi:g} psi: {needed:.1f}", (end, needed), (0, 8), ha="right", color=why.PALE
    )
    first, last = drawn.beside.dips[0]
    low = first + int(np.argmin(drawn.found.true_psi[first:last]))
    at = (float(drawn.found.log.time_us[low]) / MINUTE, _lowest_F(drawn))
    why.label(axes, f"dip to {at[1]:.1f}", at, (4, -9))
    top = float(drawn.steam_F.max())
    for stretch, text, face in ((drawn.before, "lost", "none"), (drawn.counts, "counts", why.INK)):
        span = (stretch.start_us / MINUTE, stretch.us / MINUTE)
        axes.broken_barh(
            [span], (top + _BAR_LOW_F, 4), facecolor=face, edgecolor=why.INK, hatch="" if face != "none" else "////"
        )
        why.label(
            axes, f"{_minutes(stretch)} min {text}", (span[0] + span[1] / 2, top + _BAR_LOW_F + 4), (0, 8), ha="center"
        )
    axes.set_ylim(top=top + _BAR_LOW_F + _BARS_F)
    axes.set_ylabel(f"steam, {why.NAMED}")


def _sum(axes: Axes, drawn: Course) -> None:
    axes.plot(drawn.minute, drawn.even_min, color=why.INK, lw=1.6, ls=(0, (3, 1.5)), zorder=3)
    axes.plot(drawn.minute, drawn.sum_min, color=why.INK, lw=2, zorder=4)
    end = float(drawn.minute[-1])
    why.label(axes, f"without the dip {drawn.even_min[-1]:.2f}", (end, drawn.even_min[-1]), (0, 9), ha="right")
    why.label(axes, f"this run {drawn.sum_min[-1]:.2f}", (end, drawn.sum_min[-1]), (0, -11), ha="right")
    axes.margins(y=0.2)
    axes.set_ylabel(f"F0 of the steam,\nmin at {lethality.REFERENCE_F:g} {why.NAMED}")
