"""Engines: frames that are not in memory. A database gives its rows and takes the answers back; what works in parts is
answered part by part, where the parts are, with the same function.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import partial
from typing import Any

import narwhals.stable.v2 as nw
import pyarrow as pa

from stillroom.errors import BadInput

Again = Callable[..., Any]


def answered(frame: nw.LazyFrame[Any], for_all: Mapping[str, str | None], again: Again) -> Any:
    """Answer a lazy frame, in its own kind.

    Parameters
    ----------
    frame : narwhals LazyFrame
    for_all : mapping of str to str
        What is asked in every row, by column.
    again : callable
        Answers a frame in memory.

    Raises
    ------
    BadInput
        An engine that is not known here.
    """
    kind, native = frame.implementation, frame.to_native()
    if kind.is_duckdb():
        stillroom_found = again(frame.collect("pyarrow").to_native(), **for_all)  # noqa: F841  (named in the statement)
        return native.query("stillroom_asked", "SELECT * FROM stillroom_found")  # in the connection of the relation
    if kind.is_polars():
        return again(frame.collect().to_native(), **for_all).lazy()
    if kind.is_pyspark() or kind.is_pyspark_connect():
        return _in_spark(native, for_all, again)
    raise BadInput(f"a frame of {kind.name.lower()} is answered once it is in memory: collect it first")


def in_dask(frame: Any, for_all: Mapping[str, str | None], again: Again) -> Any:
    """Answer a Dask frame, part by part; what it will look like is told by the answer to no question."""
    from dask.dataframe.dispatch import make_meta

    empty: Any = make_meta(frame)  # type: ignore[no-untyped-call, unused-ignore]
    return frame.map_partitions(again, meta=again(empty, **for_all), **for_all)


def _in_spark(native: Any, for_all: Mapping[str, str | None], again: Again) -> Any:
    from pyspark.sql.pandas.types import from_arrow_schema, to_arrow_schema

    held = again(_plain(to_arrow_schema(native.schema).empty_table()), **for_all)
    schema = _plain(held).schema
    return native.mapInArrow(partial(_parts, again, dict(for_all)), from_arrow_schema(schema))


def _parts(again: Again, for_all: Mapping[str, str | None], batches: Iterable[Any]) -> Iterator[Any]:
    for batch in batches:
        yield from _plain(again(pa.Table.from_batches([batch]), **for_all)).to_batches()


def _plain(table: Any) -> Any:
    """Write texts as every version of an engine takes them."""
    fields = [field.with_type(pa.string()) if pa.types.is_large_string(field.type) else field for field in table.schema]
    return table.cast(pa.schema(fields))
