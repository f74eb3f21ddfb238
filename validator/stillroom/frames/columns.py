"""Columns: the questions of a frame as distinct words and codes, and altitudes in feet."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from concurrent.futures import ThreadPoolExecutor
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc
from numpy.typing import NDArray

from stillroom.answers import altitude, question
from stillroom.answers.heights import METER
from stillroom.errors import BadInput

if TYPE_CHECKING:
    import narwhals.stable.v2 as nw

WORDS = ("food", "form", "pack", "jar", "canner")
"""Columns of words, in the order of the keys of the table of answers."""
HEIGHTS = ("altitude", "altitude_ft", "altitude_m")
"""Columns of an altitude: text with its unit, feet, meters; a frame has one of them."""
_MANY = 500
"""Distinct altitudes from which on plain figures in feet are read all at once."""
_PLAIN_FEET = r"^ *(?P<feet>[-+]?[0-9]{1,6}(?:\.[0-9]{1,2})?) ?(?:ft|feet) *$"


class Column(NamedTuple):
    """Words of one column.

    Attributes
    ----------
    values : list of str or None
        Each distinct word once; None where nothing is said.
    codes : array of int32 or None
        For each row the place of its word in ``values``; None: all rows have the first.
    """

    values: list[str | None]
    codes: NDArray[np.int32] | None

    def word(self, row: int) -> str | None:
        """Give the word of one row."""
        return self.values[0 if self.codes is None else int(self.codes[row])]

    def of_each(self, numbers: NDArray[np.int32]) -> NDArray[np.int32]:
        """Give each row the number that stands at the place of its word, or one number for all."""
        return numbers[:1] if self.codes is None else numbers.take(self.codes, mode="clip")


class Heights(NamedTuple):
    """Altitudes of all rows.

    Attributes
    ----------
    feet : array of float64
        Feet, one for each row or one for all; NaN where it cannot be read.
    said : Column or None
        The words, where they were words.
    """

    feet: NDArray[np.float64]
    said: Column | None

    def words(self, row: int) -> str | None:
        """Say the altitude of one row as it was asked; None where nothing was said."""
        if self.said is not None:
            return self.said.word(row)
        feet = float(self.feet[row if len(self.feet) > 1 else 0])
        return None if feet != feet else f"{feet!r} ft"


class Questions(NamedTuple):
    """All questions of a frame: its number of rows, its words by column, its altitudes."""

    rows: int
    words: Mapping[str, Column]
    heights: Heights


def read(frame: nw.DataFrame[Any], for_all: Mapping[str, str | None]) -> Questions:
    """Read the questions of a frame.

    Parameters
    ----------
    frame : narwhals DataFrame
    for_all : mapping of str to str
        What is asked in every row, by column; None: not said.

    Raises
    ------
    BadInput
        No column ``food``; a column that is no text, or is said for all rows too; no altitude, or several.
    """
    there = set(frame.columns)
    if "food" not in there:
        raise BadInput(
            'the frame has no column "food": name the columns food, jar, canner, pack, form, and altitude_ft, '
            "altitude_m or altitude"
        )
    for name, word in for_all.items():
        if word is not None and (name in there or (name == "altitude" and there & set(HEIGHTS))):
            raise BadInput(f"{name} is said for all rows, and the frame has a column for it: leave one of them out")
    height = _height_column(there, for_all.get("altitude"))
    wanted = [name for name in WORDS if name in there]
    with ThreadPoolExecutor(max_workers=os.cpu_count()) as pool:
        read_columns = dict(zip(wanted, pool.map(lambda name: _column(frame, name), wanted), strict=True))
        heights = _heights(frame, height, for_all.get("altitude"))
    words = {name: read_columns.get(name) or Column([for_all.get(name)], None) for name in WORDS}
    return Questions(len(frame), {name: _left_out(name, column) for name, column in words.items()}, heights)


def _height_column(there: Iterable[str], for_all: str | None) -> str:
    having = [name for name in HEIGHTS if name in there]
    if len(having) > 1:
        raise BadInput(f"the frame has the columns {having[0]} and {having[1]}: leave one of them out")
    if not having and for_all is None:
        raise BadInput("the frame has no altitude: give it a column altitude_ft or altitude_m, or altitude as text")
    return having[0] if having else ""


def _column(frame: nw.DataFrame[Any], name: str) -> Column:
    """Read a column of words: each distinct one once."""
    array = _arrow(frame, name)
    if array.null_count == len(array):
        return Column([None], None)
    if pa.types.is_dictionary(array.type):
        array = array.cast(array.type.value_type)
    if not _is_text(array.type):
        raise BadInput(f"column {name} holds {_holds(array.type)}, not text: write it in words, like {_LIKE[name]}")
    coded = array.dictionary_encode(null_encoding="encode")
    return Column(coded.dictionary.to_pylist(), coded.indices.to_numpy(zero_copy_only=False))


_LIKE = {"food": '"snap beans"', "form": '"with bones"', "pack": '"raw"', "jar": '"quart"', "canner": '"dial"',
         "altitude": '"1650 ft"'}  # fmt: skip


def _arrow(frame: nw.DataFrame[Any], name: str) -> Any:
    column = frame.get_column(name)
    try:
        array = column.to_arrow()
    except (pa.ArrowException, TypeError, ValueError):
        array = None
    if array is None or pa.types.is_fixed_size_binary(array.type):  # things of several kinds: each cell for itself
        array = pa.array([_cell(value) for value in column.to_list()], pa.large_string())
    return array.combine_chunks() if isinstance(array, pa.ChunkedArray) else array


def _cell(value: Any) -> str | None:
    """Write one cell of a column of several kinds: a number in place of a word is then wrong in its own row."""
    if value is None or value != value:
        return None
    return value if isinstance(value, str) else question.shown(value)


def _holds(kind: Any) -> str:
    """Name what a column holds, in words."""
    if _is_number(kind):
        return "numbers"
    if pa.types.is_temporal(kind):
        return "dates or times"
    return "true and false" if pa.types.is_boolean(kind) else "text" if _is_text(kind) else "other things"


def _is_text(kind: Any) -> bool:
    return bool(pa.types.is_string(kind) or pa.types.is_large_string(kind) or pa.types.is_string_view(kind))


def _left_out(name: str, column: Column) -> Column:
    """Take a blank cell for something that was left out; a food cannot be."""
    if name == "food":
        return column
    return column._replace(values=[value if value is not None and value.strip() else None for value in column.values])


# altitudes


def _heights(frame: nw.DataFrame[Any], name: str, for_all: str | None) -> Heights:
    if not name:
        return _said(Column([for_all], None))
    if name == "altitude":
        array = _arrow(frame, name)
        if array.null_count < len(array) and _is_number(array.type):
            raise BadInput("column altitude holds bare numbers: name it altitude_ft or altitude_m, as the unit is")
        return _said(_column(frame, name))
    array = _arrow(frame, name)
    if not _is_number(array.type) and array.null_count < len(array):
        raise BadInput(f"column {name} holds {_holds(array.type)}, not numbers: name it altitude, and write 1650 ft")
    figures = array.cast(pa.float64()).to_numpy(zero_copy_only=False)
    if name == "altitude_m":
        numerator, denominator = METER
        figures = np.round(figures * numerator / denominator, 9)  # 304.8 m is 1,000 ft, whatever the last bit says
    return Heights(figures, None)


def _is_number(kind: Any) -> bool:
    return bool(pa.types.is_integer(kind) or pa.types.is_floating(kind) or pa.types.is_decimal(kind))


def _said(column: Column) -> Heights:
    """Read altitudes in words: each distinct one once."""
    feet = np.full(len(column.values), np.nan)
    if len(column.values) > _MANY:
        found = pc.extract_regex(pa.array(column.values, pa.large_string()), _PLAIN_FEET)
        figures = pc.if_else(found.is_valid(), found.field("feet"), None)
        feet = figures.cast(pa.float64()).to_numpy(zero_copy_only=False).copy()
    for place in np.flatnonzero(np.isnan(feet)):
        feet[place] = _feet(column.values[place])
    return Heights(feet if column.codes is None else feet[column.codes], column)


def _feet(said: str | None) -> float:
    try:
        return float("nan") if said is None else altitude.in_feet(said)
    except BadInput:
        return float("nan")
