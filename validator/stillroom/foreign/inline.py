"""Inline: what Markdown writes within a cell, as the text that a reader of the page sees."""

from __future__ import annotations

import re
from html import unescape

_CODE = re.compile(r"(?<!`)(`+)(?!`)(.*?)(?<!`)\1(?!`)", re.DOTALL)
_ESCAPED = re.compile(r"\\([!-/:-@\[-`{-~])")
_BREAK = re.compile(r"<br\s*/?>", re.IGNORECASE)
_MARK = re.compile(r"\s*<sup\b[^>]*>\s*([^<]*?)\s*</sup\s*>", re.IGNORECASE)
_FOOTNOTE = re.compile(r"\s*\[\^([^\]\s]{1,40})\]")
_LINK = re.compile(r"!?\[([^\[\]]*)\]\((?:<[^<>]*>|[^()\s]*)(?:\s+(?:\"[^\"]*\"|'[^']*'))?\s*\)|<(https?:[^<>\s]+)>")
_TAG = re.compile(r"</?[a-zA-Z][a-zA-Z0-9-]*(?:\s[^<>]*)?/?>|<!--.*?-->")
_STRUCK = re.compile(r"<(s|del|strike)\b[^>]*>(.*?)</\1\s*>", re.IGNORECASE)
_EMPHASIS = tuple(
    re.compile(rf"(?<![\w{mark}])[{mark}]{{{n}}}(?![\s{mark}])([^{mark}]*?)(?<!\s)[{mark}]{{{n}}}(?![\w{mark}])")
    for n in (3, 2, 1)
    for mark in "*_"
)
"""Never within a word: ``35*1*`` would become 351."""
_HELD = "\ue000{}\ue001"
_HOLD = re.compile("\ue000([0-9]+)\ue001")
_KEPT = re.compile("[\ue000\ue001]")


def plain(text: str) -> str:
    """Write Markdown as plain text: words of links, emphasis and code, breaks as ``\\n``, footnote marks as `` [1]``.

    Parameters
    ----------
    text : str
        A cell or a line, with its escapes.

    Returns
    -------
    str
        What is struck out stands between ``~~``, so that nobody takes it for what is meant.
    """
    if not re.search(r"[\\`*_~<&\[\ue000\ue001]", text):
        return text
    held: list[str] = []

    def hold(words: str) -> str:
        held.append(words)
        return _HELD.format(len(held) - 1)

    text = _KEPT.sub("\ufffd", text)
    text = _CODE.sub(lambda found: hold(found[2].strip() or found[2]), text)
    text = _ESCAPED.sub(lambda found: hold(found[1]), text)
    text = _BREAK.sub("\n", text)
    text = _MARK.sub(r" [\1]", text)
    text = _FOOTNOTE.sub(r" [\1]", text)
    text = _LINK.sub(lambda found: found[1] if found[2] is None else found[2], text)
    text = _STRUCK.sub(r"~~\2~~", text)
    text = _TAG.sub("", text)
    for pattern in (*_EMPHASIS, *_EMPHASIS):  # once more for one within another
        text = pattern.sub(r"\1", text)
    return _HOLD.sub(lambda found: held[int(found[1])], unescape(text))


def struck(text: str) -> str | None:
    """Give the words of a cell that is struck out as a whole; None for any other."""
    if len(text) > 4 and text.startswith("~~") and text.endswith("~~") and "~~" not in text[2:-2]:
        return text[2:-2].strip() or None
    return None
