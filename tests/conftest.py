"""What several tests need: the package under test, and its tables as plain text rows."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

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
