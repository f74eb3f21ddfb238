"""Pressure: from what a person writes to psi, exactly.

One psi is one pound-force on one square inch: 0.45359237 kg times 9.80665 m/s2 on 0.0254 m squared, all three exact
(NIST Special Publication 811, 2008, appendix B.8). That is 6.894757293168361 kPa to the last digit of a float.
Fractions keep 11 psi plus 0.1 psi at 11.1 psi and not a hair above it.
"""

from __future__ import annotations

import math
import re
from fractions import Fraction
from typing import Any

from stillroom.errors import BadInput

KPA_IN_PSI = Fraction("0.45359237") * Fraction("9.80665") / Fraction("0.0254") ** 2 / 1000
"""Kilopascals in one psi, exactly."""
KPA_IN_BAR = 100
"""Kilopascals in one bar, exactly (NIST Special Publication 811, 2008, appendix B.8)."""

_WRITTEN = re.compile(
    r"([-+\u2212]?)([0-9]{1,9}(?:\.[0-9]{1,12})?|\.[0-9]{1,12}|[0-9]{1,3}/[1-9][0-9]{0,2})\s*([A-Za-z]+\.?)"
)
_PSI = frozenset(("psi", "psig", "lb", "lb.", "lbs", "pound", "pounds"))
_ACCEPTED = 'write it like "0.5 psi" or "3 kPa"'


def in_psi(written: Any, what: str = "pressure", *, bar: bool = False) -> Fraction:
    """Read a pressure or a difference of pressures.

    Parameters
    ----------
    written : str or pint quantity
        A number with its unit, psi or kPa, like ``"0.5 psi"``, ``"-1/2 psi"`` or ``"3 kPa"``.
    what : str
        What it is, for the message.
    bar : bool, optional
        Whether text may be in bar too, as the pressure of a canner is told; the error of a gauge is too small for it.

    Returns
    -------
    Fraction
        In psi, exactly as written.

    Raises
    ------
    BadInput
        No unit, no number, a bare number, or another unit.
    """
    if isinstance(written, str):
        return _from_text(written, what, bar)
    if hasattr(written, "to") and hasattr(written, "magnitude"):
        return _from_quantity(written, what)
    if isinstance(written, (int, float)) and not isinstance(written, bool):
        raise BadInput(f'{what} {written} has no unit: write "{written} psi" or "{written} kPa"')
    raise BadInput(f"{what} {written!r:.40} is neither text nor a quantity: {_ACCEPTED}")


def _from_text(text: str, what: str, bar: bool) -> Fraction:
    found = _WRITTEN.fullmatch(text.strip()) if len(text) <= 60 else None
    shown = " ".join(text.split())
    shown = shown if len(shown) <= 40 else shown[:37] + "..."
    if not shown:
        raise BadInput(f"{what} is empty: {_ACCEPTED}")
    if found is None:
        if re.fullmatch(r"[-+]?[0-9]*\.?[0-9]+", shown):
            raise BadInput(f'{what} "{shown}" has no unit: write "{shown} psi" or "{shown} kPa"')
        raise BadInput(f'{what} "{shown}" is not a number with a unit: {_ACCEPTED}')
    sign, digits, unit = found.groups()
    amount = Fraction(digits)
    if unit.casefold() == "kpa":
        amount /= KPA_IN_PSI
    elif bar and unit.casefold() == "bar":
        amount *= KPA_IN_BAR / KPA_IN_PSI
    elif unit.casefold() not in _PSI:
        others = "nor in kPa nor in bar" if bar else "nor in kPa"
        raise BadInput(f'{what} "{shown}" is neither in psi {others}: {_ACCEPTED}')
    return amount if sign in ("", "+") else -amount


def _from_quantity(quantity: Any, what: str) -> Fraction:
    try:
        size = float(quantity.to("psi").magnitude)
    except Exception as error:  # pint has its own errors; they must not reach the user
        raise BadInput(f'{what} "{quantity}" is not a pressure: {_ACCEPTED}') from error
    if not math.isfinite(size):
        raise BadInput(f'{what} "{quantity}" is not a number: {_ACCEPTED}')
    return Fraction(repr(round(size, 9)))
