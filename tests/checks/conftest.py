"""A copy of the package to spoil, one edit at a time, and what one check finds in it."""

from __future__ import annotations

import csv
import shutil
from pathlib import Path

import pytest

from stillroom import checks
from stillroom.checked import CheckedPackage
from stillroom.finding import Finding

ROOT = Path(__file__).resolve().parents[2]
PARTS = ("schedules", "shared", "schema", "datapackage.json")


class Spoiled:
    """A copy of the package."""

    def __init__(self, root: Path) -> None:
        self.root = root
        for part in PARTS:
            source, target = ROOT / part, root / part
            shutil.copytree(source, target) if source.is_dir() else shutil.copy(source, target)

    def read(self, file: str) -> list[list[str]]:
        with open(self.root / file, encoding="utf-8", newline="") as opened:
            return list(csv.reader(opened))

    def write(self, file: str, rows: list[list[str]]) -> None:
        with open(self.root / file, "w", encoding="utf-8", newline="") as opened:
            csv.writer(opened, lineterminator="\n").writerows(rows)

    def line(self, file: str, **cells: str) -> int:
        """Line of the first row that has these cells."""
        rows = self.read(file)
        columns = {name: rows[0].index(name) for name in cells}
        return next(n for n, row in enumerate(rows[1:], 2) if all(row[columns[c]] == v for c, v in cells.items()))

    def edit(self, file: str, line: int, **cells: str) -> None:
        rows = self.read(file)
        for name, value in cells.items():
            rows[line - 1][rows[0].index(name)] = value
        self.write(file, rows)

    def drop(self, file: str, line: int) -> list[str]:
        rows = self.read(file)
        dropped = rows.pop(line - 1)
        self.write(file, rows)
        return dropped

    def add(self, file: str, **cells: str) -> int:
        """Add a row at the end; columns that are not given are blank. Gives its line."""
        rows = self.read(file)
        rows.append([cells.get(name, "") for name in rows[0]])
        self.write(file, rows)
        return len(rows)

    def bytes(self, file: str) -> bytes:
        return (self.root / file).read_bytes()

    def put(self, file: str, data: bytes | str) -> None:
        path = self.root / file
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data.encode() if isinstance(data, str) else data)

    def found(self, check: str) -> tuple[Finding, ...]:
        """What one check finds; it must not break."""
        one = next(c for c in checks.every() if c.name == check)
        report = checks.report(CheckedPackage(str(self.root)), [one])
        assert not report.broken, report.broken
        assert not report.left_out, report.left_out
        return report.findings

    def places(self, check: str) -> list[tuple[str, int | None, str]]:
        """File, line and column of what one check finds."""
        return [(f.file, f.line, f.column) for f in self.found(check)]


@pytest.fixture
def package(tmp_path: Path) -> Spoiled:
    """Give a copy of the package."""
    return Spoiled(tmp_path)
