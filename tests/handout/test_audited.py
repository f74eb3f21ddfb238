"""A handout of ours is read back by the audit of foreign tables without a finding, and with nothing unread."""

from __future__ import annotations

from pathlib import Path

import pytest

import stillroom
from stillroom.commands.main import main


@pytest.mark.parametrize("form", ["md", "html", "csv", "xlsx"])
@pytest.mark.parametrize(
    "more", [(), ("--at", "1650 ft"), ("--bands", "0-3,000 ft, 3,001-8,000 ft")], ids=["as printed", "at", "merged"]
)
def test_the_audit_of_every_food_is_clean(form: str, more: tuple[str, ...], tmp_path: Path) -> None:
    path = tmp_path / f"own.{form}"
    assert main(["table", "--all", "--to", form, *more, "--out", str(path)]) == 0
    found = stillroom.audit(path)
    assert [(each.verdict, each.row, each.column, each.cell) for each in found.findings] == []
    assert found.counts["same"] > 400
    assert found.ok
