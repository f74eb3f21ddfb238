"""Lines: the lines of a table, none too long, so that no cell fills the memory.

The CSV reader has a limit of its own, but one for the whole process, which any library may raise: it is neither trusted
nor changed here.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator


def bounded(lines: Iterable[str], longest: int) -> Iterator[str]:
    """Pass lines on, up to one that is too long, alone or with those that a quoted cell joins to it.

    Parameters
    ----------
    lines : iterable of str
        Lines of a CSV file with their ends.
    longest : int
        Characters.

    Raises
    ------
    csv.Error
        A longer line, or a quoted cell that runs on over as many characters.
    """
    held = 0
    for line in lines:
        if held:
            held += len(line)
        if '"' in line and line.count('"') % 2:
            held = 0 if held else len(line)
        if held > longest or len(line) > longest:
            raise csv.Error(f"a cell or line of over {longest:,} characters")
        yield line
