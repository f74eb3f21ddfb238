"""Plain: tables as CSV or JSON, and the document that describes them (Data Package v2).

A document begins with a line that says who made it, with a sum over all that follows: one that anyone has changed since
is no longer ours to replace.
"""

from __future__ import annotations

import csv
import hashlib
import io
import json
from collections.abc import Mapping
from typing import Any

from stillroom import screen
from stillroom.errors import StillroomError
from stillroom.export.typed import DESCRIPTOR, Content, Typed
from stillroom.package.documents import read_json

PROFILES = "https://datapackage.org/profiles/2.0/"
_BEGINS = '{\n"made_by": "stillroom export, sha256:'
_ENDS = '",\n'
_TOLD = ("name", "title", "description", "version", "created", "licenses", "sources", "contributors", "keywords")
_MEDIA = {"csv": "text/csv", "parquet": "application/vnd.apache.parquet"}


def csv_file(table: Typed) -> bytes:
    """Write one table as CSV: UTF-8, plain line ends, a blank cell for none.

    A text that a spreadsheet would take for a formula gets an apostrophe before it; no table that passes the checks has
    any.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(field.name for field in table.fields)
    writer.writerows(
        [
            screen.cell(f"{value:g}" if isinstance(value, float) and value == float(f"{value:g}") else value)
            for value in row
        ]
        for row in table.rows
    )
    return out.getvalue().encode("utf-8")


def document(content: Content) -> bytes:
    """Write all tables as one JSON document: a data package whose resources hold their rows as records."""
    return _signed(
        _told(content)
        | {
            "resources": [
                _resource(table)
                | {
                    "data": [dict(zip([f.name for f in table.fields], row, strict=True)) for row in table.rows],
                    "schema": schema(table),
                }
                for table in content.tables
            ]
        }
    )


def folder(content: Content, files: Mapping[str, bytes], form: str) -> bytes:
    """Write the document that describes a folder of files, one for each table.

    Parameters
    ----------
    content : Content
    files : mapping of str to bytes
        Content of each file by its name, in the order of the tables.
    form : str
        csv or parquet.
    """
    return _signed(
        _told(content)
        | {
            "resources": [
                _resource(table)
                | {"path": path, "format": form, "mediatype": _MEDIA[form], "bytes": len(held), "hash": hashed(held)}
                | ({"encoding": "utf-8"} if form == "csv" else {})
                | {"schema": schema(table)}
                for table, (path, held) in zip(content.tables, files.items(), strict=True)
            ]
        }
    )


def schema(table: Typed) -> dict[str, Any]:
    """Describe the columns and keys of one table (Table Schema v2)."""
    described: dict[str, Any] = {
        "$schema": f"{PROFILES}tableschema.json",
        "fields": [
            {"name": field.name, "type": field.type, "description": field.description}
            | ({"unit": field.unit} if field.unit else {})
            | ({"constraints": {"required": True}} if field.required else {})
            for field in table.fields
        ],
        "missingValues": [""],
    }
    if table.key:
        described["primaryKey"] = list(table.key)
    if table.unique:
        described["uniqueKeys"] = [list(columns) for columns in table.unique]
    if table.references:
        described["foreignKeys"] = [
            {
                "fields": list(each.fields),
                "reference": ({} if each.table == table.name else {"resource": each.table})
                | {"fields": list(each.columns)},
            }
            for each in table.references
        ]
    return described


def hashed(held: bytes) -> str:
    """Sum up a file as a descriptor writes it."""
    return f"sha256:{hashlib.sha256(held).hexdigest()}"


def ours(file: bytes) -> bool:
    """Tell whether a document is one that was written here and nobody has changed."""
    begins, ends = _BEGINS.encode(), _ENDS.encode()
    at = len(begins) + 64
    rest = file[at + len(ends) :]
    return file == begins + hashlib.sha256(rest).hexdigest().encode() + ends + rest


def files_of(descriptor: bytes) -> dict[str, str]:
    """Give the hash of each file that a descriptor of ours lists, by its name; none where it is another's."""
    if not ours(descriptor):
        return {}
    try:
        return {str(each["path"]): str(each["hash"]) for each in read_json(descriptor, DESCRIPTOR)["resources"]}
    except (StillroomError, KeyError, TypeError):
        return {}


def _told(content: Content) -> dict[str, Any]:
    told = {key: content.about[key] for key in _TOLD if key in content.about}
    if "sources" in told:  # their path is one in the package
        told["sources"] = [{key: each[key] for key in each if key != "path"} for each in told["sources"]]
    return {"$schema": f"{PROFILES}datapackage.json", **told}


def _resource(table: Typed) -> dict[str, Any]:
    return {"name": table.name, "title": table.title, "description": table.description, "type": "table"}


def _signed(document: Mapping[str, Any]) -> bytes:
    rest = json.dumps(document, ensure_ascii=False, indent=1, allow_nan=False)[2:] + "\n"
    signed = hashlib.sha256(rest.encode("utf-8")).hexdigest()
    return f"{_BEGINS}{signed}{_ENDS}{rest}".encode()
