"""The package as published, copies of it to spoil, one edit at a time, and what one check finds in them."""

from __future__ import annotations

import csv
from collections.abc import Callable
from functools import cached_property
from pathlib import Path

import pytest

from stillroom.findings import checks
from stillroom.findings.finding import Finding
from stillroom.findings.opened import CheckedPackage
from tests.repository import HOME


class Published:
    """The package as it is published, whole, read once for all checks and never written to."""

    def __init__(self, root: Path = HOME) -> None:
        self.root = root

    @cached_property
    def opened(self) -> CheckedPackage:
        """The package, as the checks read it."""
        return CheckedPackage(str(self.root))

    def read(self, file: str) -> list[list[str]]:
        with open(self.root / file, encoding="utf-8", newline="") as opened:
            return list(csv.reader(opened))

    def line(self, file: str, **cells: str) -> int:
        """Line of the first row that has these cells."""
        rows = self.read(file)
        columns = {name: rows[0].index(name) for name in cells}
        return next(n for n, row in enumerate(rows[1:], 2) if all(row[columns[c]] == v for c, v in cells.items()))

    def bytes(self, file: str) -> bytes:
        return (self.root / file).read_bytes()

    def found(self, check: str) -> tuple[Finding, ...]:
        """What one check finds; it must not break."""
        one = next(c for c in checks.every() if c.name == check)
        report = checks.report(self.opened, [one])
        assert not report.broken, report.broken
        assert not report.left_out, report.left_out
        return report.findings

    def places(self, check: str) -> list[tuple[str, int | None, str]]:
        """File, line and column of what one check finds."""
        return [(f.file, f.line, f.column) for f in self.found(check)]


class Spoiled(Published):
    """A copy of the package, read anew each time."""

    @property
    def opened(self) -> CheckedPackage:  # type: ignore[override]
        """The copy as it now is."""
        return CheckedPackage(str(self.root))

    def write(self, file: str, rows: list[list[str]]) -> None:
        with open(self.root / file, "w", encoding="utf-8", newline="") as opened:
            csv.writer(opened, lineterminator="\n").writerows(rows)

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

    def put(self, file: str, data: bytes | str) -> None:
        path = self.root / file
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data.encode() if isinstance(data, str) else data)


@pytest.fixture(scope="session")
def published() -> Published:
    """Give the published package."""
    return Published()


@pytest.fixture
def package(copy: Path, narrow: Callable[..., CheckedPackage]) -> Spoiled:
    """Give a copy of the package with few recipes, of which Frictionless reads what is edited."""
    return Spoiled(copy)
