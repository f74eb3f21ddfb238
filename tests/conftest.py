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


@pytest.fixture(scope="session", autouse=True)
def no_kitchen(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Keep the kitchen file of whoever runs the tests out of them, also out of the commands they start."""
    if Path("kitchen.toml").exists():
        pytest.exit("kitchen.toml in this folder would answer in the tests: run them from another folder", 4)
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CONFIG_HOME", str(tmp_path_factory.mktemp("settings")))
        yield


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


Narrow = Callable[["CheckedPackage"], "CheckedPackage"]


@pytest.fixture
def narrow(monkeypatch: pytest.MonkeyPatch, unspoiled: CheckedPackage) -> Narrow:
    """Let Frictionless read the tables that a test edited and those beside them, not the others again and again."""
    return narrowed(monkeypatch, unspoiled)


@pytest.fixture(scope="module")
def narrow_for_all(unspoiled: CheckedPackage) -> Iterator[None]:
    """Let Frictionless read so in every test of a module, and in what the module makes once."""
    with pytest.MonkeyPatch.context() as patch:
        narrowed(patch, unspoiled)
        yield


def narrowed(patch: pytest.MonkeyPatch, unspoiled: CheckedPackage) -> Narrow:
    """Put a Frictionless that reads edited tables in the place of the whole one; give what it is handed."""
    from stillroom.findings.checks import structure

    whole = structure.by_frictionless

    def narrow(package: CheckedPackage) -> CheckedPackage:
        return repository.edited(package, unspoiled)

    patch.setattr(structure, "by_frictionless", lambda package: whole(narrow(package)))
    return narrow
