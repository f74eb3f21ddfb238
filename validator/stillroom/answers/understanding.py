"""Understanding: what a question says, in ids: one where it is settled, several where it is left open."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, NamedTuple

from stillroom import screen
from stillroom.answers import altitude, wording
from stillroom.answers.answer import Understood
from stillroom.answers.words import LONGEST
from stillroom.errors import BadInput

if TYPE_CHECKING:
    from stillroom.answers.heard import Heard
    from stillroom.answers.names import Meaning
    from stillroom.answers.question import Question
    from stillroom.answers.shelf import Shelf


class Asked(NamedTuple):
    """What is asked, in ids.

    ``jars`` and ``canners``: one id, or several where the word leaves it open; none where it was left out.
    ``pack``, ``form``: None where left out. ``altitude_ft``: feet. ``understood``: what was said in other words.
    """

    jars: tuple[str, ...]
    canners: tuple[str, ...]
    pack: str | None
    form: str | None
    altitude_ft: float
    understood: tuple[Understood, ...]


def read(shelf: Shelf, said: Question, meanings: tuple[Meaning, ...]) -> Asked:
    """Read all of a question but its food.

    Parameters
    ----------
    shelf : Shelf
    said : Question
    meanings : tuple of Meaning
        What the food may be.

    Raises
    ------
    BadInput
        A word that cannot be read, or no altitude.
    NoTestedSchedule
        A practice in place of a canner, or a jar that nobody has tested.
    """
    canner = None if said.canner is None else _canner(shelf, said.canner)
    jar = None if said.jar is None else shelf.words.jar(said.jar)
    if jar is not None and jar.withheld:
        raise shelf.names.refused(jar.withheld, shelf.cite)
    if said.altitude is None:
        raise _no_altitude(shelf, meanings, said.food)
    pack = None if said.pack is None else shelf.words.pack(said.pack)
    form = None if said.form is None else _form(shelf, meanings, said.form)
    height = altitude.read(said.altitude)
    if jar is not None and jar.untested:
        from stillroom.answers import refusal

        about = {"form": _first(form), "pack": _first(pack), "jar": None, "canner": _first(canner)}
        raise refusal.untested_word(shelf, meanings[0].food, jar, about, height.feet)
    understood: tuple[Understood, ...] = ()
    heard = {"form": form, "pack": pack, "jar": jar, "canner": canner}
    if height.said or any(one is not None and one.said for one in heard.values()):
        understood = tuple(_said_back(shelf, heard, height))
    return Asked(
        () if jar is None else jar.ids,
        () if canner is None else canner.ids,
        None if pack is None else pack.ids[0],
        None if form is None else form.ids[0],
        height.feet,
        understood,
    )


def form_of(shelf: Shelf, meaning: Meaning, form: str | None) -> str:
    """Form of one food that a question settles: said, or implied by the name; blank where neither.

    Raises
    ------
    BadInput
        The name says another form than the one that was said.
    """
    if form is None or not meaning.form or form == meaning.form:
        return form or meaning.form
    said, named = (shelf.in_words("form", name) for name in (form, meaning.form))
    raise BadInput(f'form "{said}" contradicts the name, which says {named}')


def _canner(shelf: Shelf, said: object) -> Heard:
    """Read a canner; refuse what people use in place of one."""
    try:
        heard = shelf.words.canner(said)
    except BadInput:
        entry = shelf.names.withheld(said[:LONGEST]) if isinstance(said, str) else None
        if entry is None or entry.kind != "practice":
            raise
        raise shelf.names.refused(entry.id, shelf.cite) from None
    if heard.withheld:
        raise shelf.names.refused(heard.withheld, shelf.cite)
    return heard


def _first(heard: Heard | None) -> str | None:
    return heard.ids[0] if heard is not None and len(heard.ids) == 1 else None


def _no_altitude(shelf: Shelf, meanings: tuple[Meaning, ...], said: str) -> BadInput:
    """Ask for the altitude, which no answer can do without."""
    foods = list(dict.fromkeys(meaning.food for meaning in meanings))
    named = shelf.foods[foods[0]].title if len(foods) == 1 else f'"{screen.shown(said)}" stands for {len(foods)} foods'
    shows = f'"stillroom table {foods[0]}" shows every altitude' if len(foods) == 1 else "then each is answered"
    return BadInput(f'{named}: say the altitude, like "1650 ft" or "503 m"; {shows}')


def _form(shelf: Shelf, meanings: tuple[Meaning, ...], said: object) -> Heard:
    having = {row.food for row in shelf.package.forms}
    food = next((meaning.food for meaning in meanings if meaning.food in having), None)
    if not isinstance(said, str):
        raise BadInput(f"form {said!r} is not text")
    if food is None:
        raise BadInput(
            f'form "{said[:40]}": the publication separates no forms of {meanings[0].food}; leave the form out'
        )
    return shelf.words.form(food, said)


def _said_back(shelf: Shelf, heard: Mapping[str, Heard | None], height: altitude.Height) -> Iterator[Understood]:
    for what, one in heard.items():
        if one is not None and one.said:
            yield Understood(what, one.said, wording.listed([shelf.in_words(what, name) for name in one.ids]), "words")
    if height.said:
        means = wording.height(height.feet) if height.feet >= 0 else "below sea level, which counts as the lowest band"
        yield Understood("altitude", height.said, means, "words")
