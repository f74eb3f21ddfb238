from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

import stillroom
from stillroom.site import book, folder
from tests import browser


@pytest.fixture(scope="session")
def made() -> dict[str, bytes]:
    """The book of the published package, every file by its place."""
    return book.contents(stillroom.shelf())


@pytest.fixture(scope="session")
def site(made: dict[str, bytes], tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The book in a folder, as the command writes it."""
    out = tmp_path_factory.mktemp("book") / "out"
    folder.write(str(out), made)
    return out


@pytest.fixture(scope="module")
def chromium() -> Iterator[Any]:
    with browser.opened() as opened:
        yield opened
