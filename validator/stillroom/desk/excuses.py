"""Excuses: whether a source justifies that something is weaker or new.

A source excuses only what cites it, and only if it is new: one that stood there before has been read before. An erratum
excuses rows of the publication that it amends, and no others; a superseded
leaflet excuses nothing. A rule is not weakened by a source that forbids the same.
"""

from __future__ import annotations

from collections.abc import Iterator

from stillroom.answers import stems
from stillroom.desk.comparison import STATEMENTS, Change, small_table
from stillroom.desk.documents_compared import RECIPES
from stillroom.desk.strictness import SCHEDULE_FILES, WORDS, Row
from stillroom.desk.told import Told
from stillroom.package.tables import TABLES
from stillroom.package.versions import Version

SOURCES, FOODS = TABLES["sources"].file, TABLES["foods"].file
REPLACED = TABLES["superseded-sources"].file
CONDITIONS, WITHHELD = TABLES["conditions"].file, TABLES["withheld"].file
_PUBLICATION = ("author", "title", "series", "edition", "publisher")
_TELLING = 2
"""Words that an id of withheld.csv shares with that of a rule, for the two to be about the same."""


class Excuses:
    """The sources of two versions, and what each may excuse.

    Parameters
    ----------
    old, new : Version
        Both open.
    """

    def __init__(self, old: Version, new: Version) -> None:
        before, self._sources = ({row["id"]: row for row in small_table(version, SOURCES)} for version in (old, new))
        known = {_publication(row) for row in before.values()}
        replaced = {row["source"] for row in small_table(new, REPLACED)}
        self._fresh = frozenset(
            name
            for name, row in self._sources.items()
            if name not in before and _publication(row) not in known and name not in replaced
        )
        self._cited = _Cited(old)
        self._old, self._new = old, new

    def fresh(self, source: str) -> bool:
        """Whether a source is described, and is a publication that the old version did not have."""
        return source in self._fresh

    def amends(self, source: str) -> str:
        """Publication that a source amends; blank where it stands for itself."""
        return self._sources[source]["amends"] if source in self._sources else ""

    def justify(self, change: Change) -> bool:
        """Whether the source of a change has changed with it, and may excuse it."""
        if change.file == SOURCES:
            return True
        if change.file == STATEMENTS:
            return self._of_statement(change)
        if change.file in WORDS:
            return self._amended(self._refused_with(change))
        if change.new is None or change.file.startswith(RECIPES):
            # What is lost has no source any more, and a recipe has one for all its lines: an erratum amends them.
            return self._amended(change.old_source) or self.fresh(change.source)
        if not self.fresh(change.source) or self._forbids(change):
            return False
        known = self._cited.by(change.row, change.file) if change.old is None else {change.old_source}
        amended = self.amends(change.source)
        return not amended or not known or amended in known

    def complaint(self, change: Change) -> str:
        """Say what the source lacks."""
        if change.file == STATEMENTS:
            return "no new source stands behind it in conditions.csv, and no new erratum amends the one that does"
        if change.file in WORDS:
            if self._refused_with(change):
                return "no new erratum amends the source that it was refused with"
            return "a word is not turned: withdraw it in one release, and give it another meaning in a later one"
        if change.new is None or change.file.startswith(RECIPES):
            return "no new erratum amends its source"
        if change.source not in self._sources:
            return f'its source "{change.source[:40]}" is not in {SOURCES}'
        if change.source == change.old_source:
            return f"its source is still {change.source}"
        if not self.fresh(change.source):
            return f"{change.source} is no new source: it, or the same publication, stood there before"
        if self._forbids(change):
            return f"{change.source} is cited in withheld.csv as advising against it"
        return f"{change.source} amends {self.amends(change.source)}, which is not what the row stands on"

    def stand_behind(self, told: Told) -> bool:
        """Whether a new source stands behind answers that are made or weakened, or amends what refused a name."""
        amended = told.about == "names" and any(map(self._amended, told.sources))
        return amended or any(map(self.fresh, told.sources))

    def _amended(self, source: str) -> bool:
        return any(self.amends(other) == source for other in self._fresh if source)

    def _refused_with(self, change: Change) -> str:
        """Source of what a word was withheld as; blank for any other word."""
        withheld = (change.old or "") if change.column == "withheld" else change.row.get("withheld", "")
        return next((row["source"] for row in small_table(self._old, WITHHELD) if row["id"] == withheld), "")

    def _of_statement(self, change: Change) -> bool:
        rows = [row for row in small_table(self._new, CONDITIONS) if row["statement"] == change.row["id"]]
        cited = {row["source"] for row in rows}
        if cited and all(map(self.fresh, cited)):
            return True
        return any(self.amends(source) and (not cited or self.amends(source) in cited) for source in self._fresh)

    def _forbids(self, change: Change) -> bool:
        """Whether the source is cited for withholding the very thing that it is to excuse."""
        about = _words(change.name)
        entries = small_table(self._new, WITHHELD)
        return any(
            row["id"] == change.name or len(about & _words(row["id"])) >= _TELLING
            for row in entries
            if row["source"] == change.source
        )


def _words(name: str) -> frozenset[str]:
    return stems.bag(stems.plain(name))


def _publication(row: Row) -> tuple[str, ...]:
    """What tells publications apart: an erratum of one is another only by what it says of itself."""
    return tuple(" ".join(row[column].casefold().split()) for column in _PUBLICATION)


class _Cited:
    """Sources the old version cites for a food, a printed caption, or anything at all."""

    def __init__(self, old: Version) -> None:
        self._old = old
        self._foods: dict[str, set[str]] | None = None
        self._captions: dict[str, set[str]] = {}
        self._titles: dict[str, set[str]] = {}

    def by(self, row: Row, file: str) -> set[str]:
        """Sources that the old version already cites for what a new row is about."""
        foods = self._known()
        food = row["id"] if file == FOODS else row.get("food", "")
        if not food:
            return {source["id"] for source in small_table(self._old, SOURCES)}
        known = set(foods.get(food, ()))
        if file in SCHEDULE_FILES:
            known |= self._captions.get(_same(row["caption"]), set())
        if file == FOODS:
            known |= self._titles.get(_same(row["title"]), set())
        return known

    def _known(self) -> dict[str, set[str]]:
        if self._foods is None:
            self._foods = {}
            for row in small_table(self._old, FOODS):
                self._foods.setdefault(row["id"], set()).add(row["source"])
                self._titles.setdefault(_same(row["title"]), set()).add(row["source"])
            for row in self._schedules():
                self._foods.setdefault(row["food"], set()).add(row["source"])
                self._captions.setdefault(_same(row["caption"]), set()).add(row["source"])
        return self._foods

    def _schedules(self) -> Iterator[Row]:
        for file in sorted(SCHEDULE_FILES):
            yield from small_table(self._old, file)


def _same(text: str) -> str:
    return " ".join(text.casefold().split())
