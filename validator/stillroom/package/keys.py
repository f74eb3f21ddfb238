"""Keys: the columns that tell the rows of a table apart, as its schema says.

A primary key holds no column that may be blank (Table Schema 2, ``primaryKey``: its use equals ``required``). Where a
blank is part of what tells two rows apart, the key is a unique key (``uniqueKeys``). An ordinary reader leaves a row
with a blank out of a unique key; our checks take a blank for a value, and so hold every row.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any


def row_key(schema: Mapping[str, Any]) -> tuple[str, ...]:
    """Give the columns that tell the rows of a table apart.

    Parameters
    ----------
    schema : mapping
        A table schema.

    Returns
    -------
    tuple of str
        Its primary key, else its first unique key; none where it has neither.
    """
    key = schema.get("primaryKey")
    if key is None:
        unique = schema.get("uniqueKeys")
        key = unique[0] if isinstance(unique, list) and unique else ()
    if isinstance(key, str):
        return (key,)
    return tuple(key) if isinstance(key, (list, tuple)) else ()
