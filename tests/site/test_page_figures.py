"""What the page's scripts do to letters and figures, against Python's own: Unicode tables, exact fractions, difflib."""

from __future__ import annotations

import difflib
import random
import unicodedata
from fractions import Fraction

from stillroom import screen
from stillroom.answers import altitude, stems, wording
from tests.site.page import Page

CHEROKEE = range(0x13A0, 0xABC0)
"""Letters that fold to capitals; no name has one, and a word with one is refused before it is compared."""


def _known(code: int) -> bool:
    return not 0xD800 <= code < 0xE000 and not (code in CHEROKEE and "CHEROKEE" in unicodedata.name(chr(code), ""))


def test_letters_are_folded_as_in_the_library(page: Page) -> None:
    """Python's unicodedata is the reference: all letters of the first plane that both know."""
    letters = [chr(code) for code in range(0x10000) if _known(code) and unicodedata.category(chr(code)) != "Cn"]
    assert page.called("letters.plain", [[letter] for letter in letters]) == [stems.plain(one) for one in letters]
    assert page.called("letters.shown", [[letter] for letter in letters]) == [screen.shown(one) for one in letters]
    folded = [letter for letter in letters if letter.casefold() != letter]
    assert page.called("letters.folded", [[one] for one in folded]) == [one.casefold() for one in folded]
    hidden = [letter for letter in letters if not letter.isprintable()]
    assert page.called("letters.printable", [[one] for one in hidden]) == [screen.printable(one) for one in hidden]


def test_figures_are_written_as_python_writes_them(page: Page) -> None:
    chance = random.Random()
    figures = [chance.choice((1, -1)) * chance.randrange(10**7) / chance.choice((1, 2, 4, 8, 10, 100, 1000, 3))
               for _ in range(2_000)]  # fmt: skip
    figures += [0.0, 0.5, 1.5, 2.5, 0.125, 0.375, 1234565.0, 100000.5, 6308.965, 2832.905, 1e-5]
    assert page.called("numbers.general", [[one] for one in figures]) == [f"{one:g}" for one in figures]
    assert page.called("numbers.whole", [[abs(one)] for one in figures]) == [f"{abs(one):,.0f}" for one in figures]
    assert page.called("numbers.height", [[one] for one in figures]) == [wording.height(one) for one in figures]
    parts = [chance.randrange(64) / 8 for _ in range(50)] + [0.3333, 0.6667, 1.3333, 0.1, 2.6]
    assert page.called("numbers.units", [[one, "inch"] for one in parts]) == [
        wording.units(one, "inch") for one in parts
    ]


def test_meters_become_feet_to_the_last_bit(page: Page) -> None:
    """NIST Special Publication 811, appendix B.8: a foot is 0.3048 m; Python's fractions divide exactly."""
    chance = random.Random()
    said = [f"{chance.uniform(0, 9_000):.{chance.choice((0, 1, 2, 4, 7, 12))}f} m" for _ in range(1_000)]
    said += ["304.8 m", "609.6 m", "1828.8 m", "0.3048 m"]
    wanted = [float(Fraction(one.removesuffix(" m")) * 10_000 / 3_048) for one in said]
    assert [found["feet"] for found in page.called("altitude.read", [[one] for one in said])] == wanted
    assert wanted[-4:] == [1_000.0, 2_000.0, 6_000.0, 1.0]
    heights = [-500.0, 0.0, 999.9, 1_000.0, 1_000.5, 9_999.0, 30_000.0]
    assert page.called("altitude.furtherMinutes", [[one] for one in heights]) == [
        altitude.further_minutes(one) for one in heights
    ]


def test_a_height_at_an_edge_is_not_a_hair_above_it(page: Page) -> None:
    near = page.called("altitude.read", [["304.8 m"], ["304.81 m"], ["1000 ft"], ["0.3048 km"]])
    assert [found["feet"] for found in near] == [1_000.0, float(Fraction("304.81") * 10_000 / 3_048), 1_000.0, 1_000.0]


def test_likeness_is_that_of_difflib(page: Page) -> None:
    chance = random.Random()
    pairs = []
    for _ in range(1_500):
        word = "".join(chance.choice("abcderst") for _ in range(chance.randint(3, 14)))
        other = "".join(c for c in word if chance.random() < 0.85) + chance.choice(("", "s", "ed"))
        pairs.append((word, other or "x"))
    wanted = []
    for word, other in pairs:
        ratio = difflib.SequenceMatcher(None, word, other).ratio()
        known = set(word) & set(other)
        short, long = sorted((len(word), len(other)))
        unlike = short < 0.55 * long or len(known) < 0.5 * len(set(word))
        wanted.append(0 if unlike or ratio < (0.7 if word[0] == other[0] else 0.85) else ratio * 0.95)
    assert page.called("likeness.ofWords", pairs) == wanted
    assert sum(1 for one in wanted if one) > 300
