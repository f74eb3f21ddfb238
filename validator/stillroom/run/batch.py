"""Batch: the record of one canner load, as the canner wrote it down (schema/batch.json)."""

from __future__ import annotations

import hashlib
import json
import ntpath
import os
import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Any

from stillroom import screen
from stillroom.answers import saturation
from stillroom.answers.altitude import in_feet
from stillroom.answers.pressure import in_psi
from stillroom.answers.question import Question
from stillroom.errors import BadInput
from stillroom.package import schemas
from stillroom.run.log_about import AboutLog
from stillroom.run.log_times import FIRST_YEAR, LAST_YEAR, MINUTE

USUAL_GAP = 10 * MINUTE
"""Longest time between two readings of an unbroken stretch, microseconds (the project's own, no source). A record may
ask for closer readings, never for fewer."""

AIR_OFF_PSI = 1
"""The air outside is never this far, psi, from the standard atmosphere at its height: the weather moves it by half
as much (the project's own, no source). What is further off is of another place, or of the sea."""
HEAVIEST_PSI = 15
"""The heaviest weight of a home canner, psi (common practice, no source)."""

_SPAN = re.compile(r"([0-9]{1,6}(?:\.[0-9]{1,6})?)\s*(s|sec|seconds?|min|minutes?)")


@dataclass(frozen=True)
class Batch:
    """One canner load. What the record left out is None.

    Attributes
    ----------
    food : str
        As written.
    form, pack : str or None
        As written; the lookup reads them.
    jar : str
        As written.
    jars : int or None
        How many.
    altitude : str
        With its unit.
    canner : str
        As written.
    reads_high_by_psi : Fraction or None
        Error of the gauge, psi; negative where it reads low; None where no test is recorded.
    tested : date or None
        Day of the gauge's last test.
    minutes : int or None
        Process time of the option that was used, minutes.
    run : str
        Path of the log, in the folder of the record or below it.
    max_gap_us : int
        Longest time between two readings of an unbroken stretch, microseconds.
    sealed, failed : int or None
        Jars that sealed and that did not.
    date : date or None
        Day of the canning.
    note : str or None
        Whatever else was written down.
    shown : str
        Name of the record for messages.
    sha256 : str
        Hash of what the record says, its seals and the name of its log left out: the same load has the same, however
        its record is laid out.
    weight_psi : Fraction or None
        The weight that was on, psi; of a canner with a weighted gauge only.
    about : AboutLog
        What the record tells about the log: its columns, its day, the air outside, events it does not hold.
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
    sha256: str
    weight_psi: Fraction | None
    about: AboutLog

    @property
    def question(self) -> Question:
        """What is asked of the schedules for this load."""
        return Question(self.food, self.jar, self.altitude, self.canner, self.pack, self.form)

    @property
    def error_psi(self) -> Fraction:
        """What the gauge shows too much, psi; none where no test is recorded."""
        return Fraction(0) if self.reads_high_by_psi is None else self.reads_high_by_psi

    def hold_to(self, canner: str) -> None:
        """See that nothing is told that its canner does not have.

        Parameters
        ----------
        canner : str
            As it was understood, like ``weighted``.

        Raises
        ------
        BadInput
            A weight is told of another canner than one with a weighted gauge.
        """
        if self.weight_psi is not None and canner != "weighted":
            raise BadInput(f"{self.shown}: weight is for a weighted gauge, and the canner is {canner}: leave it out")


def read(path: str) -> Batch:
    """Read a batch record.

    Raises
    ------
    BadInput
        No such file, not plain YAML, an unknown key, a value that does not fit, or a log that lies outside the folder
        of the record; names file and key.
    """
    path = os.fspath(path)
    shown = screen.name(path)
    said = schemas.read(path, "batch", "batch record")
    gauge, seals = said.get("gauge", {}), said.get("seals", {})
    try:
        altitude_ft = float(in_feet(said["altitude"]))
        error = gauge.get("reads_high_by")
        error_psi = None if error is None else in_psi(error, "gauge.reads_high_by")
        gap = _span_us(said["max_gap"]) if "max_gap" in said else USUAL_GAP
        weight_psi = _weight_psi(said["weight"]) if "weight" in said else None
        air_psi = _air_psi(said["air"], altitude_ft) if "air" in said else None
    except BadInput as wrong:
        raise BadInput(f"{shown}: {wrong}") from None
    jars, sealed, failed = said.get("jars"), seals.get("sealed"), seals.get("failed")
    if jars is not None and (sealed or 0) + (failed or 0) > jars:
        raise BadInput(f"{shown}: seals tell of {(sealed or 0) + (failed or 0)} jars where the load had {jars}")
    day = _day(said.get("date"), "date", shown)
    return Batch(
        food=said["food"],
        form=said.get("form"),
        pack=said.get("pack"),
        jar=said["jar"],
        jars=jars,
        altitude=said["altitude"],
        canner=said["canner"],
        reads_high_by_psi=error_psi,
        tested=_day(gauge.get("tested"), "gauge.tested", shown),
        weight_psi=weight_psi,
        minutes=said.get("option", {}).get("minutes"),
        run=_log(path, said["run"], shown),
        about=AboutLog(shown, said.get("columns", {}), _events(said), day, air_psi, altitude_ft),
        max_gap_us=gap,
        sealed=sealed,
        failed=failed,
        date=day,
        note=said.get("note"),
        shown=shown,
        sha256=_sha256(said),
    )


def _log(record: str, run: str, shown: str) -> str:
    """Find the log. It lies where the record lies or below, so that a record from elsewhere reads nothing else."""
    folder = os.path.dirname(record)
    path = os.path.join(folder, run)
    parts = run.replace("\\", "/").split("/")
    leaves = os.path.isabs(run) or ntpath.isabs(run) or ntpath.splitdrive(run)[0] or ".." in parts
    if not leaves:
        home = os.path.realpath(folder or ".")
        leaves = os.path.commonpath((home, os.path.realpath(path))) != home
    if leaves:
        raise BadInput(
            f'{shown}: run "{screen.shown(run)}" leads elsewhere: the log must lie in the folder of the record or '
            "below it; write its name from there, like run.csv"
        )
    return path


def _sha256(said: Mapping[str, Any]) -> str:
    known = {key: value for key, value in said.items() if key not in ("seals", "run")}
    return hashlib.sha256(json.dumps(known, sort_keys=True).encode()).hexdigest()


def _day(written: str | None, key: str, shown: str) -> date | None:
    if written is None:
        return None
    day = date.fromisoformat(written)
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        raise BadInput(f"{shown}: {key} {written} is not a day between {FIRST_YEAR} and {LAST_YEAR}: check the year")
    return day


def _weight_psi(written: object) -> Fraction:
    weight = in_psi(written, "weight")
    if not 0 < weight <= HEAVIEST_PSI:
        raise BadInput(f'weight "{screen.shown(written, 20)}" is none of a home canner: write what is stamped on it')
    return weight


def _air_psi(written: object, altitude_ft: float) -> Fraction:
    air = in_psi(written, "air")
    standard = saturation.outside_psi(altitude_ft)
    if abs(float(air) - standard) > AIR_OFF_PSI:
        said = f'air "{screen.shown(written, 20)}" is far from the {standard:.1f} psi that are usual at this altitude'
        raise BadInput(f"{said}: write what a barometer shows on the spot, not at sea level")
    return air


def _events(said: Mapping[str, Any]) -> tuple[tuple[str, str], ...]:
    """Give the events that the record tells, each with its time as written."""
    told = said.get("events", {}).items()
    return tuple(
        (name, str(one).strip()) for name, times in told for one in (times if isinstance(times, list) else [times])
    )


def _span_us(written: object) -> int:
    most = USUAL_GAP // MINUTE
    found = _SPAN.fullmatch(written.strip()) if isinstance(written, str) else None
    if found is None:
        said = screen.shown(written, 20)
        raise BadInput(f'max_gap "{said}" is not a time with a unit: write it like "{most} min" or "30 s"')
    span = round(Fraction(found[1]) * (MINUTE if found[2].startswith("m") else MINUTE // 60))
    if not 0 < span <= USUAL_GAP:
        raise BadInput(f'max_gap "{written}" is not within {most} minutes: a longer silence shows nothing')
    return span
