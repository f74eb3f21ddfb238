"""Pressure: from what a person writes to psi, exactly.

One psi is one pound-force on one square inch: 0.45359237 kg times 9.80665 m/s2 on 0.0254 m squared, all three exact
(NIST Special Publication 811, 2008, appendix B.8). That is 6.894757293168361 kPa to the last digit of a float.
Fractions keep 11 psi plus 0.1 psi at 11.1 psi and not a hair above it.
"""

from __future__ import annotations

import re
from fractions import Fraction

from stillroom.errors import BadInput

KPA_IN_PSI = Fraction("0.45359237") * Fraction("9.80665") / Fraction("0.0254") ** 2 / 1000
"""Kilopascals in one psi, exactly."""

_WRITTEN = re.compile(r"([-+\u2212]?)([0-9]{1,9}(?:\.[0-9]{1,12})?|\.[0-9]{1,12})\s*([A-Za-z]+)")
_ACCEPTED = 'write it like "0.5 psi" or "3 kPa"'


def in_psi(written: object, what: str = "pressure") -> Fraction:
    """Read a pressure or a difference of pressures.

    Parameters
    ----------
    written : str
        A number with its unit, psi or kPa, like ``"0.5 psi"``, ``"-0.5 psi"`` or ``"3 kPa"``.
    what : str
        What it is, for the message.

    Returns
    -------
    Fraction
        In psi, exactly as written.

    Raises
    ------
    BadInput
        No unit, no number, or another unit.
    """
    if isinstance(written, (int, float)) and not isinstance(written, bool):
        raise BadInput(f'{what} {written} has no unit: write "{written} psi" or "{written} kPa"')
    shown = " ".join(str(written).split())
    shown = shown if len(shown) <= 40 else shown[:37] + "..."
    found = _WRITTEN.fullmatch(written.strip()) if isinstance(written, str) and len(written) <= 60 else None
    if found is None:
        if re.fullmatch(r"[-+]?[0-9]*\.?[0-9]+", shown):
            raise BadInput(f'{what} "{shown}" has no unit: write "{shown} psi" or "{shown} kPa"')
        raise BadInput(f'{what} "{shown}" is not a number with a unit: {_ACCEPTED}')
    sign, digits, unit = found.groups()
    amount = Fraction(digits)
    if unit.casefold() == "kpa":
        amount /= KPA_IN_PSI
    elif unit.casefold() != "psi":
        raise BadInput(f'{what} "{shown}" is neither in psi nor in kPa: {_ACCEPTED}')
    return amount if sign in ("", "+") else -amount
