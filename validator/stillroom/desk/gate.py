"""Gate: an edit that makes an answer or a schedule less safe needs another source and its line in CHANGELOG.md.

What it does: compares the package with an older version of it, first by what people are told: answers made, weakened,
taken away or strengthened, names that lead elsewhere; then cell by cell. What is made or weakened must stand on a
source that the older version did not have, and the top section of CHANGELOG.md must hold the very line that
``compare`` prints.

Why it matters: the checks hold a package against itself, and one who changes a table and both its readings together can
satisfy them. The gate holds it against what was reviewed before. One row of a rule may make hundreds of answers.

Example: ``minutes 25 -> 20`` for quarts of snap beans is rejected while the row still cites ``usda-2015``. It passes
when the row cites a newer publication, which sources.csv describes for the first time, and CHANGELOG.md holds
``snap-beans, raw, quart, dial, 0 to 2,000 ft: minutes 25 -> 20 (usda-2027, 4-9)`` and the line of the answers.

A name or a word that leads to weaker answers, or is no longer refused, is held to the same. New names, readings,
schemas and other tables that name no source need their line alone, and so does a new row that gives no food a schedule.
What is stronger, withdrawn or wording passes; only identical text is wording.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import NamedTuple

from stillroom.answers.answer_rows import ANSWERS, NAMES
from stillroom.desk import changelog, told, withdrawn
from stillroom.desk.comparison import Change, Comparison, compare_versions, grave, release
from stillroom.desk.excuses import Excuses
from stillroom.desk.told import Told
from stillroom.errors import BadPackage
from stillroom.findings.finding import Finding, shown
from stillroom.package.versions import Version, folder_version, open_version

NAME = "gate"
MOST_TOLD = 6
"""Most lines of changed answers and names that stand above the findings; compare prints all."""


class Verdict(NamedTuple):
    """What the gate finds, and in a few lines what the edit changes for people, whether that is justified or not."""

    findings: tuple[Finding, ...]
    announced: tuple[str, ...]


def findings(path: str, against: str) -> list[Finding]:
    """Hold the package in a folder against an older version; see :func:`verdict`."""
    return list(verdict(path, against).findings)


def verdict(path: str, against: str) -> Verdict:
    """Hold the package in a folder against an older version.

    Parameters
    ----------
    path : str
        Folder of the package.
    against : str
        A git ref of the repository that holds it (then the commit where this one parted from it), a folder, or a
        wheel or zip file.

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
            return Verdict((_unread(old, error),), ())
        with new:
            return judged(old, new)


def gate(old: Version, new: Version) -> Iterator[Finding]:
    """Yield a finding for each change that is not justified; see :func:`judged`."""
    yield from judged(old, new).findings


def judged(old: Version, new: Version) -> Verdict:
    """Judge the edit that leads from one version to another.

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
        return Verdict((_unread(old, error),), ())
    return weighed(comparison, old, new)


def weighed(comparison: Comparison, old: Version, new: Version) -> Verdict:
    """Weigh what has been compared already against the sources and CHANGELOG.md of both versions.

    Parameters
    ----------
    comparison : Comparison
    old, new : Version
        What was compared; both open.
    """
    log, excuses = _Log(old, new), Excuses(old, new)
    found = (
        *_of_people(comparison, log, excuses),
        *withdrawn.unannounced(old, new),
        *_of_cells(comparison, log, excuses),
        *log.faults(),
    )
    return Verdict(found, announced(comparison))


def announced(comparison: Comparison) -> tuple[str, ...]:
    """Say in a few lines what an edit changes for people, the gravest first; nothing where nothing changes.

    Parameters
    ----------
    comparison : Comparison
    """
    people = comparison.people
    if not people.told and not people.missing:
        return ()
    more = len(people.told) - MOST_TOLD
    return (
        *told.summary(people),
        *(shown(told.sentence(one), 300) for one in _first_of_each(people.told)),
        *((f"{more:,} more lines: stillroom compare",) if more > 0 else ()),
    )


def _first_of_each(lines: tuple[Told, ...]) -> list[Told]:
    """The first lines of every kind by turns, two at a time, in their order."""
    turn: Counter[str] = Counter()
    ranked = []
    for at, one in enumerate(lines):
        ranked.append((turn[one.kind] // 2, at, one))
        turn[one.kind] += 1
    chosen = sorted(ranked, key=lambda entry: entry[:2])[:MOST_TOLD]
    return [one for _, _, one in sorted(chosen, key=lambda entry: entry[1])]


def _unread(old: Version, error: BadPackage) -> Finding:
    return Finding(NAME, "datapackage.json", None, "", "", f"cannot be compared with {old.name}: {error}")


# answers and names


def _of_people(comparison: Comparison, log: _Log, excuses: Excuses) -> Iterator[Finding]:
    if comparison.people.missing:
        wrong = f"the answers cannot be compared: {comparison.people.missing}"
        yield Finding(NAME, ANSWERS, None, "", "", wrong, "", "mend what cannot be asked")
    for one in comparison.people.told:
        if one.kind not in told.GRAVE:
            continue
        wants = []
        if one.needs_source and not excuses.stand_behind(one):
            wants.append(_unsupported(one))
        if not log.holds(changelog.line_of(one)):
            wants.append(_NO_LINE)
        if wants:
            file = ANSWERS if one.about == "answers" else NAMES
            mend = f"{', and '.join(wants)}: take the edit back, or give what is missing"
            wrong = f"{shown(told.sentence(one), 500)}, against {comparison.old}"
            yield Finding(NAME, file, None, "", "", wrong, "", mend)


def _unsupported(one: Told) -> str:
    if one.about == "names":
        return "no new source stands behind what it leads to, and none amends what refused it"
    return f"they stand on {_listed(one)}, which is no new source"


def _listed(one: Told) -> str:
    return shown(" and ".join(sorted(one.sources)), 100)


# cells

_NO_LINE = "CHANGELOG.md does not hold its line in the top section"


def _of_cells(comparison: Comparison, log: _Log, excuses: Excuses) -> Iterator[Finding]:
    for change in grave(comparison.changes):
        wants = []
        if change.needs_source and not excuses.justify(change):
            wants.append(excuses.complaint(change))
        if not log.holds(changelog.sentence(change)):
            wants.append(_NO_LINE)
        if wants:
            yield _finding(change, comparison.old, ", and ".join(wants))


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
        self._section = changelog.top_section(after)
        known = changelog.all_entries(before)
        released_before = not before and bool(release(old)) and release(old) in self._section.title
        fresh = () if released_before else (entry for entry in self._section.entries if entry not in known)
        self._entries = frozenset(fresh)

    def holds(self, line: str) -> bool:
        """Whether the section holds this very line."""
        return changelog.plain(line) in self._entries

    def faults(self) -> Iterator[Finding]:
        """Yield a finding where the section cannot be read as people see it."""
        if self._section.has_html:
            wrong = "its top section holds HTML, which may hide text: none of its entries count"
            yield Finding(NAME, "CHANGELOG.md", None, "", "", wrong, "", "write plain lines")


def _text(version: Version) -> str:
    return (version.read("CHANGELOG.md") or b"").decode("utf-8", "replace")
