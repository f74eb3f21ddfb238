"""Run cautions: what to mind of a run beside its verdict, and the conditions that no log can show."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

import numpy as np

from stillroom.answers import saturation, wording
from stillroom.answers.answer import STANDING
from stillroom.answers.rulebook import Rulebook
from stillroom.day import gauge
from stillroom.run import run_pressure
from stillroom.run.arrays import Real, Whole
from stillroom.run.evidence import Evidence
from stillroom.run.log_times import MINUTE, minutes
from stillroom.run.noted import Noted
from stillroom.run.periods import Stretch
from stillroom.run.runlog import RunLog
from stillroom.run.verdict import DELIVERED, NO_VERDICT

SWING_PSI, SWING_MIN = 2, 2
"""Pressure that moves this far, psi, within so many minutes is called a swing (common practice, no source; page 1-22
speaks of quick and large variations and gives no figure)."""
FORCED_MIN = 10
"""A canner that falls from the requirement to zero in less, minutes, did not cool by itself (common practice, no
source; page 1-22 gives 30 minutes for pints and 45 for quarts in a heavy-walled canner)."""
NO_PRESSURE_PSI = 0.5
"""A dial this near to zero, psi, shows no pressure (common practice, no source)."""
MOST_TOLD = 3
"""Likely slips that are told one by one."""
LONG_MIN = 60
"""Silence, and standing without pressure, that is told, minutes (the project's own, no source)."""
FEW_MARKS = 2
"""A beginning and an end (the project's own, no source)."""
HIGH_FT = 10_000
"""Few people live above it, feet (from memory; only guards against slips)."""
OLD_YEARS = 5
"""A test of a gauge this old, years, is told in stronger words (the project's own, no source)."""
ABSOLUTE_PSI = 1
"""A reading this near to the pressure of the air outside, psi, while the vent is open looks like absolute pressure (the
project's own, no source)."""


def cautions(run: Evidence, rules: Rulebook) -> tuple[Noted, ...]:
    """Gather what to mind: of the gauge, of the day, of the log, of the run, and of the schedule.

    Parameters
    ----------
    run : Evidence
    rules : Rulebook
    """
    return (
        *_of_gauge(run, rules),
        *_absolute(run),
        *_of_day(run),
        *_of_log(run, rules),
        *_of_hold(run, rules),
        *_of_schedule(run),
    )


def _of_day(run: Evidence) -> Iterator[Noted]:
    """Tell of a day and a place that look like a slip."""
    logged = run.log.date()
    if run.batch.date is not None and logged is not None and run.batch.date != logged:
        told = f"The record is of {run.batch.date}, the log of {logged}: check that it is the log of this load."
        yield Noted("date-differs", told, None)
    if run.date is not None and run.date > date.today():
        yield Noted("date-ahead", f"The day of the run, {run.date}, is still to come: check the year.", None)
    if run.answer.altitude_ft > HIGH_FT:
        told = (
            f"{wording.height(run.answer.altitude_ft)} is higher than nearly every kitchen: check it, and ask the "
            "local extension office before you keep these jars."
        )
        yield Noted("very-high", told, None)


def _of_log(run: Evidence, rules: Rulebook) -> Iterator[Noted]:
    """Tell what an honest log of a good run seldom shows."""
    log, psi = run.log, run.true_psi
    read = np.flatnonzero(~np.isnan(psi))
    most = rules.whole("pressure-limit")
    if len(read) and float(psi[read].max()) > most:
        at = int(read[np.argmax(psi[read])])
        told = (
            f"The pressure went to {psi[at]:.4g} psi at {log.clock.show(int(log.time_us[at]))}; more than {most} psi "
            "is not for a home canner: check the gauge, and see the canner's manual."
        )
        yield Noted.of(rules.worded("pressure-limit", told), "above-15")
    for slip in log.slips[:MOST_TOLD]:
        told = (
            f"Line {slip.line} has {slip.written} between {slip.before} and {slip.after}, ten times off: likely a slip "
            "of the pen. It counts as it stands; look at the sheet, and mend it there if it is one."
        )
        yield Noted("likely-slip", told, None)
    silence = _silence_us(run)
    if silence >= LONG_MIN * MINUTE:
        yield Noted(
            "long-silence", f"Nothing is noted for {minutes(silence)} after the canner was closed or began.", None
        )
    hold = run.judged.hold
    if hold is None:
        return
    cold = _cold_us(log.time_us[read], psi[read], hold.start_us)
    if cold >= LONG_MIN * MINUTE:
        told = (
            f"The canner stood {minutes(cold)} without pressure before it; food that stands warm for so long can spoil."
        )
        yield Noted("long-at-zero", told, None)
    if run.by_sign and run.judged.verdict == DELIVERED and _marks(run, hold) <= FEW_MARKS:
        told = "Only its beginning and its end are noted: nothing in the log shows what was between."
        yield Noted("two-notes", told, None)


def _times(run: Evidence) -> Whole:
    """Times of all that is noted, readings and events."""
    events = [event.time_us for event in run.log.events]
    return np.unique(np.concatenate((run.log.noted_us, np.array(events, np.int64))))


def _silence_us(run: Evidence) -> int:
    """Longest time between what closes or begins a process and whatever is noted next, microseconds."""
    noted, longest = _times(run), 0
    for event in run.log.events:
        if event.name in ("weight-on", "rocking", "boil", "steam-full"):
            after = noted[noted > event.time_us]
            longest = max(longest, int(after[0]) - event.time_us if len(after) else 0)
    return longest


def _cold_us(time_us: Whole, psi: Real, until_us: int) -> int:
    """Longest unbroken time without pressure before a moment, microseconds."""
    before = time_us < until_us
    time_us, cold = time_us[before], psi[before] <= NO_PRESSURE_PSI
    if not cold.any():
        return 0
    starts = time_us[cold & ~np.concatenate(([False], cold[:-1]))]
    ends = time_us[cold & ~np.concatenate((cold[1:], [False]))]
    return int((ends - starts).max())


def _marks(run: Evidence, hold: Stretch) -> int:
    """Count what is noted of a stretch, its beginning and its end among it."""
    noted = _times(run)
    return int(np.count_nonzero((hold.start_us <= noted) & (noted <= hold.end_us)))


def _of_schedule(run: Evidence) -> Iterator[Noted]:
    for condition in run.option.requires:
        yield Noted.of(condition, "condition")
    for caution in run.option.cautions:
        yield Noted.of(caution, "standing" if caution.id == STANDING else "publication")


def _of_gauge(run: Evidence, rules: Rulebook) -> Iterator[Noted]:
    told = _untested(run, rules) if run.answer.canner == "dial" else None
    if told is not None:
        yield Noted.of(rules.worded("gauge-check", told), "gauge-untested")


def _untested(run: Evidence, rules: Rulebook) -> str | None:
    """Say that no test of the gauge is known in the year before the run; None where one is."""
    tested, years = run.batch.tested, rules.whole("gauge-check")
    if tested is None:
        true = "; it was taken to read true" if run.batch.reads_high_by_psi is None else ""
        return f"No test of the gauge is recorded{true}. A dial gauge is tested every {wording.years(years, '')}."
    before = f"in the {wording.years(years, '')} before"
    if run.date is None:
        return f"The day of the run is not recorded, so it is unknown whether the gauge was tested {before}."
    if tested > run.date:
        return f"The gauge was tested on {tested}, after the run; no test {before} it is recorded."
    if run.date.year - tested.year > OLD_YEARS:
        return f"The gauge was last tested on {tested}, {run.date.year - tested.year} years before: test or replace it."
    if gauge.lapsed(tested, run.date, years):
        return f"The gauge was last tested on {tested}, more than {wording.years(years)} before the run."
    return None


def _absolute(run: Evidence) -> Iterator[Noted]:
    """Tell that a contradicted venting looks like a logger of absolute pressure."""
    pressed = run.judged.pressed
    if pressed is None:
        return
    shown = run_pressure.vent_psi(run.log, pressed, run.batch.error_psi)
    if abs(shown - saturation.outside_psi(run.answer.altitude_ft)) <= ABSOLUTE_PSI:
        told = (
            "With the vent open the log shows about the pressure of the air outside, as a logger of absolute pressure "
            "does; a log is judged by the pressure above the air outside."
        )
        yield Noted("absolute-pressure", told, None)


def _of_hold(run: Evidence, rules: Rulebook) -> Iterator[Noted]:
    hold, verdict = run.judged.hold, run.judged.verdict
    if verdict == NO_VERDICT or hold is None:
        return
    off = next((event.time_us for event in run.log.events if event.name == "heat-off"), None)
    most = swing_psi(
        run.log, run.true_psi, Stretch(hold.start_us, hold.end_us if off is None else max(hold.end_us, off))
    )
    if most >= SWING_PSI:
        told = f"The pressure moved {most:.2g} psi within {SWING_MIN} minutes; "
        told += "quick large swings draw liquid from the jars."
        yield Noted.of(rules.worded("steady-pressure", told), "siphoning")
    took = fall_us(run.log, run.true_psi, hold)
    if took is not None and took < FORCED_MIN * MINUTE:
        told = f"The pressure fell to zero in {minutes(took)}, as in a canner that is cooled by force; never do that."
        yield Noted.of(rules.worded("no-forced-cooling", told), "forced-cooling")


def swing_psi(log: RunLog, true_psi: Real, span: Stretch) -> float:
    """Find the largest change of pressure within :data:`SWING_MIN` minutes, minute by minute, psi.

    Parameters
    ----------
    log : RunLog
    true_psi : array of float64
        Pressure at each reading, psi.
    span : Stretch
        While the process ran: from the first reading of the counted stretch to heat-off, or to its last reading.
    """
    low, high = np.searchsorted(log.time_us, (span.start_us, span.end_us + 1))
    if high - low < 2:
        return 0.0
    read = np.flatnonzero(~np.isnan(true_psi[low:high])) + low
    if not len(read):
        return 0.0
    psi, bins = true_psi[read], (log.time_us[read] - span.start_us) // MINUTE
    first = np.flatnonzero(np.diff(bins, prepend=-1))
    top, bottom, bins = np.maximum.reduceat(psi, first), np.minimum.reduceat(psi, first), bins[first]
    near = np.diff(bins) < SWING_MIN
    over_two = np.maximum(top[1:], top[:-1]) - np.minimum(bottom[1:], bottom[:-1])
    return max(float((top - bottom).max()), float(over_two[near].max(initial=0.0)))


def fall_us(log: RunLog, true_psi: Real, hold: Stretch) -> int | None:
    """Time from the end of a stretch to the first reading without pressure, microseconds; None where there is none."""
    start = int(np.searchsorted(log.time_us, hold.end_us))
    after = np.flatnonzero(true_psi[start:] <= NO_PRESSURE_PSI)
    return int(log.time_us[start + int(after[0])]) - hold.end_us if len(after) else None
