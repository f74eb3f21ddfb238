"""Kitchen: what a person owns and where they stand, said once, and what of it a question is filled with.

What a question says wins, key by key. Nothing of a kitchen is passed over: a key that is unknown, an altitude without
its unit, or a gauge error where there is no dial is bad input with the name of the file, for else the answer would be
one for another kitchen.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Any, NamedTuple

from stillroom.answers import dates, question, wording
from stillroom.answers.altitude import in_feet
from stillroom.answers.answer import Answer, NoTestedSchedule, SayWhich, Understood
from stillroom.answers.pressure import in_psi
from stillroom.answers.which import SETTLED_FIRST
from stillroom.errors import BadInput, StillroomError
from stillroom.package import kitchen_file, schemas

if TYPE_CHECKING:
    from stillroom.answers.shelf import Shelf

MOST_JARS = 100
"""More jars than any home canner holds: a slip of the pen (only guards against slips)."""
MOST_PSI = 30
"""More than any weight of a home canner stands for: a slip of the pen (only guards against slips)."""
_OF_THE_CANNER = ("method-unsafe", "canner-not-tested")
"""Refusals that speak of the canner alone; where another canner is at hand, its own refusal says more."""


class Held(NamedTuple):
    """Jars of one size that a canner holds.

    Attributes
    ----------
    canner : str or None
        Id; None where the kitchen names no canner.
    jar : str
        Id.
    jars : int
        How many, in one load.
    """

    canner: str | None
    jar: str
    jars: int


class Taken(NamedTuple):
    """One thing that came from a kitchen file.

    Attributes
    ----------
    file : str
        The file, as shown to people.
    key : str
        Key of schema/kitchen.json, like ``altitude``.
    text : str
        What it says, in words.
    """

    file: str
    key: str
    text: str


@dataclass(frozen=True)
class Kitchen:
    """What a kitchen file says. What it leaves out is None or empty.

    Attributes
    ----------
    file : str
        The file, as shown to people; blank for a kitchen that is in no file yet.
    altitude : str or None
        As written, with its unit.
    canners : tuple of str
        Ids, in the order of the file.
    reads_high_by : str or None
        Error of the dial gauge, as written, with its unit; negative where it reads low.
    tested : date or None
        Day the dial gauge was last tested.
    holds : tuple of Held
        Jars the canner holds, by canner and jar.
    weights : tuple of str
        Weights owned for a weighted gauge, as written, with their units.
    """

    file: str = ""
    altitude: str | None = None
    canners: tuple[str, ...] = ()
    reads_high_by: str | None = None
    tested: datetime.date | None = None
    holds: tuple[Held, ...] = ()
    weights: tuple[str, ...] = ()

    @property
    def altitude_ft(self) -> float | None:
        """Feet above sea level."""
        return None if self.altitude is None else in_feet(self.altitude)

    @property
    def weights_psi(self) -> tuple[Fraction, ...]:
        """Weights owned, psi."""
        return tuple(in_psi(weight) for weight in self.weights)

    def capacity(self, canner: str, jar: str) -> int | None:
        """Jars of one size that a canner holds; None where nothing is said."""
        return next((held.jars for held in self.holds if held.canner in (None, canner) and held.jar == jar), None)


# reading


def read(path: str, shelf: Shelf) -> Kitchen:
    """Read a kitchen file.

    Parameters
    ----------
    path : str
    shelf : Shelf
        Whose words for canners and jars are understood.

    Raises
    ------
    BadInput
        No such file, not TOML, or a key or value that does not fit; names file and key, and says what to write.
    """
    return understood(kitchen_file.read(path), shelf, kitchen_file.shown(path))


def given(kitchen: object, shelf: Shelf) -> Kitchen | None:
    """Read what was given for a kitchen: one that was read, the path of a file, or None. Errors as :func:`read`."""
    if kitchen is None or isinstance(kitchen, Kitchen):
        return kitchen
    return read(question.path("kitchen file", kitchen), shelf)


def understood(said: Mapping[str, Any], shelf: Shelf, file: str = "") -> Kitchen:
    """Understand the values of a kitchen file (schema/kitchen.json).

    Parameters
    ----------
    said : mapping
        Values by key.
    shelf : Shelf
    file : str
        The file, as shown to people.

    Raises
    ------
    BadInput
        A key or value that does not fit; names file and key, and says what to write.
    """
    try:
        return _understood(said, shelf, file)
    except BadInput as error:
        raise BadInput(f"{file}: {error}" if file else str(error)) from None


def _understood(said: Mapping[str, Any], shelf: Shelf, file: str) -> Kitchen:
    keys = schemas.schema("kitchen")["properties"]
    _only(said, keys, "")
    if not said:
        raise BadInput(f"says nothing: write at least the {keys['altitude']['description']}")
    for key, types in _TYPES.items():
        if key in said and (not isinstance(said[key], types) or not said[key]):
            raise BadInput(f"{key} {question.shown(said[key])} does not fit: write the {keys[key]['description']}")
    gauge = said.get("gauge", {})
    _only(gauge, keys["gauge"]["properties"], "gauge.")
    canners = _canners(said.get("canner", ()), shelf)
    kitchen = Kitchen(
        file=file,
        altitude=_altitude(said.get("altitude")),
        canners=canners,
        reads_high_by=_reads_high_by(gauge.get("reads_high_by")),
        tested=_tested(gauge.get("tested")),
        holds=_holds(said.get("holds", {}), canners, shelf),
        weights=_weights(said.get("weights", ())),
    )
    for key, needed in (("gauge", "dial"), ("weights", "weighted")):
        if key in said and canners and needed not in canners:
            owned = wording.listed(canners, "and")
            raise BadInput(f'{key} is for a {needed} gauge, and canner is {owned}: leave {key} out, or add "{needed}"')
    return kitchen


_TYPES: dict[str, tuple[type, ...]] = {"canner": (str, list), "gauge": (dict,), "holds": (dict,), "weights": (list,)}
"""Types of the values that hold others; single ones are read by the readers of their kind."""


def _only(said: Mapping[str, Any], keys: Iterable[str], at: str) -> None:
    for key in said:
        if key not in keys:
            raise BadInput(f"key {question.shown(f'{at}{key}')} is unknown: keys are {', '.join(keys)}")


def _altitude(said: object) -> str | None:
    if said is not None:
        in_feet(said)
    return None if said is None else str(said).strip()


def _canners(said: Any, shelf: Shelf) -> tuple[str, ...]:
    words = [said] if isinstance(said, str) else said
    canners = tuple(_canner(word, shelf) for word in words)
    for number, canner in enumerate(canners):
        if canner in canners[:number]:
            raise BadInput(f'canner "{canner}" stands twice: write it once')
    return canners


def _canner(said: object, shelf: Shelf) -> str:
    try:
        return shelf.words.one("canner", said, shelf.cite)
    except NoTestedSchedule as error:
        raise BadInput(f"canner {question.shown(said)} is not for a kitchen: {error}") from None


def _reads_high_by(said: object) -> str | None:
    if said is not None:
        in_psi(said, "gauge.reads_high_by")
    return None if said is None else str(said).strip()


def _tested(said: object) -> datetime.date | None:
    if said is None:
        return None
    day, today = dates.day("gauge.tested", said), datetime.date.today()
    if day > today:
        raise BadInput(f'gauge.tested "{day}" is yet to come: write the day of the last test')
    return day


def _holds(said: Mapping[str, Any], canners: tuple[str, ...], shelf: Shelf) -> tuple[Held, ...]:
    by_canner = [key for key, value in said.items() if isinstance(value, dict)]
    if by_canner and len(by_canner) < len(said):
        raise BadInput("holds names jars beside canners: write the jars of each canner in a table of its own")
    if not by_canner:
        if said and len(canners) > 1:
            of = ", ".join(f"{canner} = {{quart = 7}}" for canner in canners)
            raise BadInput(f"holds does not say of which canner: write it like holds = {{{of}}}")
        return _held(said, canners[0] if canners else None, "holds", shelf)
    found: list[Held] = []
    for key, value in said.items():
        canner = _canner(key, shelf)
        if canners and canner not in canners:
            raise BadInput(f'holds.{canner} is of no canner here: add "{canner}" to canner, or leave it out')
        if not value or any(held.canner == canner for held in found):
            raise BadInput(f"holds.{canner} is empty or stands twice: write it once, like {{quart = 7}}")
        found += _held(value, canner, f"holds.{canner}", shelf)
    return tuple(found)


def _held(said: Mapping[str, Any], canner: str | None, at: str, shelf: Shelf) -> tuple[Held, ...]:
    found: list[Held] = []
    for key, value in said.items():
        try:
            jar = shelf.words.one("jar", key, shelf.cite)
        except StillroomError as error:
            raise BadInput(f"{at}: {error}") from None
        if any(held.jar == jar for held in found):
            raise BadInput(f"{at}.{jar} stands twice: write it once")
        if not isinstance(value, int) or isinstance(value, bool):
            raise BadInput(f"{at}.{jar} {question.shown(value)} is not a whole number: write it like {jar} = 7")
        found.append(Held(canner, jar, question.count(f"{at}.{jar}", value, MOST_JARS)))
    return tuple(found)


def _weights(said: Iterable[Any]) -> tuple[str, ...]:
    for weight in said:
        if not 0 < in_psi(weight, "weights") <= MOST_PSI:
            raise BadInput(f'weights "{weight}" is no weight of a canner: write it like "5 psi"')
    return tuple(str(weight).strip() for weight in said)


# filling


def filled(said: Mapping[str, Any], kitchen: Kitchen | None, shelf: Shelf) -> tuple[dict[str, Any], tuple[Taken, ...]]:
    """Fill the altitude and the canner of a question that leaves them out.

    Parameters
    ----------
    said : mapping
        The arguments of :func:`stillroom.find`; what is None or missing counts as left out.
    kitchen : Kitchen or None
    shelf : Shelf

    Returns
    -------
    dict, tuple of Taken
        The question; its canner is a tuple of ids where the kitchen has several. And what came from the kitchen.
    """
    asked: dict[str, Any] = dict(said)
    taken: list[Taken] = []
    if kitchen is not None and asked.get("altitude") is None and kitchen.altitude_ft is not None:
        asked["altitude"] = kitchen.altitude
        taken.append(Taken(kitchen.file, "altitude", f"altitude {wording.height(kitchen.altitude_ft)}"))
    if kitchen is not None and asked.get("canner") is None and kitchen.canners:
        asked["canner"] = kitchen.canners if len(kitchen.canners) > 1 else kitchen.canners[0]
        taken.append(_taken_canners(kitchen.file, kitchen.canners, shelf))
    return asked, tuple(taken)


def _taken_canners(file: str, canners: Iterable[str], shelf: Shelf) -> Taken:
    return Taken(file, "canner", wording.listed([shelf.canners[canner].title for canner in canners], "and"))


def answered(
    said: Mapping[str, Any], kitchen: Kitchen | None, shelf: Shelf, ask: Callable[..., Answer]
) -> tuple[Answer, tuple[Taken, ...]]:
    """Fill a question and ask it, in each canner of the kitchen where it names none.

    A low-acid food is answered for the pressure canner alone, since boiling water is refused; a food that may be canned
    in both has an answer for each.

    Parameters
    ----------
    said, kitchen, shelf
        As for :func:`filled`.
    ask : callable
        Asks one whole question, like :func:`stillroom.find`.

    Returns
    -------
    Answer, tuple of Taken
        The answer, which says what came from the kitchen; and the same apart.

    Raises
    ------
    SayWhich
        Something is left open; the canner, where the food is tested in several of the kitchen.
    NoTestedSchedule
        No canner has a tested schedule. What came from the kitchen is a note of the exception.
    """
    asked, taken = filled(said, kitchen, shelf)
    of_kitchen = isinstance(asked.get("canner"), tuple)
    answers: list[Answer] = []
    opened: list[SayWhich] = []
    refusals: list[NoTestedSchedule] = []
    for canner in asked["canner"] if of_kitchen else (asked.get("canner"),):
        try:
            answers.append(ask(**{**asked, "canner": canner}))
        except SayWhich as error:
            opened.append(error)
            answers += error.answers
        except NoTestedSchedule as error:
            refusals.append(error)
    if not answers and not opened:
        refusal = next((error for error in refusals if error.code not in _OF_THE_CANNER), refusals[0])
        _noted(refusal, taken)
        raise refusal
    if of_kitchen and kitchen is not None and answers:
        met = dict.fromkeys(answer.canner for answer in answers)
        taken = (*taken[:-1], _taken_canners(kitchen.file, met, shelf))
    answers = [answer._replace(understood=(*answer.understood, *_understood_of(taken))) for answer in answers]
    if opened or len(answers) > 1:
        raise _which(answers, opened, shelf)
    return answers[0], taken


def _which(answers: list[Answer], opened: list[SayWhich], shelf: Shelf) -> SayWhich:
    """Ask back for what is open in any canner of the kitchen, else for the canner."""
    if opened:
        first = min(opened, key=lambda error: SETTLED_FIRST.index(error.what))
        choices = dict.fromkeys(choice for error in opened if error.what == first.what for choice in error.choices)
        return SayWhich(first.what, first.reason, tuple(answers), tuple(choices))
    titles = tuple(dict.fromkeys(shelf.canners[answer.canner].title for answer in answers))
    return SayWhich("canner", f"{answers[0].title} may be canned in each of your kitchen", tuple(answers), titles)


def _understood_of(taken: Iterable[Taken]) -> Iterator[Understood]:
    for one in taken:
        yield Understood(one.key, one.file or "(in memory)", one.text, "kitchen")


def _noted(error: NoTestedSchedule, taken: tuple[Taken, ...]) -> None:
    if taken:
        error.add_note(sentence(taken))


def sentence(taken: Sequence[Taken]) -> str:
    """Say what came from the kitchen, in one sentence; blank where nothing did."""
    files = list(dict.fromkeys(one.file for one in taken))
    if not files:
        return ""
    named = f" file {files[0]}" if files[0] else ""
    return f"From your kitchen{named}: {', '.join(one.text for one in taken)}."


def none_found() -> str:
    """Say that there is no kitchen file, where it was looked for, and how to make one."""
    places = wording.listed([kitchen_file.shown(path) for path in kitchen_file.places()])
    return f"there is no {places}: write one with stillroom kitchen"
