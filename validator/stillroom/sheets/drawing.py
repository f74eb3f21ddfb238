"""Drawing: one style for every chart, and files that are the same byte for byte when the chart is."""

from __future__ import annotations

import io
import logging
import os
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
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
    with _quiet():
        with extras.needed("charts"):
            import matplotlib
            from matplotlib.figure import Figure

        style: dict[Any, Any] = dict(matplotlib.rcParamsDefault)
        style |= {"svg.hashsalt": "stillroom", "svg.fonttype": "none", "font.size": 10, "text.parse_math": False}
        with matplotlib.rc_context(style):
            figure = Figure(figsize=size_in, layout="constrained", facecolor="white")
            yield figure
            creator = {"svg": {"Date": None, "Creator": output.CREATOR}, "png": {"Software": output.CREATOR}}
            drawn = io.BytesIO()
            figure.savefig(drawn, format=kind, dpi=150, metadata=creator[kind])
    output.write(path, drawn.getvalue(), what, output.our_svg if kind == "svg" else output.our_png)


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
