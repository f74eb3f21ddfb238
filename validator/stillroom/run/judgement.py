"""Judgement: a batch record, its schedule and its log brought together, and what follows for the jars."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from stillroom.answers import saturation, wording
from stillroom.answers.answer import Answer, Option
from stillroom.answers.lookup import Lookup
from stillroom.answers.rulebook import Rulebook
from stillroom.errors import BadInput
from stillroom.run import batch, lethality, run_pressure, runlog, verdict
from stillroom.run.arrays import Real
from stillroom.run.batch import Batch
from stillroom.run.evidence import Evidence
from stillroom.run.log_times import MINUTE
from stillroom.run.next_steps import next_steps
from stillroom.run.noted import Noted, Verdict
from stillroom.run.periods import Stretch
from stillroom.run.reasons import because
from stillroom.run.run_cautions import cautions
from stillroom.run.runlog import RunLog
from stillroom.run.verdict import NO_VERDICT, Judged, Needs


@dataclass(frozen=True)
class Judgement:
    """The verdict on one batch with what it rests on.

    Attributes
    ----------
    verdict : Verdict
        ``delivered``, ``short``, ``unproven`` or ``no verdict``.
    reasons : tuple of str
        Codes, like ``vented`` or ``dip``; ``because`` says them in words.
    because : tuple of Noted
        The reasons in words, with times.
    batch : Batch
        The record, as it was read.
    answer : Answer
        The schedule it was held against.
    option : Option
        The process of it that was used.
    log : RunLog
        The log, as it was read.
    true_psi : array of float64
        Pressure at each reading, the gauge's error taken off, psi.
    judged : Judged
        The findings of the rules; its spans are microseconds.
    lethality_F0_min : float or None
        Minutes at 250 degF of the canner's steam, for information; None where venting is not shown.
    cautions, following : tuple of Noted
        What to mind, and what to do next.
    needs : Needs
        The lengths of time it was held against, microseconds.
    """

    verdict: Verdict
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
    needs: Needs

    @property
    def longest_hold_us(self) -> int | None:
        """Longest unbroken stretch at or above the requirement, microseconds; None without a verdict."""
        if self.verdict == NO_VERDICT:
            return None
        return 0 if self.judged.hold is None else self.judged.hold.us

    @property
    def longest_hold_min(self) -> float | None:
        """The same stretch at or above the requirement, minutes; None without a verdict."""
        return None if self.longest_hold_us is None else self.longest_hold_us / MINUTE

    @property
    def vent_min(self) -> float | None:
        """Venting that is shown, minutes; None where it is not recorded, or contradicted by the gauge."""
        vent = venting(self.judged)
        return None if vent is None else vent.us / MINUTE

    @property
    def date(self) -> date | None:
        """Day of the run, from the record or else from the log."""
        return self.batch.date or self.log.date()


def judge(path: str, lookup: Lookup) -> Judgement:
    """Judge a batch; see :func:`stillroom.judge`."""
    record = batch.read(path)
    answer = lookup.find(record.question)
    record.hold_to(answer.canner)
    lookup.shelf.need_guide(answer.food, "no run is judged")
    option = _option(record, answer)
    rules = lookup.shelf.rules
    required_psi = _pressure(record, option, rules)
    log = runlog.with_pressure(runlog.read(record.run, record.about))
    _same_day(record, log)
    needs = Needs(option.minutes * MINUTE, rules.whole("vent-time") * MINUTE, record.max_gap_us)
    judged = _judged(record, log, required_psi, needs, rules)
    true_psi = run_pressure.true_psi(log, record.error_psi)
    run = Evidence(record, answer, option, required_psi, log, true_psi, needs, judged)
    return Judgement(
        verdict=judged.verdict,
        reasons=judged.reasons,
        because=tuple(because(code, run, rules) for code in judged.reasons),
        batch=record,
        answer=answer,
        option=option,
        log=log,
        true_psi=true_psi,
        judged=judged,
        lethality_F0_min=_lethality(run),
        cautions=cautions(run, rules),
        following=next_steps(judged.verdict, answer, lookup.shelf),
        needs=needs,
    )


def venting(judged: Judged) -> Stretch | None:
    """Venting that is shown, be it long enough or not; None where it is not recorded, or contradicted by the gauge."""
    return None if judged.pressed is not None else judged.vent


def _judged(record: Batch, log: RunLog, required_psi: int, needs: Needs, rules: Rulebook) -> Judged:
    if abs(record.error_psi) > rules.figure("gauge-adjust-limit"):
        return Judged(NO_VERDICT, ("gauge-replace",))
    at_pressure = run_pressure.reaches(log, required_psi, record.error_psi)
    pressing = run_pressure.presses(log, record.error_psi)
    return verdict.judge(log.time_us, at_pressure, log.events, needs, pressing)


def _option(record: Batch, answer: Answer) -> Option:
    """Find the process that was used. An answer may have several that are equal; then the record says which."""
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


def _pressure(record: Batch, option: Option, rules: Rulebook) -> int:
    """Pressure of a process, psi; boiling water has none, and is refused."""
    if option.pressure_psi is None:
        raise BadInput(
            f"{record.shown}: a boiling-water canner has no pressure to judge; "
            f"count {option.minutes} minutes of unbroken boiling (page {rules.rule('boil-restart-rule').page})"
        )
    return option.pressure_psi


def _same_day(record: Batch, log: RunLog) -> None:
    """A log of another day is most likely the log of another batch. A day off may be midnight or a time zone."""
    logged = log.date()
    if record.date is not None and logged is not None and abs(logged - record.date) > timedelta(days=1):
        raise BadInput(
            f"{record.shown}: the record is of {record.date}, the log {log.shown} of {logged}: is it this batch's log?"
        )


def _lethality(run: Evidence) -> float | None:
    """Lethality after a venting that is shown, until the canner is opened. Without venting air is among the steam, the
    pressure tells no temperature, and the figure would be too high."""
    period, log = run.judged.period, run.log
    if period is None or period.vented != "shown":
        return None
    low = 0 if period.start_us is None else int(np.searchsorted(log.time_us, period.start_us))
    high = len(run.true_psi) if period.end_us is None else int(np.searchsorted(log.time_us, period.end_us))
    if low >= high:
        return None
    steam = saturation.steam_of_each_F(run.true_psi[low:high], run.answer.altitude_ft)
    return lethality.F0_min(log.time_us[low:high], steam, run.needs.max_gap_us)
