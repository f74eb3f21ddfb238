"""Errors: what went wrong, in one plain line each.

Malformed, unknown, ambiguous and untested are different errors under one base, so that a mistyped
word never reads like an answer and never like a refusal either.
"""

from __future__ import annotations

from stillroom.screen import printable


class StillroomError(Exception):
    """Base of every error this package raises on purpose.

    What it says is one line without control characters, whatever text of a person, a path or a file is quoted in it.
    """

    def __init__(self, said: str = "") -> None:
        super().__init__(printable(said))


class BadInput(StillroomError, ValueError):
    """A question or a file that cannot be understood: no unit, no such jar, no number."""


class BadPackage(StillroomError):
    """The data themselves are damaged or missing: names file, line and column."""
