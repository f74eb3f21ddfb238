"""Season chart: the season's jars drawn to SVG or PNG, a bar for each food."""

from __future__ import annotations

from collections.abc import Sequence

from stillroom.errors import BadInput
from stillroom.run.season import EATEN, LOST, NOT_CHECKED, NOT_SAFE, SEALED, UNSEALED, Entry, jars
from stillroom.sheets import drawing

MOST_BARS = 60
"""Foods that have a bar of their own, those with the most jars; the others share one."""
_LONGEST_TITLE = 48
_DRAWN = {
    SEALED: ("#2e8b57", ""),
    NOT_CHECKED: ("#c9a227", "///"),
    EATEN: ("#ffffff", "---"),
    LOST: ("#bbbbbb", "|||"),
    UNSEALED: ("#bbbbbb", "..."),
    NOT_SAFE: ("#d1495b", "xxx"),
}
"""Color and hatching of each head, in the order along a bar: the hatching alone tells them apart."""
_SHOWN = {SEALED: "sealed, still there"}


def plot(entries: Sequence[Entry], path: str) -> None:
    """Draw jars by food and by what is known of them.

    Parameters
    ----------
    entries : sequence of Entry
    path : str
        File to write, ending in .svg or .png.

    Raises
    ------
    BadInput
        Another ending, nothing to draw, or a file that cannot be written or is not ours.
    """
    drawing.ending(path, "plot")
    if not entries:
        raise BadInput("the season log is empty: there is nothing to plot")
    from matplotlib.ticker import MaxNLocator

    bars = _bars(entries)
    with drawing.sheet(path, "plot", (8, 1.9 + 0.42 * len(bars))) as figure:
        axes = figure.subplots()
        at = range(len(bars))
        left = [0] * len(bars)
        for head, (color, hatch) in _DRAWN.items():
            counts = [jars(head, loads) for _, loads in bars]
            if any(counts):
                axes.barh(
                    at,
                    counts,
                    left=left,
                    color=color,
                    hatch=hatch,
                    edgecolor="#222222",
                    lw=0.6,
                    label=_SHOWN.get(head, head),
                    height=0.62,
                )
                left = [a + b for a, b in zip(left, counts, strict=True)]
        axes.set_yticks(at, [title for title, _ in bars])
        axes.set_xlabel("jars")
        axes.margins(x=0.02)
        axes.set_xlim(left=0)
        axes.set_title(f"Jars put up, {entries[0].date} to {entries[-1].date}", loc="left", fontweight="bold")
        axes.xaxis.set_major_locator(MaxNLocator(integer=True))
        axes.spines[["top", "right"]].set_visible(False)
        figure.legend(loc="outside lower center", ncols=3, frameon=False, fontsize=9)


def _bars(entries: Sequence[Entry]) -> list[tuple[str, list[Entry]]]:
    """Group the loads by food, lowest bar first."""
    foods: dict[str, list[Entry]] = {}
    for entry in entries:
        foods.setdefault(entry.title, []).append(entry)
    most = sorted(foods, key=lambda title: (-sum(load.jars for load in foods[title]), title))
    own, others = most[:MOST_BARS], [load for title in most[MOST_BARS:] for load in foods[title]]
    bars = [(_short(title), foods[title]) for title in sorted(own, reverse=True)]
    return [(f"{len(most) - len(own)} other foods", others), *bars] if others else bars


def _short(title: str) -> str:
    return title if len(title) <= _LONGEST_TITLE else title[: _LONGEST_TITLE - 3] + "..."
