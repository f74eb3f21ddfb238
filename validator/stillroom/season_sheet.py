"""Season sheet: the season's jars as text for people and as a chart."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from stillroom import drawing
from stillroom.errors import BadInput
from stillroom.season import VERDICTS, Entry

WIDTH = 80
_COLORS = {"delivered": "#2e8b57", "unproven": "#c9a227", "short": "#d1495b", "no verdict": "#8a8a8a"}


def season_sheet(entries: Sequence[Entry], standing: str) -> str:
    """List the jars by food, then every load.

    Parameters
    ----------
    entries : sequence of Entry
        Oldest first.
    standing : str
        The short caution.
    """
    if not entries:
        return "No loads here yet. Add one with: stillroom judge batch.yaml --save DIR\n"
    foods = sorted({(entry.title, entry.jar) for entry in entries})
    table = [("jars on the shelf", "jar", "put up", "keep", "failed", "not shown", "first best by")]
    for title, jar in foods:
        loads = [entry for entry in entries if (entry.title, entry.jar) == (title, jar)]
        keep = sum(load.on_shelf for load in loads)
        first = min((load.best_by for load in loads if load.on_shelf), default=None)
        table.append(
            (
                title,
                jar,
                str(sum(load.jars for load in loads)),
                str(keep),
                str(sum(load.failed or 0 for load in loads)),
                str(sum(load.jars for load in loads if load.verdict != "delivered")),
                str(first or "-"),
            )
        )
    loads_table = [("day", "load", "jar", "jars", "verdict", "sealed", "failed")]
    loads_table += [
        (
            str(load.date),
            load.title,
            load.jar,
            str(load.jars),
            load.verdict,
            _known(load.sealed),
            _known(load.failed),
        )
        for load in entries
    ]
    doubtful = [load for load in entries if load.verdict != "delivered"]
    lines = [*_set(table), "", *_set(loads_table), ""]
    if doubtful:
        lines += [f"{len(doubtful)} of {len(entries)} loads are not shown to have got their schedule: those jars are"]
        lines += ["not for the shelf (see stillroom judge for what to do within 24 hours)."]
    lines += ["Use within a year (page 1-11). Caution: " + standing]
    return "\n".join(piece for line in lines for piece in _fitted(line)) + "\n"


def _known(count: int | None) -> str:
    return "?" if count is None else str(count)


def _fitted(line: str) -> list[str]:
    return [line] if len(line) <= WIDTH or "  " in line else textwrap.wrap(line, WIDTH)


def _set(table: Sequence[tuple[str, ...]]) -> list[str]:
    """Set a table in columns; words to the left, numbers to the right; long titles cut to fit 80 columns."""
    rest = sum(max(len(row[i]) for row in table) + 2 for i in range(len(table[0])))
    titles = 0 if table[0][0] != "day" else 1
    longest = max(len(row[titles]) for row in table)
    room = max(12, WIDTH + 2 - (rest - longest))
    cut = [
        tuple(c if i != titles or len(c) <= room else c[: room - 3] + "..." for i, c in enumerate(row)) for row in table
    ]
    wide = [max(len(row[i]) for row in cut) for i in range(len(cut[0]))]
    numbers = [all(row[i].isdigit() or row[i] == "?" for row in cut[1:]) for i in range(len(wide))]
    return [
        "  ".join(
            c.rjust(w) if number else c.ljust(w) for c, w, number in zip(row, wide, numbers, strict=True)
        ).rstrip()
        for row in cut
    ]


def plot(entries: Sequence[Entry], path: str) -> None:
    """Draw jars by food and verdict.

    Parameters
    ----------
    entries : sequence of Entry
    path : str
        File to write, ending in .svg or .png.

    Raises
    ------
    BadInput
        Another ending, nothing to draw, or a folder that cannot be written to.
    """
    drawing.ending(path, "plot")
    if not entries:
        raise BadInput("the season log is empty: there is nothing to plot")
    from matplotlib.ticker import MaxNLocator

    titles = sorted({entry.title for entry in entries}, reverse=True)
    with drawing.sheet(path, "plot", (8, 1.6 + 0.42 * len(titles))) as figure:
        axes = figure.subplots()
        left = [0] * len(titles)
        for verdict in VERDICTS:
            counts = [sum(e.jars for e in entries if (e.title, e.verdict) == (title, verdict)) for title in titles]
            if any(counts):
                axes.barh(titles, counts, left=left, color=_COLORS[verdict], label=verdict, height=0.62)
                left = [a + b for a, b in zip(left, counts, strict=True)]
        axes.set_xlabel("jars")
        axes.set_title(f"Jars put up, {entries[0].date} to {entries[-1].date}", loc="left", fontweight="bold")
        axes.xaxis.set_major_locator(MaxNLocator(integer=True))
        axes.spines[["top", "right"]].set_visible(False)
        figure.legend(loc="outside lower center", ncols=4, frameon=False, fontsize=9)
