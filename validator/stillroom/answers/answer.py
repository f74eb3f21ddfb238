"""Answers: what a question gets, and what a refusal points to. All frozen."""

from __future__ import annotations

from typing import Any, NamedTuple

from stillroom.errors import StillroomError
from stillroom.screen import printable

STANDING = "always"
"""Id of the caution that every answer carries."""


class Citation(NamedTuple):
    """A publication with the printed page an entry stands on (``web``: the source has no pages).

    ``short`` names the source inside a sentence; blank for the guide whose pages are cited bare.
    """

    id: str
    author: str
    title: str
    series: str
    edition: str
    page: str
    short: str = ""

    def cite(self) -> str:
        """Write the citation out in one line, with its page where the source has pages."""
        named = ", ".join(part for part in (self.author, self.title, self.series, self.edition) if part)
        return named if self.page == "web" else f"{named}, page {self.page}"


class Stated(NamedTuple):
    """A condition or caution, with the printed page it stands on.

    Attributes
    ----------
    id : str
        What it is: the id of the statement or rule it stands on, or a word for a sentence that is made up of figures.
    text : str
    source : Citation or None
        Left out for a sentence of ours on the guide whose pages are cited bare, and where ``page`` is None.
    page : str or None
        None for the project's own caution and for a derived rule, whose text names its source.
    """

    id: str
    text: str
    source: Citation | None
    page: str | None

    @classmethod
    def worded(cls, name: str, text: str, cited: Citation) -> Stated:
        """Make a sentence of ours that stands on a cited page."""
        return cls(name, text, cited if cited.short else None, cited.page)

    def __str__(self) -> str:
        if self.page is None:
            return self.text
        named = self.source.short if self.source else ""
        paged = "" if self.page == "web" else f"page {self.page}"
        where = ", ".join(part for part in (named, paged) if part)
        return f"{self.text.removesuffix('.')} ({where})." if where else self.text


class HeadspaceFor(NamedTuple):
    """Headspace in inches, for one variety where the publication tells them apart."""

    inches: float
    variety: str
    page: str


class Option(NamedTuple):
    """One tested process. Where an answer has several, the publication counts them as equal.

    Attributes
    ----------
    minutes : int
        Process time, minutes.
    pressure_psi : int or None
        Canner pressure, psi above the air outside; None in boiling water.
    altitude_from_ft, altitude_to_ft : int, int or None
        Published altitude band, feet; None: no upper limit is published.
    headspace_in : float or None
        Headspace, inches; None where none is printed or where ``headspace`` tells varieties apart.
    headspace : tuple of HeadspaceFor
    requires : tuple of Stated
        Acid and other conditions without which the schedule does not hold.
    source : Citation
    page : str
        Printed page of the table.
    by_rule : Stated or None
        Set when a published rule applies the row to this jar.
    cautions : tuple of Stated
    not_recommended : tuple of int
        Times, minutes, that the table prints in this band with "not recommended" in place of a pressure: no answers.
    """

    minutes: int
    pressure_psi: int | None
    altitude_from_ft: int
    altitude_to_ft: int | None
    headspace_in: float | None
    headspace: tuple[HeadspaceFor, ...]
    requires: tuple[Stated, ...]
    source: Citation
    page: str
    by_rule: Stated | None
    cautions: tuple[Stated, ...]
    not_recommended: tuple[int, ...] = ()


def minded(option: Option) -> tuple[Stated, ...]:
    """Cautions of an option but for the one that every answer carries."""
    return tuple(stated for stated in option.cautions if stated.id != STANDING)


class Answer(NamedTuple):
    """The tested schedule for one question.

    Attributes
    ----------
    food : str
        Food id.
    asked : str or None
        The name it was asked by, where that is neither the id nor the title.
    title : str
    form, pack : str or None
    jar, canner : str
        Ids, as asked.
    altitude_ft : float
        Altitude asked for, feet.
    follows : Stated or None
        Set when the publication sends this food to the process of another.
    options : tuple of Option
        At least one.
    """

    food: str
    asked: str | None
    title: str
    form: str | None
    pack: str | None
    jar: str
    canner: str
    altitude_ft: float
    follows: Stated | None
    options: tuple[Option, ...]


class Tested(NamedTuple):
    """A tested combination near to what was asked. Not a substitute: it names what differs."""

    food: str
    form: str | None
    pack: str | None
    jar: str
    canner: str
    altitude_from_ft: int
    altitude_to_ft: int | None
    page: str
    differs: tuple[str, ...]


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
