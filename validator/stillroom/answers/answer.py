"""Answers: what a question gets, and what a refusal points to. All frozen."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Literal, NamedTuple, cast

from stillroom.errors import StillroomError
from stillroom.screen import printable

STANDING = "always"
"""Id of the caution that every answer carries."""

Code = Literal[
    "unknown-food",
    "withheld",
    "no-process",
    "method-unsafe",
    "jar-not-tested",
    "pack-not-tested",
    "altitude-not-tested",
    "not-recommended",
    "canner-not-tested",
]
"""Codes of a refusal, as schema/answer.json lists them."""


def paged(page: str) -> str:
    """Name a printed page: ``page 4-9``; ``p. 31`` as it is printed; blank for ``web``, a source without pages."""
    return "" if page == "web" else page if ". " in page else f"page {page}"


class Citation(NamedTuple):
    """A publication with the printed page an entry stands on.

    Attributes
    ----------
    id : str
        As in shared/sources.csv.
    author, title, series, edition : str
        As the publication names itself; blank where it has none.
    page : str
        Like ``4-9``, or ``p. 31`` as printed; ``web``: the source has no pages.
    short : str
        Names the source inside a sentence; blank for the guide whose pages are cited bare.
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
        return ", ".join(part for part in (named, paged(self.page)) if part)

    @property
    def in_brackets(self) -> str:
        """Name it inside a sentence: ``page 4-9``, or the short name of its source before the page, if it has one."""
        return ", ".join(part for part in (self.short, paged(self.page)) if part)


class Stated(NamedTuple):
    """A condition or caution, with the printed page it stands on.

    Attributes
    ----------
    id : str
        What it is: the id of the statement or rule it stands on, or a word for a sentence that is made up of figures.
    text : str
        One or more whole sentences.
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
        where = ", ".join(part for part in (named, paged(self.page)) if part)
        return f"{self.text.removesuffix('.')} ({where})." if where else self.text


class HeadspaceFor(NamedTuple):
    """Headspace, for one variety where the publication tells them apart.

    Attributes
    ----------
    inches : float
        Between the food and the rim, inches.
    variety : str
        Blank: the food itself.
    page : str
        Printed page, of the source of the option or recipe.
    """

    inches: float
    variety: str
    page: str


class AcidFor(NamedTuple):
    """Acid without which a schedule does not hold.

    Attributes
    ----------
    acid : str
        What it is, like ``bottled lemon juice`` or ``vinegar (5%)``.
    quantity : float
        How much, in ``unit``.
    unit : str
        Like ``tablespoon`` or ``cup``.
    per : str
        What that much is for: ``jar``, ``recipe``, a measure like ``quart``, or a printed size of a batch.
    jar : str or None
        Jar the amount is printed for; differs from the jar asked for where none is printed for that one.
    use : str
        ``jar`` (into each jar), ``batch`` (into what is cooked) or ``soak`` (a bath before).
    note : str
        What the publication adds; blank where nothing.
    source : Citation
        Where the amount stands.
    page : str
        Its printed page.
    alternatives : tuple of AcidFor
        What may be taken in its place, as much as each says.
    """

    acid: str
    quantity: float
    unit: str
    per: str
    jar: str | None
    use: str
    note: str
    source: Citation
    page: str
    alternatives: tuple[AcidFor, ...] = ()


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
        Headspace with its page, one for each variety that is told apart.
    requires : tuple of Stated
        Acid and other conditions without which the schedule does not hold.
    source : Citation
        Where the process stands.
    page : str
        Printed page of the table.
    by_rule : Stated or None
        Set when a published rule applies the row to this jar.
    cautions : tuple of Stated
        What to mind, and the caution that every answer carries.
    not_recommended : tuple of int
        Times, minutes, that the table prints in this band with "not recommended" in place of a pressure: no answers.
    acid : tuple of AcidFor
        The acid of ``requires``, as data.
    vent : Stated or None
        How a pressure canner is vented before the time begins; None in boiling water and steam, and where the
        publication of the schedule is not the guide that says it.
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
    acid: tuple[AcidFor, ...] = ()
    vent: Stated | None = None


def minded(option: Option) -> tuple[Stated, ...]:
    """Cautions of an option but for the one that every answer carries."""
    return tuple(stated for stated in option.cautions if stated.id != STANDING)


class Understood(NamedTuple):
    """How a part of a question was understood, where it was not said in words of this package.

    Attributes
    ----------
    what : str
        ``food``, ``form``, ``pack``, ``jar``, ``canner`` or ``altitude``.
    said : str
        The words; blank where it was left out.
    means : str
        What they were taken for, in words.
    how : str
        ``words`` (said in other words), ``only`` (left out, and nothing else is tested) or ``kitchen`` (from the
        kitchen file named in ``said``).
    """

    what: str
    said: str
    means: str
    how: str

    def __str__(self) -> str:
        if self.how == "only":
            return f"{self.means[:1].upper()}{self.means[1:]}: the only {self.what} that is tested here."
        if self.how == "kitchen":
            return f"{self.means[:1].upper()}{self.means[1:]}: from your kitchen file {self.said}."
        return f'"{self.said}" is taken as {self.means}.'


class Answer(NamedTuple):
    """The tested schedule for one question. Prints itself as text, and shows itself as a table in a notebook.

    Attributes
    ----------
    food : str
        Food id.
    asked : str or None
        The name it was asked by, where that is neither the id nor the title.
    title : str
        Title of the food.
    form, pack : str or None
        None where the publication separates none.
    jar, canner : str
        Ids.
    altitude_ft : float
        Altitude asked for, feet.
    follows : Stated or None
        Set when the publication sends this food to the process of another.
    options : tuple of Option
        At least one.
    understood : tuple of Understood
        What was understood from other words, taken as the only one tested, or taken from the kitchen file.
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
    understood: tuple[Understood, ...] = ()

    def to_dict(self) -> dict[str, Any]:
        """Lay the answer out as plain values, in the shape of schema/answer.json."""
        return dict(written("document", self))

    def __str__(self) -> str:
        return str(written("text", self))

    def _repr_html_(self) -> str:
        return str(written("html", self))


class Process(NamedTuple):
    """A tested time and pressure.

    Attributes
    ----------
    minutes : int
        Process time, minutes.
    pressure_psi : int or None
        Psi above the air outside; None in boiling water.
    """

    minutes: int
    pressure_psi: int | None


class Tested(NamedTuple):
    """A tested combination near to what was asked. Not a substitute: it names what differs.

    Attributes
    ----------
    food : str
        Food id.
    form, pack : str or None
        None where the publication separates none.
    jar, canner : str
        Ids.
    altitude_from_ft, altitude_to_ft : int, int or None
        Published altitude band, feet; None: no upper limit is published.
    page : str
        Printed page of the table.
    differs : tuple of str
        What is not as asked, in words.
    processes : tuple of Process
        Its equal options at the altitude asked for; none where it is not tested there.
    source : str
        Id of the publication whose page it is.
    """

    food: str
    form: str | None
    pack: str | None
    jar: str
    canner: str
    altitude_from_ft: int
    altitude_to_ft: int | None
    page: str
    differs: tuple[str, ...]
    processes: tuple[Process, ...] = ()
    source: str = ""

    @property
    def minutes(self) -> int | None:
        """Time of the first process, minutes; None where it is not tested at the altitude asked for."""
        return self.processes[0].minutes if self.processes else None

    @property
    def pressure_psi(self) -> int | None:
        """Pressure of the first process, psi; None in boiling water, and where it is not tested at this altitude."""
        return self.processes[0].pressure_psi if self.processes else None


Near = Callable[[], tuple[Tested, ...]]
Told = Callable[[], "Stated | None"]


class NoTestedSchedule(StillroomError, LookupError):
    """Nobody has tested what was asked, or a publication says not to do it.

    Attributes
    ----------
    code : Code
        Why, in one word, like ``jar-not-tested``.
    reason : str
        One plain sentence.
    source : Citation or None
        Where a publication says so.
    tested : tuple of Tested
        The tested combinations of the same food nearest to what was asked, each naming what differs.
        None of them is a substitute.
    earlier : Stated or None
        Where a superseded leaflet gave a process, a sentence that says not to use it; None where none did.
    """

    def __init__(
        self,
        code: str,
        reason: str,
        source: Citation | None = None,
        tested: tuple[Tested, ...] | Near = (),
        earlier: Stated | Told | None = None,
    ) -> None:
        super().__init__(reason)
        self.code = cast(Code, code)
        self.reason = str(self.args[0])
        self.source = source
        self._tested = tested
        self._earlier = earlier

    @property
    def tested(self) -> tuple[Tested, ...]:
        """The tested combinations nearest to what was asked; ranked when they are first looked at."""
        if callable(self._tested):
            self._tested = self._tested()
        return self._tested

    @property
    def earlier(self) -> Stated | None:
        """What a superseded leaflet gave, as a sentence that says not to use it; read when it is first looked at."""
        if callable(self._earlier):
            self._earlier = self._earlier()
        return self._earlier

    def to_dict(self) -> dict[str, Any]:
        """Lay the refusal out as plain values, in the shape of schema/answer.json."""
        return dict(written("refusal", self))

    def __reduce__(self) -> tuple[Any, ...]:
        return (type(self), (self.code, self.reason, self.source, self.tested, self.earlier))


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

    def __str__(self) -> str:
        return printable(f"{self.reason} {'; '.join(self.suggestions)}") if self.suggestions else self.reason


class SayWhich(StillroomError, LookupError):
    """Something was left open: food, form, pack or canner. No refusal: each meaning has its answer here.

    Attributes
    ----------
    what : str
        What to say: ``food``, ``form``, ``pack``, ``canner`` or ``jar``.
    reason : str
        One plain sentence.
    answers : tuple of Answer
        One complete answer for each meaning that is tested.
    choices : tuple of str
        The meanings in words, whether they have an answer here or not.
    """

    def __init__(self, what: str, reason: str, answers: tuple[Answer, ...] = (), choices: tuple[str, ...] = ()) -> None:
        super().__init__(
            f"say which {what}: {reason}: {'; '.join(choices)}" if choices else f"say which {what}: {reason}"
        )
        self.what = what
        self.reason = printable(reason)
        self.answers = answers
        self.choices = choices

    def to_dict(self) -> dict[str, Any]:
        """Lay all answers out as plain values, in the shape of schema/answer.json."""
        return dict(written("say_which", self))

    def __reduce__(self) -> tuple[Any, ...]:
        return (type(self), (self.what, self.reason, self.answers, self.choices))


_WRITERS: dict[str, Callable[[Any], Any]] = {}


def written_by(**writers: Callable[[Any], Any]) -> None:
    """Name who writes results out as ``text``, ``html`` and documents; they stand above this floor and load late."""
    _WRITERS.update(writers)


def written(kind: str, result: object) -> Any:
    """Write a result out, by what :func:`written_by` named."""
    return _WRITERS[kind](result)
