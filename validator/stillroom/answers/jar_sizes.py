"""Jar sizes: from what people write for a jar, like "16 oz" or "pint and a half", to a jar, or to why there is none.

The words are data (shared/jar-words.csv); here stands only how they go together: an amount, a US measure, and words
that say no size. A sign between figures carries meaning ("1-2 pints" and "1.2 pint" are no half-pint), so that nothing
is left out before it is read. What does not go together is not read at all.

One gallon is 4 quarts, 8 pints, 16 cups, 128 US fluid ounces (NIST Handbook 44, appendix C).
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import NamedTuple

from stillroom.answers.heard import Heard
from stillroom.package.records import Jar, JarWord

LARGEST_FL_OZ = 128
LARGEST_ML = 5_000
"""Larger jars are a slip of the pen, like the size of a canner (from memory; only guards against slips)."""
SMALLEST_FL_OZ = Fraction(3, 2)
SMALLEST_ML = 25
"""Smaller ones too."""
STEP_FL_OZ = Fraction(1, 2)
"""Jars are made in whole or half fluid ounces (from memory): 1.2 pint, which may be a slip for 1/2 pint, is none."""
_COUNTED_FL_OZ = 16
"""From this measure on people count jars in it: 2 quarts may be two jars."""

_TOKEN = re.compile(
    r"(?P<mixed>[0-9]+[ -][0-9]+/[0-9]+)|(?P<fraction>[0-9]+/[0-9]+)|(?P<figure>[0-9]+(?:[.,][0-9]+)*|[.,][0-9]+)"
    r"|(?P<word>[a-z]+|#[0-9]+)|(?P<sign>\S)"
)
_PLAIN = {
    **{chr(code): chr(code - 0xFEE0) for code in range(0xFF01, 0xFF5F)},
    **dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2212\ufe63", "-"),
    **dict.fromkeys("\u2044\u2215", "/"),
}
"""Full-width signs, dashes and slashes, as a plain keyboard has them."""


class _Token(NamedTuple):
    """A piece of what was said: ``kind`` mixed, fraction, figure, word or sign."""

    text: str
    kind: str


class _Part(NamedTuple):
    """A known word or a figure: its kind in the table (``figure``, ``and`` besides), its value, and its rows."""

    kind: str
    value: Fraction
    text: str
    rows: tuple[JarWord, ...] = ()


class Sizes:
    """The words for jars of one package.

    Parameters
    ----------
    words : sequence of JarWord
    jars : sequence of Jar
    """

    def __init__(self, words: Sequence[JarWord], jars: Sequence[Jar]) -> None:
        self._rows: dict[tuple[str, ...], tuple[JarWord, ...]] = {}
        for row in words:
            key = tuple(token.text for token in _tokens(row.word))
            self._rows[key] = (*self._rows.get(key, ()), row)
        self._longest = max(map(len, self._rows), default=1)
        self._by_volume: Mapping[Fraction, str] = {Fraction(jar.volume_fl_oz): jar.id for jar in jars}

    def heard(self, said: str, shown: str) -> Heard | str:
        """Read a jar; a text instead says what is wrong, as the end of a sentence.

        Parameters
        ----------
        said : str
            What was said.
        shown : str
            The same, fit to be shown.
        """
        parts = self._parts(said)
        practice = next((part for part in parts or () if part.kind == "practice"), None)
        if practice is not None:
            return Heard((), shown, "", practice.rows[0].withheld)
        if parts is None or any(part.kind == "unknown" for part in parts):
            return ""
        if any(part.kind == "other" for part in parts):
            reason = "the processes here are for canning jars of glass, closed with two-piece lids"
            return Heard((), shown, f"{wrapped(shown)} is not tested: {reason}.")
        size = tuple(part for part in parts if part.kind not in ("filler", "open"))
        if not size:
            may_be = {row.jar for part in parts for row in part.rows if part.kind == "open"}
            ids = tuple(jar for _, jar in sorted(self._by_volume.items()) if jar in may_be)
            return Heard(ids, shown) if ids else ""
        return self._sized(size, said, shown, any(part.text == "jars" for part in parts))

    # from words to parts

    def _parts(self, said: str) -> list[_Part] | None:
        """Cut what was said into known words, longest first; None where a figure cannot be read."""
        tokens = _tokens(said)
        parts, at = [], 0
        while at < len(tokens):
            found = self._longest_at(tokens, at)
            if found:
                rows = self._rows[tuple(token.text for token in tokens[at : at + found])]
                text = " ".join(token.text for token in tokens[at : at + found])
                parts.append(_Part(rows[0].kind, _exact(rows[0].amount), text, rows))
                at += found
                continue
            token = tokens[at]
            at += 1
            if token.text in ("and", "&"):
                parts.append(_Part("and", Fraction(0), token.text))
            elif token.kind in ("word", "sign"):
                parts.append(_Part("unknown", Fraction(0), token.text))
            else:
                value = _figure(token)
                if value is None:
                    return None
                parts.append(_Part("figure", value, token.text))
        return parts

    def _longest_at(self, tokens: Sequence[_Token], at: int) -> int:
        for length in range(min(self._longest, len(tokens) - at), 0, -1):
            if tuple(token.text for token in tokens[at : at + length]) in self._rows:
                return length
        return 0

    # from parts to a size

    def _sized(self, size: tuple[_Part, ...], said: str, shown: str, several: bool) -> Heard | str:
        found = _amount(size)
        if found is None:
            return ""
        amount, unit = found
        volume = amount * unit.value
        foreign = unit.kind == "other-unit"
        comma = any("," in part.text for part in size)
        if comma and not foreign:
            return "a comma may stand for a fraction or for thousands"
        smallest, largest = (SMALLEST_ML, LARGEST_ML) if foreign else (SMALLEST_FL_OZ, LARGEST_FL_OZ)
        if not (smallest <= volume <= largest or comma) or (not foreign and volume % STEP_FL_OZ):
            return "no jar has that size"
        if foreign:
            return Heard(
                (),
                shown,
                f"{wrapped(shown)} is not tested: it is not a US jar, and the processes here are for US jars.",
            )
        jar = self._by_volume.get(volume)
        if jar is None:
            reason = f"no table here has a jar of {float(volume):g} fluid ounces"
            return Heard((), shown, f"{wrapped(shown)} is not tested: {reason}.")
        counted = amount >= 2 and amount.denominator == 1 and unit.value >= _COUNTED_FL_OZ
        if counted and (several or unit.text.endswith("s")) and f"-{unit.text}" not in said.casefold():
            return f"that may be {amount} jars, or one of {volume} fluid ounces"
        return Heard((jar,), shown)


def wrapped(shown: str) -> str:
    """Begin a sentence with what was said."""
    return f'Jar "{shown}"'


def _amount(size: tuple[_Part, ...]) -> tuple[Fraction, _Part] | None:
    """How many of which measure; None where the words do not go together."""
    at = next((n for n, part in enumerate(size) if part.kind.endswith("-unit")), None)
    if at is None:
        return None
    before = _number(size[:at])
    after = size[at + 1 :]
    if before is None or not after:
        return None if before is None else (before, size[at])
    if len(after) != 2 or after[0].kind != "and" or not 0 < after[1].value < 1 or before.denominator != 1:
        return None
    return (before + after[1].value, size[at]) if after[1].kind in ("number", "figure") else None


def _number(parts: tuple[_Part, ...]) -> Fraction | None:
    """One number: a figure, a word, one figure and a half, or one half; 1 where there is none."""
    if not parts:
        return Fraction(1)
    if any(part.kind not in ("figure", "number", "and") for part in parts) or parts[0].kind == "and":
        return None
    if len(parts) == 1:
        return parts[0].value
    last = parts[-1]
    if not 0 < last.value < 1 or parts[0].value.denominator != 1:
        return None
    if len(parts) == 3 and parts[1].kind == "and":
        return parts[0].value + last.value
    return last.value if len(parts) == 2 and parts[0].value == 1 and last.kind == "number" else None


# from text to tokens


def _tokens(said: str) -> list[_Token]:
    """Cut a text into figures, words and signs. A sign that joins words, or ends one, is left out; others stay."""
    spelled = " ".join("".join(_spelled(c) for c in said).casefold().split())
    dotted = re.sub(r"\b((?:[a-z]\.){2,})", lambda found: found[1].replace(".", "") + " ", spelled)
    tokens = [_Token(found[0], str(found.lastgroup)) for found in _TOKEN.finditer(dotted)]
    kept = []
    for at, token in enumerate(tokens):
        before = tokens[at - 1].kind if at else ""
        after = tokens[at + 1].kind if at + 1 < len(tokens) else ""
        if token.kind != "sign" or not _is_joint(token.text, before, after):
            kept.append(token)
    return kept


def _spelled(char: str) -> str:
    """A character as a plain keyboard has it: a fraction in two figures, with a space on both sides."""
    if char in _PLAIN:
        return _PLAIN[char]
    if char.isascii():
        return char
    if unicodedata.category(char) == "Zs":
        return " "
    apart = unicodedata.normalize("NFKD", char)
    if "\u2044" in apart:
        return f" {apart.replace(chr(0x2044), '/')} "
    return char


def _is_joint(sign: str, before: str, after: str) -> bool:
    """Whether a sign only joins: a hyphen, comma or bracket beside a word, a dot after one."""
    if sign == ".":
        return before == "word"
    if sign == "-":
        return (before != "" and after == "word") or (before == "word" and after not in ("", "sign"))
    return (sign == "," and before == "word" and after == "word") or (sign in "()" and "word" in (before, after))


def _figure(token: _Token) -> Fraction | None:
    """Value of a figure; None where it is not one that a person reads in one way."""
    if len(token.text) > 12:
        return None
    if token.kind == "figure":
        parts = re.split("[.,]", token.text)
        if len(parts) > 2 or token.text.startswith(","):
            return None
        return Fraction(token.text.replace(",", "."))
    whole, _, part = token.text.replace("-", " ").rpartition(" ")
    top, _, bottom = part.partition("/")
    if not 0 < int(top) < int(bottom):
        return None
    return int(whole or 0) + Fraction(int(top), int(bottom))


def _exact(amount: float | None) -> Fraction:
    return Fraction(0) if amount is None else Fraction(str(amount))
