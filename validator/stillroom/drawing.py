"""Drawing: one style for every chart, and files that are the same byte for byte when the chart is."""

from __future__ import annotations

import io
import os
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from stillroom import output
from stillroom.errors import BadInput

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
        raise BadInput(f'{what} "{path}" ends in neither .svg nor .png')
    return found[1:]


@contextmanager
def sheet(path: str, what: str, size_in: tuple[float, float]) -> Iterator[Figure]:
    """Give an empty figure of a size in inches, and write it when it is drawn.

    Whatever style the machine has set is left aside, and neither the day nor a random number goes into the file.

    Raises
    ------
    BadInput
        A name that ends in neither .svg nor .png, or a file that cannot be written.
    """
    kind = ending(path, what)
    import matplotlib
    from matplotlib.figure import Figure

    style: dict[Any, Any] = dict(matplotlib.rcParamsDefault)
    style |= {"svg.hashsalt": "stillroom", "svg.fonttype": "none", "font.size": 10}
    with matplotlib.rc_context(style):
        figure = Figure(figsize=size_in, layout="constrained", facecolor="white")
        yield figure
        metadata = {"Date": None, "Creator": "stillroom"} if kind == "svg" else {"Software": "stillroom"}
        drawn = io.BytesIO()
        figure.savefig(drawn, format=kind, dpi=150, metadata=metadata)
    output.write(path, drawn.getvalue(), what)
