"""What several tests need: the package under test, and its tables as plain text rows."""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests import repository

if TYPE_CHECKING:
    from stillroom.findings.opened import CheckedPackage

ROOT = Path(__file__).resolve().parents[1]


def table(name: str, root: Path = ROOT) -> list[dict[str, str]]:
    """Read a CSV of the package as text, without the library."""
    with (root / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.fixture(scope="session")
def schedules() -> list[dict[str, str]]:
    groups = ("fruit", "tomatoes", "vegetables", "meats-seafood", "pickles", "spreads")
    return [row for group in groups for row in table(f"schedules/{group}.csv")]


@pytest.fixture(scope="session")
def foods() -> dict[str, dict[str, str]]:
    return {row["id"]: row for row in table("schedules/foods.csv")}


@pytest.fixture(scope="session")
def pristine(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a package with few recipes and without findings, to be copied and never to be written to."""
    return repository.with_few_recipes(tmp_path_factory.mktemp("pristine"))


@pytest.fixture(scope="session")
def restored(tmp_path_factory: pytest.TempPathFactory, pristine: Path) -> repository.Restored:
    """Give the copy that :func:`copy` lends."""
    return repository.Restored(tmp_path_factory.mktemp("restored"), pristine)


@pytest.fixture
def copy(restored: repository.Restored) -> Iterator[Path]:
    """Lend a copy of the package with few recipes, alone in its folder; both are as before when the test is done."""
    yield restored.root
    restored.restore()


@pytest.fixture(scope="session")
def unspoiled(pristine: Path) -> CheckedPackage:
    """Give the pristine package as the checks read it."""
    from stillroom.findings.opened import CheckedPackage

    return CheckedPackage(str(pristine))


@pytest.fixture
def narrow(monkeypatch: pytest.MonkeyPatch, unspoiled: CheckedPackage) -> Callable[[CheckedPackage], CheckedPackage]:
    """Let Frictionless read the tables that a test edited and those beside them, not the others again and again."""
    from stillroom.findings.checks import structure

    whole = structure.by_frictionless

    def narrowed(package: CheckedPackage) -> CheckedPackage:
        return repository.edited(package, unspoiled)

    monkeypatch.setattr(structure, "by_frictionless", lambda package: whole(narrowed(package)))
    return narrowed
