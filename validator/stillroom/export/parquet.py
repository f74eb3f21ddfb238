"""Parquet: one table as one file, with the description, unit and keys of its columns; the same bytes each time."""

from __future__ import annotations

import json

from stillroom.export.typed import Field, Typed


def written(table: Typed) -> bytes:
    """Write one table.

    Parameters
    ----------
    table : Typed
    """
    import pyarrow as pa
    import pyarrow.parquet as pq

    kinds = {"integer": pa.int32(), "number": pa.float64(), "string": pa.string()}
    columns = list(zip(*table.rows, strict=True)) or [()] * len(table.fields)
    schema = pa.schema(
        [
            pa.field(field.name, kinds[field.type], nullable=not field.required, metadata=_about(field))
            for field in table.fields
        ],
        metadata={
            "title": table.title,
            "description": table.description,
            "keys": json.dumps(table.keys),
            "references": json.dumps([each._asdict() for each in table.references]),
        },
    )
    arrays = [pa.array(values, field.type) for values, field in zip(columns, schema, strict=True)]
    out = pa.BufferOutputStream()
    pq.write_table(pa.Table.from_arrays(arrays, schema=schema), out, compression="zstd", version="2.6")
    return bytes(out.getvalue())


def _about(field: Field) -> dict[str, str]:
    return {"description": field.description} | ({"unit": field.unit} if field.unit else {})
