"""The edit campaign, loaded from the benchmark that runs it in full."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path
from types import ModuleType

import pytest

SCRIPT = Path(__file__).resolve().parents[1] / "benchmarks" / "edit_campaign.py"


@pytest.fixture(scope="session")
def campaign() -> ModuleType:
    spec = importlib.util.spec_from_file_location("edit_campaign", SCRIPT)
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["edit_campaign"] = module
    spec.loader.exec_module(module)
    return module
