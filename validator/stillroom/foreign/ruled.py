"""Ruled: text tables with bars between their cells and lines of dashes between their rows."""

from __future__ import annotations

import re
from collections import Counter
from typing import NamedTuple

from stillroom.foreign.wraps import goes_on, joined

_BOX = str.maketrans(
    {**dict.fromkeys("│┃║┆┇┊┋╎╏¦", "|"), **dict.fromkeys("─━═┄┅┈┉╌╍", "-"),
     **dict.fromkeys(map(chr, range(0x250C, 0x254C)), "+"), **dict.fromkeys(map(chr, range(0x2552, 0x256D)), "+")}
)  # fmt: skip
"""Signs of the Unicode block Box Drawing as the plain ones that they draw."""
_RULE = re.compile(r"[\s|+:]*[-=_~*][\s|+\-=_~*:]{2,}")
_OF_A_FRAME = 3
"""Lines of a table that is ruled only above and below its head and at its end."""


class Ruled(NamedTuple):
    """Rows of a table, with the places of their lines.

    Attributes
    ----------
    rows : list of (int, list of str)
    heads : int
        How many stand above the line of ``=`` that ends the head; 0 where there is none.
    merged : dict of (int, int) to (int, int)
        Further parts of merged cells.
    """

    rows: list[tuple[int, list[str]]]
    heads: int
    merged: dict[tuple[int, int], tuple[int, int]]


def unboxed(line: str) -> str:
    """Write drawn bars and lines as plain ones."""
    return line if line.isascii() else line.translate(_BOX)


def is_rule(line: str) -> bool:
    """Tell a line that only rules: at least three signs of one."""
    return bool(line.strip()) and _RULE.fullmatch(unboxed(line)) is not None


def ruled(lines: list[tuple[int, str]]) -> Ruled:
    """Cut lines that have bars.

    Parameters
    ----------
    lines : list of (int, str)
        Place and text; none blank.
    """
    plain = [(place, unboxed(line)) for place, line in lines]
    bars = [_bars(line) for _, line in plain if not is_rule(line) and "|" in line]
    usual = Counter(bars).most_common(1)[0][0] if bars else ()
    made = Ruled([], 0, {})
    each = sum(is_rule(line) for _, line in plain) > _OF_A_FRAME  # a line below each row: what is between is one row
    heads, fresh = 0, True
    for place, line in plain:
        if is_rule(line):
            fresh = True
            if "=" in line and not heads:
                heads = len(made.rows)
            continue
        cells, spans = _cells(line, usual)
        if not fresh and made.rows and not spans and goes_on(made.rows[-1][1], cells, each):
            made.rows[-1] = (made.rows[-1][0], joined(made.rows[-1][1], cells))
            continue
        number = len(made.rows)
        made.merged.update({(number, column): (number, first) for column, first in spans.items()})
        made.rows.append((place, cells))
        fresh = False
    return made._replace(heads=heads if heads < len(made.rows) else 0)


def _bars(line: str) -> tuple[int, ...]:
    return tuple(at for at, sign in enumerate(line.rstrip()) if sign == "|")


def _cells(line: str, usual: tuple[int, ...]) -> tuple[list[str], dict[int, int]]:
    """Cells of a line, and for each further part of one that reaches over several columns, where it begins."""
    cut = line.strip()
    outer = cut.startswith("|")
    cut = cut[1:] if outer else cut
    cut = cut[:-1] if cut.endswith("|") else cut
    parts = [part.strip() for part in cut.split("|")]
    bars = _bars(line)
    if not outer or bars == usual or not set(bars) < set(usual) or bars[:1] != usual[:1] or bars[-1:] != usual[-1:]:
        return parts, {}
    cells: list[str] = []
    spans: dict[int, int] = {}
    at = [usual.index(bar) for bar in bars]
    for part, begin, end in zip(parts, at, at[1:], strict=False):
        spans.update(dict.fromkeys(range(begin + 1, end), begin))
        cells.extend([part, *[""] * (end - begin - 1)])
    return cells, spans
