"""Pipes: Markdown tables, by the rules of the GitHub Flavored Markdown Spec, 4.10 Tables (extension).

In one thing its tables are read otherwise: cells beyond those of the head, which a page does not show, are kept.
"""

from __future__ import annotations

import re
from typing import NamedTuple

_DELIMITERS = re.compile(r" {0,3}\|?[ \t]*:?-+:?[ \t]*(?:\|[ \t]*:?-+:?[ \t]*)*\|?[ \t]*")
_OTHER_BLOCK = re.compile(
    r" {0,3}(?:>|#{1,6}(?:\s|$)|```|~~~|[-+*] |[0-9]{1,9}[.)] |(?:\* *){3,}$|(?:- *){3,}$|<[!?/a-zA-Z])"
)
"""Beginning of another block, which ends a table (GFM 4.10, example 201)."""
_TOO_DEEP = re.compile(r" {4}|\t")
"""Indented so far, a line is code."""


class PipeTable(NamedTuple):
    """Where a table stands, and its cells as they are written.

    Attributes
    ----------
    start, stop : int
        Places of its first line, and of the line after its last.
    rows : list of (int, list of str)
        Place of the line and cells of each row; the row below the head is left out.
    """

    start: int
    stop: int
    rows: list[tuple[int, list[str]]]


def tables(lines: list[str]) -> list[PipeTable]:
    """Find the Markdown tables of a text.

    Parameters
    ----------
    lines : list of str

    Returns
    -------
    list of PipeTable
        In order.
    """
    found: list[PipeTable] = []
    free = 0
    for number in range(1, len(lines)):
        head = number - 1
        if head < free or not _is_head(lines[head], lines[number]):
            continue
        stop = number + 1
        while stop < len(lines) and lines[stop].strip() and not _ends(lines[stop]):
            stop += 1
        rows = [(place, cut(lines[place])) for place in (head, *range(number + 1, stop))]
        found.append(PipeTable(head, stop, rows))
        free = stop
    return found


def _is_head(head: str, delimiters: str) -> bool:
    if "|" not in head or "-" not in delimiters or not _DELIMITERS.fullmatch(delimiters):
        return False
    if _TOO_DEEP.match(head) or _TOO_DEEP.match(delimiters) or _DELIMITERS.fullmatch(head):
        return False
    return len(cut(head)) == len(cut(delimiters))


def _ends(line: str) -> bool:
    return bool(_OTHER_BLOCK.match(line)) and not line.lstrip().startswith("|")


def cut(line: str) -> list[str]:
    """Cut a row at its bars; one after a backslash is a part of its cell (GFM 4.10, example 200)."""
    line = line.strip()
    if line.startswith("|"):
        line = line[1:]
    cells, cell, at = [], [], 0
    while at < len(line):
        if line[at] == "\\" and line[at + 1 : at + 2] == "|":
            cell.append("|")
            at += 2
            continue
        if line[at] == "|":
            cells.append("".join(cell).strip())
            cell = []
        else:
            cell.append(line[at])
        at += 1
    rest = "".join(cell).strip()
    return [*cells, rest] if rest or not line.endswith("|") or not cells else cells
