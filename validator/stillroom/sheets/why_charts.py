"""Why charts: all charts of the physics behind the schedules, in the order in which they are told."""

from __future__ import annotations

from stillroom.answers.shelf import Shelf
from stillroom.sheets.why import Why
from stillroom.sheets.why_altitude import why_altitude
from stillroom.sheets.why_bands import NAMES, why_bands
from stillroom.sheets.why_boiling import why_boiling
from stillroom.sheets.why_dip import why_dip


def every(shelf: Shelf) -> tuple[Why, ...]:
    """Make every chart; each is drawn when it is asked for its SVG or PNG.

    Parameters
    ----------
    shelf : Shelf

    Returns
    -------
    tuple of Why
        With id, title, words and data.

    Raises
    ------
    BadPackage
        The data are damaged or missing.
    BadInput
        The demonstration run is damaged or missing.
    """
    return (
        why_altitude(shelf),
        *(why_bands(shelf, gauge) for gauge in NAMES),
        why_dip(shelf),
        why_boiling(shelf),
    )
