"""Measures: the measures of a kitchen, US customary, each as so many of another.

3 teaspoons make a tablespoon, 16 tablespoons a cup, 2 cups a pint, 2 pints a quart, 4 quarts a gallon (NIST Handbook
44, appendix C, general tables of units of measurement).
"""

from __future__ import annotations

TEASPOONS = {"teaspoon": 1, "tablespoon": 3, "cup": 48, "pint": 96, "quart": 192, "gallon": 768}
"""Teaspoons in each measure of volume."""


def in_one(small: str, large: str) -> int:
    """Tell how many of a measure make one of a larger one, like 16 tablespoons to a cup.

    Raises
    ------
    KeyError
        No measure of volume.
    """
    return TEASPOONS[large] // TEASPOONS[small]


def cups(number: float, unit: str) -> float:
    """Give a volume in cups.

    Raises
    ------
    KeyError
        No measure of volume.
    """
    return number * TEASPOONS[unit] / TEASPOONS["cup"]
