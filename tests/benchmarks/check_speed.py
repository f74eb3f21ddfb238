"""How fast a package is checked: the published one cold, and one of a million schedule rows beside Frictionless.

Run as ``python tests/benchmarks/check_speed.py [ROWS ...]``. The large package repeats published foods under new ids,
with their names, captions, headspace, acid, conditions and both readings, so that every check has its full work and
finds nothing. Frictionless is timed on one schedule table of ``FRICTIONLESS_ROWS`` rows and taken times the rest, since
its time grows with the rows and it would need many minutes; ``--whole`` lets it run on all.
"""

from __future__ import annotations

import csv
import json
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PARTS = ("schedules", "shared", "schema", "datapackage.json")
FRICTIONLESS_ROWS = 50_000
GROUPS = ("fruit", "tomatoes", "vegetables", "meats-seafood", "pickles", "spreads")
BY_FOOD = ("acid", "conditions", "headspace", "yields", "forms")
CHECK = """
import resource, stillroom, sys, time
started = time.perf_counter()
report = stillroom.check(sys.argv[1])
print(time.perf_counter() - started, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024, len(report.findings))
for finding in report.findings[:5]:
    print(finding, file=sys.stderr)
for line in (*report.left_out, *report.broken):
    print(line, file=sys.stderr)
"""
FRICTIONLESS = """
import sys, time
from frictionless import Resource
started = time.perf_counter()
report = Resource(path=sys.argv[1], schema=sys.argv[2], basepath=sys.argv[3]).validate()
assert report.valid, report
print(time.perf_counter() - started)
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

    for group in GROUPS:
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
            row[header.index("kept")] = row[header.index("caption")]
    write(readings / "lost-cells.csv", [header, *lost])
    for which in ("first", "second"):
        repeat(readings / f"schedules-{which}.csv", {"food": " copy "})
        repeat(readings / f"acid-{which}.csv", {"food": "-copy-"})
        repeat(readings / f"foods-{which}.csv", {"food": " copy ", "uses_process_of": " copy "})
    repeat(root / "shared/exceptions.csv", {"food": "-copy-"})
    subprocess.run(
        [sys.executable, "-m", "stillroom.command", "tidy", str(root)], check=True, stdout=subprocess.DEVNULL
    )
    return published * copies


def checked(root: Path) -> tuple[float, int, int]:
    """Seconds, megabytes at the most, and findings of one check in a fresh process."""
    told = subprocess.run([sys.executable, "-c", CHECK, str(root)], check=True, capture_output=True, text=True)
    sys.stderr.write(told.stderr)
    seconds, megabytes, findings = told.stdout.split()
    return float(seconds), int(megabytes), int(findings)


def frictionless(root: Path, rows: int | None) -> tuple[float, int]:
    """Seconds that Frictionless takes for a schedule table, and its rows."""
    body = [row for group in GROUPS for row in read(root / f"schedules/{group}.csv")[1:]][:rows]
    write(root / "all.csv", [read(root / "schedules/fruit.csv")[0], *body])
    schema = json.loads((root / "schema/schedule.json").read_text())
    (root / "all.json").write_text(json.dumps({k: v for k, v in schema.items() if k != "foreignKeys"}))
    told = subprocess.run(
        [sys.executable, "-c", FRICTIONLESS, "all.csv", "all.json", str(root)],
        check=True, capture_output=True, text=True,
    )  # fmt: skip
    return float(told.stdout), len(body)


def main() -> None:
    """Measure and print."""
    words = [word for word in sys.argv[1:] if word.isdigit()]
    cold = []
    for _ in range(5):
        started = time.perf_counter()
        subprocess.run([sys.executable, "-m", "stillroom.command", "check", str(ROOT)], check=True, capture_output=True)
        cold.append(time.perf_counter() - started)
    print(f"published package, cold: median {sorted(cold)[2]:.2f} s of {', '.join(f'{s:.2f}' for s in cold)}")
    for wanted in map(int, words or ["10000", "100000", "1000000"]):
        with tempfile.TemporaryDirectory() as folder:
            root = Path(folder)
            rows = grow(root, wanted)
            seconds, megabytes, findings = checked(root)
            print(
                f"{rows:,} schedule rows: {seconds:.1f} s, {seconds / rows * 1e6:.1f} us a row, {megabytes:,} MB, "
                f"{findings} findings",
                flush=True,
            )
            if wanted >= 1_000_000:
                of = None if "--whole" in sys.argv else FRICTIONLESS_ROWS
                alone, had = frictionless(root, of)
                print(
                    f"frictionless alone, types and primary key of one table: {alone:.1f} s for {had:,} rows, "
                    f"{alone / had * 1e6:.1f} us a row, {alone / had * rows:.0f} s for {rows:,}"
                )
    print(f"this process at most {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024:,} MB", file=sys.stderr)


if __name__ == "__main__":
    main()
