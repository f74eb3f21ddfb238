"""Gate: an edit that makes a schedule less safe needs another source and an entry in CHANGELOG.md.

What it does: compares the package with an older version of it. Each cell that is weaker, and each row that is new, must
stand on a source that the old version did not have for it, and a new entry at the top of CHANGELOG.md must name it.

Why it matters: the checks hold a package against itself, and one who changes a table and both its readings together can
satisfy them. The gate holds it against what was reviewed before.

Example: ``minutes 25 -> 20`` for quarts of snap beans is rejected while the row still cites ``usda-2015``. It passes
when the row cites a newer publication, which sources.csv describes, and CHANGELOG.md says
``snap-beans, raw, quart, dial, 0 to 2,000 ft: minutes 25 -> 20``.

Tables that name no source (names, statements, altitude bands, readings, schemas) need the entry alone, and so does a
new row that gives no food a schedule. What is stronger, withdrawn or wording passes.
"""

from __future__ import annotations

from collections.abc import Iterator

from stillroom.desk import changelog, withdrawn
from stillroom.desk.comparison import Change, compare_versions, grave, release, small_table
from stillroom.desk.strictness import SCHEDULE_FILES, Row
from stillroom.errors import BadPackage
from stillroom.findings.finding import Finding, shown
from stillroom.package.versions import Version, folder_version, open_version

NAME = "gate"
_PUBLICATION = ("author", "title", "series", "edition", "publisher")


def findings(path: str, against: str) -> list[Finding]:
    """Hold the package in a folder against an older version.

    Parameters
    ----------
    path : str
        Folder of the package.
    against : str
        A git ref of the repository that holds it, a folder, or a wheel or zip file.

    Raises
    ------
    BadInput
        No such version.
    BadPackage
        The old version cannot be read. (That the new one cannot is a finding.)
    """
    with open_version(against, path, parted=True) as old:
        try:
            new = folder_version(path)
        except BadPackage as error:
            return [Finding(NAME, "datapackage.json", None, "", "", f"cannot be compared with {old.name}: {error}")]
        with new:
            return list(gate(old, new))


def gate(old: Version, new: Version) -> Iterator[Finding]:
    """Yield a finding for each change that is not justified.

    Parameters
    ----------
    old, new : Version
        The version that was reviewed, and the edited one; both open.

    Raises
    ------
    BadPackage
        The old version cannot be read. (That the new one cannot is a finding.)
    """
    try:
        comparison = compare_versions(old, new)
    except BadPackage as error:
        if str(error).startswith(f"{old.name}: "):
            raise
        yield Finding(NAME, "datapackage.json", None, "", "", f"cannot be compared with {old.name}: {error}")
        return
    yield from withdrawn.unannounced(old, new)
    log = _Log(old, new)
    fresh = _Sources(old, new)
    for change in grave(comparison.changes):
        wants = []
        if change.needs_source and not fresh.justify(change, log):
            wants.append(fresh.complaint(change))
        if not log.names(change):
            wants.append("CHANGELOG.md does not name it at its top")
        if wants:
            yield _finding(change, comparison.old, " and ".join(wants))


def _finding(change: Change, old: str, wants: str) -> Finding:
    if change.column:
        wrong = f"of {change.what} was {shown(changelog.one_line(change.old))} in {old}: {change.why}"
    else:
        wrong = f"{change.what}: {changelog.said(change)}, against {old}: {change.why}"
    line = None if change.new is None else change.line
    mend = f"{wants}: take the edit back, or give what is missing"
    return Finding(NAME, change.file, line, change.column, change.new or "", wrong, "", mend)


class _Log:
    """New entries at the top of CHANGELOG.md."""

    def __init__(self, old: Version, new: Version) -> None:
        before, after = _text(old), _text(new)
        section = changelog.top_section(after)
        known = changelog.all_entries(before)
        released_before = not before and bool(release(old)) and release(old) in section.title
        self.entries = () if released_before else tuple(entry for entry in section.entries if entry not in known)
        self._names = changelog.Names([*small_table(old, _FOODS), *small_table(new, _FOODS)])

    def names(self, change: Change) -> bool:
        """Whether an entry names the change."""
        return any(changelog.names_change(entry, change, self._names) for entry in self.entries)

    def entries_for(self, change: Change) -> tuple[changelog.Entry, ...]:
        """Entries that name the change."""
        return tuple(entry for entry in self.entries if changelog.names_change(entry, change, self._names))


_FOODS = "schedules/foods.csv"
_SOURCES = "shared/sources.csv"


def _text(version: Version) -> str:
    return (version.read("CHANGELOG.md") or b"").decode("utf-8", "replace")


class _Sources:
    """Whether a row stands on a publication that it did not stand on before."""

    def __init__(self, old: Version, new: Version) -> None:
        publications = {row["id"]: _publication(row) for row in small_table(old, _SOURCES)}
        self._publications = publications
        self._described = {row["id"]: _publication(row) for row in small_table(new, _SOURCES)}
        self._cited = _Cited(old)

    def justify(self, change: Change, log: _Log) -> bool:
        """Whether the source of a change has changed with it."""
        if change.file == _SOURCES:
            return True
        if change.new is None:  # a lost row has no source of its own any more: its entry must name another
            return any(self._another(source, change.old_source) for source in self._named(change, log))
        if change.old is not None:
            return self._another(change.source, change.old_source)
        known = self._cited.by(change.row, change.file)
        return change.source in self._described and all(self._another(change.source, old) for old in known)

    def complaint(self, change: Change) -> str:
        """Say what the source lacks."""
        if change.new is None:
            return "no other publication is named for it"
        if change.source not in self._described:
            return f'its source "{shown(change.source)}" is not in {_SOURCES}'
        if change.old is None:
            return f"{change.source} is no new source for it"
        if change.source == change.old_source:
            return f"its source is still {change.source}"
        return f"{change.source} is the same publication as {change.old_source}"

    def _another(self, source: str, before: str) -> bool:
        if source == before or source not in self._described:
            return False
        return self._described[source] != self._publications.get(before)

    def _named(self, change: Change, log: _Log) -> Iterator[str]:
        for entry in log.entries_for(change):
            yield from (source for source in self._described if source in entry.text)


def _publication(row: Row) -> tuple[str, ...]:
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
        food = row["id"] if file == _FOODS else row.get("food", "")
        if not food:
            return {source["id"] for source in small_table(self._old, _SOURCES)}
        known = set(foods.get(food, ()))
        if file in SCHEDULE_FILES:
            known |= self._captions.get(_same(row["caption"]), set())
        if file == _FOODS:
            known |= self._titles.get(_same(row["title"]), set())
        return known

    def _known(self) -> dict[str, set[str]]:
        if self._foods is None:
            self._foods = {}
            for row in small_table(self._old, _FOODS):
                self._foods.setdefault(row["id"], set()).add(row["source"])
                self._titles.setdefault(_same(row["title"]), set()).add(row["source"])
            for file in sorted(SCHEDULE_FILES):
                for row in small_table(self._old, file):
                    self._foods.setdefault(row["food"], set()).add(row["source"])
                    self._captions.setdefault(_same(row["caption"]), set()).add(row["source"])
        return self._foods


def _same(text: str) -> str:
    return " ".join(text.casefold().split())
