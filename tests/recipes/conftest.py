from __future__ import annotations

import csv
import json
from pathlib import Path
from typing import Any

import pytest
import yaml

ROOT = Path(__file__).resolve().parents[2]


class _Strict(yaml.SafeLoader):
    """A loader that does not let a key stand twice."""


def _mapping(loader: yaml.SafeLoader, node: yaml.MappingNode) -> dict[Any, Any]:
    keys = [loader.construct_object(key) for key, _ in node.value]  # type: ignore[no-untyped-call]
    assert len(keys) == len(set(keys)), f"{node.start_mark}: a key stands twice in {keys}"
    return loader.construct_mapping(node, deep=True)


_Strict.add_constructor(yaml.resolver.BaseResolver.DEFAULT_MAPPING_TAG, _mapping)


def rows(path: str) -> list[dict[str, str]]:
    with (ROOT / path).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file, strict=True))


@pytest.fixture(scope="session")
def table() -> Any:
    return rows


@pytest.fixture(scope="session")
def schedules() -> list[dict[str, str]]:
    groups = ("fruit", "tomatoes", "vegetables", "meats-seafood", "pickles", "spreads")
    return [row for group in groups for row in rows(f"schedules/{group}.csv")]


@pytest.fixture(scope="session")
def recipes() -> dict[str, dict[str, Any]]:
    found = {}
    for path in sorted((ROOT / "schedules/recipes").glob("*.yaml")):
        found[path.stem] = yaml.load(path.read_text(encoding="utf-8"), Loader=_Strict)
    return found


@pytest.fixture(scope="session")
def schema() -> Any:
    return json.loads((ROOT / "schema/recipe.json").read_text(encoding="utf-8"))
