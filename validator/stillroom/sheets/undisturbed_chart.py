"""Undisturbed chart: a run beside the same run without its dips, pressure above and steam below, to SVG or PNG."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np

from stillroom.answers import saturation
from stillroom.run.arrays import Real
from stillroom.run.judgement import Judgement
from stillroom.run.undisturbed import Undisturbed, part
from stillroom.sheets import drawing, verdict_chart

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_RUN, _FILLED, _NEED, _INK = "#1f4e79", "#111111", "#b03a2e", "#222222"
_MOST_DIPS = 200


def draw(found: Judgement, beside: Undisturbed, path: str) -> None:
    """Draw pressure and temperature against time; the dips are filled up with strokes of another kind, and hatched.

    The temperature stands where the canner was closed: with the vent open there is air among the steam.

    Parameters
    ----------
    found : Judgement
    beside : Undisturbed
    path : str
        File to write, ending in .svg or .png.

    Raises
    ------
    BadInput
        Another ending, or a file that cannot be written or is not ours.
    """
    with drawing.sheet(path, "chart", (9, 7.2)) as figure:
        above, below = figure.subplots(2, 1, sharex=True, height_ratios=(3, 2))
        verdict_chart.panel(above, found)
        _filled(above, found, beside, lambda psi: psi, "without the dip" + ("s" if len(beside.dips) > 1 else ""))
        below.set_xlabel(above.get_xlabel())
        above.set_xlabel("")
        _temperature(below, found, beside)
        figure.legend(loc="outside lower center", ncols=3, frameon=False, fontsize=9)


def _filled(
    axes: Axes, found: Judgement, beside: Undisturbed, value: Callable[[Real], Real], label: str | None = None
) -> None:
    """Draw the undisturbed run where it is another than the run: across each dip, from the reading before to the one
    after, and what the dip lacks hatched."""
    for first, last in beside.dips[:_MOST_DIPS]:
        at = np.unique([first - 1, first, last - 1, last])
        minute, filled = verdict_chart.minute(found, found.log.time_us[at]), value(beside.psi[at])
        axes.plot(minute, filled, color=_FILLED, lw=1.8, ls=(0, (2, 1.2)), zorder=5, label=label)
        x, run = verdict_chart.line(found, value(found.true_psi[first - 1 : last + 1]), slice(first - 1, last + 1))
        above = np.interp(x, minute, filled)
        axes.fill_between(x, run, above, facecolor="none", edgecolor=_FILLED, hatch="/////", lw=0, zorder=3)
        label = None


def _temperature(axes: Axes, found: Judgement, beside: Undisturbed) -> None:
    feet = found.answer.altitude_ft

    def steam(psi: Real) -> Real:
        return saturation.steam_of_each_F(psi, feet)

    spoken = part(found)
    axes.plot(*verdict_chart.line(found, steam(found.true_psi[spoken]), spoken), color=_RUN, lw=1.6, zorder=4)
    _filled(axes, found, beside, steam)
    needed = saturation.steam_F(beside.required_psi, feet)
    axes.axhline(needed, color=_NEED, lw=1.2, ls="--", zorder=3)
    _note(axes, f"{beside.required_psi:g} psi: {needed:.1f} degF", needed)
    if found.lethality_F0_min is None:
        axes.set_title("venting is not shown: with air in the canner it was cooler", loc="left", fontsize=9)
    axes.set_ylabel("steam without air, degF")
    axes.grid(True, color="#dddddd", lw=0.6)
    axes.set_axisbelow(True)
    axes.spines[["top", "right"]].set_visible(False)


def _note(axes: Axes, text: str, degrees: float) -> None:
    axes.annotate(
        text,
        (0, degrees),
        xycoords=("axes fraction", "data"),
        xytext=(4, 3),
        textcoords="offset points",
        fontsize=8.5,
        color=_INK,
    )
