"""Many: a frame of questions in, a frame of answers out, of the same kind and in the same order."""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import narwhals.stable.v2 as nw
import numpy as np
import pyarrow as pa
import pyarrow.compute as pc
from narwhals.dependencies import is_dask_dataframe
from narwhals.exceptions import DuplicateError
from numpy.typing import NDArray

from stillroom.answers.lookup import Lookup
from stillroom.errors import BadInput
from stillroom.frames import columns, engines
from stillroom.frames.rows import TYPES, Rows
from stillroom.frames.settled import settle

AT_FT = "at_ft"
"""Column of the altitude that was understood, feet."""
ADDED = (AT_FT, *TYPES)
_HEIGHTS = {
    "altitude_ft": ("altitude feet", "altitude in feet", "elevation", "elevation ft", "elevation feet"),
    "altitude_m": ("altitude meters", "altitude in meters", "elevation m", "elevation meters"),
}
_MEANT = {name.replace("_", ""): name for name in (*columns.WORDS, *columns.HEIGHTS)} | {
    said.replace(" ", ""): name for name, others in _HEIGHTS.items() for said in (*others, name)
}
"""Names of columns that would be passed over where somebody asks with them."""
Said = Mapping[str, str | None]
"""What is asked in every row, by column; None: not said."""


class Many:
    """Answers frames from one lookup; safe to keep and to share.

    Parameters
    ----------
    lookup : Lookup
    """

    def __init__(self, lookup: Lookup) -> None:
        self._lookup = lookup
        self._rows = Rows(lookup)

    def answered(self, frame: Any, for_all: Said, again: Callable[..., Any]) -> Any:
        """Answer a frame; see :func:`stillroom.find_many`.

        Parameters
        ----------
        frame : data frame
        for_all : mapping of str to str
        again : callable
            The public function, which an engine calls with each part of a frame.
        """
        if is_dask_dataframe(frame):
            return engines.in_dask(frame, for_all, again)
        try:
            wrapped = nw.from_native(frame)
        except TypeError:
            raise BadInput(f"a {type(frame).__name__} is no data frame that is known here: make it one") from None
        except DuplicateError:
            raise BadInput("the frame has two columns of one name: give each its own") from None
        if isinstance(wrapped, nw.LazyFrame):
            return engines.answered(wrapped, for_all, again)
        return self._answered(wrapped, for_all).to_native()

    def _answered(self, frame: nw.DataFrame[Any], for_all: Said) -> nw.DataFrame[Any]:
        _need_names(frame.columns)
        asked = columns.read(frame, for_all)
        settled = settle(self._rows, self._lookup, asked)
        row, question = _spread(settled.first, settled.number)
        used = np.flatnonzero(np.bincount(row, minlength=1))
        said = _said(self._rows.columns(used, settled.more), frame.implementation)
        same = {f"{name}_id": name for name in settled.ids if name in frame.columns}
        others = [name for name in TYPES if name not in same]
        with ThreadPoolExecutor(max_workers=os.cpu_count()) as pool:
            new = {name: pool.submit(said.get_column(name).__getitem__, row) for name in others}
            kept = frame if question is None else _repeated(frame, question, pool)
        added = {name: column.result() for name, column in new.items()}
        added[AT_FT] = _height(asked.heights.feet, asked.rows, question, said)
        beside = nw.from_dict(added)
        if beside.implementation is not frame.implementation:
            beside = nw.DataFrame.from_arrow(beside.to_arrow(), backend=frame.implementation)
        words = [kept.get_column(name).alias(told) for told, name in same.items()]
        return kept.with_columns(*beside.iter_columns(), *words).select(*frame.columns, *ADDED)


def _need_names(there: Sequence[Any]) -> None:
    """Refuse a frame whose columns the answer could be mistaken for, or that asks in words nobody reads.

    Databases and people do not tell ``Minutes`` from ``minutes``.
    """
    for name in there:
        if not isinstance(name, str):
            raise BadInput(f"a column is named {name!r:.40}, which is no text: give it a name")
    if len(set(there)) < len(there):
        raise BadInput("the frame has two columns of one name: give each its own")
    plain = {name: re.sub(r"[\W_]+", "", name).casefold() for name in there}
    for name, said in plain.items():
        if said in {added.replace("_", "") for added in ADDED}:
            raise BadInput(f'the frame has a column "{name}", which the answer adds: give it another name')
        meant = _MEANT.get(said)
        if meant is not None and name != meant:
            raise BadInput(
                f'the frame has a column "{name}": if it asks, write it "{meant}"; else give it another name'
            )


def _said(rows: Mapping[str, Any], kind: nw.Implementation) -> nw.DataFrame[Any]:
    """Make a frame of the rows that are said: a polars frame takes rows faster than Arrow does, all others slower.

    In pandas a whole number that may be missing is a float, as it is when a CSV file is read, in every part of a frame.
    """
    if kind.is_pandas_like():
        rows = {name: _floats(column) for name, column in rows.items()}
    return nw.DataFrame.from_arrow(pa.table(dict(rows)), backend="polars" if kind.is_polars() else "pyarrow")


def _floats(column: Any) -> Any:
    if pa.types.is_large_string(column.type):
        return column
    return pc.fill_null(column.cast(pa.float64()), float("nan"))


def _height(
    feet: NDArray[np.float64], rows: int, question: NDArray[np.int32] | None, said: nw.DataFrame[Any]
) -> nw.Series[Any]:
    each = np.broadcast_to(feet, rows)
    column = pa.array(each if question is None else each[question], from_pandas=bool(np.isnan(feet).any()))
    return nw.DataFrame.from_arrow(pa.table({AT_FT: column}), backend=said.implementation).get_column(AT_FT)


def _spread(first: NDArray[np.int32], number: NDArray[np.int32]) -> tuple[NDArray[np.int32], NDArray[np.int32] | None]:
    """Give the row of each option, and the question it answers; None where each question has one."""
    most = int(number.max(initial=0))
    if most < 2:
        return first, None
    question = np.repeat(np.arange(len(first), dtype=np.int32), number)
    row = first[question]
    for option in range(1, most):
        row[np.flatnonzero(question[option:] == question[:-option]) + option] += 1
    return row, question


def _repeated(frame: nw.DataFrame[Any], question: NDArray[np.int32], pool: ThreadPoolExecutor) -> nw.DataFrame[Any]:
    """Repeat the row of each question for each of its options."""
    first, *others = pool.map(lambda name: frame.get_column(name)[question], frame.columns)
    return first.to_frame().with_columns(*others)
