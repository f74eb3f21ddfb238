"""Gutters: text tables whose columns are kept apart by white space, found from all their lines together."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from itertools import pairwise
from typing import NamedTuple

from stillroom.foreign.ruled import is_rule
from stillroom.foreign.wraps import goes_on, is_figure, joined

_GAP = re.compile(r"[ \u00a0\u2000-\u200a\u3000]{2,}")
_SENTENCE = re.compile(r"[a-z]{4,}[.?!:]$")
"""How a sentence ends, after which some write two spaces; a unit with a point is shorter."""
_MOST_LOOKED_AT = 200
_MOST_COUNTS = 8
"""Numbers of columns that are tried, the largest first."""
_FITTING = 0.6
"""Share of the lines whose parts must each have a column of their own: heads over several need not."""


class Segment(NamedTuple):
    """A stretch of a line without a gap.

    Attributes
    ----------
    start, end : int
        Places of its first sign and of the one after its last.
    text : str
    """

    start: int
    end: int
    text: str


class Aligned(NamedTuple):
    """Rows of a table, with the places of their lines.

    Attributes
    ----------
    rows : list of (int, list of str)
    merged : dict of (int, int) to (int, int)
        Further parts of cells that stand over several columns.
    """

    rows: list[tuple[int, list[str]]]
    merged: dict[tuple[int, int], tuple[int, int]]


def segments(line: str) -> list[Segment]:
    """Cut a line where two or more spaces or a tab stand; two spaces after the end of a sentence are no gap.

    Parameters
    ----------
    line : str
        A tab leads to the next eighth place.
    """
    found: list[Segment] = []
    at = 0
    for part in line.rstrip().split("\t"):
        found.extend(_within(part, at))
        at = (at + len(part)) // 8 * 8 + 8
    return found


def _within(part: str, at: int) -> Iterator[Segment]:
    start = len(part) - len(part.lstrip())
    end = len(part.rstrip())
    for gap in _GAP.finditer(part, start, end):
        ended = _SENTENCE.search(part[max(start, gap.start() - 5) : gap.start()])
        if ended and gap[0] == "  " and part[gap.end()].isupper():
            continue
        yield Segment(at + start, at + gap.start(), part[start : gap.start()])
        start = gap.end()
    if start < end:
        yield Segment(at + start, at + end, part[start:end])


def aligned(lines: list[tuple[int, str]]) -> Aligned:
    """Cut lines at their white gutters.

    Parameters
    ----------
    lines : list of (int, str)
        Place and text; none blank. Lines that only rule tell where columns are.

    Returns
    -------
    Aligned
        A line whose parts cannot be given to columns for certain is one cell that reaches over all of them.
    """
    parts = [(place, segments(line), line) for place, line in lines]
    columns = _columns([found for _, found, line in parts if not is_rule(line)], _rules(parts))
    made = Aligned([], {})
    left = min((found[0].start for _, found, line in parts if found and not is_rule(line)), default=0)
    fresh = True
    for place, found, line in parts:
        if is_rule(line) or not found:
            fresh = True
            continue
        cells, spans = _placed(found, columns)
        if made.rows and not spans and not fresh and _wraps(made.rows[-1][1], cells, found[0].start > left):
            made.rows[-1] = (made.rows[-1][0], joined(made.rows[-1][1], cells))
            continue
        number = len(made.rows)
        made.merged.update({(number, column): (number, first) for column, first in spans.items()})
        made.rows.append((place, cells))
        fresh = False
    return made


def _wraps(above: list[str], cells: list[str], indented: bool) -> bool:
    if goes_on(above, cells, indented):
        return True
    name_first = [cell for cell in above if cell] == [above[0]] and above[0].endswith((",", " or", " and"))
    return name_first and bool(cells[0]) and cells[0][0].islower()


def _rules(parts: list[tuple[int, list[Segment], str]]) -> list[Segment]:
    """Segments of the first line that rules each column by itself."""
    for _, found, line in parts:
        if is_rule(line) and len(found) > 1 and "|" not in line and "+" not in line:
            return found
    return []


def _columns(found: list[list[Segment]], rules: list[Segment]) -> list[tuple[int, int]] | int:
    """First and last place of each column; only their number where the lines do not stand in columns."""
    if rules:
        return [(segment.start, segment.end) for segment in rules]
    counts = Counter(len(line) for line in found if len(line) > 1)
    for number in sorted(counts, reverse=True)[:_MOST_COUNTS]:
        full = [line for line in found if len(line) == number]
        columns = _united([(segment.start, segment.end) for line in full for segment in line])
        if len(columns) != number or any(not _one_each(line, columns) for line in full):
            continue
        columns = _widened(columns, found)
        sample = found[:: max(1, len(found) // _MOST_LOOKED_AT)]
        if sum(not _placed(line, columns)[1] for line in sample) >= _FITTING * len(sample):
            return columns
    enough = max(1, min(2, counts.total()), counts.total() // 5)
    return max((count for count, lines in counts.items() if lines >= enough), default=max(counts, default=1))


def _widened(columns: list[tuple[int, int]], found: list[list[Segment]]) -> list[tuple[int, int]]:
    """Take in each segment that stands over one column alone, where the columns stay apart."""
    wide = list(columns)
    for line in found:
        for segment in line:
            over = _over(segment, columns)
            if over is not None and len(over) == 1:
                start, end = wide[over[0]]
                wide[over[0]] = min(start, segment.start), max(end, segment.end)
    return wide if all(one[1] < other[0] for one, other in pairwise(wide)) else columns


def _united(stretches: list[tuple[int, int]]) -> list[tuple[int, int]]:
    columns: list[tuple[int, int]] = []
    for start, end in sorted(stretches):
        if columns and start < columns[-1][1]:
            columns[-1] = (columns[-1][0], max(columns[-1][1], end))
        else:
            columns.append((start, end))
    return columns


def _one_each(line: list[Segment], columns: list[tuple[int, int]]) -> bool:
    return all(start <= segment.start < end for segment, (start, end) in zip(line, columns, strict=True))


def _placed(found: list[Segment], columns: list[tuple[int, int]] | int) -> tuple[list[str], dict[int, int]]:
    """Cells of a line, and for each further part of one that reaches over several columns, where it begins."""
    if isinstance(columns, int):
        if len(found) == columns:
            return [segment.text for segment in found], {}
        if len(found) == 1:
            return [found[0].text, *[""] * (columns - 1)], {}
        return _whole(found, columns)
    cells = [""] * len(columns)
    spans: dict[int, int] = {}
    for segment in found:
        over = _over(segment, columns)
        if over is None or any(column in spans for column in over):
            return _whole(found, len(columns))
        if len(over) > 1 and (is_figure(segment.text) or any(cells[column] for column in over)):
            return _whole(found, len(columns))
        if cells[over[0]] and (is_figure(segment.text) or is_figure(cells[over[0]])):
            return _whole(found, len(columns))
        cells[over[0]] = " ".join(part for part in (cells[over[0]], segment.text) if part)
        spans.update(dict.fromkeys(over[1:], over[0]))
    return cells, spans


def _over(segment: Segment, columns: list[tuple[int, int]]) -> list[int] | None:
    """Columns that a segment stands over, or clearly beside; None where it may belong to either of two."""
    over = [column for column, (start, end) in enumerate(columns) if segment.start < end and start < segment.end]
    if over:
        return over
    away = sorted(
        (max(start - segment.end, segment.start - end), column) for column, (start, end) in enumerate(columns)
    )
    if len(away) > 1 and away[0][0] * 2 >= away[1][0]:
        return None
    return [away[0][1]]


def _whole(found: list[Segment], columns: int) -> tuple[list[str], dict[int, int]]:
    text = "  ".join(segment.text for segment in found)
    return [text, *[""] * (columns - 1)], dict.fromkeys(range(1, columns), 0)
