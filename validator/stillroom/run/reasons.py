"""Reasons: why a verdict is what it is, in words, with times and the page each stands on."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from stillroom.answers import wording
from stillroom.answers.rulebook import Rulebook
from stillroom.run import run_pressure
from stillroom.run.evidence import Evidence
from stillroom.run.log_times import MINUTE, minutes
from stillroom.run.noted import Noted
from stillroom.run.verdict import FEWEST_READINGS, REASONS

_RULES = {
    "vented": "vent-time",
    "vent-short": "vent-time",
    "vent-unrecorded": "vent-time",
    "vent-contradicted": "vent-time",
    "dip": "restart-rule",
    "gauge-replace": "gauge-adjust-limit",
}
"""Rule that a reason stands on."""
_OF_SCHEDULE = ("held", "hold-short", "pressure-not-reached")
"""Reasons that stand on the page of the schedule."""
_MOST_GAPS = 3
"""Gaps that are told one by one."""


def because(code: str, run: Evidence, rules: Rulebook) -> Noted:
    """Tell one reason.

    Parameters
    ----------
    code : str
        One of :data:`stillroom.run.verdict.REASONS`.
    run : Evidence
    rules : Rulebook
    """
    told = _WORDS[code](run, rules) if code in _WORDS else None
    text = wording.capital(REASONS[code] if told is None else told) + "."
    if code in _RULES:
        return Noted.of(rules.worded(_RULES[code], text), code)
    return Noted(code, text, run.option.page if code in _OF_SCHEDULE else None)


def _vented(run: Evidence, rules: Rulebook) -> str | None:
    vent = run.judged.vent
    if vent is None:
        return None
    return f"vented {minutes(vent.us)}, {run.between(vent)}; {run.needs.vent_us // MINUTE} are needed"


def _held(run: Evidence, rules: Rulebook) -> str | None:
    return _stretch(run, "")


def _held_short(run: Evidence, rules: Rulebook) -> str | None:
    return _stretch(run, "at most ")


def _stretch(run: Evidence, longest: str) -> str | None:
    hold = run.judged.hold
    if hold is None:
        return None
    return (
        f"held {longest}{minutes(hold.us)} at or above {run.required_psi} psi, {run.between(hold)}; "
        f"{run.option.minutes} are needed"
    )


def _dip(run: Evidence, rules: Rulebook) -> str:
    dips = run.judged.dips
    first, last = dips[0]
    lowest = float(np.min(run.true_psi[first:last]))
    times = f"{len(dips):,} times, first" if len(dips) > 1 else "once,"
    return (
        f"fell below {run.required_psi} psi {times} at {run.log.clock.show(int(run.log.time_us[first]))} to "
        f"{lowest:.4g} psi; a dip starts the time again from zero"
    )


def _not_reached(run: Evidence, rules: Rulebook) -> str:
    return f"never at {run.required_psi} psi: the highest true pressure is {float(np.max(run.true_psi)):.4g} psi"


def _gap(run: Evidence, rules: Rulebook) -> str:
    gaps = run.judged.gaps
    spans = wording.listed([run.between(gap) for gap in gaps[:_MOST_GAPS]], "and")
    more = f", and {len(gaps) - _MOST_GAPS} more" if len(gaps) > _MOST_GAPS else ""
    return f"no reading {spans}{more}; the pressure then is unknown, and readings are to be {_apart(run)}"


def _few_readings(run: Evidence, rules: Rulebook) -> str:
    gaps, time_us = run.judged.gaps, run.log.time_us
    low = int(np.searchsorted(time_us, gaps[0].start_us))
    high = int(np.searchsorted(time_us, gaps[-1].end_us, side="right"))
    at_pressure = run_pressure.reaches(run.log, run.required_psi, run.batch.error_psi)
    count = int(np.count_nonzero(at_pressure[low:high]))
    return (
        f"only {count} reading{'' if count == 1 else 's'} at or above {run.required_psi} psi where "
        f"{minutes(run.needs.required_us)} would count; at least {FEWEST_READINGS} are needed, {_apart(run)}"
    )


def _apart(run: Evidence) -> str:
    return f"at most {minutes(run.needs.gap_us)} apart"


def _log_ended(run: Evidence, rules: Rulebook) -> str:
    return f"the log ends at {run.log.clock.show(run.log.last_us)}, still at pressure and without heat-off"


def _gauge(run: Evidence, rules: Rulebook) -> str:
    off, limit = run.batch.error_psi, rules.rule("gauge-adjust-limit").value
    way = "high" if off > 0 else "low"
    return f"the gauge reads {wording.amount(abs(float(off)))} psi {way}; beyond {limit} psi it must be replaced"


def _vent_unrecorded(run: Evidence, rules: Rulebook) -> str:
    return "venting is not recorded: the log needs vent-start and weight-on"


def _vent_contradicted(run: Evidence, rules: Rulebook) -> str | None:
    vent, pressed = run.judged.vent, run.judged.pressed
    if vent is None or pressed is None:
        return None
    return (
        f"the vent is said to be open {run.between(vent)}, but the gauge shows a true pressure of "
        f"{run_pressure.vent_psi(run.log, pressed, run.batch.error_psi):.4g} psi at "
        f"{run.log.clock.show(int(run.log.time_us[pressed]))}; a canner vents freely, without pressure, "
        "so this venting does not count as shown"
    )


_WORDS: dict[str, Callable[[Evidence, Rulebook], str | None]] = {
    "vented": _vented,
    "vent-short": _vented,
    "held": _held,
    "hold-short": _held_short,
    "dip": _dip,
    "pressure-not-reached": _not_reached,
    "gap": _gap,
    "few-readings": _few_readings,
    "log-ended": _log_ended,
    "gauge-replace": _gauge,
    "vent-unrecorded": _vent_unrecorded,
    "vent-contradicted": _vent_contradicted,
}
"""Words with the figures of the run; None where it has none of them, and then :data:`REASONS` says it in general."""
