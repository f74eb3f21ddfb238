"""Wording: numbers and lists as a person says them."""

from __future__ import annotations

from collections.abc import Sequence

_FRACTIONS = {
    0.125: "1/8",
    0.25: "1/4",
    0.3333: "1/3",
    0.375: "3/8",
    0.5: "1/2",
    0.625: "5/8",
    0.6667: "2/3",
    0.75: "3/4",
    0.875: "7/8",
}


def listed(words: Sequence[str], last: str = "or") -> str:
    """Join words: ``a``, ``a or b``, ``a, b or c``."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"


def amount(quantity: float) -> str:
    """Write a quantity with a kitchen fraction: 2.25 is ``2-1/4``."""
    whole = int(quantity)
    part = round(quantity - whole, 4)
    if part == 0:
        return str(whole)
    fraction = _FRACTIONS.get(part)
    if fraction is None:
        return f"{quantity:g}"
    return f"{whole}-{fraction}" if whole else fraction


def units(quantity: float, unit: str) -> str:
    """Write a quantity with its unit: ``1/2 teaspoon``, ``2 tablespoons``."""
    plural = unit if quantity <= 1 else unit + ("es" if unit.endswith("ch") else "s")
    return f"{amount(quantity)} {plural}"


def years(count: int, article: str = "a ") -> str:
    """Write a number of years: ``a year``, ``2 years``."""
    return f"{article}year" if count == 1 else f"{count} years"


def process(minutes: int, pressure_psi: int | None) -> str:
    """Write a process: ``25 minutes at 11 psi``, or ``30 minutes`` in boiling water."""
    return units(minutes, "minute") + ("" if pressure_psi is None else f" at {pressure_psi} psi")


def span(low: int, high: int | None) -> str:
    """Write an altitude band in feet."""
    if high is None:
        return f"above {low - 1:,} ft" if low else "any altitude"
    return f"{low:,} to {high:,} ft"


def height(feet: float) -> str:
    """Write an altitude in feet, to the hundredth where it has one."""
    return f"{feet:,.0f} ft" if feet == int(feet) else f"{feet:,.2f} ft"


def labeled(label: str, text: str) -> str:
    """Put a label before a text, unless the text begins with it; a part of it that the text begins with goes."""
    begins, known = text.casefold(), label.casefold()
    if begins.startswith(known) and not begins[len(known) : len(known) + 1].isalnum():
        return text
    said, colon, rest = text.partition(": ")
    if colon and said.casefold() in known.split(", "):
        text = rest
    return f"{capital(label)}: {text}"


def capital(sentence: str) -> str:
    """Begin a sentence with a capital letter, leaving the rest as it is."""
    return sentence[:1].upper() + sentence[1:]
