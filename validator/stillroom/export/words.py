"""Words: what the ids in ``requires`` and ``cautions`` of the table of answers say."""

from __future__ import annotations

from collections.abc import Callable

from stillroom.answers import conditions
from stillroom.answers.lookup import PRINTED_SO, printed_so
from stillroom.answers.shelf import Shelf
from stillroom.errors import BadPackage
from stillroom.export.typed import Typed


def said(shelf: Shelf, answers: Typed) -> list[tuple[str, str]]:
    """Give each set of ids in the table of answers with its sentences, in the order of the sets.

    Parameters
    ----------
    shelf : Shelf
    answers : Typed
        The table of answers.

    Returns
    -------
    list of tuple of str
        The ids as the table has them, and the sentences with a space between; the acid is not among them, since its
        words stand in the column ``acid`` of each row. Minutes of sterilizing jars are said for any altitude.

    Raises
    ------
    BadPackage
        No statement and no rule has such an id.
    """
    sets = {str(ids) for row in answers.cells(("requires", "cautions")) for ids in row if ids is not None}
    return [
        (ids, " ".join(_sentence(shelf, each) for each in ids.split() if each != conditions.ACID))
        for ids in sorted(sets)
    ]


def _sentence(shelf: Shelf, name: str) -> str:
    special: dict[str, Callable[[], str]] = {
        PRINTED_SO: lambda: printed_so(1, None),
        conditions.STERILIZE: lambda: conditions.sterilizing(shelf, None).text,
    }
    if name in special:
        return special[name]()
    if name in shelf.statements:
        return shelf.statements[name].text
    raise BadPackage(f"schedules/answers.csv: no statement has the id {name}: run stillroom check")
