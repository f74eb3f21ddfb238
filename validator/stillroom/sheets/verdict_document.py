"""Verdict document: a judgement laid out for programs (schema/verdict.json)."""

from __future__ import annotations

from typing import Any

import numpy as np

from stillroom.run.judgement import Judgement, venting
from stillroom.run.log_times import MINUTE, cut_min
from stillroom.run.noted import Noted
from stillroom.run.periods import Stretch
from stillroom.run.runlog import RunLog
from stillroom.run.undisturbed import Undisturbed

_MOST_LISTED = 100
"""Dips and gaps that are listed; all dips are counted."""


def document(found: Judgement) -> dict[str, Any]:
    """Lay a judgement out for programs."""
    answer, option, log, judged = found.answer, found.option, found.log, found.judged
    vent = venting(judged)
    return {
        "kind": "verdict",
        "verdict": found.verdict,
        "reasons": list(found.reasons),
        "required": {
            "minutes": option.minutes,
            "pressure_psi": option.pressure_psi,
            "vent_min": found.needs.vent_us // MINUTE,
        },
        "longest_hold_min": None if found.longest_hold_us is None else cut_min(found.longest_hold_us),
        "vent_min": None if vent is None else cut_min(vent.us),
        "lethality_F0_min": None if found.lethality_F0_min is None else round(found.lethality_F0_min, 2),
        "cautions": [_noted(noted) for noted in found.cautions],
        "because": [_noted(noted) for noted in found.because],
        "next": [_noted(noted) for noted in found.following],
        "food": answer.food,
        "title": answer.title,
        "form": answer.form,
        "pack": answer.pack,
        "jar": answer.jar,
        "jars": found.batch.jars,
        "canner": answer.canner,
        "altitude_ft": answer.altitude_ft,
        "date": None if found.date is None else found.date.isoformat(),
        "gauge_reads_high_by_psi": round(float(found.batch.error_psi), 6),
        "hold": _span(log, judged.hold),
        "venting": _span(log, vent),
        "at_pressure_min": cut_min(judged.at_pressure_us),
        "dip_count": len(judged.dips),
        "dips": [_dip(found, first, last) for first, last in judged.dips[:_MOST_LISTED]],
        "gaps": [_span(log, gap) for gap in judged.gaps[:_MOST_LISTED]],
        "readings": len(log.time_us),
        "by_sign": found.by_sign,
        "stops": [_moment(log, at) for at in judged.stops[:_MOST_LISTED]],
        "source": {**option.source._asdict(), "cite": option.source.cite()},
    }


def undisturbed(beside: Undisturbed | None) -> dict[str, Any] | None:
    """Lay out what the dips of a run cost; None without a verdict."""
    if beside is None:
        return None
    return {
        "dip_count": len(beside.dips),
        "lowest_psi": _rounded(beside.lowest_psi, 3),
        "lowest_F": _rounded(beside.lowest_F, 2),
        "below_min": cut_min(beside.below_us),
        "lethality_F0_min": _rounded(beside.lethality_F0_min, 2),
        "undisturbed_F0_min": _rounded(beside.undisturbed_F0_min, 2),
        "because": [_noted(noted) for noted in beside.because],
    }


def _rounded(value: float | None, decimals: int) -> float | None:
    return None if value is None else round(value, decimals)


def _noted(noted: Noted) -> dict[str, Any]:
    return {"code": noted.code, "text": noted.text, "page": noted.page}


def _dip(found: Judgement, first: int, last: int) -> dict[str, Any]:
    time_us = found.log.time_us
    return {
        "from": _moment(found.log, int(time_us[first])),
        "to": _moment(found.log, int(time_us[last])),
        "lowest_psi": round(float(np.nanmin(found.true_psi[first:last])), 3),
    }


def _moment(log: RunLog, time_us: int) -> dict[str, Any]:
    since = 0 if log.clock.kind == "minute" else log.first_us
    return {"minute": round((time_us - since) / MINUTE, 3), "time": log.clock.iso(time_us)}


def _span(log: RunLog, span: Stretch | None) -> dict[str, Any] | None:
    if span is None:
        return None
    return {
        "from": _moment(log, span.start_us),
        "to": _moment(log, span.end_us),
        "minutes": cut_min(span.us),
    }
