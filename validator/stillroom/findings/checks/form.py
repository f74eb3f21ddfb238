"""Form: files are UTF-8 with plain line ends, rows sorted by key, numbers canonical, and no stray spaces or formulas.

What it does
------------
Looks at the text itself: no byte order mark, no line ends of another system, no NUL or other control character; a last
line end; rows sorted by primary key with numbers as numbers; no space at either end of a cell and no two together
(notes of the readings keep theirs); no cell that a spreadsheet takes for a formula; numbers as 5 and 0.25, never 05,
5.0 or .25; quotes only where a cell needs them. ``stillroom tidy`` mends order, spaces, quotes and line ends.

Why it matters
--------------
One way to write each row keeps the difference between two editions to the cells that changed, where a reviewer sees
them. A formula would run on the computer of whoever opens the file.

Example
-------
``schedules/fruit.csv:3: form: minutes "05" is not how the number is written; write 5``

Source
------
RFC 4180 for CSV; the rest is this package's own convention.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING

from stillroom.findings.finding import Finding
from stillroom.package.keys import row_key

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from stillroom.findings.opened import CheckedPackage
    from stillroom.findings.table import Table

NAME = "form"
_TIDY = "run stillroom tidy"
_NUMBER = re.compile(r"-?(0|[1-9][0-9]*)(\.[0-9]*[1-9])?")
_LOOSE = re.compile(r"\s*[-+]?[0-9]*\.?[0-9]*\s*")


def check(package: CheckedPackage) -> Iterator[Finding]:
    """Yield what is wrong with the form of the files."""
    yield from (problem for problem in package.problems if problem.check == NAME)
    for table in package.tables.values():
        kinds = {field["name"]: field.get("type", "string") for field in table.schema["fields"]}
        for column in table.columns:
            yield from _cells(table, column, kinds[column] in ("integer", "number"))
        yield from _order(table, kinds)
        yield from _quotes(table)


def _cells(table: Table, column: str, is_number: bool) -> Iterator[Finding]:
    import numpy as np

    spaced = column == "note" and "/readings/" in table.file
    used = np.unique(table.codes[column])
    for code in used.tolist():
        text = table.texts[column][code]
        wrong, mend = _wrong(text, is_number, spaced)
        if wrong:
            for line in table.lines[table.codes[column] == code].tolist():
                yield Finding(NAME, table.file, line, column, text, wrong, "", mend)


def _wrong(text: str, is_number: bool, spaced: bool) -> tuple[str, str]:
    if not text:
        return "", ""
    if not text.isprintable():
        return "holds a line break or a control character", "remove it"
    if text[0] in "=+@" or (text[0] == "-" and not _NUMBER.fullmatch(text)):
        return "is what a spreadsheet takes for a formula", "write plain text"
    if text != text.strip() or ("  " in text and not spaced):
        return "has stray spaces", _TIDY
    if any(c.isspace() and c != " " for c in text):
        return "has a space that is no plain space", _TIDY
    if is_number and not _NUMBER.fullmatch(text) and _LOOSE.fullmatch(text):
        return "is not how the number is written", "write it without leading or trailing zeros, like 5 or 0.25"
    return "", ""


def _order(table: Table, kinds: dict[str, str]) -> Iterator[Finding]:
    import numpy as np

    columns = row_key(table.schema)
    if not columns or len(table) < 2:
        return
    before, undecided = np.zeros(len(table) - 1, dtype=bool), np.ones(len(table) - 1, dtype=bool)
    for column in columns:
        ranks = _ranks(table, column, kinds.get(column, "string"))
        before |= undecided & (ranks[1:] < ranks[:-1])
        undecided &= ranks[1:] == ranks[:-1]
    for line in table.lines[1:][before].tolist():
        said = f"is not in the order of {', '.join(columns)}"
        yield Finding(NAME, table.file, line, "", "", f"row {said}", "", _TIDY)


def _ranks(table: Table, column: str, kind: str) -> NDArray[np.float64]:
    import numpy as np

    if kind in ("integer", "number"):
        return np.nan_to_num(table.number(column), nan=-1.0)
    texts = table.texts[column]
    ranks = np.zeros(len(texts))
    ranks[sorted(range(len(texts)), key=texts.__getitem__)] = np.arange(len(texts))
    ranked: NDArray[np.float64] = ranks[table.codes[column]]
    return ranked


def _quotes(table: Table) -> Iterator[Finding]:
    """Say where a file has more quotes than its cells need."""
    import numpy as np

    needed = 0
    for column in table.columns:
        of_text = np.array([needed_quotes(text) for text in table.texts[column]], dtype=np.int64)
        needed += int(of_text[table.codes[column]].sum()) if len(of_text) else 0
    if table.quotes > needed:
        yield Finding(NAME, table.file, None, "", "", "has quotes around cells that need none", "", _TIDY)


def needed_quotes(text: str) -> int:
    """Count the quotes that a cell is written with."""
    return 2 + text.count('"') * 2 if any(c in text for c in ',"\r\n') else 0
