"""Stems: the forms in which names are compared: plain words, and words without their endings.

``plain`` leaves the words as they are but for case, accents and punctuation. ``ordered`` brings singular and plural,
and puree and pureed, together, and keeps the order of the words; ``bag`` forgets the order and minds number alone, so
that a caption turned round is found and *tomato stew* is not taken for *stewed tomatoes*.
"""

from __future__ import annotations

import re
from functools import lru_cache

_WORD = re.compile(r"[^\W_]+")
IDLE = frozenset(("a", "an", "and", "by", "for", "from", "my", "of", "on", "or", "our", "some", "the", "to"))
"""Words that say nothing about a food. *In*, *with* and *without* do: peaches in syrup are no peach syrup."""


def plain(text: str) -> str:
    """Bring a name to the form names are compared in: lower case, no accents, words with one space between them."""
    if not text.isascii():
        import unicodedata  # most names need none of its tables

        text = "".join(c for c in unicodedata.normalize("NFKD", text) if not unicodedata.combining(c))
    return " ".join(_WORD.findall(text.casefold()))


@lru_cache(maxsize=10_000)
def _singular(word: str) -> str:
    if len(word) > 3 and not word.endswith("ss"):
        word = word.removesuffix("s")
    word = word.rstrip("e") if len(word) > 4 else word
    return word[:-1] + "i" if len(word) > 2 and word.endswith("y") else word


@lru_cache(maxsize=10_000)
def stem(word: str) -> str:
    """Bring singular and plural, and puree and pureed, together; only ever compared with another stem."""
    if len(word) > 3 and not word.endswith("ss"):
        word = word.removesuffix("s")
    if len(word) > 4 and word.endswith("ed"):
        word = word[:-1]
    return _singular(word)


def ordered(words: str) -> tuple[str, ...]:
    """Stems of a plain name in their order, without idle words."""
    return tuple(stem(word) for word in words.split() if word not in IDLE)


def bag(words: str) -> frozenset[str]:
    """Words of a plain name in the singular, in no order, without idle words."""
    return frozenset(_singular(word) for word in words.split() if word not in IDLE)
