"""Notation: what people write in a cell, brought to plain signs: dashes, fractions, spaces, footnote marks, figures."""

from __future__ import annotations

import re
import unicodedata
from fractions import Fraction
from functools import lru_cache

NUMBER = r"(?:[0-9]{1,3}(?:,[0-9]{3})+|[0-9]+)(?:\.[0-9]+)?"
"""Pattern of a figure, with or without commas between thousands."""
LONGEST_FIGURE = 15
"""Signs of a figure; a longer one is none."""
_DASHES = dict.fromkeys(map(ord, "\u2010\u2011\u2012\u2013\u2014\u2015\u2212\ufe58\ufe63\uff0d"), "-")
_SLASHES = dict.fromkeys(map(ord, "\u2044\u2215\uff0f"), "/")
_QUOTES = dict.fromkeys(map(ord, "\u2019\u2018\u2032\u00b4`"), "'")
_DOUBLE = dict.fromkeys(map(ord, "\u201c\u201d\u2033"), '"')
_PLAIN = {**_DASHES, **_SLASHES, **_QUOTES, **_DOUBLE, ord("\u00d7"): "x"}
_MARKS = re.compile(
    "[*\u2020\u2021\u00a7\u00b6\u2051\u2042\u25ca\u2022]+|\\[[0-9a-z]{1,2}\\]|\\(\\s*[*\u2020\u2021]+\\s*\\)"
)
_LAST_MARK = re.compile(r"(?<=\S)\s*\((?:[0-9]{1,2}|[a-z])\)\s*$", re.IGNORECASE)
_ONE_LETTER = re.compile(r"^([0-9]+(?:\.[0-9]+)?)[a-e]$", re.IGNORECASE)
_MIXED = re.compile(r"^(?:([0-9]+)[ -]+)?([0-9]+)/([0-9]+)$")


@lru_cache(maxsize=20_000)
def folded(text: str) -> str:
    """Bring a text to plain signs, without footnote marks: raised figures, stars, daggers, ``[1]``, ``(a)``.

    A raised figure is a mark and never a digit: 35 with a raised 1 is 35.
    """
    out = text if text.isascii() else "".join(map(_spelled, text.translate(_PLAIN)))
    out = _MARKS.sub("", out)
    out = _LAST_MARK.sub("", out)
    lines = (" ".join(line.split()) for line in out.split("\n"))
    whole = "\n".join(line for line in lines if line)
    return _ONE_LETTER.sub(r"\1", whole)


def _spelled(char: str) -> str:
    if char.isascii():
        return char
    apart = unicodedata.decomposition(char)
    if apart.startswith("<super>"):
        return ""
    if apart.startswith("<fraction>"):
        return f" {unicodedata.normalize('NFKD', char).replace(chr(0x2044), '/')} "
    kind = unicodedata.category(char)
    if kind in ("Zs", "Cf", "Cc"):
        return "\n" if char == "\n" else "" if kind == "Cf" else " "
    return unicodedata.normalize("NFKC", char)


def marked(text: str) -> bool:
    """Whether a text begins like a footnote: with a star, a dagger, a raised figure, or a figure in brackets."""
    start = text.lstrip()
    return bool(
        start
        and (
            start[0] in "*\u2020\u2021\u00a7\u00b6#"
            or unicodedata.decomposition(start[0]).startswith("<super>")
            or re.match(r"(?:\[[0-9a-z]{1,2}\]|\([0-9a-z]{1,2}\)|[0-9a-e][.)])\s*\S", start)
        )
    )


def number(text: str) -> Fraction | None:
    """Read a figure: ``1,000``, ``35``, ``12.5``, ``1/2``, ``1 1/2``, ``1-1/2``; None where it is none."""
    said = text.strip()
    mixed = _MIXED.fullmatch(said) if len(said) <= LONGEST_FIGURE else None
    if mixed:
        whole, top, bottom = int(mixed[1] or 0), int(mixed[2]), int(mixed[3])
        return whole + Fraction(top, bottom) if 0 < top < bottom else None
    if not re.fullmatch(NUMBER, said) or len(said) > LONGEST_FIGURE:
        return None
    return Fraction(said.replace(",", ""))


def shown(value: Fraction) -> str:
    """Write a figure: whole, or with its decimals."""
    return str(value.numerator) if value.denominator == 1 else f"{float(value):g}"
