"""Steam chart: temperature of steam over gauge pressure, at sea level and higher up, drawn to SVG or PNG."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stillroom.answers import saturation, wording
from stillroom.answers.steam import NAMED_F, Steam
from stillroom.sheets import drawing

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_HERE, _SEA, _MARK, _INK = "#1f4e79", "#6b6b6b", "#b03a2e", "#222222"
_FROM_PSI, _TO_PSI = 0.0, 15.0
_STEPS = 120
"""Straight pieces that a curve is drawn of."""


def plot(found: Steam, path: str) -> None:
    """Draw the curve of this altitude beside that of sea level, and the pressure that was asked for.

    Lines are told apart by their strokes, not by color alone.

    Parameters
    ----------
    found : Steam
    path : str
        File to write, ending in .svg or .png.

    Raises
    ------
    BadInput
        Another ending, or a file that cannot be written or is not ours.
    """
    asked = [point.gauge_psi for point in found.points] if found.asked else []
    low, high = min([_FROM_PSI, *asked]), max([_TO_PSI, *asked])
    with drawing.sheet(path, "plot", (8, 5)) as figure:
        axes = figure.subplots()
        height = wording.height(found.altitude_ft)
        if found.altitude_ft:
            _curve(axes, 0.0, (low, high), _SEA, "--", "sea level")
        _curve(axes, found.altitude_ft, (low, high), _HERE, "-", height if found.altitude_ft else "sea level")
        _temperatures(axes, (low, high))
        if found.asked:
            _asked(axes, found)
        axes.set_title(f"Steam without air at {height}; no schedule", loc="left", fontweight="bold")
        axes.set_xlabel("pressure on a true gauge, psi")
        axes.set_ylabel("temperature, degF")
        axes.set_xlim(low, high)
        axes.grid(True, color="#dddddd", lw=0.6)
        axes.set_axisbelow(True)
        axes.spines[["top", "right"]].set_visible(False)
        figure.legend(loc="outside lower center", ncols=3, frameon=False, fontsize=9)


def _curve(axes: Axes, altitude_ft: float, span: tuple[float, float], color: str, stroke: str, label: str) -> None:
    low = max(span[0], saturation.LEAST_PSI - saturation.outside_psi(altitude_ft))
    psi = [low + (span[1] - low) * step / _STEPS for step in range(_STEPS + 1)]
    degrees = [saturation.steam_F(at, altitude_ft) for at in psi]
    axes.plot(psi, degrees, color=color, ls=stroke, lw=1.8, label=label, zorder=4)


def _temperatures(axes: Axes, span: tuple[float, float]) -> None:
    for degrees in NAMED_F:
        axes.axhline(degrees, color=_MARK, lw=0.9, ls=":", zorder=2)
        axes.annotate(
            f"{degrees:g} degF",
            (span[0], degrees),
            xytext=(4, 3),
            textcoords="offset points",
            fontsize=8.5,
            color=_INK,
        )


def _asked(axes: Axes, found: Steam) -> None:
    point = found.points[0]
    bottom = axes.get_ylim()[0]
    axes.vlines(point.gauge_psi, bottom, point.steam_F, color=_INK, lw=0.8, ls="-.", zorder=3)
    axes.set_ylim(bottom=bottom)
    axes.plot(
        point.gauge_psi,
        point.steam_F,
        marker="o",
        ms=8,
        color=_HERE,
        mec=_INK,
        ls="none",
        zorder=5,
        clip_on=False,
        label=f"asked: {point.gauge_psi:.4g} psi, {point.steam_F:.1f} degF",
    )
