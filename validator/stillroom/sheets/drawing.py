"""Drawing: one style for every chart, and files that are the same byte for byte when the chart is."""

from __future__ import annotations

import io
import logging
import os
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from html import escape
from typing import TYPE_CHECKING, Any

from stillroom import extras, screen
from stillroom.errors import BadInput
from stillroom.sheets import output

if TYPE_CHECKING:
    from matplotlib.figure import Figure


def ending(path: str, what: str) -> str:
    """Tell ``svg`` or ``png`` from a file name.

    Raises
    ------
    BadInput
        Another ending.
    """
    found = os.path.splitext(path)[1].casefold()
    if found not in (".svg", ".png"):
        raise BadInput(f'{what} "{screen.shown(path, 200)}" ends in neither .svg nor .png: let its name end in one')
    return found[1:]


@contextmanager
def sheet(path: str, what: str, size_in: tuple[float, float]) -> Iterator[Figure]:
    """Give an empty figure of a size in inches, and write it when it is drawn.

    Whatever style the machine has set is left aside, and neither the day nor a random number goes into the file. Words
    are words: a dollar sign begins no mathematics. A drawing of ours of that name is replaced, no other file is.

    Raises
    ------
    BadInput
        A name that ends in neither .svg nor .png, or a file that cannot be written or is not ours.
    StillroomError
        Matplotlib is not installed.
    """
    kind = ending(path, what)
    with canvas(size_in) as figure:
        yield figure
        drawn = saved(figure, kind)
    output.write(path, drawn, what, output.our_svg if kind == "svg" else output.our_png)


@contextmanager
def canvas(size_in: tuple[float, float], font_pt: float = 10) -> Iterator[Figure]:
    """Give an empty figure of a size in inches, to be drawn and saved while it is held.

    Raises
    ------
    StillroomError
        Matplotlib is not installed.
    """
    with _quiet():
        with extras.needed("charts"):
            import matplotlib
            from matplotlib.figure import Figure

        style: dict[Any, Any] = dict(matplotlib.rcParamsDefault)
        style |= {"svg.hashsalt": "stillroom", "svg.fonttype": "none", "font.size": font_pt, "text.parse_math": False}
        with matplotlib.rc_context(style):
            yield Figure(figsize=size_in, layout="constrained", facecolor="white")


def saved(figure: Figure, kind: str) -> bytes:
    """Save a figure that is drawn, while its canvas is held, as ``svg`` or ``png``."""
    creator = {"svg": {"Date": None, "Creator": output.CREATOR}, "png": {"Software": output.CREATOR}}
    drawn = io.BytesIO()
    figure.savefig(drawn, format=kind, dpi=150, metadata=creator[kind])
    return drawn.getvalue()


def spoken(svg: str, name: str, title: str, alt: str) -> str:
    """Give an SVG drawing a title and a description, which a screen reader says in place of its lines.

    Parameters
    ----------
    svg : str
        As :func:`saved` gives it.
    name : str
        Id of the drawing, with which those of its title and description begin.
    title, alt : str
        What it is called, and what it shows in words.
    """
    before, opening, rest = svg.partition("<svg ")
    attributes, closing, inside = rest.partition(">")
    told = f'role="img" aria-labelledby="{name}-title" aria-describedby="{name}-desc" '
    words = f'\n <title id="{name}-title">{escape(title)}</title>\n <desc id="{name}-desc">{escape(alt)}</desc>'
    return "".join((before, opening, told, attributes, closing, words, inside))


@contextmanager
def _quiet() -> Iterator[None]:
    """Keep to ourselves what the chart library says of fonts and folders of this machine."""
    log = logging.getLogger("matplotlib")
    before = log.level
    log.setLevel(logging.CRITICAL)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            yield
    finally:
        log.setLevel(before)
