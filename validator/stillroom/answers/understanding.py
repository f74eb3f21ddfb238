"""Understanding: what a question says, in ids: one where it is settled, several where it is left open."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

from stillroom.answers import altitude, wording
from stillroom.answers.answer import Understood
from stillroom.answers.words import PACKS
from stillroom.errors import BadInput

if TYPE_CHECKING:
    from stillroom.answers.names import Meaning
    from stillroom.answers.question import Question
    from stillroom.answers.shelf import Shelf
    from stillroom.answers.words import Heard


class Asked(NamedTuple):
    """What is asked, in ids.

    ``jars`` and ``canners``: one id, or several where the word leaves it open; no canner: it was left out.
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
        A word that cannot be read, or a jar or an altitude that is left out.
    NoTestedSchedule
        A practice in place of a canner, or a jar that nobody has tested.
    """
    canner = None if said.canner is None else _settled(shelf, meanings, "canner", shelf.words.canner(said.canner))
    if said.jar is None or said.altitude is None:
        raise _left_out(shelf, said, meanings)
    jar = _settled(shelf, meanings, "jar", shelf.words.jar(said.jar))
    pack = None if said.pack is None else shelf.words.pack(said.pack)
    form = None if said.form is None else _form(shelf, meanings, said.form)
    height = altitude.read(said.altitude)
    understood: tuple[Understood, ...] = ()
    if jar.said or height.said or (canner and canner.said) or (pack and pack.said) or (form and form.said):
        understood = tuple(_said_back(shelf, jar, canner, pack, form, height))
    return Asked(
        jar.ids,
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
    titles = {row.form: row.title for row in shelf.package.forms if row.food == meaning.food}
    raise BadInput(f'form "{titles[form]}" contradicts the name, which says {titles[meaning.form]}')


def _settled(shelf: Shelf, meanings: tuple[Meaning, ...], what: str, heard: Heard) -> Heard:
    """Refuse a word for something that nobody tested, or for a practice that is not recommended."""
    if heard.withheld:
        raise shelf.names.refused(heard.withheld, shelf.cite)
    if heard.untested:
        from stillroom.answers import refusal

        raise refusal.untested_word(shelf, meanings[0].food, heard)
    return heard


def _left_out(shelf: Shelf, said: Question, meanings: tuple[Meaning, ...]) -> BadInput:
    """Ask for the jar and the altitude, which no answer can do without."""
    food = shelf.foods[meanings[0].food]
    jars = sorted({at.jar for at in shelf.chart_of(food.id)}, key=lambda name: shelf.jars[name].volume_fl_oz)
    sizes = wording.listed([shelf.jars[name].title for name in jars])
    wants = [f"the jar ({sizes})"] if said.jar is None else []
    wants += ['the altitude (like "1650 ft" or "503 m")'] if said.altitude is None else []
    return BadInput(
        f"{food.title}: say {wording.listed(wants, 'and')}; stillroom table {food.id} shows every jar and altitude"
    )


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


def _said_back(
    shelf: Shelf, jar: Heard, canner: Heard | None, pack: Heard | None, form: Heard | None, height: altitude.Height
) -> Iterator[Understood]:
    titles = {row.form: row.title for row in shelf.package.forms}
    for what, heard, named in (
        ("form", form, titles),
        ("pack", pack, {name: f"{name} pack" for name in PACKS}),
        ("jar", jar, {name: row.title for name, row in shelf.jars.items()}),
        ("canner", canner, {name: row.title for name, row in shelf.canners.items()}),
    ):
        if heard is not None and heard.said:
            yield Understood(what, heard.said, wording.listed([named[name] for name in heard.ids]), "words")
    if height.said:
        means = wording.height(height.feet) if height.feet >= 0 else "below sea level, which counts as the lowest band"
        yield Understood("altitude", height.said, means, "words")
