"""Heard: what a word of a question means: an id, several it leaves open, or why there is no answer for it."""

from __future__ import annotations

from typing import NamedTuple


class Heard(NamedTuple):
    """What was understood of a word for a jar, a canner, a pack or a form.

    Attributes
    ----------
    ids : tuple of str
        One id; several where the word leaves it open; none where it is untested or withheld.
    said : str
        The words as they were said, fit to be shown, where they are not our own word for it; else blank.
    untested : str
        One plain sentence that says why there is no answer, for a jar that no process here was tested in; else blank.
    withheld : str
        Id of the entry of withheld.csv that speaks of it; else blank.
    """

    ids: tuple[str, ...]
    said: str = ""
    untested: str = ""
    withheld: str = ""
