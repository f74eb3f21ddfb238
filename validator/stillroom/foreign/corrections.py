"""Corrections: what a wrong cell must say, in its own way of writing."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction

from stillroom.answers.answer import Option
from stillroom.foreign import columns as kinds
from stillroom.foreign import judged as verdicts
from stillroom.foreign import notation
from stillroom.foreign.claims import Process
from stillroom.foreign.columns import Column
from stillroom.foreign.figures import KPA
from stillroom.foreign.judged import Judged

NOT_TESTED = "no tested process"
"""What takes the place of a process that nobody has tested."""
_FIGURE = re.compile(rf"(?<![0-9.,]){notation.NUMBER}(?![0-9])")


def corrected(text: str, column: Column, judged: Sequence[Judged], bare: bool) -> str | None:
    """Write what a cell must say.

    Parameters
    ----------
    text : str
        The cell as it stands.
    column : Column
    judged : sequence of Judged
        The claims that blame it.
    bare : bool
        Whether the column writes its figures without units.

    Returns
    -------
    str or None
        None where no value can stand there, or none is needed.
    """
    worst = max((one.verdict for one in judged), key=verdicts.RANK.index)
    if worst == verdicts.UNTESTED:
        return NOT_TESTED
    if worst not in (verdicts.WEAKER, verdicts.MISSING):
        return None
    samples = [sample for one in judged for sample in one.samples if sample.options]
    if not samples:
        return None
    strictest = max(samples, key=lambda s: _strict(s.option or s.options[0]))
    several = len({_values(sample.options) for sample in samples}) == 1 and len(strictest.options) > 1
    if several and (column.kind == kinds.PROCESS or "psi" in text or worst == verdicts.MISSING):
        whole = " or ".join(_whole(option) for option in strictest.options)
        if column.kind == kinds.PROCESS:
            return whole
    option = strictest.option or strictest.options[0]
    return _in_place(text, column, judged, option) or _anew(column, option, bare)


def _strict(option: Option) -> tuple[int, int]:
    return option.minutes, option.pressure_psi or 0


def _values(options: Sequence[Option]) -> tuple[tuple[int, int | None], ...]:
    return tuple((option.minutes, option.pressure_psi) for option in options)


def _whole(option: Option) -> str:
    return f"{option.minutes} min" + ("" if option.pressure_psi is None else f" at {option.pressure_psi} psi")


def _in_place(text: str, column: Column, judged: Sequence[Judged], option: Option) -> str | None:
    """Exchange the one wrong figure of a cell; None where there is not exactly one to exchange."""
    hits = list(_FIGURE.finditer(text))
    processes = {_part(process, column) for one in judged for process in one.claim.processes}
    if len(processes) != 1 or column.unit == "hours" or re.search(r"\bh(?:ou)?rs?\b", text, re.IGNORECASE):
        return None
    process = processes.pop()
    out = text
    wanted: list[tuple[Fraction | None, str]] = []
    if column.kind != kinds.PRESSURE and process.minutes is not None:
        wanted.append((process.minutes, str(option.minutes)))
    if column.kind != kinds.MINUTES and process.pressure is not None and option.pressure_psi is not None:
        psi = option.pressure_psi
        wanted.append((process.pressure.value, str(round(psi * KPA)) if process.pressure.kpa else str(psi)))
    if len(hits) != len(wanted):
        return None
    for hit, (before, after) in reversed(list(zip(hits, _in_order(hits, wanted), strict=True))):
        if before is None or notation.number(hit[0]) != before:
            return None
        out = out[: hit.start()] + after + out[hit.end() :]
    return out


def _part(process: Process, column: Column) -> Process:
    """What of a process the column holds."""
    if column.kind == kinds.MINUTES:
        return process._replace(pressure=None)
    return process._replace(minutes=None) if column.kind == kinds.PRESSURE else process


def _in_order(
    hits: Sequence[re.Match[str]], wanted: list[tuple[Fraction | None, str]]
) -> list[tuple[Fraction | None, str]]:
    """A time and a pressure in the order in which the cell has them."""
    if len(wanted) == 2 and notation.number(hits[0][0]) != wanted[0][0]:
        return [wanted[1], wanted[0]]
    return wanted


def _anew(column: Column, option: Option, bare: bool) -> str | None:
    if column.kind == kinds.PROCESS:
        return _whole(option)
    if bare and column.unit == "":
        value = option.pressure_psi if column.kind == kinds.PRESSURE else option.minutes
        return None if value is None else str(value)
    if column.kind == kinds.PRESSURE:
        if option.pressure_psi is None:
            return None
        return f"{round(option.pressure_psi * KPA)} kPa" if column.unit == "kpa" else f"{option.pressure_psi} psi"
    return f"{option.minutes} min"
