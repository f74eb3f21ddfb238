"""Column engine: pandera holds each column of a table, and its keys, against the table schema.

The schema of pandera is made from the very schema file. Work is done once for each distinct text of a column: pandera
coerces it to the declared type, and then holds it against the constraints. Unique columns and primary keys are
enforced on frames of all rows, one number for each value (as it was coerced), so that a million rows fit.

What pandera cannot do:

- It knows no references. The values that a column may refer to are given to it as a check of that column (``isin``).
- A whole-number column of pandas has no place for a blank. A blank that is allowed is kept from it as no value, as the
  Table Schema standard has it; where a cell is required, the blank is left in and pandera refuses it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Any, NamedTuple

from stillroom.findings import breach
from stillroom.findings.breach import Reference, Work
from stillroom.findings.finding import Finding

if TYPE_CHECKING:
    import numpy as np
    import pandas as pd
    from numpy.typing import NDArray

    from stillroom.findings.table import Table


class _Judged(NamedTuple):
    """What pandera says of the distinct texts of one column.

    Attributes
    ----------
    refused : array of int
        Numbers of the texts that do not fit.
    values : array of int
        By the number of a text, that of the first text of the same value.
    """

    refused: NDArray[np.int64]
    values: NDArray[np.int64]


def enforce(work: Work, names: Iterable[str]) -> Iterator[Finding]:
    """Yield what pandera finds in some of the tables."""
    from frictionless import FrictionlessException

    wanted = set(names)
    judged: dict[int, dict[str, _Judged]] = {}
    unknown: dict[tuple[int, Reference], list[int]] = {}
    for table in work.tables:
        if table.name not in wanted:
            continue
        if id(table.schema) not in judged:  # tables of one schema share their texts
            try:
                judged[id(table.schema)] = _columns(table)
            except FrictionlessException as error:
                yield breach.schema_wrong(error.error.note)
                continue
        yield from _cells(table, judged[id(table.schema)])
        yield from _keys(table, judged[id(table.schema)])
        for ref in breach.references(table):
            if (ref.resource, ref.known_as) in work.known:
                if (id(table.schema), ref) not in unknown:
                    unknown[id(table.schema), ref] = _unknown(table, ref, work)
                yield from _missing(table, ref, unknown[id(table.schema), ref])


# Types and constraints


def _columns(table: Table) -> dict[str, _Judged]:
    """Judge the distinct texts of each column."""
    from pandera.io.pandas_io import from_frictionless_schema

    fields = [{**field, "constraints": _of_a_cell(field)} for field in table.schema["fields"]]
    schema = from_frictionless_schema({"fields": fields})
    return {name: _judged(schema.columns[name], table.texts[name]) for name in table.columns}


def _of_a_cell(field: dict[str, Any]) -> Any:
    """Constraints that a cell meets by itself; that it is the only one of its kind is a matter of all rows."""
    rules = field.get("constraints", {})
    return {name: rule for name, rule in rules.items() if name != "unique"} if isinstance(rules, dict) else rules


def _judged(column: Any, texts: list[str]) -> _Judged:
    """Let pandera coerce the texts of a column and hold them against its checks."""
    import numpy as np
    import pandas as pd

    cells = pd.Series([text or None for text in texts], dtype=object)
    left = cells[cells.notna()] if column.nullable else cells
    coerced, refused = _validated(column, left)
    values = np.arange(len(texts))
    if pd.api.types.is_numeric_dtype(coerced.dtype):
        coerced = coerced.dropna()
        _, first, same = np.unique(coerced.to_numpy(), return_index=True, return_inverse=True)
        values[coerced.index] = coerced.index.to_numpy()[first][same]
    return _Judged(np.array(sorted(refused), dtype=np.int64), values)


def _validated(column: Any, cells: pd.Series[Any]) -> tuple[pd.Series[Any], set[int]]:
    """Coerce and check cells; where some cannot be coerced, the others are checked without them.

    Returns
    -------
    Series, set of int
        The cells that could be coerced, as values; and the places of those that do not fit.
    """
    from pandera.errors import SchemaError, SchemaErrors

    try:
        return column.validate(cells.to_frame(column.name), lazy=True)[column.name], set()
    except SchemaErrors as error:
        return error.data[column.name], _places(error)
    except SchemaError as error:  # of coercion: what can be coerced is not checked yet
        wrong = _places(error)
        coerced, refused = _validated(column, cells.drop(sorted(wrong)))
        return coerced, wrong | refused


def _places(error: Any) -> set[int]:
    """Places of the cells that pandera refuses.

    Raises
    ------
    TypeError
        It refuses the column as such, which no cell can mend.
    """
    cases = error.failure_cases
    if not hasattr(cases, "columns") or cases["index"].isna().any() or cases.empty:
        raise TypeError(f"pandera cannot hold the column to its schema: {' '.join(str(error).split())[:150]}")
    return {int(at) for at in cases["index"]}


def _cells(table: Table, judged: dict[str, _Judged]) -> Iterator[Finding]:
    import numpy as np

    for column, (refused, _) in judged.items():
        if len(refused):
            codes = table.codes[column]
            for at in np.flatnonzero(np.isin(codes, refused)).tolist():
                yield breach.cell(table, int(table.lines[at]), column, table.texts[column][codes[at]])


# Keys


def _keys(table: Table, judged: dict[str, _Judged]) -> Iterator[Finding]:
    key = breach.key(table)
    if key:
        for at in _repeated(table, judged, key):
            yield breach.repeated_key(table, int(table.lines[at]))
    for column, field in breach.fields(table).items():
        if field.get("constraints", {}).get("unique"):
            for at in _repeated(table, judged, [column]):
                text = table.texts[column][table.codes[column][at]]
                yield breach.repeated(table, int(table.lines[at]), column, text)


def _repeated(table: Table, judged: dict[str, _Judged], columns: list[str]) -> list[int]:
    """Rows whose values in some columns stand in a row above too; rows that are blank there are told cell by cell."""
    import numpy as np
    import pandas as pd
    from pandera.errors import SchemaErrors
    from pandera.pandas import DataFrameSchema

    texts = {name: table.texts[name] for name in columns}
    blank = np.logical_and.reduce([
        table.codes[name] == (texts[name].index("") if "" in texts[name] else -1) for name in columns
    ])  # fmt: skip
    frame = pd.DataFrame({name: judged[name].values[table.codes[name]] for name in columns})
    try:
        DataFrameSchema(unique=columns, report_duplicates="exclude_first").validate(
            frame if not blank.any() else frame[~blank], lazy=True, inplace=True
        )
    except SchemaErrors as error:
        return sorted(_places(error))
    return []


# References


def _unknown(table: Table, ref: Reference, work: Work) -> list[int]:
    """Numbers of the texts of a column that refer to nothing."""
    import pandas as pd
    from pandera.pandas import Check, Column

    known = Column(object, Check.isin(work.known[ref.resource, ref.known_as]), nullable=True, name=ref.column)
    _, wrong = _validated(known, pd.Series([text or None for text in table.texts[ref.column]], dtype=object))
    return sorted(wrong)


def _missing(table: Table, ref: Reference, unknown: list[int]) -> Iterator[Finding]:
    import numpy as np

    codes, texts = table.codes[ref.column], table.texts[ref.column]
    for at in np.flatnonzero(np.isin(codes, unknown)).tolist() if unknown else ():
        yield breach.missing(table, int(table.lines[at]), ref.column, texts[codes[at]], ref.resource)
