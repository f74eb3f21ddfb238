"""Edit campaign: bad edits of every kind on every data file, and how many the checks and the gate reject.

Run by hand: ``python -m tests.benchmarks.edit_campaign --each 60 --seed 1``. It edits a copy in a temporary folder and
prints two tables: by kind of edit, and by file; then the edits that slipped past the checks, if asked.

An edit is made as a careful person with a slip makes it: the row is put in its place again, so that order alone never
gives it away (but for the kind that swaps rows), and the tables of answers and names are made anew. Each edit is judged
by the checks of meaning, as if the person had renewed every hash in datapackage.json as well; by all checks, where the
hash was left; by the gate alone, which compares with the version before; and by all of them.

Then the person goes on: hashes are renewed, and the section that ``compare`` prints is pasted into CHANGELOG.md. An
edit that weakens (answers made or weakened, names that lead to such or are refused no more, anything weaker that
needs a source) should fail all the same. At last a source is invented, and every changed row cites it: nothing but a
person can tell, so that what the edit does to answers must be announced in the first lines, with low-acid food by
number.
"""

from __future__ import annotations

import argparse
import csv
import io
import json
import random
import sys
import tempfile
import time
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import NamedTuple

from stillroom.desk import changelog, gate
from stillroom.desk.comparison import Change, Comparison, compare_versions
from stillroom.desk.told import MADE, WEAKENED, Told
from stillroom.errors import BadPackage
from stillroom.findings import checks, hashes
from stillroom.findings.opened import CheckedPackage
from stillroom.findings.table import Unreadable
from stillroom.package.keys import row_key
from stillroom.package.tables import DERIVED
from stillroom.package.versions import Held, Version
from tests.repository import HOME, copied, rehashed

KIND_OF = {
    "minutes": "time",
    "pressure_psi": "pressure", "psi": "pressure",
    "altitude_from_ft": "band edge", "altitude_to_ft": "band edge", "alt_lo_ft": "band edge", "alt_hi_ft": "band edge",
    "jar": "jar", "takes": "jar",
    "pack": "pack",
    "gauge": "gauge", "canner": "gauge",
    "method": "method",
    "food": "food", "follows": "food", "withheld": "food", "statement": "food",
    "source": "source",
    "page": "page", "first_page": "page", "last_page": "page",
    "status": "status", "acidity": "status", "kind": "status",
    "form": "form", "variety": "form",
    "quantity": "amount", "unit": "amount", "per": "amount", "use": "amount", "any_of": "amount", "acid": "amount",
    "headspace_in": "headspace",
}  # fmt: skip
"""Kind of edit by column; any other column is of the kind ``other cell``."""
ROW_KINDS = ("row deleted", "row duplicated", "rows swapped", "values swapped")
SHIFTS = {
    "minutes": (-10, -5, -1, 1, 5),
    "pressure_psi": (-5, -1, 1),
    "psi": (-5, -1, 1),
    "altitude_from_ft": (-1000, 1000),
    "altitude_to_ft": (-1000, 1000),
    "headspace_in": (-0.25, 0.25),
    "quantity": (-0.25, 1),
    "jars_from": (-1, 1),
    "pounds_from": (-0.5, 0.5),
    "volume_fl_oz": (-4, 4),
}  # fmt: skip
SCHEDULES = ("fruit", "tomatoes", "vegetables", "meats-seafood", "pickles", "spreads")


class Edit(NamedTuple):
    """A bad edit: its kind, the file it is in, what was done, and the new content of each file touched."""

    kind: str
    file: str
    said: str
    contents: Mapping[str, bytes]


class Outcome(NamedTuple):
    """An edit and who rejected it.

    ``check`` names the first check of meaning that did, ``broken`` one that broke. ``weakens``: what it does is not
    shown to be as safe. ``by_gate_logged``: the gate rejects it with its section in CHANGELOG.md. ``invented``: with an
    invented source behind it as well, whether it was rejected, and whether the first lines tell of the answers; None
    where no row that it touches names a source, or no answer changes for the worse.
    """

    edit: Edit
    check: str
    by_hash: bool
    by_gate: bool
    weakens: bool = False
    by_gate_logged: bool = False
    invented: tuple[bool, bool] | None = None
    broken: str = ""

    @property
    def by_checks(self) -> bool:
        """Whether the checks alone rejected it."""
        return bool(self.check) or self.by_hash

    @property
    def stopped(self) -> bool:
        """Whether it fails with honest hashes and the printed section."""
        return bool(self.check) or self.by_gate_logged


class Sheet(NamedTuple):
    """One CSV file as text."""

    file: str
    key: tuple[str, ...]
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]

    def written(self, rows: list[tuple[str, ...]]) -> bytes:
        """Write rows as the package does."""
        out = io.StringIO()
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow(self.columns)
        writer.writerows(rows)
        return out.getvalue().encode()

    def placed(self, rows: list[tuple[str, ...]], moved: tuple[str, ...]) -> bytes:
        """Write rows with one moved to where its key belongs."""
        rest = [row for row in rows if row is not moved]
        at = rows.index(moved)
        in_place = (at == 0 or self._at(rows[at - 1]) <= self._at(moved)) and (
            at + 1 == len(rows) or self._at(moved) <= self._at(rows[at + 1])
        )
        if in_place:
            return self.written(rows)
        after = next((i for i, row in enumerate(rest) if self._at(row) > self._at(moved)), len(rest))
        return self.written([*rest[:after], moved, *rest[after:]])

    def _at(self, row: tuple[str, ...]) -> tuple[tuple[float, str], ...]:
        cells = dict(zip(self.columns, row, strict=True))
        return tuple((float(cells[c]), "") if _is_number(cells[c]) else (-1.0, cells[c]) for c in self.key)


def _is_number(cell: str) -> bool:
    return cell.replace(".", "", 1).isdigit() and cell.isascii()


def sheets(root: Path = HOME) -> list[Sheet]:
    """Read every table that datapackage.json declares."""
    found = []
    for resource in json.loads((root / "datapackage.json").read_text())["resources"]:
        if (
            resource["name"] in DERIVED or "type" not in resource
        ):  # nobody edits what is made anew; a recipe is no table
            continue
        schema = json.loads((root / resource["schema"]).read_text())
        with (root / resource["path"]).open(encoding="utf-8", newline="") as file:
            header, *rows = list(csv.reader(file))
        key = list(row_key(schema)) or header
        key = [key] if isinstance(key, str) else key
        found.append(Sheet(resource["path"], tuple(key), tuple(header), tuple(map(tuple, rows))))
    return found


# making edits


def edits(chance: random.Random, each: int, root: Path = HOME) -> Iterator[Edit]:
    """Make up to ``each`` edits of each kind on each file, drawn by chance, and every whole-table shift."""
    tables = sheets(root)
    for sheet in tables:
        yield from cell_edits(sheet, chance, each)
        yield from row_edits(sheet, chance, each)
    for sheet in tables:
        yield from _shifts(sheet)
    yield from _both_readings(tables, chance, each)


def cell_edits(sheet: Sheet, chance: random.Random, each: int) -> Iterator[Edit]:
    by_kind: dict[str, list[str]] = defaultdict(list)
    for column in sheet.columns:
        by_kind[KIND_OF.get(column, "other cell")].append(column)
    for kind, columns in by_kind.items():
        seen: set[bytes] = set()
        for _ in range(each * 3):
            column = chance.choice(columns)
            at = chance.randrange(len(sheet.rows))
            values = _slips(sheet, column, at)
            if not values or len(seen) >= each:
                continue
            content = _with_cell(sheet, at, column, chance.choice(values))
            if content not in seen:
                seen.add(content)
                yield Edit(kind, sheet.file, f"row {at + 2}, {column}", {sheet.file: content})


def _with_cell(sheet: Sheet, at: int, column: str, value: str) -> bytes:
    i = sheet.columns.index(column)
    moved = (*sheet.rows[at][:i], value, *sheet.rows[at][i + 1 :])
    return sheet.placed([*sheet.rows[:at], moved, *sheet.rows[at + 1 :]], moved)


def _slips(sheet: Sheet, column: str, at: int) -> list[str]:
    """Values a slip of the hand may leave in a cell."""
    i = sheet.columns.index(column)
    cell = sheet.rows[at][i]
    others = list(dict.fromkeys(row[i] for row in sheet.rows))
    kind = KIND_OF.get(column, "other cell")
    if _is_number(cell) and kind != "page":
        values = [*_digit_slips(cell), *(_stepped(cell, step) for step in (-5, -1, 1, 5))]
        if kind == "band edge":
            values += [*others, ""]
    elif kind == "page":
        values = _page_slips(cell)
    elif kind == "source":
        values = ["usda-2009", ""]
    else:
        values = [*others[:200], ""]
    return [value for value in dict.fromkeys(values) if value not in ("", cell) or (value == "" and cell)]


def _digit_slips(cell: str) -> list[str]:
    swapped = [cell[:i] + cell[i + 1] + cell[i] + cell[i + 2 :] for i in range(len(cell) - 1)]
    changed = [
        cell[:i] + digit + cell[i + 1 :] for i in range(len(cell)) for digit in "0123456789" if cell[i].isdigit()
    ]
    return [value for value in (*swapped, *changed, cell + "0", cell[:-1]) if _canonical(value)]


def _canonical(value: str) -> bool:
    return _is_number(value) and f"{float(value):g}" == value and float(value) > 0


def _stepped(cell: str, step: float) -> str:
    return f"{max(float(cell) + step, 0):g}"


def _page_slips(cell: str) -> list[str]:
    guide, dash, page = cell.partition("-")
    if not dash:
        return ["1-1", ""]
    near = [f"{guide}-{int(page) + step}" for step in (-1, 1, 10) if int(page) + step > 0]
    return [*near, f"{int(guide) % 7 + 1}-{page}", f"{page[:1]}-{guide}", "usda", ""]


def row_edits(sheet: Sheet, chance: random.Random, each: int) -> Iterator[Edit]:
    rows, last = list(sheet.rows), len(sheet.rows) - 1
    for at in _drawn(chance, last + 1, each):
        content = sheet.written([*rows[:at], *rows[at + 1 :]])
        yield Edit("row deleted", sheet.file, f"row {at + 2}", {sheet.file: content})
    for at in _drawn(chance, last + 1, each):
        content = sheet.written([*rows[: at + 1], rows[at], *rows[at + 1 :]])
        yield Edit("row duplicated", sheet.file, f"row {at + 2}", {sheet.file: content})
    for at in _drawn(chance, last, each):
        content = sheet.written([*rows[:at], rows[at + 1], rows[at], *rows[at + 2 :]])
        if rows[at] != rows[at + 1]:
            yield Edit("rows swapped", sheet.file, f"rows {at + 2} and {at + 3}", {sheet.file: content})
    values = [i for i, column in enumerate(sheet.columns) if column not in (*sheet.key, "source", "page")]
    values = values or [len(sheet.columns) - 1]
    for at in _drawn(chance, last, each):
        one, other = list(rows[at]), list(rows[at + 1])
        for i in values:
            one[i], other[i] = other[i], one[i]
        if tuple(one) != rows[at] and Counter((tuple(one), tuple(other))) != Counter(rows[at : at + 2]):
            content = sheet.written([*rows[:at], tuple(one), tuple(other), *rows[at + 2 :]])
            yield Edit("values swapped", sheet.file, f"rows {at + 2} and {at + 3}", {sheet.file: content})


def _drawn(chance: random.Random, count: int, each: int) -> list[int]:
    return sorted(chance.sample(range(max(count, 0)), min(each, max(count, 0))))


def _shifts(sheet: Sheet) -> Iterator[Edit]:
    for column, steps in SHIFTS.items():
        if column not in sheet.columns:
            continue
        for step in steps:
            shifted = _shifted(sheet, {column}, step)
            if shifted != sheet.written(list(sheet.rows)):
                yield Edit("whole table shifted", sheet.file, f"{column} {step:+g}", {sheet.file: shifted})


def _shifted(sheet: Sheet, columns: set[str], step: float) -> bytes:
    def moved(column: str, cell: str) -> str:
        return f"{max(float(cell) + step, 0):g}" if column in columns and _is_number(cell) else cell

    return sheet.written([tuple(moved(c, v) for c, v in zip(sheet.columns, row, strict=True)) for row in sheet.rows])


def _both_readings(tables: list[Sheet], chance: random.Random, each: int) -> Iterator[Edit]:
    """Edit a schedule table and both readings alike: one cell, one whole combination, or one whole table."""
    by_file = {sheet.file: sheet for sheet in tables}
    readings = [by_file[f"schedules/readings/schedules-{which}.csv"] for which in ("first", "second")]
    for name in SCHEDULES:
        sheet = by_file[f"schedules/{name}.csv"]
        for kind, at_once in (("both readings, one cell", 8), ("both readings, one jar", 6)):
            for at in _drawn(chance, len(sheet.rows), each):
                step = chance.choice((-10, -5, -1, 1, 5))
                yield _alike(kind, sheet, readings, sheet.rows[at][:at_once], at_once, "minutes", "minutes", step)
        for column, read in (("minutes", "minutes"), ("pressure_psi", "psi")):
            for step in (-5, -1, 1, 5):
                edit = _alike("both readings, whole table", sheet, readings, (), 0, column, read, step)
                if edit.contents[sheet.file] != sheet.written(list(sheet.rows)):
                    yield edit


_WORDS = {"boiling_water": "boiling-water", "half_pint": "half-pint", "half_gallon": "half-gallon",
          "other:12-ounce": "12-ounce", "none": ""}  # fmt: skip


def _alike(
    kind: str,
    sheet: Sheet,
    readings: list[Sheet],
    place: tuple[str, ...],
    columns: int,
    column: str,
    read: str,
    step: float,
) -> Edit:
    def is_meant(row: tuple[str, ...]) -> bool:
        return row[:columns] == place

    meant = [dict(zip(sheet.columns, row, strict=True)) for row in sheet.rows if is_meant(row)]
    captions = {row["caption"] for row in meant}
    cells = {
        (row["caption"], row["method"], row["gauge"], row["pack"], row["jar"], row["altitude_from_ft"], row[column])
        for row in meant
    }
    i = sheet.columns.index(column)
    contents = {
        sheet.file: sheet.written(
            [(*r[:i], _stepped(r[i], step), *r[i + 1 :]) if is_meant(r) and _is_number(r[i]) else r for r in sheet.rows]
        )
    }
    for reading in readings:
        k = reading.columns.index(read)
        rows = []
        for row in reading.rows:
            named = dict(zip(reading.columns, row, strict=True))
            at = tuple(_WORDS.get(v, v) for v in (named["method"], named["gauge"], named["pack"], named["jar"]))
            hit = named["food"] in captions and (named["food"], *at, named["alt_lo_ft"], named[read]) in cells
            rows.append((*row[:k], _stepped(row[k], step), *row[k + 1 :]) if hit and row[k] else row)
        contents[reading.file] = reading.written(rows)
    about = " ".join(word for word in place if word) or "all rows"
    return Edit(kind, sheet.file, f"{about}: {column} {step:+g}", contents)


# judging edits


INVENTED = "invented-2031"
INVENTED_ROW = f"{INVENTED},Nobody,A guide that does not exist,,2031,Nobody 2031,Nobody,,invented,\n"
NOT_ASKED = ("hash", "answers")
"""Checks that say only that something was not renewed or not made anew."""
FIRST_LINES = 10


class Campaign:
    """A copy of the package, the checks, and the version before."""

    def __init__(self, folder: Path, root: Path = HOME) -> None:
        self.folder = copied(folder, source=root)
        rehashed(folder)
        self.hashed = set(hashes.actual(CheckedPackage(str(folder))))
        files = [path for path in folder.rglob("*") if path.is_file()]
        self.contents = {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}
        self.contents["CHANGELOG.md"] = b"# Changes\n\n## 0.1.0\n\n- first\n"
        self.old = Version("before", Held(self.contents))
        self.checks = self._cheapest_first()

    def _cheapest_first(self) -> list[checks.Check]:
        took: dict[str, float] = {}
        every = [check for check in checks.every() if check.name not in NOT_ASKED]
        package = CheckedPackage(str(self.folder))
        for check in every:
            start = time.perf_counter()
            found = list(check.run(package))
            took[check.name] = time.perf_counter() - start
            assert not found, f"the package is not clean before the campaign: {found[0]}"
        return sorted(every, key=lambda check: took[check.name])

    def judged(self, edit: Edit) -> Outcome:
        """Judge one edit; the copy is as before when it is done."""
        new = self._version(edit.contents)
        found = self._compared(new)
        by_gate = True if found is None else bool(gate.weighed(found, self.old, new).findings)
        weakens = found is None or any(map(_is_weaker, found.people.told)) or any(map(_weakens, found.changes))
        try:
            for path, content in edit.contents.items():
                (self.folder / path).write_bytes(content)
            check = self._first_to_object()
        except Exception as error:
            return Outcome(edit, "", False, by_gate, weakens, broken=f"{type(error).__name__}: {error}")
        finally:
            for path in edit.contents:
                (self.folder / path).write_bytes(self.contents[path])
        logged = True if found is None else self._logged(edit.contents, found)
        invented = self._invented(edit) if weakens else None
        return Outcome(edit, check, not self.hashed.isdisjoint(edit.contents), by_gate, weakens, logged, invented)

    def _version(self, contents: Mapping[str, bytes]) -> Version:
        return Version("after", Held({**self.contents, **contents}))

    def _compared(self, new: Version) -> Comparison | None:
        """Compare; None where the edit leaves nothing to compare, which the gate rejects."""
        try:
            return compare_versions(self.old, new)
        except BadPackage:
            return None

    def _logged(self, contents: Mapping[str, bytes], found: Comparison) -> bool:
        """Whether the gate rejects an edit whose section stands in CHANGELOG.md."""
        log = self.contents["CHANGELOG.md"].replace(b"\n## ", f"\n{changelog.section(found)}\n## ".encode(), 1)
        return bool(gate.weighed(found, self.old, self._version({**contents, "CHANGELOG.md": log})).findings)

    def _invented(self, edit: Edit) -> tuple[bool, bool] | None:
        """Let every row that an edit touches cite a source that does not exist; None where no answer gets worse."""
        contents = {path: self._citing(path, content) for path, content in edit.contents.items()}
        if contents == edit.contents:
            return None
        sources = "shared/sources.csv"
        head, _, rest = contents.get(sources, self.contents[sources]).decode().partition("\n")
        contents[sources] = f"{head}\n{INVENTED_ROW}{rest}".encode()
        found = self._compared(self._version(contents))
        if found is None or not any(one.kind in (MADE, WEAKENED) for one in found.people.told):
            return None
        lines = "\n".join(gate.announced(found)[:FIRST_LINES])
        told = all(_told_of(lines, kind, found) for kind in (MADE, WEAKENED))
        return self._logged(contents, found), told

    def _citing(self, path: str, content: bytes) -> bytes:
        before = set(self.contents[path].decode().splitlines()) if path in self.contents else set()
        try:
            header, *rows = csv.reader(io.StringIO(content.decode(), newline=""))
        except (ValueError, csv.Error):
            return content
        if "source" not in header:
            return content
        out, at = io.StringIO(), header.index("source")
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow(header)
        for row in rows:
            line = io.StringIO()
            csv.writer(line, lineterminator="").writerow(row)
            known = line.getvalue() in before or len(row) <= at
            writer.writerow(row if known else [*row[:at], INVENTED, *row[at + 1 :]])
        return out.getvalue().encode()

    def _first_to_object(self) -> str:
        package = CheckedPackage(str(self.folder))
        if package.problems:
            return package.problems[0].check
        for check in self.checks:
            try:
                if next(iter(check.run(package)), None) is not None:
                    return check.name
            except Unreadable:
                return "structure"
        return ""


# telling


def _is_weaker(told: Told) -> bool:
    """Whether answers are made or weakened, by a name too, or something is refused no more."""
    return told.needs_source or told.kind in (MADE, WEAKENED)


def _weakens(change: Change) -> bool:
    return change.kind == "weaker" and change.needs_source


def _told_of(lines: str, kind: str, found: Comparison) -> bool:
    """Whether lines tell how many answers are of a kind, and how many of them are of low-acid food."""
    of_kind = [one for one in found.people.told if (one.about, one.kind) == ("answers", kind)]
    if not of_kind:
        return True
    low = sum(one.number for one in of_kind if one.acidity == "low-acid")
    said = f"{sum(one.number for one in of_kind):,} {kind}" + (f" ({low:,} of low-acid food)" if low else "")
    return said in lines


def persisted(outcomes: list[Outcome], by: Callable[[Edit], str], title: str) -> str:
    """Lay out what becomes of edits that weaken, with honest hashes and the printed section."""
    groups: dict[str, list[Outcome]] = defaultdict(list)
    weaker = [outcome for outcome in outcomes if outcome.weakens]
    for outcome in weaker:
        groups[by(outcome.edit)].append(outcome)
    wide = max(len(title), *map(len, groups))
    heads = "weaken   by check    by gate       fail  to a person   source invented   announced"
    lines = [f"{title:<{wide}}  {heads}"]
    for name, group in [*sorted(groups.items()), ("all", weaker)]:
        invented = [outcome.invented for outcome in group if outcome.invented is not None]
        counts = (
            len(group),
            sum(bool(o.check) for o in group),
            sum(o.by_gate_logged for o in group),
            sum(o.stopped for o in group),
            sum(not o.stopped for o in group),
        )
        cells = "".join(f"  {count:>9}" for count in counts[1:])
        told_of = sum(told for _, told in invented)
        lines.append(f"{name:<{wide}}  {counts[0]:>6}{cells}  {len(invented):>16}  {told_of:>10}")
    rate = _rate(sum(outcome.stopped for outcome in weaker), len(weaker))
    return "\n".join([*lines, f"{rate} of the edits that weaken fail without a new source"])


def told(outcomes: list[Outcome], by: Callable[[Edit], str], title: str) -> str:
    """Lay out the rates by kind or by file."""
    groups: dict[str, list[Outcome]] = defaultdict(list)
    for outcome in outcomes:
        groups[by(outcome.edit)].append(outcome)
    wide = max(len(title), *map(len, groups))
    lines = [f"{title:<{wide}}  edits   without hashes      checks alone        gate alone       check and gate"]
    for name, group in [*sorted(groups.items()), ("all", outcomes)]:
        counts = (
            sum(bool(outcome.check) for outcome in group),
            sum(outcome.by_checks for outcome in group),
            sum(outcome.by_gate for outcome in group),
            sum(outcome.by_checks or outcome.by_gate for outcome in group),
        )
        rates = "".join(f"  {count:>8} {_rate(count, len(group)):>8}" for count in counts)
        lines.append(f"{name:<{wide}}  {len(group):>5}{rates}")
    return "\n".join(lines)


def _rate(count: int, of: int) -> str:
    return f"{100 * count / of:.1f} %"


def main() -> int:
    """Run the campaign and print its tables."""
    parser = argparse.ArgumentParser(description="Bad edits of every kind, and how many are rejected.")
    parser.add_argument("--each", type=int, default=60, help="edits of each kind on each file")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--slipped", action="store_true", help="list the edits that the checks of meaning let pass")
    asked = parser.parse_args()
    start = time.perf_counter()
    with tempfile.TemporaryDirectory() as folder:
        campaign = Campaign(Path(folder))
        outcomes = [campaign.judged(edit) for edit in edits(random.Random(asked.seed), asked.each)]
    sys.stdout.write(told(outcomes, lambda edit: edit.kind, "kind") + "\n\n")
    sys.stdout.write(told(outcomes, lambda edit: edit.file, "file") + "\n\n")
    sys.stdout.write(persisted(outcomes, lambda edit: edit.kind, "kind") + "\n\n")
    sys.stdout.write(f"{len(outcomes)} edits in {time.perf_counter() - start:.0f} s\n")
    for outcome in outcomes:
        if outcome.broken:
            sys.stdout.write(f"a check broke: {outcome.edit.kind}: {outcome.edit.file}: {outcome.broken}\n")
    if asked.slipped:
        for outcome in outcomes:
            if not outcome.check:
                edit = outcome.edit
                past = "" if outcome.by_gate else " (past the gate too)"
                past += " (weakens, and passes with its section)" if outcome.weakens and not outcome.stopped else ""
                sys.stdout.write(f"slipped: {edit.kind}: {edit.file}: {edit.said}{past}\n")
    return 0 if all((o.by_checks or o.by_gate) and not o.broken for o in outcomes) else 1


if __name__ == "__main__":
    sys.exit(main())
