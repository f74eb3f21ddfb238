"""Withdrawn: a food that leaves the package stays a name that is answered, with the reason why it is gone.

What it does: finds foods of the older version that the newer one knows neither by their id nor by their title, as a
food or as something withheld.

Why it matters: who asks for a food that has no name any more gets suggestions of something else, and is not told that
a publication took its schedule back.

Example: ``apple-butter`` taken out of foods.csv, without an entry in withheld.csv, is a finding of the gate; a food
that is only called otherwise is none while its old name is an alias.
"""

from __future__ import annotations

from collections.abc import Iterator

from stillroom.answers.stems import plain
from stillroom.desk.comparison import small_table
from stillroom.findings.finding import Finding, shown
from stillroom.package.versions import Version

NAME = "gate"
_FOODS = "schedules/foods.csv"
_NAMES = (
    (_FOODS, ("id", "title")),
    ("schedules/aliases.csv", ("alias",)),
    ("schedules/withheld.csv", ("id", "title")),
    ("schedules/withheld-names.csv", ("alias",)),
)
"""Tables of names that are answered or refused, and the columns that hold them."""


def unannounced(old: Version, new: Version) -> Iterator[Finding]:
    """Yield a finding for each food that is gone without a withheld entry.

    Parameters
    ----------
    old, new : Version
        Both open.

    Raises
    ------
    BadPackage
        A table of names cannot be read.
    """
    if old.read(_FOODS) == new.read(_FOODS):
        return
    left = {row["id"] for row in small_table(new, _FOODS)}
    gone = [row for row in small_table(old, _FOODS) if row["id"] not in left]
    known = _known(new) if gone else frozenset()
    for row in gone:
        if plain(row["id"]) not in known and plain(row["title"]) not in known:
            wrong = f"{shown(row['id'])} was in {old.name} and is withdrawn without a withheld entry"
            why = "people who ask for it get suggestions of something else"
            mend = "give it an entry in withheld.csv and its names to withheld-names.csv, as stillroom withdraw does"
            yield Finding(NAME, _FOODS, None, "", "", f"{wrong}: {why}", "", mend)


def _known(version: Version) -> frozenset[str]:
    return frozenset(
        plain(row[column]) for path, columns in _NAMES for row in small_table(version, path) for column in columns
    )
