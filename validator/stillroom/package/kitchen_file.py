"""Kitchen file: where the file of a person's kitchen lies, and its TOML read as plain values.

Two places are looked in, and the first file found is read whole: ``kitchen.toml`` in the current folder, then in the
folder for settings of the user. Folders above the current one are not: what stands there may be somebody else's, and
its altitude would be taken for the reader's own. Two files are never put together into a kitchen that is nowhere.
"""

from __future__ import annotations

import os
import sys
from typing import Any

from stillroom import screen
from stillroom.errors import BadInput

NAME = "kitchen.toml"
FOLDER = "stillroom"
WHAT = "kitchen file"
DEEPEST = 4
"""Deepest nesting that is read; a kitchen needs three."""

_NOT_PLAIN = {
    "deep": f"nested deeper than {DEEPEST} levels",
    "syntax": '{}: write each key as in altitude = "1650 ft", text in quotes, a key only once',
}


def of_user() -> str | None:
    """Path of the kitchen file of the user, whether it is there or not; None where no home folder is known.

    ``XDG_CONFIG_HOME`` counts everywhere (XDG Base Directory Specification: only an absolute path does), then
    ``%APPDATA%`` on Windows, ``~/Library/Application Support`` on macOS, and ``~/.config`` elsewhere.
    """
    said = os.environ.get("XDG_CONFIG_HOME", "")
    if not os.path.isabs(said):
        if sys.platform == "win32":
            said = os.environ.get("APPDATA", "")
        else:
            usual = ("Library", "Application Support") if sys.platform == "darwin" else (".config",)
            said = os.path.join(os.path.expanduser("~"), *usual)
    return os.path.join(said, FOLDER, NAME) if os.path.isabs(said) else None


def places() -> tuple[str, ...]:
    """Paths that are looked at, first the one that wins."""
    user = of_user()
    return (NAME,) if user is None else (NAME, user)


def found() -> str | None:
    """Path of the kitchen file that counts; None where there is none. A broken link is found, and refused later."""
    return next((path for path in places() if os.path.lexists(path)), None)


def shown(path: str) -> str:
    """Write the path of a kitchen file for people: as given, with ``~`` for the home folder."""
    home = os.path.expanduser("~")
    short = os.path.join("~", os.path.relpath(path, home)) if path.startswith(os.path.join(home, "")) else path
    return screen.shown(short, 200)


def read(path: str) -> dict[str, Any]:
    """Read a kitchen file.

    Parameters
    ----------
    path : str

    Returns
    -------
    dict
        Values by key, as they stand in the file.

    Raises
    ------
    BadInput
        No such file, too large, not UTF-8 or not TOML; names the file, and the line where it is known.
    """
    from stillroom.package import documents, schemas  # looking for a file needs neither

    name = shown(path)
    try:
        return documents.plain_toml(schemas.text(path, name, WHAT), DEEPEST)
    except documents.NotPlain as error:
        line = "" if error.line is None else f":{error.line}"
        raise BadInput(f"{name}{line}: {_NOT_PLAIN[error.kind].format(screen.shown(error.said, 120))}") from None
