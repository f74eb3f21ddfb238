"""Question: the types of what is asked, looked at before anything is looked up.

A value of a wrong type is bad input in one line, even where it cannot be shown: an object without a working ``repr``,
or a number too long to be written out.
"""

from __future__ import annotations

import os
from typing import Any, Literal, NamedTuple

from stillroom.errors import BadInput

Jar = Literal["half-pint", "12-ounce", "pint", "pint-and-half", "quart", "half-gallon"]
"""Ids of shared/jars.csv. Words for a jar are understood beside them."""
Canner = Literal["boiling-water", "dial", "weighted", "steam"]
"""Ids of shared/canners.csv. Words for a canner are understood beside them."""
Pack = Literal["hot", "raw"]
"""Ids of shared/packs.csv. Words for a pack are understood beside them."""

LONGEST_PATH = 4_096
"""Characters; longer than any path that a system takes."""


class Question(NamedTuple):
    """What is asked of the schedules, as it was said; see :func:`stillroom.find`.

    Attributes
    ----------
    food : str
        Any name of it.
    jar : str or None
        As said; None: left out.
    altitude : str or pint quantity or None
        With its unit.
    canner, pack, form : str or None
        As said; None: left out.
    """

    food: str
    jar: str | None = None
    altitude: object = None
    canner: str | None = None
    pack: str | None = None
    form: str | None = None


def shown(value: object, most: int = 40) -> str:
    """Show a value of any type in a message, cut to ``most`` characters; by its type where it cannot be shown."""
    try:
        said = repr(value)
    except Exception:  # whatever its own code raises
        return f"of type {type(value).__name__}"
    return said if len(said) <= most else f"{said[: most - 3]}..."


def speakable(**asked: Any) -> None:
    """Refuse a value that no message could show.

    Raises
    ------
    BadInput
        With the name of the argument.
    """
    for what, value in asked.items():
        if value is None or isinstance(value, str):
            continue
        try:
            f"{value!r}{value}"
        except Exception:  # whatever its own code raises
            raise BadInput(f"{what} of type {type(value).__name__} cannot be read: write it as text") from None


def text(what: str, value: object, example: str) -> str:
    """Give a text back.

    Raises
    ------
    BadInput
        It is no text.
    """
    if not isinstance(value, str):
        raise BadInput(f"{what} {shown(value)} is not text: write it like {example}")
    return value


def path(what: str, value: object) -> str:
    """Read a path: text, or an object that stands for a path.

    Raises
    ------
    BadInput
        Neither, or empty, or one that no file can have.
    """
    if isinstance(value, os.PathLike):
        value = os.fspath(value)
    if not isinstance(value, str):
        raise BadInput(f"{what} {shown(value)} is not a path: write it as text")
    if not value or "\0" in value or len(value) > LONGEST_PATH:
        raise BadInput(f"{what} {shown(value)} is not a path: no file can be called so")
    return value


def jars(what: str, said: object, most: int) -> int:
    """Read a number of jars that may be none; see :func:`count`."""
    return 0 if str(said).strip() == "0" else count(what, said, most)


def count(what: str, said: object, most: int) -> int:
    """Read a number of jars.

    Parameters
    ----------
    what : str
        What is counted, for the message.
    said : int or str
        A whole number from 1.
    most : int
        The most that is believed.

    Raises
    ------
    BadInput
        No whole number, less than one, or more than the most.
    """
    text = str(said).strip() if isinstance(said, (int, str)) and not isinstance(said, bool) else ""
    if not (text.isascii() and text.removeprefix("-").isdigit() and len(text) <= 20):
        raise BadInput(f'{what} "{str(said)[:20]}" is not a whole number: write it like "{min(most, 18)}"')
    number = int(text)
    if number < 1:
        raise BadInput(f"{what} {number} is less than one jar: write how many there are")
    if number > most:
        raise BadInput(f"{what} {number} is more than {most:,}: check the figure")
    return number
