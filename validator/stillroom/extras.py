"""Extras: the optional groups of libraries, and the one line that says which is missing."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager

from stillroom.errors import StillroomError


class NotInstalled(StillroomError, AttributeError):
    """A name of the package that is there once a library is installed; what looks at every name passes it over."""


CHECK = ("fluids", "frictionless", "jsonschema", "numpy", "pandas", "pandera", "seuif97", "yaml")
"""Libraries of the group ``check``, as they are imported."""


def complete(group: str, modules: Iterable[str]) -> None:
    """Say which library of a group is missing before anything is done with the others.

    Raises
    ------
    StillroomError
        A library is not installed.
    """
    from importlib.util import find_spec

    missing = next((module for module in modules if find_spec(module) is None), None)
    if missing is not None:
        raise StillroomError(_install(missing, group))


def _install(missing: str, group: str) -> str:
    return f'this needs {missing}: install it with pip install "stillroom[{group}]"'


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
        raise StillroomError(_install(error.name, group)) from None
