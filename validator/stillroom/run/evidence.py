"""Evidence: what one verdict rests on: record, schedule and log, what the gauge showed, and what the rules found."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from stillroom.answers.answer import Answer, Option
from stillroom.run.arrays import Real
from stillroom.run.batch import Batch
from stillroom.run.periods import Stretch
from stillroom.run.runlog import RunLog
from stillroom.run.verdict import Judged, Needs


@dataclass(frozen=True)
class Evidence:
    """What one verdict rests on.

    Attributes
    ----------
    batch : Batch
    answer : Answer
        The schedule it was held against.
    option : Option
        The process of it that was used.
    required_psi : int or None
        Pressure of that process, psi; None in boiling water and steam.
    log : RunLog
    true_psi : array of float64
        Pressure at each reading, the gauge's error taken off, psi.
    needs : Needs
        Lengths of time the run was held against.
    judged : Judged
        The findings of the rules; its spans are microseconds.
    by_sign : bool
        Whether they rest on what was seen and heard of the canner, and not on readings of a gauge.
    """

    batch: Batch
    answer: Answer
    option: Option
    required_psi: int | None
    log: RunLog
    true_psi: Real
    needs: Needs
    judged: Judged
    by_sign: bool = False

    @property
    def date(self) -> date | None:
        """Day of the run, from the record or else from the log."""
        return self.batch.date or self.log.date()

    def between(self, span: Stretch) -> str:
        """Write a stretch of time with its beginning and end."""
        return self.log.clock.between(span.start_us, span.end_us)
