"""The edit campaign in small: the package with few recipes, copied and read once."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.benchmarks.edit_campaign import Campaign


@pytest.fixture(scope="session")
def campaign(pristine: Path, tmp_path_factory: pytest.TempPathFactory) -> Campaign:
    """Give a campaign, which asserts that no check objects to the package as it is."""
    return Campaign(tmp_path_factory.mktemp("campaign"), pristine)
