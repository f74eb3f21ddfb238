"""Looks like: which slip a wrong figure looks like, told after the verdict and never in place of it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction

from stillroom.answers.answer import Option
from stillroom.answers.charts import Combination
from stillroom.foreign import notation
from stillroom.foreign.judged import MINUTES, PRESSURE, Judged, Sample

Ask = Callable[[str, Combination, float], tuple[Option, ...]]
"""Published options of a food, a row and a height; empty where there are none."""


def slip(group: Sequence[Judged], row: Sequence[Judged], below: Sequence[Judged], ask: Ask) -> str | None:
    """Tell what slip the wrong figures of one cause look like.

    Parameters
    ----------
    group : sequence of Judged
        The claims of one cause.
    row : sequence of Judged
        All claims of their row.
    below : sequence of Judged
        Those of the next row.
    ask : callable
        Looks up what is published elsewhere.
    """
    pairs = [(judged, sample, value) for judged in group for sample, value in _wrong(judged)]
    if not pairs:
        return None
    if all(_turned(value, sample) for _, sample, value in pairs):
        return "two digits exchanged"
    for told, found in (
        (_shifted(pairs, ask), "the values of the next column"),
        (_of_jars(pairs, row, ask), ""),
        (all(_elsewhere(sample, value, ask, _packs) for _, sample, value in pairs), "hot and raw pack exchanged"),
        (
            all(_elsewhere(sample, value, ask, _gauges) for _, sample, value in pairs),
            "dial and weighted gauge exchanged",
        ),
        (_next_row(pairs, below), "the value of the next row"),
    ):
        if told:
            return told if isinstance(told, str) else found
    return None


def _wrong(judged: Judged) -> list[tuple[Sample, Fraction]]:
    """Stated figures that are wrong, with the place that says so."""
    found = []
    for sample in judged.deciding:
        for process in judged.claim.processes:
            if sample.wrong != PRESSURE and process.minutes is not None:
                found.append((sample, process.minutes))
            elif sample.wrong == PRESSURE and process.pressure is not None:
                found.append((sample, process.pressure.value))
    return found


def _published(sample: Sample, options: Sequence[Option] | None = None) -> set[Fraction]:
    pressure = sample.wrong == PRESSURE
    values = [
        option.pressure_psi if pressure else option.minutes
        for option in (sample.options if options is None else options)
    ]
    return {Fraction(value) for value in values if value is not None}


def _turned(value: Fraction, sample: Sample) -> bool:
    digits = notation.shown(value)
    turned = {digits[::-1]} | {
        digits[:at] + digits[at + 1] + digits[at] + digits[at + 2 :] for at in range(len(digits) - 1)
    }
    return len(digits) > 1 and any(notation.shown(one) in turned and one != value for one in _published(sample))


Pairs = Sequence[tuple[Judged, Sample, Fraction]]


def _shifted(pairs: Pairs, ask: Ask) -> bool:
    """Whether each figure is that of the band before or after, and several are, or the band has another value."""
    heights = sorted({sample.altitude_ft for _, sample, _ in pairs})
    for step in (-1, 1):
        moved = []
        for _, sample, value in pairs:
            options = _next_band(sample, step, ask)
            moved.append(bool(options) and value in _published(sample, options))
        if all(moved) and len(heights) > 1:
            return True
    return False


def _next_band(sample: Sample, step: int, ask: Ask) -> tuple[Option, ...]:
    option = sample.options[0] if sample.options else None
    if option is None:
        return ()
    if step < 0:
        return ask(sample.food, sample.at, float(option.altitude_from_ft - 1)) if option.altitude_from_ft else ()
    return () if option.altitude_to_ft is None else ask(sample.food, sample.at, float(option.altitude_to_ft + 1))


def _of_jars(pairs: Pairs, row: Sequence[Judged], ask: Ask) -> str:
    """The time of another jar: in both columns, or exchanged with it."""
    others = {"pint": "quart", "quart": "pint", "half-pint": "pint", "pint-and-half": "quart"}
    if any(sample.wrong != MINUTES or sample.at.jar not in others for _, sample, _ in pairs):
        return ""
    for _, sample, value in pairs:
        options = ask(sample.food, sample.at._replace(jar=others[sample.at.jar]), sample.altitude_ft)
        if value not in _published(sample, options):
            return ""
    sample = pairs[0][1]
    other = others[sample.at.jar]
    beside = {
        process.minutes
        for judged in row
        if other in judged.claim.facets.jars and judged.claim.processes
        for process in judged.claim.processes
    }
    if beside & _published(sample):
        return f"{sample.at.jar}s and {other}s exchanged"
    return f"the time of {other}s" + (" in both columns" if pairs[0][2] in beside else "")


def _packs(at: Combination) -> Combination | None:
    turned = {"hot": "raw", "raw": "hot"}
    return at._replace(pack=turned[at.pack]) if at.pack in turned else None


def _gauges(at: Combination) -> Combination | None:
    turned = {"dial": "weighted", "weighted": "dial"}
    return at._replace(canner=turned[at.canner]) if at.canner in turned else None


def _elsewhere(sample: Sample, value: Fraction, ask: Ask, other: Callable[[Combination], Combination | None]) -> bool:
    at = other(sample.at)
    return at is not None and value in _published(sample, ask(sample.food, at, sample.altitude_ft))


def _next_row(pairs: Pairs, below: Sequence[Judged]) -> bool:
    """Whether each figure is the one that is published for the same column of the next row."""
    for judged, sample, value in pairs:
        same = [one for one in below if one.claim.columns == judged.claim.columns]
        options = [option for one in same for other in one.samples for option in other.options]
        if value not in _published(sample, options):
            return False
    return True
