"""Comparison: what changed between two versions of the package, cell by cell, and whether it is the safer side.

Rows that are the same in both versions are set aside first, so that the work grows with the change and not with the
package. Schedule rows are compared over all schedule tables together: a row that moves to another table stays itself.
"""

from __future__ import annotations

import csv
import io
from collections import Counter, defaultdict, deque
from collections.abc import Iterable, Iterator
from typing import Any, NamedTuple, cast

from stillroom.answers import wording
from stillroom.desk.answers_compared import answers_compared
from stillroom.desk.documents_compared import Part, document_changes
from stillroom.desk.strictness import (
    ADDED,
    KINDS,
    SCHEDULE_FILES,
    WEAKER,
    WORDS,
    Cell,
    ChangeKind,
    Judged,
    Row,
    Rules,
    Sides,
    needs_source,
    number,
    rules_of,
)
from stillroom.desk.told import AnswersCompared
from stillroom.errors import BadPackage
from stillroom.package.documents import read_json
from stillroom.package.lines import bounded
from stillroom.package.tables import DERIVED, TABLES
from stillroom.package.versions import Version

DERIVED_FILES = frozenset(TABLES[name].file for name in DERIVED)
"""Made from the others: what changes in them is compared as answers and names."""
_ELSEWHERE = frozenset(("CHANGELOG.md", *DERIVED_FILES, *SCHEDULE_FILES))
_NAMES = frozenset(f"schedules/{name}.csv" for name in ("aliases", "open-names", "withheld-names"))
"""Tables of nothing but names, which are compared by what they lead to."""
STATEMENTS = TABLES["cautions"].file
"""Sentences without a source of their own: that of the conditions which cite them stands behind them."""
LONGEST_LINE = 100_000
"""Characters; the longest line of the package has a few hundred."""
MOST_ROWS = 2_000_000
"""Rows of one table, or of all schedule tables together; more are refused unread. A row takes half a kilobyte."""
MOST_CELLS = 32_000_000
"""Cells of the same, by their commas."""
MOST_DIFFERING = 500_000
"""Rows of the same that the other version has not; each takes two kilobytes until it is told."""
MOST_TEXTS = 1_000_000
"""Different cells of one table."""


class Change(NamedTuple):
    """One changed cell, or one whole row that comes or goes.

    Attributes
    ----------
    kind : ChangeKind
        weaker, added, withdrawn, stronger or wording.
    file : str
        Path from the top of the package.
    line : int or None
        Line in the new version; in the old one where the row is gone.
    name : str
        Food id, or the id of whatever else the row is about.
    what : str
        The row in words.
    column : str
        Column that changed; blank for a whole row.
    old, new : str or None
        The cell, or the row's values in words; None where the version has none.
    why : str
        Why it is of that kind.
    old_source, source, page : str
        Where the row comes from, before and now; blank where the table names no source.
    row : Row
        Row of the new version; of the old one where the row is gone.
    needs_source : bool
        Whether it is justified only by another source.
    """

    kind: ChangeKind
    file: str
    line: int | None
    name: str
    what: str
    column: str
    old: str | None
    new: str | None
    why: str
    old_source: str
    source: str
    page: str
    row: Row
    needs_source: bool


class Comparison(NamedTuple):
    """All changes from one version to another, the gravest first.

    Attributes
    ----------
    old, new : str
        What the versions were called.
    old_release, new_release : str
        Version numbers in their datapackage.json.
    changes : tuple of Change
        The gravest first.
    people : AnswersCompared
        What changed of the answers and the names.
    """

    old: str
    new: str
    old_release: str
    new_release: str
    changes: tuple[Change, ...]
    people: AnswersCompared

    def count(self, kind: str) -> int:
        """Count the changes of one kind."""
        return sum(change.kind == kind for change in self.changes)


class Line(NamedTuple):
    """One row as it stands in a file."""

    file: str
    line: int
    cells: Row


class _Cells(dict[str, str]):
    """Cells by column; blank where the table has no such column."""

    def __missing__(self, column: str) -> str:
        return ""


def compare_versions(old: Version, new: Version) -> Comparison:
    """Compare two versions.

    Parameters
    ----------
    old, new : Version
        Open versions.

    Raises
    ------
    BadPackage
        A file of either version cannot be read as what it is.
    """
    for version in (old, new):
        _bounded(version)
    changed = [path for path in sorted(old.paths() | new.paths()) if old.read(path) != new.read(path)]
    sides = Sides(_small_tables(old), _small_tables(new))
    changes: list[Change] = []
    pooled = [path for path in changed if path in SCHEDULE_FILES]
    if pooled:
        changes += _table_changes(pooled, old, new, sides)
    ruling = _ruling(old) | _ruling(new)
    for path in changed:
        if path in _ELSEWHERE or (path.startswith("schema/") and path not in ruling):
            continue
        if path.endswith(".csv"):
            changes += _table_changes([path], old, new, sides)
        else:
            changes += (_of_document(path, part) for part in document_changes(path, old.read(path), new.read(path)))
    people = answers_compared(old, new, small_table)
    if not people.missing:
        changes = [change for change in changes if change.file not in _NAMES]
    changes.sort(key=lambda change: (KINDS.index(change.kind), change.file, change.line or 0, change.what))
    return Comparison(old.name, new.name, release(old), release(new), tuple(changes), people)


def _bounded(version: Version) -> None:
    """Refuse a version whose tables would fill the memory, by counting bytes before anything is taken apart."""
    rows: Counter[str] = Counter()
    cells: Counter[str] = Counter()
    for path in sorted(path for path in version.paths() if path.endswith(".csv")):
        content = version.read(path) or b""
        ends = content.count(b"\n") + content.count(b"\r")
        held = "schedules" if path in SCHEDULE_FILES else path
        rows[held] += ends
        cells[held] += ends + content.count(b",")
        if rows[held] > MOST_ROWS or cells[held] > MOST_CELLS:
            most = f"{MOST_ROWS:,} rows" if rows[held] > MOST_ROWS else f"{MOST_CELLS:,} cells"
            raise BadPackage(f"{version.name}: {path}: over {most}, the most that is compared")


def release(version: Version) -> str:
    """Version number of the package, as its datapackage.json says; blank where it says none."""
    said = _descriptor(version).get("version", "")
    return said if isinstance(said, str) else ""


def _descriptor(version: Version) -> dict[str, Any]:
    read = read_json(version.read("datapackage.json") or b"", f"{version.name}: datapackage.json")
    return read if isinstance(read, dict) else {}


def _ruling(version: Version) -> frozenset[str]:
    """Schemas that rule the data: those that datapackage.json names. The others describe what the commands print."""
    resources = _descriptor(version).get("resources")
    entries = resources if isinstance(resources, list) else []
    schemas = (entry.get("schema") for entry in entries if isinstance(entry, dict))
    return frozenset(schema for schema in schemas if isinstance(schema, str)) | {"schema/recipe.json"}


def small_table(version: Version, path: str) -> tuple[Row, ...]:
    """Rows of one table; none where the version has no such table."""
    content = version.read(path)
    return () if content is None else tuple(line.cells for line in _lines(version.name, path, content)[1])


def _small_tables(version: Version) -> _Reader:
    return _Reader(version)


class _Reader:
    """Reads small tables once."""

    def __init__(self, version: Version) -> None:
        self._version = version
        self._read: dict[str, tuple[Row, ...]] = {}

    def __call__(self, path: str) -> tuple[Row, ...]:
        if path not in self._read:
            self._read[path] = small_table(self._version, path)
        return self._read[path]


# reading


def _rows(version: str, path: str, content: bytes) -> Iterator[tuple[int, tuple[str, ...]]]:
    """Header and rows with their lines, as text."""
    at = f"{version}: {path}"
    if b"\0" in content:
        raise BadPackage(f"{at}: holds a NUL byte")
    try:
        text = io.TextIOWrapper(io.BytesIO(content), encoding="utf-8-sig", newline="")
        lines = csv.reader(bounded(text, LONGEST_LINE), strict=True)
        known: dict[str, str] = {}
        before = 1
        for cells in lines:
            yield before, tuple([known.setdefault(cell, cell) for cell in cells])
            before = lines.line_num + 1
            if len(known) > MOST_TEXTS:
                raise BadPackage(f"{at}:{before}: over {MOST_TEXTS:,} different cells, the most that is compared")
    except UnicodeDecodeError:
        raise BadPackage(f"{at}: is not UTF-8") from None
    except csv.Error as error:
        raise BadPackage(f"{at}:{before}: is not a table that can be read: {error}") from None


def _lines(version: str, path: str, content: bytes) -> tuple[tuple[str, ...], list[Line]]:
    rows = _rows(version, path, content)
    header = next(rows, (1, ()))[1]
    read = []
    for line, cells in rows:
        if len(cells) != len(header):
            raise BadPackage(f"{version}: {path}:{line}: {len(cells)} cells where there are {len(header)} columns")
        read.append(Line(path, line, _Cells(zip(header, cells, strict=True))))
    return header, read


class _Differing(NamedTuple):
    """Rows of one side that the other side has not."""

    header: tuple[str, ...]
    lines: list[Line]


def _hold_to(rows: int, version: Version, path: str) -> None:
    if rows > MOST_DIFFERING:
        raise BadPackage(f"{version.name}: {path}: over {MOST_DIFFERING:,} rows differ, the most that is compared")


def _differing(old: Version, new: Version, paths: list[str]) -> tuple[_Differing, _Differing]:
    left: dict[tuple[str, ...], list[tuple[str, int]]] = defaultdict(list)
    headers: list[dict[str, None]] = [{}, {}]
    for path in paths:
        for line, cells in _body(old, path, headers[0]):
            left[cells].append((path, line))
    fresh: list[Line] = []
    new_headers: dict[str, None] = {}
    same_columns = list(headers[0])
    for path in paths:
        for line, cells in _body(new, path, new_headers):
            places = left.get(cells)
            if places and list(new_headers) == same_columns:
                places.pop()
                if not places:
                    del left[cells]
            else:
                fresh.append(Line(path, line, _Cells(zip(new_headers, cells, strict=False))))
                _hold_to(len(fresh), new, path)
    _hold_to(sum(map(len, left.values())), old, paths[0])
    gone = [
        Line(path, line, _Cells(zip(headers[0], cells, strict=False)))
        for cells, places in left.items()
        for path, line in places
    ]
    return _Differing(tuple(headers[0]), gone), _Differing(tuple(new_headers), fresh)


def _body(version: Version, path: str, header: dict[str, None]) -> Iterator[tuple[int, tuple[str, ...]]]:
    """Rows below the header; the header is checked against that of the tables before and kept."""
    content = version.read(path)
    if content is None:
        return
    rows = _rows(version.name, path, content)
    columns = next(rows, (1, ()))[1]
    if len(set(columns)) != len(columns):
        raise BadPackage(f"{version.name}: {path}:1: has a column twice")
    if header and tuple(header) != columns:
        raise BadPackage(f"{version.name}: {path}:1: has other columns than the tables of its kind")
    header.update(dict.fromkeys(columns))
    for line, cells in rows:
        if len(cells) != len(columns):
            raise BadPackage(
                f"{version.name}: {path}:{line}: {len(cells)} cells where there are {len(columns)} columns"
            )
        yield line, cells


# pairing


def _table_changes(paths: list[str], old: Version, new: Version, sides: Sides) -> Iterator[Change]:
    before, after = _differing(old, new, paths)
    shown = paths[0]
    rules = rules_of(shown, before.header or after.header)
    for column in before.header:
        if after.header and column not in after.header:
            yield _column_change(shown, column, WEAKER, "a column is lost")
    for column in after.header:
        if before.header and column not in before.header:
            yield _column_change(shown, column, ADDED, "new column")
    gone, fresh = before.lines, after.lines
    for key in rules.keys:
        pairs, gone, fresh = _paired(key, gone, fresh)
        for one, other in pairs:
            yield from _cell_changes(one, other, rules, sides)
    for line in gone:
        yield _row_change(line, rules.removed(line.cells, sides), is_new=False)
    for line in fresh:
        yield _row_change(line, rules.added(line.cells, sides), is_new=True)


def _paired(
    key: tuple[str, ...], gone: list[Line], fresh: list[Line]
) -> tuple[list[tuple[Line, Line]], list[Line], list[Line]]:
    """Pair rows with the same key, in the order they stand; give the pairs and what is left of both."""
    waiting: dict[tuple[str, ...], deque[Line]] = defaultdict(deque)
    for line in gone:
        waiting[tuple(line.cells[column] for column in key)].append(line)
    pairs: list[tuple[Line, Line]] = []
    left: list[Line] = []
    for line in fresh:
        fitting = waiting.get(tuple(line.cells[column] for column in key))
        if fitting:
            pairs.append((fitting.popleft(), line))
        else:
            left.append(line)
    taken = Counter((one.file, one.line) for one, _ in pairs)
    return pairs, [line for line in gone if (line.file, line.line) not in taken], left


def _cell_changes(old: Line, new: Line, rules: Rules, sides: Sides) -> Iterator[Change]:
    for column in dict.fromkeys((*old.cells, *new.cells)):
        before, after = old.cells[column], new.cells[column]
        if before == after:
            continue
        if column in rules.judges:
            judged = rules.judges[column](Cell(before, after, old.cells, new.cells, sides))
        else:
            judged = Judged(WEAKER, "no side of it is known to be the safer")
        sourced = "source" in old.cells or _is_sourced(new)
        yield _change(new, judged, column, before, after, sourced)._replace(old_source=old.cells["source"])


def _change(line: Line, judged: Judged, column: str, old: str | None, new: str | None, sourced: bool) -> Change:
    row = line.cells
    return Change(
        judged.kind, line.file, line.line, name_of(row), what_of(line.file, row), column, old, new, judged.why,
        "", row["source"], row["page"], row, sourced and needs_source(line.file, judged.kind),
    )  # fmt: skip


def _is_sourced(line: Line) -> bool:
    """Whether a source stands behind a row, in it or elsewhere, or must, since it leads people to what has one."""
    return "source" in line.cells or line.file == STATEMENTS or line.file in WORDS


def _row_change(line: Line, judged: Judged, *, is_new: bool) -> Change:
    values = values_of(line.file, line.cells)
    old, new = (None, values) if is_new else (values, None)
    change = _change(line, judged, "", old, new, _is_sourced(line))
    return change if is_new else change._replace(old_source=change.source, source="")


def _column_change(file: str, column: str, kind: ChangeKind, why: str) -> Change:
    old, new = (column, None) if kind == WEAKER else (None, column)
    return Change(kind, file, 1, file, f"{file}, column {column}", "", old, new, why, "", "", "", {}, False)


def _of_document(file: str, part: Part) -> Change:
    at = (file, None, part.name, part.where, "")
    cited = (part.old_source, part.source, "")
    row = {"food": part.name} if part.name != file else {}
    return Change(cast(ChangeKind, part.kind), *at, part.old, part.new, part.why, *cited, row, part.needs_source)


# a row in words


def name_of(row: Row) -> str:
    """Id of the food, or of whatever else a row is about."""
    return next(
        (row[column] for column in ("food", "id", "alias", "caption", "band_set", "source", "key") if row[column]), ""
    )


def what_of(file: str, row: Row) -> str:
    """Say which row is meant: what it is about, what it is for, and its altitude band in feet."""
    if file in SCHEDULE_FILES:
        words = [row[column] for column in ("food", "form", "pack", "jar")]
        band = band_of(row["altitude_from_ft"], row["altitude_to_ft"])
        return ", ".join(word for word in (*words, row["gauge"] or row["method"], band) if word)
    columns = rules_of(file, row).keys[0]
    words = [name_of(row), *(row[column] for column in columns)]
    return ", ".join(dict.fromkeys(word for word in words if word))


def band_of(low: str, high: str) -> str:
    """Write an altitude band in feet, as well as its cells allow."""
    if not (low.isdigit() and (high.isdigit() or high == "") and len(low + high) < 20):
        return f"{low} to {high} ft"
    return wording.span(int(low), int(high) if high else None)


def values_of(file: str, row: Row) -> str:
    """Values of a whole row in words: time and pressure of a schedule; of another row what is not its key."""
    if file in SCHEDULE_FILES:
        pressure = f" at {row['pressure_psi']} psi" if row["pressure_psi"] else ""
        return f"{row['minutes']} min{pressure}"
    key = rules_of(file, row).keys[0]
    told = {c: v for c, v in row.items() if v and c not in key and c not in ("source", "page", "note", "title")}
    figures = {c: v for c, v in told.items() if number(v) is not None}
    return ", ".join(f"{column} {_short(value)}" for column, value in (figures or told).items()) or "this row"


def _short(text: str) -> str:
    return text if len(text) <= 60 else f"{text[:57]}..."


def grave(changes: Iterable[Change]) -> Iterator[Change]:
    """Changes that must be justified: weaker ones and added rows."""
    return (change for change in changes if change.kind in (WEAKER, ADDED))
