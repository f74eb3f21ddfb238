"""Signs: which evidence a canner is judged by, and what its readings say of it.

A dial is judged by its readings. A weighted gauge is judged by its weight, or by the readings of a gauge beside it;
boiling water and steam by what was seen, and temperatures may only confirm or contradict it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Final, NamedTuple

import numpy as np

from stillroom.answers import saturation
from stillroom.run import run_pressure, verdict, watched
from stillroom.run.arrays import Real, Truth, Whole
from stillroom.run.runlog import Event, RunLog
from stillroom.run.verdict import DELIVERED, SHORT, UNPROVEN, Judged, Needs
from stillroom.run.watched import SIGNS, Readings, Sign

WELL_BELOW_F = 5
"""Water this far below its local boiling point, degF, does not boil: more than a kitchen thermometer is off (the
project's own, no source)."""
_BETTER: Final = (DELIVERED, UNPROVEN, SHORT)


class Asked(NamedTuple):
    """What a run is held against, beside lengths of time.

    Attributes
    ----------
    canner : str
    required_psi : int or None
        Pressure, psi; None in boiling water and steam.
    error_psi : Fraction
        What the gauge shows too much, psi.
    weight_psi : Fraction or None
        The weight that was on, psi.
    altitude_ft : float
    """

    canner: str
    required_psi: int | None
    error_psi: Fraction
    weight_psi: Fraction | None
    altitude_ft: float


class Found(NamedTuple):
    """A verdict, and whether it rests on what was seen and heard."""

    judged: Judged
    by_sign: bool


def judge(log: RunLog, asked: Asked, needs: Needs) -> Found:
    """Judge one run by the evidence of its canner.

    Parameters
    ----------
    log : RunLog
    asked : Asked
    needs : Needs
    """
    if asked.required_psi is None:
        return Found(watched.judge(_boiling(log, asked), log.events, needs, SIGNS[asked.canner]), True)
    there = run_pressure.shown(log)
    time_us, at_pressure = (
        log.time_us[there],
        run_pressure.reaches(log, asked.required_psi, asked.error_psi, asked.altitude_ft)[there],
    )
    pressing = run_pressure.presses(log, asked.error_psi)[there]
    by_gauge = _placed(verdict.judge(time_us, at_pressure, log.events, needs, pressing), there)
    if asked.canner not in SIGNS:
        return Found(by_gauge, False)
    sign = SIGNS[asked.canner]
    readings = Readings(time_us, at_pressure, ~at_pressure)
    by_sign = _placed(watched.judge(readings, log.events, needs, sign, pressing), there)
    noted = any(event.name == sign.on for event in log.events)
    if len(time_us) and not noted:
        return Found(_weighed(by_gauge, asked, heard=False), False)
    by_sign = _weighed(by_sign, asked, heard=True)
    return _better(by_sign, _heard(by_gauge, log.events, sign, asked)) if len(time_us) else Found(by_sign, True)


def _boiling(log: RunLog, asked: Asked) -> Readings:
    """Temperatures of water or steam that boils without pressure."""
    columns = [column for column in (log.water_F, log.steam_F) if column is not None]
    if not columns:
        nothing = np.zeros(0, np.bool_)
        return Readings(log.time_us[:0], nothing, nothing)
    least = saturation.steam_F(0.0, asked.altitude_ft) - WELL_BELOW_F
    cold = np.logical_or.reduce([column < least for column in columns])
    hot = np.logical_or.reduce([column >= least for column in columns])
    return Readings(log.time_us, hot & ~cold, cold)


def _placed(judged: Judged, there: Truth) -> Judged:
    """Give places among all rows of a log in place of those among its readings of pressure."""
    if there.all():
        return judged
    at: Whole = np.flatnonzero(there)
    return replace(
        judged,
        pressed=None if judged.pressed is None else int(at[judged.pressed]),
        dips=tuple((int(at[first]), int(at[last - 1]) + 1) for first, last in judged.dips),
    )


# a weighted gauge


def _weighed(judged: Judged, asked: Asked, *, heard: bool) -> Judged:
    """Hold a verdict to the weight that was on: what was heard of an unnamed one is no evidence, and what readings show
    above a light one contradicts it."""
    if asked.weight_psi is None:
        if not heard or judged.verdict == SHORT:
            return judged
        kept = () if judged.verdict == DELIVERED else judged.reasons
        return replace(judged, verdict=UNPROVEN, reasons=(*kept, "weight-unnamed"))
    if asked.required_psi is None or asked.weight_psi >= asked.required_psi:
        return judged
    contradicted = judged.verdict == DELIVERED and not heard
    return replace(judged, verdict=UNPROVEN if contradicted else SHORT, reasons=("weight-too-light",))


def _heard(by_gauge: Judged, events: Sequence[Event], sign: Sign, asked: Asked) -> Judged:
    """Hold what a gauge shows to what was heard of the weight meanwhile."""
    by_gauge = _weighed(by_gauge, asked, heard=False)
    hold = by_gauge.hold
    if by_gauge.verdict != DELIVERED or hold is None:
        return by_gauge
    stopped = any(hold.start_us < event.time_us < hold.end_us for event in events if event.name == sign.off)
    return replace(by_gauge, verdict=UNPROVEN, reasons=(sign.stopped,)) if stopped else by_gauge


def _better(by_sign: Judged, by_gauge: Judged) -> Found:
    """Take the better of two verdicts on one run; of equal ones what was heard, which the canner is built for."""
    if _BETTER.index(by_gauge.verdict) < _BETTER.index(by_sign.verdict):
        return Found(by_gauge, False)
    return Found(by_sign, True)


def in_psi(log: RunLog, error_psi: Fraction, altitude_ft: float) -> Real:
    """Give the true pressure at each time of a log, psi, from its gauge, else from the steam in the canner; NaN where
    neither was read."""
    psi = run_pressure.true_psi(log, error_psi)
    if log.steam_F is None:
        return psi
    grid = np.arange(-10.0, 40.0, 0.05)
    steam = saturation.steam_of_each_F(grid, altitude_ft)
    return np.where(np.isnan(psi), np.interp(log.steam_F, steam, grid), psi)
