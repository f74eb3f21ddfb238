"""Reasons: why a verdict is what it is, in words, with times and the page each stands on."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from stillroom.answers import saturation, wording
from stillroom.answers.rulebook import Rulebook
from stillroom.run import run_pressure
from stillroom.run.evidence import Evidence
from stillroom.run.log_times import MINUTE, minutes
from stillroom.run.noted import Noted
from stillroom.run.verdict import FEWEST_READINGS, REASONS
from stillroom.run.watched import SIGNS

_RULES = {
    "vented": "vent-time",
    "vent-short": "vent-time",
    "vent-unrecorded": "vent-time",
    "vent-contradicted": "vent-time",
    "dip": "restart-rule",
    "gauge-replace": "gauge-adjust-limit",
    "rocking-unrecorded": "timing-starts",
    "rocking-stopped": "restart-rule",
    "rocking-contradicted": "restart-rule",
    "boil-unrecorded": "boil-restart-rule",
    "boil-stopped": "boil-restart-rule",
    "boil-contradicted": "boil-restart-rule",
}
"""Rule that a reason stands on."""
_OF_SCHEDULE = ("held", "hold-short", "pressure-not-reached", "weight-too-light")
"""Reasons that stand on the page of the schedule."""
_SEEN = {"weighted": "the weight rocked", "boiling-water": "boiled", "steam": "was full of steam"}
"""How a stretch is told that rests on what was seen and heard, by canner."""
_SHOWS = {"weighted": "timing-starts", "boiling-water": "boil-restart-rule"}
"""Rule by which what was seen and heard of a canner counts."""
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
    if run.by_sign and code in ("held", "hold-short") and run.answer.canner in _SHOWS:
        return Noted.of(rules.worded(_SHOWS[run.answer.canner], text), code)
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
    needed = f"{run.between(hold)}; {run.option.minutes} are needed"
    if run.by_sign:
        seen = _SEEN[run.answer.canner]
        weight = run.batch.weight_psi
        seen = (
            seen if weight is None else seen.replace("the weight", f"the weight of {wording.amount(float(weight))} psi")
        )
        return f"{seen} {longest}{minutes(hold.us)}, {needed}"
    return f"held {longest}{minutes(hold.us)} at or above {run.required_psi} psi, {needed}"


def _dip(run: Evidence, rules: Rulebook) -> str:
    dips = run.judged.dips
    first, last = dips[0]
    lowest = float(np.nanmin(run.true_psi[first:last]))
    times = f"{len(dips):,} times, first" if len(dips) > 1 else "once,"
    return (
        f"fell below {run.required_psi} psi {times} at {run.log.clock.show(int(run.log.time_us[first]))} to "
        f"{lowest:.4g} psi; a dip starts the time again from zero"
    )


def _not_reached(run: Evidence, rules: Rulebook) -> str:
    return f"never at {run.required_psi} psi: the highest true pressure is {float(np.nanmax(run.true_psi)):.4g} psi"


def _gap(run: Evidence, rules: Rulebook) -> str:
    gaps = run.judged.gaps
    spans = wording.listed([run.between(gap) for gap in gaps[:_MOST_GAPS]], "and")
    more = f", and {len(gaps) - _MOST_GAPS} more" if len(gaps) > _MOST_GAPS else ""
    return f"no reading {spans}{more}; the pressure then is unknown, and readings are to be {_apart(run)}"


def _few_readings(run: Evidence, rules: Rulebook) -> str:
    gaps, time_us = run.judged.gaps, run.log.time_us
    low = int(np.searchsorted(time_us, gaps[0].start_us))
    high = int(np.searchsorted(time_us, gaps[-1].end_us, side="right"))
    required, error = run.required_psi or 0, run.batch.error_psi
    at_pressure = run_pressure.reaches(run.log, required, error, run.answer.altitude_ft)
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


def _heat_off_early(run: Evidence, rules: Rulebook) -> str | None:
    hold = run.judged.hold
    if hold is None:
        return None
    at = run.log.clock.show(hold.end_us)
    return f"the heat was off at {at}, before the time was over; what the canner held after that does not count"


def _heat_off_unrecorded(run: Evidence, rules: Rulebook) -> str:
    return "the log needs heat-off: without it nobody knows until when the process ran"


def _stopped(run: Evidence, rules: Rulebook) -> str | None:
    stops, sign = run.judged.stops, SIGNS.get(run.answer.canner)
    if not stops or sign is None:
        return None
    gone = {"weighted": "the weight stopped rocking", "boiling-water": "the water stopped boiling"}
    times = f"{len(stops)} times, first" if len(stops) > 1 else "once,"
    said = gone.get(run.answer.canner, "the steam stopped")
    return f"{said} {times} at {run.log.clock.show(stops[0])}; the time then starts again from zero"


def _unrecorded(run: Evidence, rules: Rulebook) -> str:
    sign = SIGNS[run.answer.canner]
    return f"the log needs {sign.on}, at the time it was seen, and heat-off"


def _contradicted(run: Evidence, rules: Rulebook) -> str | None:
    at = run.judged.against_us
    if at is None:
        return None
    row = int(np.searchsorted(run.log.time_us, at))
    moment = run.log.clock.show(at)
    if run.required_psi is not None:
        psi = float(run.true_psi[row])
        return f"the weight is said to rock at {moment}, but a gauge shows {psi:.4g} psi; one of the two is wrong"
    columns = (run.log.water_F, run.log.steam_F)
    coldest = min(float(column[row]) for column in columns if column is not None and not np.isnan(column[row]))
    boils = saturation.steam_F(0.0, run.answer.altitude_ft)
    return (
        f"it is said to boil at {moment}, but a thermometer shows {coldest:.4g} degF, where water boils at "
        f"{boils:.4g} degF at {wording.height(run.answer.altitude_ft)}; one of the two is wrong"
    )


def _unnamed(run: Evidence, rules: Rulebook) -> str:
    return f"the record does not tell which weight was on: write it, like weight: {run.required_psi} psi"


def _too_light(run: Evidence, rules: Rulebook) -> str | None:
    weight = run.batch.weight_psi
    if weight is None:
        return None
    return f"a weight of {wording.amount(float(weight))} psi is too light; {run.required_psi} psi are required"


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
    "heat-off-early": _heat_off_early,
    "heat-off-unrecorded": _heat_off_unrecorded,
    "weight-unnamed": _unnamed,
    "weight-too-light": _too_light,
    **{sign.stopped: _stopped for sign in SIGNS.values()},
    **{sign.unrecorded: _unrecorded for sign in SIGNS.values()},
    **{sign.contradicted: _contradicted for sign in SIGNS.values()},
}
"""Words with the figures of the run; None where it has none of them, and then :data:`REASONS` says it in general."""
