"""Sparkline: a run as one line of text, with a line beneath that marks what counted."""

from __future__ import annotations

import numpy as np

from stillroom.run.judgement import Judgement

BLOCKS = "▁▂▃▄▅▆▇█"
ASCII = "_.,-~=*#"


def sparkline(found: Judgement, width: int = 60, letters: str = BLOCKS) -> list[str]:
    """Draw true pressure against time.

    Parameters
    ----------
    found : Judgement
    width : int
        Characters.
    letters : str
        Eight heights, lowest first; :data:`ASCII` where the terminal has no others.

    Returns
    -------
    list of str
        The line (the lowest reading of each piece of time; blank in a gap), and beneath it ``=`` under the
        stretch that counts and ``x`` under dips. Empty with fewer than two readings.
    """
    log, read = found.log, ~np.isnan(found.true_psi)
    time_us, psi = log.time_us[read], found.true_psi[read]
    if len(psi) < 2:
        return []
    first, span = int(time_us[0]), max(int(time_us[-1] - time_us[0]), 1)

    def column(time_us: int) -> int:
        return max(0, min((time_us - first) * width // span, width - 1))

    bins = np.minimum((time_us - first).astype(np.float64) / span * width, width - 1).astype(np.int64)
    starts = np.flatnonzero(np.diff(bins, prepend=-1))
    lowest = dict(zip(bins[starts].tolist(), np.minimum.reduceat(psi, starts).tolist(), strict=True))
    top = max(float(psi.max()), float(found.option.pressure_psi or 0), 1.0)
    line, marks = [" "] * width, [" "] * width
    for at in range(width):
        value = lowest.get(at)
        if value is None:  # between two readings: the lower of them, unless they are too far apart
            after = int(np.searchsorted(bins, at))
            if time_us[after] - time_us[after - 1] > found.batch.max_gap_us:
                continue
            value = float(min(psi[after - 1], psi[after]))
        line[at] = letters[min(int(max(value, 0.0) / top * len(letters)), len(letters) - 1)]
    hold = found.judged.hold
    if hold is not None:
        marks[column(hold.start_us) : column(hold.end_us) + 1] = "=" * (column(hold.end_us) - column(hold.start_us) + 1)
    for at in {column(int(log.time_us[begin])) for begin, _ in found.judged.dips}:
        marks[at] = "x"
    for begin, end in found.judged.dips[:1000]:  # long ones across all their columns; of more there is no room
        for at in range(column(int(log.time_us[begin])), column(int(log.time_us[end - 1])) + 1):
            marks[at] = "x"
    return [f"|{''.join(line)}|", f" {''.join(marks)}".rstrip()]
