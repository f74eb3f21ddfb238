"""A folder to work in and a folder for settings, both empty."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest


@pytest.fixture
def work(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Stand in an empty folder whose user has no kitchen yet."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "settings"))
    (tmp_path / "work").mkdir()
    monkeypatch.chdir(tmp_path / "work")
    return tmp_path / "work"


@pytest.fixture
def user(work: Path) -> Path:
    """Where the kitchen file of the user would lie; its folder is there."""
    (work.parent / "settings/stillroom").mkdir(parents=True)
    return work.parent / "settings/stillroom/kitchen.toml"


@pytest.fixture
def kept(work: Path) -> Callable[[str | bytes], str]:
    """Write a kitchen file beside the work and give its name."""

    def write(text: str | bytes) -> str:
        (work / "kitchen.toml").write_bytes(text if isinstance(text, bytes) else text.encode())
        return "kitchen.toml"

    return write
