"""Judgement: a batch record, its schedule and its log brought together, and what follows for the jars."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from typing import Any, NamedTuple

import numpy as np

import stillroom
from stillroom import batch, handling, lethality, runlog, saturation, verdict, wording
from stillroom.answer import Answer, Option, Stated
from stillroom.batch import Batch
from stillroom.errors import BadInput
from stillroom.pressure import KPA_IN_PSI
from stillroom.rulebook import Rulebook
from stillroom.runlog import MINUTE, Real, RunLog, Truth
from stillroom.verdict import DELIVERED, NO_VERDICT, REASONS, SHORT, Judged, Span

GAUGE_LIMIT_PSI = 2
"""A gauge further off than this is replaced (page 1-20)."""
GAUGE_TEST_DAYS = 366
"""A gauge is tested every year (page 1-20)."""
SWING_PSI, SWING_MIN = 2, 2
"""Pressure that moves this far, psi, within so many minutes is called a swing (common practice, no source; page 1-22
speaks of quick and large variations and gives no figure)."""
FORCED_MIN = 10
"""A canner that falls from the requirement to zero in less, minutes, did not cool by itself (common practice, no
source; page 1-22 gives 30 minutes for pints and 45 for quarts in a heavy-walled canner)."""
NO_PRESSURE_PSI = 0.5
"""A dial this near to zero, psi, shows no pressure (common practice, no source)."""
VENT_PSI = 1
"""Most that a dial may show, psi, while the canner vents freely (the project's own, no source; page 1-20 has the vent
open, and an open vent holds no pressure). A dial may rest a little above zero, and a strong flow of steam lifts it a
little; canning pressures begin at 5 psi. The gauge's error is taken off first where it reads high. Where it reads low
it is not added: such a gauge rests on its pin at zero all the same."""
ABSOLUTE_PSI = 1
"""A reading this near to the pressure of the air outside, psi, while the vent is open looks like absolute pressure (the
project's own, no source)."""
_REASON_PAGES = {
    "vented": "1-20",
    "vent-short": "1-20",
    "vent-unrecorded": "1-20",
    "vent-contradicted": "1-20",
    "dip": "1-22",
    "gauge-replace": "1-20",
}
_SCHEDULE_REASONS = ("held", "hold-short", "pressure-not-reached")
_MOST_LISTED = 100


class Noted(NamedTuple):
    """A reason, caution or next step: its code, one sentence and the page it stands on (None: no published page)."""

    code: str
    text: str
    page: str | None

    def __str__(self) -> str:
        return self.text if self.page is None else f"{self.text.removesuffix('.')} (page {self.page})."


@dataclass(frozen=True)
class Judgement:
    """The verdict on one batch with what it rests on.

    Attributes
    ----------
    verdict : str
        ``delivered``, ``short``, ``unproven`` or ``no verdict``.
    reasons : tuple of str
        Codes, see :data:`stillroom.verdict.REASONS`.
    because : tuple of Noted
        The reasons in words, with times.
    batch : Batch
    answer : Answer
        The schedule it was held against.
    option : Option
        The process of it that was used.
    log : RunLog
    true_psi : array of float64
        Pressure at each reading, the gauge's error taken off, psi.
    judged : Judged
        The findings of the rules; its spans are microseconds.
    lethality_F0_min : float or None
        Minutes at 250 degF of the canner's steam, for information; None where venting is not shown.
    cautions, following : tuple of Noted
        What to mind, and what to do next.
    """

    verdict: str
    reasons: tuple[str, ...]
    because: tuple[Noted, ...]
    batch: Batch
    answer: Answer
    option: Option
    log: RunLog
    true_psi: Real
    judged: Judged
    lethality_F0_min: float | None  # noqa: N815
    cautions: tuple[Noted, ...]
    following: tuple[Noted, ...]

    @property
    def longest_hold_min(self) -> float | None:
        """Longest unbroken stretch at or above the requirement, minutes; None without a verdict."""
        if self.verdict == NO_VERDICT:
            return None
        return 0.0 if self.judged.hold is None else self.judged.hold.us / MINUTE

    @property
    def vent_min(self) -> float | None:
        """Venting that is shown, minutes; None where it is not recorded, or contradicted by the gauge."""
        vent = venting(self.judged)
        return None if vent is None else vent.us / MINUTE

    @property
    def date(self) -> date | None:
        """Day of the run, from the record or else from the log."""
        return self.batch.date or self.log.date()


def judge(path: str) -> Judgement:
    """Judge a batch; see :func:`stillroom.judge`."""
    record = batch.read(path)
    answer = stillroom.find(
        record.food,
        form=record.form,
        pack=record.pack,
        jar=record.jar,
        altitude=record.altitude,
        canner=record.canner,
    )
    option = _option(record, answer)
    if option.pressure_psi is None:
        raise BadInput(
            f"{record.shown}: a boiling-water canner has no pressure to judge; "
            f"count {option.minutes} minutes of unbroken boiling (page 1-18)"
        )
    log = runlog.read(record.run)
    _same_day(record, log)
    true_psi = _true_psi(log, record)
    error = record.reads_high_by_psi or Fraction(0)
    if abs(error) > GAUGE_LIMIT_PSI:
        judged = Judged(NO_VERDICT, ("gauge-replace",))
        f0 = None
    else:
        at_pressure = reaches(log, option.pressure_psi, error)
        pressing = presses(log, error)
        judged = verdict.judge(
            log.time_us, at_pressure, log.events, option.minutes * MINUTE, record.max_gap_us, pressing
        )
        f0 = _lethality(judged, log, true_psi, answer.altitude_ft, record.max_gap_us)
    return Judgement(
        judged.verdict,
        judged.reasons,
        tuple(_because(code, judged, option, record, log, true_psi) for code in judged.reasons),
        record,
        answer,
        option,
        log,
        true_psi,
        judged,
        f0,
        tuple(_cautions(record, answer, option, log, true_psi, judged)),
        _following(judged, _rules_of(answer)),
    )


def reaches(log: RunLog, required_psi: int, error_psi: Fraction) -> Truth:
    """Tell which readings are at or above the requirement; a reading at it counts.

    The comparison is made in the unit of the log: the gauge must show the requirement plus its error. In psi that sum
    is exact and so is the comparison; a billionth is left for loggers that print 10.999999999999998. In kPa no printed
    figure is 11 psi: a gauge that shows 75.8 for 75.842 is at 11 psi as nearly as its last digit can say, so half of
    that digit is allowed, and never more than 0.05 kPa (0.007 psi, far less than a dial can be read to). A log in whole
    kPa gets no allowance: half of its last digit would be 0.07 psi.

    Parameters
    ----------
    log : RunLog
    required_psi : int
        Required pressure, psi.
    error_psi : Fraction
        What the gauge shows too much, psi.

    Returns
    -------
    array of bool
    """
    wanted = required_psi + error_psi
    slack = Fraction(1, 10**9)
    if log.unit == "kPa":
        wanted *= KPA_IN_PSI
        if log.decimals:
            slack = max(slack, Fraction(1, 2 * 10**log.decimals))
    found: Truth = log.reading >= float(wanted - slack)
    return found


def presses(log: RunLog, error_psi: Fraction) -> Truth:
    """Tell which readings show more pressure than an open vent can hold; see :data:`VENT_PSI`.

    Of several readings at one time the highest speaks. Only at the very times at which the vent is opened or closed the
    lowest does: a log in whole minutes has readings from before and after under one time.

    Parameters
    ----------
    log : RunLog
    error_psi : Fraction
        What the gauge shows too much, psi.

    Returns
    -------
    array of bool
    """
    most = float(
        (VENT_PSI + max(error_psi, Fraction(0)) + Fraction(1, 10**9)) * (KPA_IN_PSI if log.unit == "kPa" else 1)
    )
    found: Truth = log.highest > most
    if log.highest is not log.reading:
        edges = [event.time_us for event in log.events if event.name in ("vent-start", "weight-on")]
        at = np.flatnonzero(np.isin(log.time_us, edges))
        found[at] = log.reading[at] > most
    return found


def venting(judged: Judged) -> Span | None:
    """Venting that is shown, be it long enough or not; None where it is not recorded, or contradicted by the gauge."""
    return None if judged.pressed is not None else judged.vent


# reading the question


def _option(record: Batch, answer: Answer) -> Option:
    processes = [f"{o.minutes} minutes" + _at(o.pressure_psi) for o in answer.options]
    if record.minutes is None:
        if len(answer.options) == 1:
            return answer.options[0]
        told = wording.listed(processes)
        raise BadInput(
            f"{record.shown}: {answer.title} has several equal processes, {told}: "
            f"write which was used, like option: {{minutes: {answer.options[0].minutes}}}"
        )
    chosen = [option for option in answer.options if option.minutes == record.minutes]
    if not chosen:
        raise BadInput(
            f"{record.shown}: option.minutes {record.minutes} is no process of {answer.title} here: "
            f"{'it is' if len(processes) == 1 else 'they are'} {wording.listed(processes)}"
        )
    return chosen[0]


def _at(pressure_psi: int | None) -> str:
    return "" if pressure_psi is None else f" at {pressure_psi} psi"


def _same_day(record: Batch, log: RunLog) -> None:
    """A log of another day is most likely the log of another batch. A day off may be midnight or a time zone."""
    logged = log.date()
    if record.date is not None and logged is not None and abs(logged - record.date) > timedelta(days=1):
        raise BadInput(
            f"{record.shown}: the record is of {record.date}, the log {log.shown} of {logged}: is it this batch's log?"
        )


def _true_psi(log: RunLog, record: Batch) -> Real:
    psi = log.reading if log.unit == "psi" else log.reading / float(KPA_IN_PSI)
    return psi - float(record.reads_high_by_psi or 0)


def _lethality(judged: Judged, log: RunLog, true_psi: Real, altitude_ft: float, max_gap_us: int) -> float | None:
    """Lethality after a venting that is shown, until the canner is opened. Without venting air is among the steam, the
    pressure tells no temperature, and the figure would be too high."""
    period = judged.period
    if period is None or period.vented != "shown":
        return None
    low = 0 if period.start_us is None else int(np.searchsorted(log.time_us, period.start_us))
    high = len(true_psi) if period.end_us is None else int(np.searchsorted(log.time_us, period.end_us))
    if low >= high:
        return None
    steam = saturation.steam_of_each_F(true_psi[low:high], altitude_ft)
    return lethality.F0_min(log.time_us[low:high], steam, max_gap_us)


# in words


def minutes(us: float) -> str:
    """Write a length of time in minutes, to the second where it has seconds; never rounded up."""
    whole, rest = divmod(int(us), MINUTE)
    seconds = rest // 1_000_000
    said = f"{whole} minute{'' if whole == 1 and not seconds else 's'}"
    return f"{whole} min {seconds} s" if seconds else said


def between(log: RunLog, span: Span) -> str:
    """Write a stretch of time with its beginning and end."""
    return f"from {log.clock.show(span.start_us)} to {log.clock.show(span.end_us)}"


def _because(code: str, judged: Judged, option: Option, record: Batch, log: RunLog, true_psi: Real) -> Noted:
    hold, vent = judged.hold, judged.vent
    psi = option.pressure_psi
    needed = f"{option.minutes} are needed"
    said = REASONS[code]
    if code in ("vented", "vent-short") and vent is not None:
        said = f"vented {minutes(vent.us)}, {between(log, vent)}; 10 are needed"
    elif code in ("held", "hold-short") and hold is not None:
        longest = "" if code == "held" else "at most "
        said = f"held {longest}{minutes(hold.us)} at or above {psi} psi, {between(log, hold)}; {needed}"
    elif code == "dip":
        first, last = judged.dips[0]
        lowest = float(np.min(true_psi[first:last]))
        times = f"{len(judged.dips):,} times, first" if len(judged.dips) > 1 else "once,"
        said = (
            f"fell below {psi} psi {times} at {log.clock.show(int(log.time_us[first]))} to {lowest:.4g} psi; "
            "a dip starts the time again from zero"
        )
    elif code == "pressure-not-reached":
        said = f"never at {psi} psi: the highest true pressure is {float(np.max(true_psi)):.4g} psi"
    elif code == "gap":
        spans = wording.listed([between(log, gap) for gap in judged.gaps[:3]], "and")
        more = f", and {len(judged.gaps) - 3} more" if len(judged.gaps) > 3 else ""
        said = (
            f"no reading {spans}{more}; the pressure then is unknown, and readings are to be {_apart(option, record)}"
        )
    elif code == "few-readings":
        count = int(
            np.count_nonzero(reaches(log, psi or 0, record.reads_high_by_psi or Fraction(0))[_within(judged, log)])
        )
        said = (
            f"only {count} reading{'' if count == 1 else 's'} at or above {psi} psi where "
            f"{minutes(option.minutes * MINUTE)} would count; at least {verdict.FEWEST_READINGS} are needed, "
            f"{_apart(option, record)}"
        )
    elif code == "log-ended":
        said = f"the log ends at {log.clock.show(log.last_us)}, still at pressure and without heat-off"
    elif code == "gauge-replace":
        off = wording.amount(abs(float(record.reads_high_by_psi or 0)))
        way = "high" if (record.reads_high_by_psi or 0) > 0 else "low"
        said = f"the gauge reads {off} psi {way}; beyond 2 psi it must be replaced"
    elif code == "vent-unrecorded":
        said = "venting is not recorded: the log needs vent-start and weight-on"
    elif code == "vent-contradicted" and vent is not None and judged.pressed is not None:
        at = log.clock.show(int(log.time_us[judged.pressed]))
        said = (
            f"the vent is said to be open {between(log, vent)}, but the gauge shows a true "
            f"pressure of {_pressing(judged, log, record):.4g} psi at {at}; a canner vents freely, without pressure, "
            "so this venting does not count as shown"
        )
    page = option.page if code in _SCHEDULE_REASONS else _REASON_PAGES.get(code)
    return Noted(code, wording.capital(said) + ".", page)


class _Rules(NamedTuple):
    """General rules that go with one food at one altitude: for jars that are kept, and for jars in doubt."""

    lost_liquid: Noted
    kept: tuple[Noted, ...]
    suspect: tuple[Noted, ...]


def _rules_of(answer: Answer) -> _Rules:
    lookup = stillroom.lookup()
    food, rules = lookup.foods_by_id[answer.food], Rulebook(lookup.package)

    def told(name: str, code: str = "") -> Noted:
        said = handling.sentence(name, rules, answer.altitude_ft)
        return Noted(code or name, said.text, said.page)

    kept = (*_KEPT, *handling.OPENING, *handling.opened(food))
    return _Rules(
        told("lost-liquid"),
        tuple(told(name) for name in kept),
        tuple(told(name, "suspect") for name in handling.SUSPECT) if handling.toxin(food) else (),
    )


def _following(judged: Judged, rules: _Rules) -> tuple[Noted, ...]:
    jar = Noted(
        "reprocess",
        "within 24 hours, process again for the full time with new lids, or freeze with "
        f"{wording.units(1.5, 'inch')} of headspace, or refrigerate and use within several days.",
        "1-26",
    )
    if judged.verdict == DELIVERED:
        return (
            Noted(
                "cool", "Let the jars cool 12 to 24 hours, at least 1 inch apart, and do not retighten lids.", "1-25"
            ),
            Noted("test-seals", "Then take off the bands and test each seal.", "1-25"),
            rules.lost_liquid,
            jar._replace(text=f"A jar that did not seal: {jar.text}"),
            *rules.kept,
            Noted("use-within", "Use within a year.", "1-12"),
        )
    late = Noted("discard", "Later than that, do not taste it: when in doubt, throw it out.", None)
    if judged.verdict == NO_VERDICT:
        return (
            Noted("replace-gauge", "Replace the gauge, and treat these jars as short of their schedule.", "1-20"),
            jar._replace(text=wording.capital(jar.text)),
            late,
            *rules.suspect,
        )
    treat = "These jars did not get their schedule" if judged.verdict == SHORT else "Treat these jars as short"
    return (
        jar._replace(text=f"{treat}: {jar.text}"),
        late,
        *rules.suspect,
    )


_KEPT = ("label-and-store", "store-below", "store-away-from-heat")
"""Rules for jars that are kept."""


def _stated(code: str, said: Stated) -> Noted:
    """Note a sentence of the answer; one of another publication names it, and has no page of the guide."""
    another = said.source is not None and bool(said.source.short)
    return Noted(code, str(said), None) if another else Noted(code, said.text, said.page)


def _cautions(
    record: Batch, answer: Answer, option: Option, log: RunLog, true_psi: Real, judged: Judged
) -> list[Noted]:
    noted = [*(_of_gauge(record, log) if answer.canner == "dial" else []), *_absolute(record, answer, log, judged)]
    hold = judged.hold
    if judged.verdict != NO_VERDICT and hold is not None:
        off = next((e.time_us for e in log.events if e.name == "heat-off"), None)
        end = hold.start_us + option.minutes * MINUTE
        if judged.verdict == DELIVERED and off is not None and hold.start_us < off < end:
            told = f"Heat was off {minutes(end - off)} before the time was over; the pressure held all the same."
            noted.append(Noted("heat-off-early", told, None))
        noted += [*_swings(log, true_psi, hold, off), *_forced(log, true_psi, hold)]
    noted += [_stated("condition", stated) for stated in option.requires]
    return noted + [_stated("standing" if stated.page is None else "publication", stated) for stated in option.cautions]


def _apart(option: Option, record: Batch) -> str:
    return f"at most {minutes(verdict.allowed_gap_us(option.minutes * MINUTE, record.max_gap_us))} apart"


def _within(judged: Judged, log: RunLog) -> slice:
    """Readings of the stretch that its silences leave open, as positions."""
    low = int(np.searchsorted(log.time_us, judged.gaps[0].start_us))
    return slice(low, int(np.searchsorted(log.time_us, judged.gaps[-1].end_us, side="right")))


def _pressing(judged: Judged, log: RunLog, record: Batch) -> float:
    """Pressure at the reading that contradicts the venting, the gauge's error taken off where it reads high, psi."""
    assert judged.pressed is not None
    reading = float(log.highest[judged.pressed])
    psi = reading if log.unit == "psi" else reading / float(KPA_IN_PSI)
    return psi - max(float(record.reads_high_by_psi or 0), 0.0)


def _absolute(record: Batch, answer: Answer, log: RunLog, judged: Judged) -> list[Noted]:
    """Tell that the contradiction looks like a logger of absolute pressure."""
    if judged.pressed is None:
        return []
    if abs(_pressing(judged, log, record) - saturation.outside_psi(answer.altitude_ft)) > ABSOLUTE_PSI:
        return []
    told = (
        "With the vent open the log shows about the pressure of the air outside, as a logger of absolute pressure "
        "does; a log is judged by the pressure above the air outside."
    )
    return [Noted("absolute-pressure", told, None)]


def _of_gauge(record: Batch, log: RunLog) -> list[Noted]:
    if record.tested is None:
        told = "No test of the gauge is recorded" + (
            "; it was taken to read true." if record.reads_high_by_psi is None else "."
        )
        return [Noted("gauge-untested", f"{told} A dial gauge is tested every year.", "1-20")]
    day = record.date or log.date()
    if day is None:
        told = "The day of the run is not recorded, so it is unknown whether the gauge was tested in the year before."
        return [Noted("gauge-untested", told, "1-20")]
    if record.tested > day:
        told = f"The gauge was tested on {record.tested}, after the run; no test in the year before it is recorded."
        return [Noted("gauge-untested", told, "1-20")]
    if (day - record.tested).days > GAUGE_TEST_DAYS:
        told = f"The gauge was last tested on {record.tested}, more than a year before the run."
        return [Noted("gauge-untested", told, "1-20")]
    return []


def _swings(log: RunLog, true_psi: Real, hold: Span, off: int | None) -> list[Noted]:
    """Look for quick, large changes while the process ran, minute by minute: from the first reading of the counted
    stretch to heat-off, or to its last reading."""
    end = max(hold.end_us, off) if off is not None else hold.end_us
    low, high = np.searchsorted(log.time_us, (hold.start_us, end + 1))
    if high - low < 2:
        return []
    psi, bins = true_psi[low:high], (log.time_us[low:high] - hold.start_us) // MINUTE
    first = np.flatnonzero(np.diff(bins, prepend=-1))
    top, bottom, bins = np.maximum.reduceat(psi, first), np.minimum.reduceat(psi, first), bins[first]
    near = np.diff(bins) < SWING_MIN
    over_two = np.maximum(top[1:], top[:-1]) - np.minimum(bottom[1:], bottom[:-1])
    most = max(float((top - bottom).max()), float(over_two[near].max(initial=0.0)))
    if most < SWING_PSI:
        return []
    told = (
        f"The pressure moved {most:.2g} psi within {SWING_MIN} minutes; quick large swings draw liquid from the jars."
    )
    return [Noted("siphoning", told, "1-22")]


def _forced(log: RunLog, true_psi: Real, hold: Span) -> list[Noted]:
    start = int(np.searchsorted(log.time_us, hold.end_us))
    after = np.flatnonzero(true_psi[start:] <= NO_PRESSURE_PSI)
    if not len(after):
        return []
    down = start + int(after[0])
    took = int(log.time_us[down]) - hold.end_us
    if took >= FORCED_MIN * MINUTE:
        return []
    told = f"The pressure fell to zero in {minutes(took)}, as in a canner that is cooled by force; never do that."
    return [Noted("forced-cooling", told, "1-22")]


# for programs


def document(found: Judgement) -> dict[str, Any]:
    """Lay a judgement out for programs (schema/verdict.json)."""
    answer, option, log, judged = found.answer, found.option, found.log, found.judged
    vent = venting(judged)
    return {
        "kind": "verdict",
        "verdict": found.verdict,
        "reasons": list(found.reasons),
        "required": {"minutes": option.minutes, "pressure_psi": option.pressure_psi, "vent_min": 10},
        "longest_hold_min": None if found.verdict == NO_VERDICT else _cut_min(judged.hold.us if judged.hold else 0),
        "vent_min": None if vent is None else _cut_min(vent.us),
        "lethality_F0_min": None if found.lethality_F0_min is None else round(found.lethality_F0_min, 2),
        "cautions": [noted._asdict() for noted in found.cautions],
        "because": [noted._asdict() for noted in found.because],
        "next": [noted._asdict() for noted in found.following],
        "food": answer.food,
        "title": answer.title,
        "form": answer.form,
        "pack": answer.pack,
        "jar": answer.jar,
        "jars": found.batch.jars,
        "canner": answer.canner,
        "altitude_ft": answer.altitude_ft,
        "date": None if found.date is None else found.date.isoformat(),
        "gauge_reads_high_by_psi": round(float(found.batch.reads_high_by_psi or 0), 6),
        "hold": _span(log, judged.hold),
        "venting": _span(log, vent),
        "at_pressure_min": _cut_min(judged.at_pressure_us),
        "dip_count": len(judged.dips),
        "dips": [
            {
                "from": _moment(log, int(log.time_us[first])),
                "to": _moment(log, int(log.time_us[last])),
                "lowest_psi": round(float(np.min(found.true_psi[first:last])), 3),
            }
            for first, last in judged.dips[:_MOST_LISTED]
        ],
        "gaps": [_span(log, gap) for gap in judged.gaps[:_MOST_LISTED]],
        "readings": len(log.time_us),
        "source": {**option.source._asdict(), "cite": option.source.cite()},
    }


def _cut_min(us: int) -> float:
    """Minutes to three decimals, cut and not rounded: 19.9999 minutes are not 20."""
    return us // (MINUTE // 1000) / 1000


def _moment(log: RunLog, time_us: int) -> dict[str, Any]:
    since = 0 if log.clock.kind == "minute" else log.first_us
    return {"minute": round((time_us - since) / MINUTE, 3), "time": log.clock.iso(time_us)}


def _span(log: RunLog, span: Span | None) -> dict[str, Any] | None:
    if span is None:
        return None
    return {
        "from": _moment(log, span.start_us),
        "to": _moment(log, span.end_us),
        "minutes": _cut_min(span.us),
    }
