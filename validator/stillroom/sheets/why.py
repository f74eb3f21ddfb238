"""Why: one chart of the physics behind the schedules, with its data, what it shows in words, and how it is drawn.

Every chart is drawn 5.2 inches wide, so that its letters can be read on a telephone, and in one ink: lines are told
apart by their strokes and by a label at their end, never by color.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from stillroom import screen
from stillroom.answers import saturation
from stillroom.answers.answer import Stated
from stillroom.sheets import drawing

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

Cell = str | int | float | None
"""One cell of the data; None where there is nothing, which is blank in a table."""
INK, PALE, PAPER = "#1b3a5c", "#5f5f5f", "#ffffff"
"""The ink of lines and words, the gray of guide lines and notes, and what they stand on."""
WIDE_IN = 5.2
"""Width of a chart, inches."""
FONT_PT, NOTE_PT = 11.0, 9.5
"""Size of letters, points: at a width of 390 pixels about 11 and 10 pixels."""
DATA_DIGITS = 2
"""Decimals of temperatures in the data."""
NAMED = "degF"
"""How an axis names degrees Fahrenheit; in sentences they are written out, to be read aloud."""


@dataclass(frozen=True)
class Why:
    """One chart.

    Attributes
    ----------
    id : str
        Its name, which its files and its place on a page are called by.
    title : str
        What it shows, in one line.
    alt : str
        The same in words with its figures, for whoever does not see it.
    sentences : tuple of Stated
        Two or three sentences to read aloud, with the page of what stands on one.
    cautions : tuple of Stated
        What the figures are not.
    columns : tuple of str
        Names of the data, with their units.
    rows : tuple of tuple
        The data that are drawn, one cell for each column.
    size_in : tuple of float
        Width and height, inches.
    draw : callable
        Draws it, but for its title, into a figure.
    """

    id: str
    title: str
    alt: str
    sentences: tuple[Stated, ...]
    cautions: tuple[Stated, ...]
    columns: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    size_in: tuple[float, float]
    draw: Callable[[Figure], None]

    def svg(self) -> str:
        """Draw it to SVG, with a title and a description for screen readers; the same each time, byte for byte.

        Raises
        ------
        StillroomError
            Matplotlib is not installed.
        """
        return drawing.spoken(self._drawn("svg").decode(), self.id, self.title, self.alt)

    def png(self) -> bytes:
        """Draw it to PNG.

        Raises
        ------
        StillroomError
            Matplotlib is not installed.
        """
        return self._drawn("png")

    def csv(self) -> str:
        """Write its data as CSV."""
        out = io.StringIO()
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow(self.columns)
        writer.writerows([screen.cell("" if value is None else value) for value in row] for row in self.rows)
        return out.getvalue()

    def into(self, figure: Figure) -> None:
        """Draw it with its title into a figure of its size."""
        figure.suptitle(self.title, x=0.015, ha="left", fontsize=FONT_PT, fontweight="bold", color=INK)
        self.draw(figure)

    def _drawn(self, kind: str) -> bytes:
        with drawing.canvas(self.size_in, FONT_PT) as figure:
            self.into(figure)
            return drawing.saved(figure, kind)


def data(degrees: float) -> float:
    """Round a temperature as the data have it."""
    return round(degrees, DATA_DIGITS)


def celsius(degrees_F: Any) -> Any:  # noqa: N803  (units stand in names)
    """Give degrees Fahrenheit in degrees Celsius, one or an array of them."""
    return (degrees_F - 32) / 1.8


def meters(feet: Any) -> Any:
    """Give feet in meters, one or an array of them."""
    return feet * saturation.FEET_IN_METERS


def plain(axes: Axes) -> None:
    """Set axes as all charts have them: pale lines behind, no frame above and at the right."""
    axes.grid(True, color="#e2e2e2", lw=0.6)
    axes.set_axisbelow(True)
    axes.spines[["top", "right"]].set_visible(False)


def label(axes: Axes, text: str, at: tuple[float, float], by: tuple[float, float] = (5, 0), **how: str) -> None:
    """Write words at a place of the data, moved by points."""
    axes.annotate(
        text,
        at,
        xytext=by,
        textcoords="offset points",
        fontsize=NOTE_PT,
        color=how.get("color", INK),
        ha=how.get("ha", "left"),
        va=how.get("va", "center"),
        annotation_clip=False,
    )


def note(figure: Figure, text: str) -> None:
    """Write a note below the charts of a figure."""
    figure.supxlabel(text, x=0.015, ha="left", fontsize=NOTE_PT, color=PALE)
