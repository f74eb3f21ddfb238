"""Jar volume: what the id of a jar says it holds."""

from __future__ import annotations

FLUID_OUNCES = {"ounce": 1, "pint": 16, "quart": 32, "gallon": 128}
"""Fluid ounces (US) in each measure (NIST Handbook 44, appendix C)."""


def volume(jar: str) -> float | None:
    """Volume that a jar's id names, fluid ounces: 8 for ``half-pint``, 24 for ``pint-and-half``; None if none."""
    words = jar.split("-")
    measure = next((word for word in words if word in FLUID_OUNCES), None)
    if measure is None:
        return None
    number = next((int(word) for word in words if word.isdigit()), 1)
    share = 1.5 if words[-1] == "half" else 0.5 if words[0] == "half" else 1.0
    return FLUID_OUNCES[measure] * number * share
