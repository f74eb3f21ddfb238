from __future__ import annotations

from typing import Any

import pytest

PRINTED: dict[str, dict[str, tuple[float, str]]] = {
    "chile-salsa": {"tomatoes": (5, "pound"), "chile peppers": (2, "pound"), "onions": (1, "pound")},  # 3-21
    "chile-salsa-ii": {"tomatoes": (10, "cup"), "chile peppers": (6, "cup"), "onions": (4, "cup")},  # 3-22
    "tomatillo-green-salsa": {
        "tomatillos": (5, "cup"), "long green chiles": (1.5, "cup"), "jalapeño peppers": (0.5, "cup"),
        "onions": (4, "cup"), "garlic": (6, "clove"),
    },  # 3-22
    "tomato-salsa-paste-tomatoes": {
        "tomatoes": (7, "quart"), "long green chiles": (4, "cup"), "onion": (5, "cup"),
        "jalapeño peppers": (0.5, "cup"), "garlic": (6, "clove"), "fresh cilantro": (2, "tablespoon"),
    },  # 3-23
    "tomato-salsa-slicing-tomatoes": {
        "tomatoes": (4, "cup"), "long green chiles": (2, "cup"), "jalapeño peppers": (0.5, "cup"),
        "onion": (0.75, "cup"), "garlic": (4, "clove"), "fresh cilantro": (1, "tablespoon"),
    },  # 3-24
    "tomato-green-chile-salsa": {
        "tomatoes": (3, "cup"), "long green chiles": (3, "cup"), "onions": (0.75, "cup"),
        "jalapeño pepper": (1, "count"), "garlic": (6, "clove"),
    },  # 3-24
    "tomato-paste-salsa": {
        "slicing tomatoes": (3, "quart"), "onions": (3, "cup"), "jalapeño peppers": (6, "count"),
        "long green chiles": (4, "count"), "garlic": (4, "clove"), "canned tomato paste": (2, "can"),
    },  # 3-25
    "spaghetti-sauce-without-meat": {
        "tomatoes": (30, "pound"), "onions": (1, "cup"), "garlic": (5, "clove"),
        "celery or green peppers": (1, "cup"), "fresh mushrooms": (1, "pound"),
    },  # 3-13
    "spaghetti-sauce-with-meat": {
        "tomatoes": (30, "pound"), "ground beef or sausage": (2.5, "pound"), "garlic": (5, "clove"),
        "onions": (1, "cup"), "celery or green peppers": (1, "cup"), "fresh mushrooms": (1, "pound"),
    },  # 3-14
    "easy-hot-sauce": {"canned diced tomatoes with their juice": (8, "cup"), "serrano peppers": (1.5, "cup")},  # 3-16
    "cayenne-pepper-sauce": {
        "hot peppers": (3, "pound"), "garlic": (0.3333, "cup"), "onion": (4, "cup"), "cilantro": (0.3333, "cup"),
        "canned diced tomatoes": (3, "can"),
    },  # 3-17
    "tomato-ketchup": {"ripe tomatoes": (24, "pound"), "onions": (3, "cup")},  # 3-17
    "country-western-ketchup": {"ripe tomatoes": (24, "pound"), "chile peppers": (5, "count")},  # 3-18
    "blender-ketchup": {
        "ripe tomatoes": (24, "pound"), "onions": (2, "pound"), "sweet red peppers": (1, "pound"),
        "sweet green peppers": (1, "pound"),
    },  # 3-18
}  # fmt: skip
"""Tomatoes and low-acid food of the tomato mixtures, read from the pages once more, apart from the recipe files."""


@pytest.mark.parametrize("food", PRINTED)
def test_tomatoes_and_low_acid_food_are_as_printed(recipes: Any, food: str) -> None:
    lines = [line for line in recipes[food]["ingredients"] if line["role"] in ("main", "low-acid")]
    assert {line["name"]: (line["quantity"], line["unit"]) for line in lines} == PRINTED[food]
