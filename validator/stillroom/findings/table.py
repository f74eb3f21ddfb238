"""Table: one table of a package as text: each column as its distinct texts and one small number per row.

So a million rows fit, and work is done once per distinct text.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np
import pandas as pd

from stillroom.errors import StillroomError

if TYPE_CHECKING:
    from numpy.typing import NDArray

_DECIMAL = re.compile(r"(0|[1-9][0-9]{0,8})(\.[0-9]{1,9})?")


class Unreadable(StillroomError):
    """A table that a check needs cannot be read; the structure check says why."""


class Interned(dict[str, int]):
    """Numbers of the distinct texts of one column, in the order of their first sight."""

    def __missing__(self, text: str) -> int:
        """Give the next number."""
        number = self[text] = len(self)
        return number


class Table:
    """One table as text.

    Attributes
    ----------
    name, file : str
        Name in datapackage.json, and file relative to the package.
    schema : dict
        Its table schema.
    columns : tuple of str
        Columns of the schema, in order.
    lines : array of int
        Line of each row in the file.
    codes : dict of str to array of int
        By column, the number of each row's text in ``texts``.
    texts : dict of str to list of str
        By column, the distinct texts.
    quotes : int
        Quotation marks in the file.
    sha256 : str
        SHA-256 of the file, hexadecimal.
    """

    def __init__(
        self,
        name: str,
        file: str,
        schema: dict[str, Any],
        lines: NDArray[np.int64],
        codes: dict[str, NDArray[np.int32]],
        texts: dict[str, list[str]],
        quotes: int = 0,
        sha256: str = "",
    ) -> None:
        self.name, self.file, self.schema, self.quotes, self.sha256 = name, file, schema, quotes, sha256
        self.columns = tuple(field["name"] for field in schema["fields"])
        self.lines, self.codes, self.texts = lines, codes, texts

    def __len__(self) -> int:
        """Number of rows."""
        return len(self.lines)

    def distinct(self, name: str) -> tuple[str, ...]:
        """Distinct texts of one column, in the order of their first sight; without blanks."""
        texts = self.texts[name]
        return tuple(text for code in np.unique(self.codes[name]).tolist() if (text := texts[code]))

    def column(self, name: str) -> pd.Categorical:
        """One column, as text."""
        return pd.Categorical.from_codes(self.codes[name], categories=pd.Index(self.texts[name], dtype=object))

    def number(self, name: str) -> NDArray[np.float64]:
        """One column as numbers; not a number where the cell is blank or is no plain number."""
        return numbers(self.texts[name])[self.codes[name]]

    @cached_property
    def frame(self) -> pd.DataFrame:
        """All columns as text (categories), with ``file`` and ``line``."""
        columns: dict[str, Any] = {name: self.column(name) for name in self.columns}
        return pd.DataFrame({
            **columns,
            "line": self.lines,
            "file": pd.Categorical.from_codes(np.zeros(len(self), dtype=np.int8), categories=pd.Index([self.file])),
        })  # fmt: skip

    @cached_property
    def rows(self) -> list[dict[str, str]]:
        """All rows as text by column, for small tables."""
        lists = [np.array(self.texts[name], dtype=object)[self.codes[name]].tolist() for name in self.columns]
        return [dict(zip(self.columns, cells, strict=True)) for cells in zip(*lists, strict=True)]

    def numbered(self) -> Iterator[tuple[int, dict[str, str]]]:
        """Rows with their lines."""
        return zip(self.lines.tolist(), self.rows, strict=True)


def numbers(texts: Iterable[str]) -> NDArray[np.float64]:
    """Read plain decimal numbers; not a number for any other text."""
    return np.array([float(t) if _DECIMAL.fullmatch(t) else np.nan for t in texts], dtype=np.float64)


class Texts(dict[str, list[str]]):
    """Distinct texts by column, listed when first asked for: tables of one schema share and extend them."""

    def __init__(self, interned: dict[str, Interned]) -> None:
        super().__init__()
        self._interned = interned

    def __missing__(self, column: str) -> list[str]:
        """List the texts of a column."""
        texts = self[column] = list(self._interned[column])
        return texts
