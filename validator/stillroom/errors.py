"""Errors: what went wrong, in one plain line each.

Malformed, unknown, ambiguous and untested are different errors under one base, so that a mistyped
word never reads like an answer and never like a refusal either.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from stillroom.wording import printable

if TYPE_CHECKING:
    from stillroom.answer import Citation, Tested


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


class NoTestedSchedule(StillroomError, LookupError):
    """Nobody has tested what was asked, or a publication says not to do it.

    Attributes
    ----------
    code : str
        One of the refusal codes of the design, like ``jar-not-tested``.
    reason : str
        One plain sentence.
    source : Citation or None
        Where a publication says so.
    tested : tuple of Tested
        The tested combinations of the same food nearest to what was asked, each naming what differs.
        None of them is a substitute.
    """

    def __init__(
        self,
        code: str,
        reason: str,
        source: Citation | None = None,
        tested: tuple[Tested, ...] = (),
    ) -> None:
        super().__init__(reason)
        self.code = code
        self.reason = printable(reason)
        self.source = source
        self.tested = tested

    def __reduce__(self) -> tuple[Any, ...]:
        return (type(self), (self.code, self.reason, self.source, self.tested))


class UnknownFood(NoTestedSchedule):
    """No food, or more than one, goes by that name.

    Attributes
    ----------
    suggestions : tuple of str
        Names that come near, best first; never an answer by themselves.
    """

    def __init__(self, reason: str, suggestions: tuple[str, ...] = ()) -> None:
        super().__init__("unknown-food", reason)
        self.suggestions = suggestions

    def __reduce__(self) -> tuple[Any, ...]:
        return (type(self), (self.reason, self.suggestions))
