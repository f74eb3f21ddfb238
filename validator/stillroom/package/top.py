"""Top: the folder of the package that a person stands in, looked for upward."""

from __future__ import annotations

import os

DESCRIPTOR = "datapackage.json"


def top_above(folder: str) -> str | None:
    """Find the nearest folder that holds datapackage.json: this one, or one above it in the same repository.

    Parameters
    ----------
    folder : str
        Folder to begin with.

    Returns
    -------
    str or None
        ``folder`` as it was given, or the full path of one above it; None where there is none. A folder above the
        repository that holds ``folder`` is never taken: what stands there is somebody else's.
    """
    if os.path.lexists(os.path.join(folder, DESCRIPTOR)):
        return folder
    at = os.path.realpath(folder)
    while not os.path.lexists(os.path.join(at, ".git")) and os.path.dirname(at) != at:
        at = os.path.dirname(at)
        if os.path.lexists(os.path.join(at, DESCRIPTOR)):
            return at
    return None
