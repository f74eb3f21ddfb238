"""Batch: the record of one canner load, as the canner wrote it down (schema/batch.json)."""

from __future__ import annotations

import os
import re
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from stillroom import document
from stillroom.altitude import in_feet
from stillroom.errors import BadInput
from stillroom.pressure import in_psi
from stillroom.runlog import MINUTE

USUAL_GAP = 10 * MINUTE
"""Longest time between two readings of an unbroken stretch, microseconds (the project's own, no source)."""
WIDEST_GAP = 30 * MINUTE
"""Longest a record may allow instead, microseconds (the project's own, no source)."""

_SPAN = re.compile(r"([0-9]{1,6}(?:\.[0-9]{1,6})?)\s*(s|sec|seconds?|min|minutes?)")


@dataclass(frozen=True)
class Batch:
    """One canner load. What the record left out is None.

    Attributes
    ----------
    food, form, pack, jar, canner : str or None
        As written; the lookup reads them.
    jars : int or None
    altitude : str
        With its unit.
    reads_high_by_psi : Fraction or None
        Error of the gauge, psi; negative where it reads low; None where no test is recorded.
    tested : date or None
        Day of the gauge's last test.
    minutes : int or None
        Process time of the option that was used, minutes.
    run : str
        Path of the log.
    max_gap_us : int
        Longest time between two readings of an unbroken stretch, microseconds.
    sealed, failed : int or None
        Jars that sealed and that did not.
    date : date or None
    note : str or None
    shown : str
        Name of the record for messages.
    """

    food: str
    form: str | None
    pack: str | None
    jar: str
    jars: int | None
    altitude: str
    canner: str
    reads_high_by_psi: Fraction | None
    tested: date | None
    minutes: int | None
    run: str
    max_gap_us: int
    sealed: int | None
    failed: int | None
    date: date | None
    note: str | None
    shown: str


def read(path: str) -> Batch:
    """Read a batch record.

    Raises
    ------
    BadInput
        No such file, not plain YAML, an unknown key, or a value that does not fit; names file and key.
    """
    path = os.fspath(path)
    shown = os.path.basename(path) or path
    said = document.read(path, "batch", "batch record")
    gauge, seals = said.get("gauge", {}), said.get("seals", {})
    try:
        in_feet(said["altitude"])
        error = gauge.get("reads_high_by")
        error_psi = None if error is None else in_psi(error, "gauge.reads_high_by")
        gap = _span_us(said["max_gap"]) if "max_gap" in said else USUAL_GAP
    except BadInput as wrong:
        raise BadInput(f"{shown}: {wrong}") from None
    jars, sealed, failed = said.get("jars"), seals.get("sealed"), seals.get("failed")
    if jars is not None and (sealed or 0) + (failed or 0) > jars:
        raise BadInput(f"{shown}: seals tell of {(sealed or 0) + (failed or 0)} jars where the load had {jars}")
    return Batch(
        food=said["food"],
        form=said.get("form"),
        pack=said.get("pack"),
        jar=said["jar"],
        jars=jars,
        altitude=said["altitude"],
        canner=said["canner"],
        reads_high_by_psi=error_psi,
        tested=_day(gauge.get("tested")),
        minutes=said.get("option", {}).get("minutes"),
        run=os.path.join(os.path.dirname(path), said["run"]),
        max_gap_us=gap,
        sealed=sealed,
        failed=failed,
        date=_day(said.get("date")),
        note=said.get("note"),
        shown=shown,
    )


def _day(written: str | None) -> date | None:
    return None if written is None else date.fromisoformat(written)


def _span_us(written: object) -> int:
    found = _SPAN.fullmatch(written.strip()) if isinstance(written, str) else None
    if found is None:
        raise BadInput(f'max_gap "{str(written)[:20]}" is not a time with a unit: write it like "10 min" or "30 s"')
    span = round(Fraction(found[1]) * (MINUTE if found[2].startswith("m") else MINUTE // 60))
    if not 0 < span <= WIDEST_GAP:
        raise BadInput(f'max_gap "{written}" is not within 30 minutes: a longer silence shows nothing')
    return span
