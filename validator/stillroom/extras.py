"""Extras: the optional groups of libraries, and the one line that says which is missing."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from stillroom.errors import StillroomError


class NotInstalled(StillroomError, AttributeError):
    """A name of the package that is there once a library is installed; what looks at every name passes it over."""


@contextmanager
def needed(group: str) -> Iterator[None]:
    """Turn the lack of an optional library into one line that says what to install.

    Parameters
    ----------
    group : str
        Optional group of the package that holds it, like ``run``.

    Raises
    ------
    StillroomError
        A library of the group is not installed.
    """
    try:
        yield
    except ModuleNotFoundError as error:
        if error.name is None or error.name.split(".")[0] == "stillroom":
            raise
        raise StillroomError(f'this needs {error.name}: install it with pip install "stillroom[{group}]"') from None
