"""Verdict chart: a run drawn to SVG or PNG. The same run gives the same file, byte for byte."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from stillroom.run.arrays import Real, Truth
from stillroom.run.judgement import Judgement
from stillroom.run.log_times import MINUTE, minutes
from stillroom.run.verdict import DELIVERED
from stillroom.sheets import drawing

if TYPE_CHECKING:
    from matplotlib.axes import Axes

MOST_POINTS = 4_000
"""More readings than this are drawn as the lowest and highest of each piece of time; no dip slips through."""
_INK, _LINE, _NEED, _GOOD, _WEAK, _DIP = "#222222", "#1f4e79", "#b03a2e", "#2e8b57", "#c9a227", "#d1495b"
_MOST_DIPS = 200
_WHAT = {False: ("true pressure", "true pressure, psi"), True: ("temperature", "degF")}
"""What is drawn, by whether the canner has no pressure."""


def draw(found: Judgement, path: str) -> None:
    """Draw pressure against time, with the requirement, the stretch that counts, dips and events.

    Parameters
    ----------
    found : Judgement
    path : str
        File to write, ending in .svg or .png.

    Raises
    ------
    BadInput
        Another ending, or a folder that cannot be written to.
    """
    with drawing.sheet(path, "chart", (9, 4.6)) as figure:
        panel(figure.subplots(), found)
        figure.legend(loc="outside lower center", ncols=3, frameon=False, fontsize=9)


def panel(axes: Axes, found: Judgement) -> None:
    """Draw the pressure of a run into axes of a chart."""
    _pressure(axes, found)
    _stretches(axes, found)
    _events(axes, found)
    _labels(axes, found)


def minute(found: Judgement, time_us: Any) -> Any:
    """Give times, microseconds, as minutes on the axis of a chart."""
    since = 0 if found.log.clock.kind == "minute" else found.log.first_us
    return (time_us - since) / MINUTE


def line(found: Judgement, values: Real, part: slice | Truth = slice(None)) -> tuple[Real, Real]:
    """Give the points of a line through a value at each reading; a silence is no line.

    Parameters
    ----------
    found : Judgement
    values : array of float64
        One at each reading that is drawn.
    part : slice or array of bool, optional
        Those readings; all of the log by default.

    Returns
    -------
    array of float64, array of float64
        Minutes, and values; of very many readings the lowest and highest of each piece of time.
    """
    x, values = _points(minute(found, found.log.time_us[part]), values)
    apart = np.flatnonzero(np.diff(x) * MINUTE > found.batch.max_gap_us) + 1
    return np.insert(x, apart, np.nan), np.insert(values, apart, np.nan)


def _points(x: Real, psi: Real) -> tuple[Real, Real]:
    if len(psi) <= MOST_POINTS:
        return x, psi
    first, span = x[0], x[-1] - x[0]
    bins = ((x - first) / span * (MOST_POINTS // 2 - 1)).astype(np.int64)
    starts = np.flatnonzero(np.diff(bins, prepend=-1))
    low, high = np.minimum.reduceat(psi, starts), np.maximum.reduceat(psi, starts)
    return np.repeat(x[starts], 2), np.column_stack((low, high)).ravel()


def _values(found: Judgement) -> Real:
    """Give what is drawn: pressure, or in boiling water and steam the temperature, where one was taken."""
    if found.option.pressure_psi is not None:
        return found.true_psi
    columns = (found.log.water_F, found.log.steam_F)
    return next((column for column in columns if column is not None), found.true_psi)


def _pressure(axes: Axes, found: Judgement) -> None:
    read = ~np.isnan(_values(found))
    if not read.any():
        axes.set_yticks([])
        return
    x, psi = line(found, _values(found)[read], read)
    few = int(np.count_nonzero(read)) <= 150
    axes.plot(
        x,
        psi,
        color=_LINE,
        lw=1.6,
        marker="o" if few else None,
        ms=3.2,
        zorder=4,
        label=_WHAT[found.option.pressure_psi is None][0],
    )
    if found.option.pressure_psi is None:
        return
    axes.axhline(
        float(found.option.pressure_psi),
        color=_NEED,
        lw=1.2,
        ls="--",
        zorder=3,
        label=f"required: {found.option.pressure_psi} psi",
    )


def _stretches(axes: Axes, found: Judgement) -> None:
    judged, log = found.judged, found.log
    if judged.hold is not None:
        good = found.verdict == DELIVERED
        label = f"{'counts' if good else 'longest stretch'}: {minutes(judged.hold.us)}"
        span = minute(found, judged.hold.start_us), minute(found, judged.hold.end_us)
        axes.axvspan(*span, color=_GOOD if good else _WEAK, alpha=0.22, lw=0, zorder=1, label=label)
    if judged.vent is not None:
        span = minute(found, judged.vent.start_us), minute(found, judged.vent.end_us)
        said = "venting" if judged.pressed is None else "vent said to be open"
        axes.axvspan(*span, color="#8aa4b8", alpha=0.22, lw=0, zorder=1, label=f"{said}: {minutes(judged.vent.us)}")
    for at, (first, last) in enumerate(judged.dips[:_MOST_DIPS]):
        lowest = first + int(np.nanargmin(found.true_psi[first:last]))
        axes.plot(
            minute(found, int(log.time_us[lowest])),
            found.true_psi[lowest],
            marker="v",
            ms=9,
            color=_DIP,
            ls="none",
            zorder=5,
            label="dip: the time starts again" if at == 0 else None,
        )


def _events(axes: Axes, found: Judgement) -> None:
    for event in found.log.events[:12]:
        x = minute(found, event.time_us)
        axes.axvline(x, color=_INK, lw=0.8, ls=":", zorder=2)
        axes.annotate(
            event.name,
            (x, 1),
            xycoords=("data", "axes fraction"),
            xytext=(-3, -4),
            textcoords="offset points",
            rotation=90,
            ha="right",
            va="top",
            fontsize=8.5,
            color=_INK,
            zorder=6,
        )


def _labels(axes: Axes, found: Judgement) -> None:
    answer, log = found.answer, found.log
    batch = ", ".join(word for word in (answer.title, answer.jar, str(found.date or "")) if word)
    axes.set_title(f"{found.verdict.upper()}: {batch}", loc="left", fontweight="bold")
    axes.set_ylabel(_WHAT[found.option.pressure_psi is None][1])
    moment = log.clock.show(log.first_us)
    axes.set_xlabel("minutes" if log.clock.kind == "minute" else f"minutes since {moment}")
    if found.option.pressure_psi is not None:
        psi = found.true_psi[~np.isnan(found.true_psi)]
        top = max(float(psi.max(initial=0.0)), float(found.option.pressure_psi))
        axes.set_ylim(min(0.0, float(psi.min(initial=0.0))) - 0.3, top * 1.3)
    if np.isnan(_values(found)).all():
        first, last = minute(found, found.log.first_us), minute(found, found.log.last_us)
        axes.set_xlim(first, max(last, first + 1))
    axes.margins(x=0.02)
    axes.grid(True, color="#dddddd", lw=0.6)
    axes.set_axisbelow(True)
    axes.spines[["top", "right"]].set_visible(False)
