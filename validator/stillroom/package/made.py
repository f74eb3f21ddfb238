"""Made: writes ``tables.py`` and ``records.py``, the registry of tables, from datapackage.json and schema/.

Run after a schema or the list of tables has changed::

    python -m stillroom.package.made

A test holds the registry to the schemas.
"""

from __future__ import annotations

import json
import os
import sys
import textwrap
from typing import Any

from stillroom.errors import BadPackage
from stillroom.package import files
from stillroom.package.keys import row_key
from stillroom.package.resources import is_recipe

NAMES = {"cautions": "Statement", "exceptions": "Excused"}
"""Records that are not called like their table."""
ATTRIBUTES = {"cautions": "statements"}
"""Tables that the library calls otherwise than their file."""
DERIVED = ("answers", "names")
"""Tables made from the others: asking reads none of them, so they have no record."""
CHECKED = ("band-patterns", "superseded", "superseded-foods", "superseded-altitudes", "superseded-sources")
"""Tables that no answer is made from: they have no record either, as asking pays for each."""
TOLD = ("foods", "practice", "withheld", "yields")
"""Tables whose records are results of the library: their fields are told in the docstring, as the schema tells them."""
_LARGEST = 2**20
_READINGS, _SCHEDULE = "schedules/readings/", "schema/schedule.json"
_RECORDS = '''\
"""Records: one frozen type per table that answers are made from, with the columns of its schema in their order.

Made by ``made.py`` from datapackage.json and schema/; not to be edited. Annotations are read by the loader: ``Text`` is
never blank, ``Blank`` may be, ``int | None`` and ``float | None`` are None where the cell is blank. They are evaluated
here, as a name in quotes would have to be compiled each time asking begins.
"""

from typing import Annotated, NamedTuple

Text = Annotated[str, "Text"]
Blank = Annotated[str, "Blank"]
'''
_TABLES = '''\
"""Tables: every table of the package by name, with its file, its schema and its key.

Made by ``made.py`` from datapackage.json and schema/; not to be edited.
"""

from __future__ import annotations

from typing import NamedTuple

from stillroom.package import records
from stillroom.package.csv_table import Kept


class Declared(NamedTuple):
    """Where a table stands: its file, its schema, and the columns that tell its rows apart."""

    file: str
    schema: str
    key: tuple[str, ...]
'''


def made(root: str) -> dict[str, str]:
    """Write the registry of a package as Python code.

    Parameters
    ----------
    root : str
        Folder that holds datapackage.json.

    Returns
    -------
    dict of str to str
        Code by name of the module.

    Raises
    ------
    OSError, ValueError, KeyError
        A file that is missing, or is no schema.
    """
    records: dict[str, str] = {}
    entries, kept, groups = [], [], []
    for resource in _json(root, "datapackage.json")["resources"]:
        if is_recipe(resource):
            continue
        name, path, schema_file = resource["name"], resource["path"], resource["schema"]
        schema = _json(root, schema_file)
        entries.append(_entry(name, path, schema_file, schema))
        if path.startswith(_READINGS) or name in (*DERIVED, *CHECKED):
            continue
        called = _called(name, schema_file)
        records.setdefault(schema_file, _record(called, schema_file, schema, name in TOLD))
        if schema_file == _SCHEDULE:
            groups.append(name)
        else:
            attribute = ATTRIBUTES.get(name, name.replace("-", "_"))
            kept.append(f'    {attribute} = Kept("{path}", records.{called})\n')
    tables = (
        f'\n\nTABLES = {{\n{"".join(entries)}}}\n"""Every table by its name in datapackage.json."""\n'
        f"GROUPS = ({', '.join(map(_quoted, groups))})\n"
        '"""The schedule tables, one per guide or part of one."""\n'
        f"DERIVED = ({', '.join(map(_quoted, DERIVED))})\n"
        '"""Tables made from the others, and held to them by a check."""\n'
        f"CHECKED = {_tuple(CHECKED)}\n"
        '"""Tables that no answer is made from, so that asking does not pay for them."""\n'
        '\n\nclass Tables:\n    """The tables of one package, each read when it is first asked for."""\n\n'
        f"    root: str\n\n{''.join(kept)}"
    )
    return {"records": _RECORDS + "".join(records.values()), "tables": _TABLES + tables}


def _tuple(names: tuple[str, ...]) -> str:
    return f"({', '.join(map(_quoted, names))}{',' if len(names) == 1 else ''})"


def _quoted(text: str) -> str:
    return f'"{text}"'


def _json(root: str, file: str) -> dict[str, Any]:
    with open(os.path.join(root, *file.split("/")), encoding="utf-8") as opened:
        read: dict[str, Any] = json.load(opened)
    return read


def _called(table: str, schema_file: str) -> str:
    """Name the record of a table: its schema in the singular, like ``WithheldName``."""
    if table in NAMES:
        return NAMES[table]
    words = schema_file.removeprefix("schema/").removesuffix(".json").split("-")
    words[-1] = words[-1].removesuffix("es") if words[-1].endswith("ses") else words[-1].removesuffix("s")
    return "".join(word.capitalize() for word in words)


def _record(name: str, schema_file: str, schema: dict[str, Any], told_whole: bool) -> str:
    said = f'"""{schema["description"].removesuffix(".")} ({schema_file}).'
    told = _filled(f'{said}"""')
    if told_whole:
        told = f'{_filled(said)}\n\nAttributes\n----------\n{"".join(map(_attribute, schema["fields"]))}"""'
    elif "\n" in told:
        told = f'{told[:-3]}\n"""'
    fields = "\n".join(f"{field['name']}: {_kind(field)}" for field in schema["fields"])
    return f"\n\nclass {name}(NamedTuple):\n{textwrap.indent(told, '    ')}\n\n{textwrap.indent(fields, '    ')}\n"


def _filled(text: str, indent: str = "") -> str:
    """Break a text into lines that fit in the docstring of a class."""
    return textwrap.fill(
        text, 116, initial_indent=indent, subsequent_indent=indent, break_on_hyphens=False, break_long_words=False
    )


def _attribute(field: dict[str, Any]) -> str:
    kind = {"Text": "str", "Blank": "str"}.get(_kind(field), _kind(field)).replace(" | ", " or ")
    return f"{field['name']} : {kind}\n{_filled(field['description'].removesuffix('.') + '.', '    ')}\n"


def _kind(field: dict[str, Any]) -> str:
    required = field.get("constraints", {}).get("required", False)
    kind = {"integer": "int", "number": "float"}.get(field["type"])
    if kind is None:
        return "Text" if required else "Blank"
    return kind if required else f"{kind} | None"


def _entry(name: str, path: str, schema_file: str, schema: dict[str, Any]) -> str:
    columns = ", ".join(f'"{column}"' for column in row_key(schema))
    comma = "," if len(columns.split(", ")) == 1 and columns else ""
    line = f'    "{name}": Declared("{path}", "{schema_file}", ({columns}{comma})),\n'
    if len(line) <= 121:
        return line
    key_line = f"        ({columns}{comma}),\n"
    if len(key_line) > 121:
        key_line = (
            "        (\n" + "".join(f"            {column},\n" for column in columns.split(", ")) + "        ),\n"
        )
    return f'    "{name}": Declared(\n        "{path}",\n        "{schema_file}",\n{key_line}    ),\n'


def write(root: str, library: str) -> tuple[str, ...]:
    """Write the registry into the library, where the schemas of a package say another.

    Parameters
    ----------
    root : str
        Folder of the package.
    library : str
        Folder of the modules ``records`` and ``tables``.

    Returns
    -------
    tuple of str
        Modules that changed.

    Raises
    ------
    BadPackage
        datapackage.json or a schema is missing, or is none; or a module cannot be written.
    """
    changed = []
    try:
        for name, code in made(root).items():
            path = os.path.join(library, f"{name}.py")
            if _now(path) != code.encode():
                files.replace(path, code.encode())
                changed.append(f"{name}.py")
    except (OSError, ValueError, KeyError, TypeError) as error:
        raise BadPackage(f"the registry of tables cannot be made: {type(error).__name__}: {error}") from None
    return tuple(changed)


def _now(path: str) -> bytes | None:
    try:
        return files.read(path, _LARGEST)
    except files.Unread:
        return None


def main() -> None:
    """Write the registry beside this module."""
    from stillroom.package.package import home

    changed = write(home(), os.path.dirname(os.path.abspath(__file__)))
    sys.stdout.write("".join(f"{module} made anew\n" for module in changed) or "the registry is what the schemas say\n")


if __name__ == "__main__":
    main()
