"""Titles: what the lines above a table say for all of it, and which lines are notes to be read by a person."""

from __future__ import annotations

from collections.abc import Iterable

from stillroom.answers import stems
from stillroom.answers.answer import Stated
from stillroom.answers.shelf import Shelf
from stillroom.foreign import notation
from stillroom.foreign.audited import ReadYourself
from stillroom.foreign.columns import under
from stillroom.foreign.facets import Facets, Vocabulary
from stillroom.foreign.layout import LONGEST_TITLE

_PRACTICE = "practice"
_AGAINST = frozenset(
    ("never", "not", "no", "don", "dont", "avoid", "unsafe", "cannot", "dangerous", "instead", "without", "nor", "stop")
)
"""Words with which a text speaks against what it names (common practice, no source)."""
_LONGEST_PRACTICE = 5
_SHORT = 8
"""Words of a title whose pack and jar are taken; a longer one only mentions them (common practice, no source)."""


_LEFT = 4
"""Words of a title, beside those of heads, that may name a food (common practice, no source)."""


def is_note(text: str, words: Vocabulary) -> bool:
    """Whether a line above a table is no title: marked like a footnote, long, or a sentence of other things."""
    sentence = text.rstrip().endswith((".", "!")) and len(words.read(text).left.split()) > _LEFT
    return sentence or notation.marked(text) or len(text.split()) > LONGEST_TITLE


def context(titles: Iterable[str], words: Vocabulary) -> Facets:
    """Put together what titles say of canner, altitude and units; of pack and jar only a short one."""
    out = Facets()
    for text in titles:
        facets = words.read(text)
        if len(text.split()) > _SHORT:
            facets = facets._replace(packs=(), jars=(), jar_words=())
        if not words.agree(facets.spans):
            facets = facets._replace(spans=())
        out = under(out, facets._replace(left="", named="", practices=()))
    return out._replace(kinds=out.kinds - {"food", "jar", "pack", "group", "note", "page"})


class Warnings:
    """Finds what is withheld in the words of notes.

    Parameters
    ----------
    shelf : Shelf
    words : Vocabulary
    """

    def __init__(self, shelf: Shelf, words: Vocabulary) -> None:
        self._shelf, self._words = shelf, words
        self._entries = {entry.id: entry for entry in shelf.package.withheld}
        practices = {entry.id for entry in shelf.package.withheld if entry.kind == _PRACTICE}
        self._names = {
            stems.ordered(stems.plain(row.alias)): row.withheld
            for row in shelf.package.withheld_names
            if row.withheld in practices
        }

    def urged(self, text: str) -> str:
        """Id of a withheld practice that a text names without a word against it; blank where it names none."""
        practices = self._words.read(text).practices
        which = practices[0] if practices else self._named(text)
        entry = self._entries.get(which)
        against = _AGAINST.intersection(stems.plain(notation.folded(text)).split())
        return which if entry is not None and entry.code == "withheld" and not against else ""

    def of(self, text: str) -> Stated | None:
        """Say what of a text is withheld, with its reason and page; None where nothing is."""
        practices = self._words.read(text).practices
        which = practices[0] if practices else self._named(text)
        if which:
            entry = self._entries[which]
            cited = self._shelf.cite(entry.page, entry.source)
            return Stated(which, f"{entry.title}: {entry.reason}", cited, entry.page)
        if "steam" in self._words.read(text).canners:
            by_rule = next(canner for canner in self._shelf.canners.values() if canner.by_rule)
            return self._shelf.rules.stated(by_rule.by_rule)
        return None

    def _named(self, text: str) -> str:
        asked = stems.ordered(stems.plain(notation.folded(text)))
        for length in range(min(_LONGEST_PRACTICE, len(asked)), 0, -1):
            for at in range(len(asked) - length + 1):
                which = self._names.get(asked[at : at + length])
                if which:
                    return which
        return ""

    def notes(self, lines: Iterable[tuple[int, str]]) -> tuple[ReadYourself, ...]:
        """Lay out notes with what they name."""
        return tuple(ReadYourself(line, " ".join(text.split()), self.of(text)) for line, text in lines)
