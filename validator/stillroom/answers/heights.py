"""Heights: a figure in a unit of length as feet, in whole numbers, and how a message shows it."""

from __future__ import annotations

from stillroom import screen

FOOT = (1, 1)
METER = (10_000, 3_048)
"""Feet in a unit, as a numerator and a denominator."""
ACCEPTED = 'write it like "1650 ft" or "503 m"'


def in_whole_numbers(digits: str, unit: tuple[int, int], inches: int = 0) -> float:
    """Convert a figure to feet; only the last step rounds.

    Parameters
    ----------
    digits : str
        Digits with a dot before the decimals, commas and spaces between thousands.
    unit : tuple of int
        Feet in the unit, as a numerator and a denominator.
    inches : int
        Inches besides.
    """
    whole, _, decimals = digits.replace(",", "").replace(" ", "").partition(".")
    numerator, denominator = int(whole + decimals) * unit[0], 10 ** len(decimals) * unit[1]
    feet: float = (numerator * 12 + inches * denominator) / (denominator * 12)
    return feet


def shown(text: str) -> str:
    """Write an altitude for a message, on one line."""
    return screen.shown(" ".join(text.split()))
