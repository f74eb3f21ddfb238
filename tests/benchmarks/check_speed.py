"""How fast a package is checked: the published one cold, and one of a million schedule rows beside Frictionless.

Run as ``python tests/benchmarks/check_speed.py [ROWS ...]``. The large package repeats published foods under new ids,
with their names, captions, headspace, acid, conditions and both readings, so that every check has its full work and
finds nothing; it has nearly five rows in all for each schedule row. Frictionless gets the same package (every table,
its types, keys and references) and, for itself, one table of all schedule rows without references. Seconds are those
of the processor, since a benchmark shares its machine; the clock stands in brackets.
"""

from __future__ import annotations

import csv
import json
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PARTS = ("schedules", "shared", "schema", "datapackage.json")
GROUPS = ("fruit", "tomatoes", "vegetables", "meats-seafood", "pickles", "spreads")
BY_FOOD = ("acid", "conditions", "headspace", "yields", "forms")
CHECK = """
import resource, stillroom, sys, time
started = time.perf_counter()
report = stillroom.check(sys.argv[1])
most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
print(time.process_time(), time.perf_counter() - started, most, len(report.findings))
for finding in report.findings[:5]:
    print(finding, file=sys.stderr)
for line in (*report.left_out, *report.broken):
    print(line, file=sys.stderr)
"""
FRICTIONLESS_TABLE = """
import resource, sys, time
from frictionless import Resource
started = time.perf_counter()
report = Resource(path="all.csv", schema="all.json", basepath=sys.argv[1]).validate()
most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
print(time.process_time(), time.perf_counter() - started, most, len(report.flatten()))
"""
FRICTIONLESS_PACKAGE = """
import resource, sys, time
from frictionless import Package
started = time.perf_counter()
report = Package(sys.argv[1] + "/datapackage.json").validate()
most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
print(time.process_time(), time.perf_counter() - started, most, len(report.flatten()))
"""


def read(path: Path) -> list[list[str]]:
    with open(path, encoding="utf-8", newline="") as file:
        return list(csv.reader(file))


def write(path: Path, rows: list[list[str]]) -> None:
    with open(path, "w", encoding="utf-8", newline="") as file:
        csv.writer(file, lineterminator="\n").writerows(rows)


def grow(root: Path, wanted: int) -> int:
    """Make a package of about ``wanted`` schedule rows; give how many it has."""
    for part in PARTS:
        source, target = ROOT / part, root / part
        shutil.copytree(source, target) if source.is_dir() else shutil.copy(source, target)
    descriptor = json.loads((root / "datapackage.json").read_text())
    for one in descriptor["resources"]:
        one.pop("hash", None)
    (root / "datapackage.json").write_text(json.dumps(descriptor))
    published = sum(len(read(root / f"schedules/{group}.csv")) - 1 for group in GROUPS)
    copies = max(wanted // published, 1)
    schedules = root / "schedules"
    numbers = range(1, copies)

    def repeat(path: Path, columns: dict[str, str], keep: bool = True) -> None:
        header, *rows = read(path)
        at = [(header.index(name), mark) for name, mark in columns.items()]
        grown = list(rows) if keep else []
        for number in numbers:
            for row in rows:
                new = list(row)
                for column, mark in at:
                    name, bracket, rest = row[column].partition(" (")
                    new[column] = f"{name}{mark}{number}{bracket}{rest}" if name else ""
                grown.append(new)
        write(path, [header, *grown])

    for group in (*GROUPS, "not-recommended"):
        repeat(schedules / f"{group}.csv", {"food": "-copy-", "caption": " copy "})
    repeat(schedules / "foods.csv", {"id": "-copy-", "title": " copy "})
    repeat(schedules / "relations.csv", {"food": "-copy-", "follows": "-copy-"})
    repeat(schedules / "aliases.csv", {"alias": " copy ", "food": "-copy-"})
    for name in BY_FOOD:
        repeat(schedules / f"{name}.csv", {"food": "-copy-"})
    readings = schedules / "readings"
    repeat(readings / "captions.csv", {"caption": " copy ", "food": "-copy-"})
    repeat(readings / "footnotes.csv", {"caption": " copy "})
    repeat(readings / "lost-cells.csv", {"caption": " copy "})
    header, *lost = read(readings / "lost-cells.csv")
    for row in lost:  # the caption kept from the other reading is a copy too
        if row[header.index("cell")] == "caption":
            row[header.index("kept")] = row[header.index("third")] = row[header.index("caption")]
    write(readings / "lost-cells.csv", [header, *lost])
    for which in ("first", "second"):
        repeat(readings / f"schedules-{which}.csv", {"food": " copy "})
        repeat(readings / f"acid-{which}.csv", {"food": "-copy-"})
        repeat(readings / f"foods-{which}.csv", {"food": " copy ", "uses_process_of": " copy "})
    repeat(root / "shared/exceptions.csv", {"food": "-copy-"})
    _repeat_pages(readings / "pages-second.csv", numbers)
    subprocess.run([sys.executable, "-m", "stillroom", "tidy", str(root)], check=True, stdout=subprocess.DEVNULL)
    return published * copies


def _repeat_pages(path: Path, numbers: range) -> None:
    """Give each copy of a food and of a schedule its second reading of the page."""
    header, *rows = read(path)
    grown = list(rows)
    for number in numbers:
        for table, key, page in rows:
            parts = key.split("|")
            if table in (*GROUPS, "not-recommended"):
                parts[2] = f"{parts[2]} copy {number}"
            elif table not in (*BY_FOOD, "foods", "relations", "exceptions"):
                continue
            food = 1 if table == "exceptions" else 0  # where the key of the table has it
            parts[food] = f"{parts[food]}-copy-{number}"
            grown.append([table, "|".join(parts), page])
    write(path, [header, *grown])


def timed(program: str, root: Path, rows: int, what: str) -> None:
    """Run a program in a process of its own and print what it took."""
    told = subprocess.run([sys.executable, "-c", program, str(root)], check=True, capture_output=True, text=True)
    sys.stderr.write(told.stderr)
    seconds, clock, megabytes, findings = map(float, told.stdout.split())
    print(
        f"  {what}: {seconds:.1f} s ({clock:.1f} s), {seconds / rows * 1e6:.0f} us a schedule row, "
        f"{megabytes:,.0f} MB, {findings:.0f} findings",
        flush=True,
    )


def main() -> None:
    """Measure and print."""
    words = [word for word in sys.argv[1:] if word.isdigit()]
    cold = []
    for _ in range(5):
        started = time.perf_counter()
        subprocess.run([sys.executable, "-m", "stillroom", "check", str(ROOT)], check=True, capture_output=True)
        cold.append(time.perf_counter() - started)
    print(
        f"published package, cold: median {sorted(cold)[2]:.2f} s by the clock of {', '.join(f'{s:.2f}' for s in cold)}"
    )
    for wanted in map(int, words or ["10000", "100000", "1000000"]):
        with tempfile.TemporaryDirectory() as folder:
            root = Path(folder)
            rows = grow(root, wanted)
            print(f"{rows:,} schedule rows", flush=True)
            timed(CHECK, root, rows, "stillroom check")
            table = [row for group in GROUPS for row in read(root / f"schedules/{group}.csv")[1:]]
            write(root / "all.csv", [read(root / "schedules/fruit.csv")[0], *table])
            schema = json.loads((root / "schema/schedule.json").read_text())
            (root / "all.json").write_text(json.dumps({k: v for k, v in schema.items() if k != "foreignKeys"}))
            del table
            timed(FRICTIONLESS_TABLE, root, rows, "frictionless, one table of the schedule rows alone")
            timed(FRICTIONLESS_PACKAGE, root, rows, "frictionless, the same package")


if __name__ == "__main__":
    main()
