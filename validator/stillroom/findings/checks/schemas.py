"""Schemas: no schema allows more than the one this library was made with.

What it does
------------
Compares each table schema of the package, field by field, with that of the installed data: a field that is lost or of
another type, a constraint that is lost or wider (required, unique, a pattern, the values of an enumeration, a least or
largest value or length) and a lost key are findings. A new field and one more constraint are none. The schema of
recipes must ask the same; its titles and descriptions may differ.

Why it matters
--------------
Every other check trusts the schemas. Who takes "required" from a column, or lets minutes begin at 0, switches them off
without touching a number.

Example
-------
``schema/schedule.json: schemas: minutes may be less than 1, the least of the installed schema``

Source
------
Table Schema, version 2 (constraints of a field); JSON Schema, draft 2020-12.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from stillroom.findings.finding import Finding, shown
from stillroom.package import files
from stillroom.package.documents import read_json
from stillroom.package.keys import row_key
from stillroom.package.package import home
from stillroom.package.tables import TABLES

if TYPE_CHECKING:
    from stillroom.findings.opened import CheckedPackage

NAME = "schemas"
RECIPE = "schema/recipe.json"
_LARGEST = 2**22
_LEAST, _MOST = ("minimum", "exclusiveMinimum", "minLength"), ("maximum", "exclusiveMaximum", "maxLength")
_KEYS = ("primaryKey", "uniqueKeys", "foreignKeys", "missingValues")
_TOLD = frozenset(("title", "description", "$comment", "examples"))
_MEND = "restore the schema, or update the library with it"


def check(package: CheckedPackage) -> Iterator[Finding]:
    """Yield what the schemas of a package allow and the installed ones do not."""
    for path in sorted({table.schema for table in TABLES.values()}):
        known, given = _installed(path), package.json_file(path)[0]
        if given is not None and given != known:  # one that cannot be read is told by the structure check
            yield from (_finding(path, wrong) for wrong in looser(known, given))
    recipe, _ = package.json_file(RECIPE)
    if recipe is not None and _asked(recipe) != _asked(_installed(RECIPE)):
        yield _finding(RECIPE, "asks for other things than the installed schema of recipes")


def looser(known: dict[str, Any], given: dict[str, Any]) -> Iterator[str]:
    """Say what one table schema allows and another does not.

    Parameters
    ----------
    known, given : dict
        The installed schema, and the one to judge.
    """
    fields = given.get("fields")
    now = {f["name"]: f for f in fields if isinstance(f, dict) and "name" in f} if isinstance(fields, list) else {}
    for field in known["fields"]:
        name = field["name"]
        if name not in now:
            yield f"{name} is lost"
        elif now[name].get("type") != field["type"]:
            yield f"{name} is {shown(str(now[name].get('type')))}, not {field['type']}"
        else:
            yield from (
                f"{name} {wrong}" for wrong in _wider(field.get("constraints", {}), now[name].get("constraints"))
            )
    yield from (f"{key} is another" for key in _KEYS if key in known and given.get(key) != known[key])
    if row_key(known) and "primaryKey" in given and "primaryKey" not in known:  # it would be held in place of the key
        yield "primaryKey is another"


def _wider(known: dict[str, Any], given: object) -> Iterator[str]:
    now = given if isinstance(given, dict) else {}
    for what, value in known.items():
        other = now.get(what)
        if what in _LEAST and not (_number(other) and other >= value):
            yield f"may be less than {value}, the least of the installed schema"
        elif what in _MOST and not (_number(other) and other <= value):
            yield f"may be more than {value}, the most of the installed schema"
        elif what == "enum" and not (isinstance(other, list) and other and all(one in value for one in other)):
            yield "may have values that the installed schema does not know"
        elif what in ("required", "unique") and value and other is not True:
            yield f"is no longer {what}"
        elif what == "pattern" and other != value:
            yield "has another pattern"


def _number(value: object) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool)


def _asked(schema: object) -> object:
    """Give a JSON Schema without what only people read."""
    if isinstance(schema, dict):
        return {key: _asked(value) for key, value in schema.items() if key not in _TOLD or isinstance(value, dict)}
    return [_asked(item) for item in schema] if isinstance(schema, list) else schema


def _installed(path: str) -> dict[str, Any]:
    read: dict[str, Any] = read_json(files.read(files.inside(home(), path), _LARGEST), path)
    return read


def _finding(path: str, wrong: str) -> Finding:
    return Finding(NAME, path, None, "", "", wrong, "", _MEND)
