"""Facets: what a head, a title, a section or a label says of its cells: pack, jar, canner, altitude, pressure, kind.

The words are data: those of jars, canners and packs in their tables, those of heads in shared/head-words.csv. What is
left of a text when all that is understood has been taken out stands in ``left``; a food is looked for there alone.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from functools import cached_property
from typing import NamedTuple

from stillroom.answers.shelf import Shelf
from stillroom.answers.stems import IDLE, plain
from stillroom.errors import BadInput
from stillroom.foreign import notation, spans
from stillroom.foreign.figures import Pressure
from stillroom.foreign.spans import Said, Span

UNITS = frozenset(("feet", "meters", "inches", "centimeters", "hours", "kpa"))
_PRESSURE = re.compile(
    rf"(?<![\w.,/])({notation.NUMBER})[ -]?(psig|psi|lbs?\b\.?|pounds?|#|kpa)(?:[ -](?:of )?pressure)?(?![\w])"
)
_WEIGHT = re.compile(r"(?<![0-9.,])([0-9]{1,2})[ -]?(?:psi|lbs?|pounds?)[ -]weight")
_WORD = re.compile(r"[0-9]+(?:[./,][0-9]+)*|[a-z]+|[^\sa-z0-9]")
_SIZES = frozenset(
    ("pint", "pints", "pt", "pts", "qt", "qts", "quart", "quarts", "gallon", "gallons", "gal", "oz", "ounce", "ounces")
) | {"ml", "l", "liter", "liters"}
_LONGEST_JAR = 6
_JOINTS = frozenset(("or", "and", "&", "/", ",", "-", "(", ")", ":", ";", ".", "'", '"', "+", "|", "=", "%"))


class Facets(NamedTuple):
    """What a text says.

    Attributes
    ----------
    packs, jars, canners : tuple of str
        Ids; empty where nothing is said of it.
    jar_words, practices : tuple of str
        Words for jars that nobody tested; ids of withheld practices that are named in place of a canner.
    spans : tuple of Said
        Altitudes.
    pressure : Pressure or None
    kinds : frozenset of str
        What the column holds, and units: words of shared/head-words.csv.
    left : str
        What was not understood, in plain words; blank where all was.
    named : str
        What says nothing of pack, jar, canner, altitude or pressure: words in which a food may be named.
    """

    packs: tuple[str, ...] = ()
    jars: tuple[str, ...] = ()
    canners: tuple[str, ...] = ()
    jar_words: tuple[str, ...] = ()
    practices: tuple[str, ...] = ()
    spans: tuple[Said, ...] = ()
    pressure: Pressure | None = None
    kinds: frozenset[str] = frozenset()
    left: str = ""
    named: str = ""

    @property
    def names(self) -> bool:
        """Whether there are words in which a food may be named."""
        return any(word not in IDLE and word not in _JOINTS for word in self.named.split())

    @property
    def says(self) -> bool:
        """Whether it says anything of pack, jar, canner, altitude or pressure."""
        return bool(self.packs or self.jars or self.canners or self.jar_words or self.practices or self.spans) or (
            self.pressure is not None
        )


class Vocabulary:
    """Reads texts with the words of one shelf; keeps what it has read.

    Parameters
    ----------
    shelf : Shelf
    """

    def __init__(self, shelf: Shelf) -> None:
        self.shelf = shelf
        self._read: dict[str, Facets] = {}
        self._jars: dict[str, tuple[tuple[str, ...], str] | None] = {}
        self.edges = tuple(sorted({row.altitude_to_ft for row in shelf.package.altitude_bands if row.altitude_to_ft}))

    @cached_property
    def boiled(self) -> list[set[Span]]:
        """The sets of altitude bands that are printed for boiling water."""
        sets: dict[str, set[Span]] = {}
        for row in self.shelf.package.altitude_bands:
            if row.band_set.startswith("boiling-water"):
                low = float(row.altitude_from_ft - 1) if row.altitude_from_ft else None
                high = None if row.altitude_to_ft is None else float(row.altitude_to_ft)
                sets.setdefault(f"{row.source} {row.band_set}", set()).add(Span(low, high))
        return list(sets.values())

    def agree(self, said: Sequence[Said]) -> bool:
        """Whether altitudes are one and the same, in other units."""
        return len({spans.in_feet(one, one.unit, self.edges) for one in said if one.unit}) < 2

    def read(self, text: str) -> Facets:
        """Read a text as it stands."""
        if text not in self._read:
            self._read[text] = self._facets(notation.folded(text).replace("\n", " "))
        return self._read[text]

    def _facets(self, folded: str) -> Facets:
        said, rest = spans.found(folded)
        text = rest.casefold()
        pressure = None
        hits = [hit for hit in _PRESSURE.finditer(text) if len(hit[1]) <= notation.LONGEST_FIGURE]
        kinds: set[str] = set()
        weight = _WEIGHT.search(text)
        if weight:
            pressure = Pressure(Fraction(weight[1]))
        elif hits:
            values = [Pressure(Fraction(hit[1].replace(",", "")), hit[2] == "kpa") for hit in hits]
            if len(values) == 1 or all(one.is_psi(round(values[0].psi())) for one in values):
                pressure, text = values[0], _PRESSURE.sub(" ", text)
        return self._words(text, said, pressure, kinds)

    def _words(self, text: str, said: tuple[Said, ...], pressure: Pressure | None, kinds: set[str]) -> Facets:
        tokens = _WORD.findall(text)
        found: dict[str, list[str]] = {"pack": [], "jar": [], "canner": [], "open": [], "jar_word": [], "practice": []}
        left: list[str] = []
        named: list[str] = []
        at = 0
        while at < len(tokens):
            before = sum(map(len, found.values()))
            taken = self._jar(tokens, at, found) or self._known(tokens, at, found, kinds)
            if not taken:
                if tokens[at] not in _JOINTS:
                    left.append(tokens[at])
                taken = 1
            if sum(map(len, found.values())) == before:
                named += tokens[at : at + taken]
            at += taken
        return Facets(
            _once(found["pack"]),
            _once(found["jar"]),
            _once(found["canner"]) or _once(found["open"]),
            _once(found["jar_word"]),
            _once(found["practice"]),
            said,
            pressure,
            frozenset(kinds),
            " ".join(left),
            " ".join(named),
        )

    def _jar(self, tokens: list[str], at: int, found: dict[str, list[str]]) -> int:
        """Read a size of jar that begins here, the longest there is; how many tokens it takes."""
        for length in range(min(_LONGEST_JAR, len(tokens) - at), 0, -1):
            window = tokens[at : at + length]
            if not _SIZES.intersection(window) or window[-1] in _JOINTS or window[0] in ("or", "and", "&", ",", "-"):
                continue
            heard = self._heard_jar(" ".join(window))
            if heard is not None:
                found["jar"].extend(heard[0])
                if heard[1]:
                    found["jar_word"].append(heard[1])
                return length
        return 0

    def _heard_jar(self, words: str) -> tuple[tuple[str, ...], str] | None:
        if words not in self._jars:
            try:
                heard = self.shelf.words.jar(words)
                self._jars[words] = (heard.ids, "" if heard.ids else words)
            except BadInput:
                self._jars[words] = None
        return self._jars[words]

    def _known(self, tokens: list[str], at: int, found: dict[str, list[str]], kinds: set[str]) -> int:
        """Read a word for a pack, a canner or a kind that begins here; how many tokens it takes."""
        for length in range(min(self._longest, len(tokens) - at), 0, -1):
            window = [token for token in tokens[at : at + length] if token not in ("-", "/", ".", "'", "(", ")", ",")]
            if not window or tokens[at] in _JOINTS - {"or", "and"} or tokens[at + length - 1] in ("-", "/", "(", ","):
                continue
            means = self._lexicon.get(" ".join(window))
            if means is not None:
                left_open = sum(what == "canner" for what, _ in means) > 1
                for what, which in means:
                    if what == "kind":
                        kinds.add(which)
                    else:
                        found["open" if what == "canner" and left_open else what].append(which)
                return length
        return 0

    @cached_property
    def _lexicon(self) -> Mapping[str, tuple[tuple[str, str], ...]]:
        means: dict[str, tuple[tuple[str, str], ...]] = {
            row.word: () if row.means == "idle" else (("kind", row.means),) for row in self.shelf.package.head_words
        }
        packs = [(row.word, row.pack) for row in self.shelf.package.pack_words]
        packs += [(word, pack) for pack in ("hot", "raw") for word in (pack, f"{pack} pack", f"{pack} packed")]
        for word, pack in packs:
            if word not in means:
                means[word] = (("pack", pack),)
        for row in self.shelf.package.canner_words:
            if row.kind == "word" and (row.word not in means or row.canner):
                which = ("canner", row.canner) if row.canner else ("practice", row.withheld)
                before = tuple(one for one in means.get(row.word, ()) if one[0] == "canner")
                means[row.word] = (*before, which)
        for canner in self.shelf.canners.values():
            for word in (plain(canner.id), plain(canner.title)):
                means[word] = (("canner", canner.id),)
        return means

    @cached_property
    def _longest(self) -> int:
        return max(len(word.split()) for word in self._lexicon)


def _once(values: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(values))
