from __future__ import annotations

import pytest

import stillroom
from stillroom.site import data
from tests.node import NODE
from tests.site.page import Page


@pytest.fixture(scope="session")
def data_script() -> str:
    return data.script(stillroom.shelf())


@pytest.fixture(scope="session")
def page(data_script: str, tmp_path_factory: pytest.TempPathFactory) -> Page:
    if NODE is None:
        pytest.skip("node is not here")
    return Page(tmp_path_factory.mktemp("page"), data_script)
