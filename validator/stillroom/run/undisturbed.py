"""Undisturbed: a run beside the same run without its dips, and what the dips cost. For information.

The dips are those of the part of the log that the verdict speaks of. In the undisturbed run each of their readings is
raised to the requirement, and straight lines lead from reading to reading as in the run itself. It never changes a
verdict: a dip starts the time again from zero (page 1-22), whatever the sum of heat says.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from stillroom.answers import saturation
from stillroom.answers.rulebook import Rulebook
from stillroom.run import judgement
from stillroom.run.arrays import Real
from stillroom.run.evidence import Evidence
from stillroom.run.judgement import Judgement
from stillroom.run.log_times import minutes
from stillroom.run.noted import Noted
from stillroom.run.verdict import NO_VERDICT

NOTHING = Noted("undisturbed", "There is no verdict, and so nothing to set beside this run.", None)
"""What is said where there is no verdict."""


@dataclass(frozen=True)
class Undisturbed:
    """What the dips of a run cost.

    Attributes
    ----------
    dips : tuple of (int, int)
        First and one-past-last reading of each dip in the part of the log that the verdict speaks of.
    required_psi : float
        What their readings are raised to, psi.
    psi : array of float64
        Pressure at each reading of the undisturbed run, psi.
    lowest_psi : float or None
        Lowest pressure of the dips, psi; None where there is none.
    lowest_F : float or None
        Temperature of steam without air at that pressure, degrees Fahrenheit; None where venting is not shown.
    below_us : int
        Time below the requirement in the dips, microseconds, by straight lines between the readings; a silence longer
        than the allowed gap beside a reading below it counts whole.
    lethality_F0_min, undisturbed_F0_min : float or None
        Minutes at 250 degF of the canner's steam, of the run and of the undisturbed one; None where venting is not
        shown.
    because : tuple of Noted
        The same in words.
    """

    dips: tuple[tuple[int, int], ...]
    required_psi: float
    psi: Real
    lowest_psi: float | None
    lowest_F: float | None  # noqa: N815
    below_us: int
    lethality_F0_min: float | None  # noqa: N815
    undisturbed_F0_min: float | None  # noqa: N815
    because: tuple[Noted, ...]


def undisturbed(found: Judgement, rules: Rulebook) -> Undisturbed | None:
    """Set a run beside the same run without its dips; None without a verdict, or without a pressure to fall below.

    Parameters
    ----------
    found : Judgement
    rules : Rulebook
    """
    required_psi = found.option.pressure_psi
    if found.verdict == NO_VERDICT or required_psi is None:
        return None
    dips = _dips(found)
    psi = found.true_psi.copy()
    for first, last in dips:
        psi[first:last] = np.maximum(psi[first:last], required_psi)
    lowest = min((float(np.nanmin(found.true_psi[first:last])) for first, last in dips), default=None)
    filled = Evidence(found.batch, found.answer, found.option, required_psi, found.log, psi, found.needs, found.judged)
    shown = found.lethality_F0_min is not None
    beside = Undisturbed(
        dips=dips,
        required_psi=float(required_psi),
        psi=psi,
        lowest_psi=lowest,
        lowest_F=saturation.steam_F(lowest, found.answer.altitude_ft) if shown and lowest is not None else None,
        below_us=sum(_below_us(found, dip, required_psi) for dip in dips),
        lethality_F0_min=found.lethality_F0_min,
        undisturbed_F0_min=judgement.steam_lethality(filled),
        because=(),
    )
    return replace(beside, because=tuple(_because(found, beside, rules)))


def part(found: Judgement) -> slice:
    """Readings of the part of the log that the verdict speaks of: from the weight on until the canner is opened, where
    the log tells of it; none where no part has a reading at pressure."""
    period, time_us = found.judged.period, found.log.time_us
    if period is None:
        return slice(0, 0)
    low = 0 if period.start_us is None else int(np.searchsorted(time_us, period.start_us))
    high = len(time_us) if period.end_us is None else int(np.searchsorted(time_us, period.end_us))
    return slice(low, high)


def _dips(found: Judgement) -> tuple[tuple[int, int], ...]:
    spoken = part(found)
    return tuple((first, last) for first, last in found.judged.dips if spoken.start <= first and last < spoken.stop)


def _below_us(found: Judgement, dip: tuple[int, int], required_psi: float) -> int:
    """Time below the requirement in one dip: from where the line down crosses it to where the line up does."""
    first, last = dip
    time_us, psi = found.log.time_us, found.true_psi
    inside = int(time_us[last - 1] - time_us[first])
    return inside + sum(
        _below_of_step(
            int(abs(time_us[low] - time_us[beside])), float(psi[low]), float(psi[beside]), found, required_psi
        )
        for low, beside in ((first, first - 1), (last - 1, last))
    )


def _below_of_step(span_us: int, low_psi: float, at_psi: float, found: Judgement, required_psi: float) -> int:
    if span_us > found.needs.max_gap_us or at_psi <= low_psi:
        return span_us
    return round(span_us * min(max((required_psi - low_psi) / (at_psi - low_psi), 0.0), 1.0))


def _because(found: Judgement, beside: Undisturbed, rules: Rulebook) -> Iterator[Noted]:
    required = f"{beside.required_psi:g} psi"
    if beside.lowest_psi is None:
        others = bool(found.judged.dips)
        where = " in the part of the log that the verdict speaks of" if others else ""
        yield Noted(
            "undisturbed", f"This run has no dip below {required}{where}: there is nothing to set beside it.", None
        )
        return
    one = len(beside.dips) == 1
    times = "once" if one else f"{len(beside.dips):,} times"
    heat = ""
    if beside.lowest_F is not None:
        should = saturation.steam_F(beside.required_psi, found.answer.altitude_ft)
        heat = f", where steam is {beside.lowest_F:.1f} degF and not {should:.1f}"
    yield Noted(
        "dip-depth",
        f"The pressure was below {required} {times}, {minutes(beside.below_us)}{'' if one else ' in all'} by straight "
        f"lines between the readings; at the lowest it was {beside.lowest_psi:.4g} psi{heat}.",
        None,
    )
    if beside.lethality_F0_min is None or beside.undisturbed_F0_min is None:
        told = "Venting is not shown: nobody can say how hot the steam was, and no lethality is reckoned."
    else:
        told = (
            f"The steam in the canner amounts to F0 {beside.lethality_F0_min:.2f} min; without the "
            f"{'dip' if one else 'dips'} it would be {beside.undisturbed_F0_min:.2f} min. That is not the food in the "
            "jars, which nobody measured."
        )
    yield Noted("dip-lethality", told, None)
    stands = "The verdict stands: a dip starts the time again from zero, whatever such a sum says."
    yield Noted.of(rules.worded("restart-rule", stands), "verdict-stands")
