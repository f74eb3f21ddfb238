"""Line: one process said in one line, as a person reads it off a sheet, made into a table of one row.

Like ``raw tomatoes, no liquid, quarts, boiling water, 90 min at 1650 ft``.
"""

from __future__ import annotations

import hashlib
import re

from stillroom.errors import BadInput
from stillroom.foreign import notation, spans
from stillroom.foreign.grid import Cell, Foreign, Grid, GridRow

NAME = "this line"
_TIME = re.compile(
    rf"{notation.NUMBER} ?(?:h|hrs?|hours?)\b\.?(?: ?(?:and )?{notation.NUMBER} ?(?:min(?:ute)?s?\b\.?)?)?"
    rf"|{notation.NUMBER} ?(?:min(?:ute)?s?\b\.?)",
    re.IGNORECASE,
)
_PRESSURE = re.compile(
    rf"{notation.NUMBER} ?(?:psig|psi|lbs?\b\.?|pounds?|#|kpa)(?! weight)(?: (?:of )?pressure)?", re.IGNORECASE
)
_LOOSE = re.compile(r"(?:,\s*|\s+)(?:for|at|and|under|with|process(?:ed)?)(?=\s*(?:,|$))", re.IGNORECASE)


def table(said: str) -> Foreign:
    """Make a table of a line.

    Parameters
    ----------
    said : str
        Food, pack, jar, canner, time, pressure and altitude, in any order.

    Raises
    ------
    BadInput
        No time or pressure in it, or several of one kind.
    """
    folded = notation.folded(said).replace("\n", " ")
    heights, left = spans.found(folded)
    times, pressures = _TIME.findall(left), _PRESSURE.findall(left)
    if not times and not pressures:
        raise BadInput('the line states no time: write it with its unit, like "90 min"')
    if len(times) > 1 or len(pressures) > 1 or len(heights) > 1:
        raise BadInput("the line states several times, pressures or altitudes: one process in one line")
    rest = _PRESSURE.sub(" ", _TIME.sub(" ", left))
    label = _tidy(rest)
    altitude = heights[0].text if heights else ""
    heads = ("Food", f"Process at {altitude}" if altitude else "Process")
    cells = (label, " at ".join([*times, *pressures]))
    rows = tuple(
        GridRow(1, tuple(Cell(text, (number, column)) for column, text in enumerate(texts)))
        for number, texts in enumerate((heads, cells))
    )
    digest = hashlib.sha256(said.encode("utf-8", "replace")).hexdigest()
    return Foreign(NAME, digest, "line", (Grid("", rows, 1),))


def _tidy(rest: str) -> str:
    """Take out the joints that a time or an altitude leaves behind."""
    parts = [" ".join(part.split()) for part in rest.split(",")]
    before = None
    out = ", ".join(part for part in parts if part)
    while out != before:
        before = out
        out = _LOOSE.sub("", out).strip(" ,;")
    return out
