"""Framed: a frame in memory as a grid: the names of its columns, and its values as text."""

from __future__ import annotations

import csv
import hashlib
import io
from typing import Any

from stillroom.errors import BadInput
from stillroom.extras import needed
from stillroom.foreign.grid import Foreign
from stillroom.foreign.gridding import bound, gridded

NAME = "a table in memory"


def framed(frame: Any) -> Foreign:
    """Read a frame.

    Parameters
    ----------
    frame : DataFrame
        Of pandas, Polars, PyArrow or another kind that Narwhals knows; one that is lazy is collected.

    Returns
    -------
    Foreign
        Names of columns that pandas gave by itself (0, 1, 2 ...) make no row.

    Raises
    ------
    BadInput
        It is no frame, or too large.
    """
    with needed("frames"):
        import narwhals.stable.v2 as nw
        from narwhals.exceptions import DuplicateError
    plain = _plain(frame)
    if plain is None:
        try:
            wrapped = nw.from_native(frame)
            held = wrapped.collect() if isinstance(wrapped, nw.LazyFrame) else wrapped
        except TypeError:
            raise BadInput(f"a {type(frame).__name__} is no data frame that is known here: make it one") from None
        except DuplicateError:
            raise BadInput("the frame has two columns of one name: give each its own") from None
        bound(NAME, len(held) + 1, len(held.columns))
        plain = list(held.columns), held.iter_rows()
    names, values = plain
    rows = [[_text(value) for value in row] for row in values]
    heads = 0 if all(isinstance(name, int) for name in names) else 1
    if heads:
        rows.insert(0, [_text(name) for name in names])
    grid = gridded(NAME, list(enumerate(rows, 1)), heads=heads)
    if grid is None:
        raise BadInput(f"{NAME}: is empty")
    return Foreign(NAME, hashlib.sha256(_csv(rows)).hexdigest(), "frame", (grid,))


def _plain(frame: Any) -> tuple[list[Any], Any] | None:
    """Take a pandas frame as it is: its names may be numbers, or stand twice, or on several levels."""
    if type(frame).__module__.split(".")[0] != "pandas" or not hasattr(frame, "itertuples"):
        return None
    bound(NAME, len(frame) + 1, len(frame.columns))
    names = [" ".join(map(str, name)) if isinstance(name, tuple) else name for name in frame.columns]
    values = frame.itertuples(index=False, name=None)
    return (names, values) if _is_counted(frame.index) else _indexed(frame, names)


def _is_counted(index: Any) -> bool:
    """Tell an index that only counts the rows."""
    return list(index.names) == [None] and (type(index).__name__ == "RangeIndex" or index.dtype.kind in "iu")


def _indexed(frame: Any, names: list[Any]) -> tuple[list[Any], Any]:
    levels = ["" if name is None else name for name in frame.index.names]
    rows = (
        (*(key if isinstance(key, tuple) else (key,)), *row)
        for key, row in zip(frame.index, frame.itertuples(index=False, name=None), strict=True)
    )
    return [*levels, *names], rows


def _text(value: Any) -> str:
    """Write a value as people see it: no point after a whole number, nothing where a value is missing."""
    if value is None or type(value).__name__ in ("NAType", "NaTType"):
        return ""
    if hasattr(value, "item") and not isinstance(value, str):
        value = value.item()
    if isinstance(value, float):
        return "" if value != value else f"{value:.12g}"
    if isinstance(value, bytes):
        return value.decode("utf-8", "replace")
    return str(value)


def _csv(rows: list[list[str]]) -> bytes:
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows(rows)
    return out.getvalue().encode("utf-8", "surrogatepass")
