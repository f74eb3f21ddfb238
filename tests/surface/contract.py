"""Writes what other programs may count on, one promise a line, into ``promised.txt``.

Names and signatures of ``stillroom``, fields of results, words of the Literal types, columns of tables, commands with
their options and exit statuses, and the keys and types of every JSON document: as its schema declares them, and as the
shell command prints them for a few questions. Run after a change that was meant, and look at the difference::

    python -m tests.surface.contract
"""

from __future__ import annotations

import argparse
import contextlib
import importlib
import inspect
import io
import json
import typing
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pyarrow as pa

import stillroom
from stillroom import commands
from stillroom.commands.main import main as shell
from stillroom.package import files
from tests.conftest import ROOT
from tests.surface.reached import classes, fields, functions, members, public

LISTING = Path(__file__).with_name("promised.txt")
RENEW = "python -m tests.surface.contract"
BEANS = "--pack raw --jar quart --canner dial"
QUESTIONS = {
    "tested": f"find snap-beans {BEANS} --altitude 1650ft",
    "acid": "find tomatoes-crushed --pack hot --jar pint --canner boiling-water --altitude 500m",
    "refused": f"find snap-beans {BEANS} --altitude 9000ft",
    "unknown": "find fihs --jar pint --altitude 0ft",
    "open": "find corn --jar pint --altitude 0ft --canner dial",
    "foods": "foods corn",
    "table": "table snap-beans",
    "withheld": "withheld garlic",
    "recipe": "recipe tomatoes-crushed",
    "recipe-for-jars": "recipe apple-pie-filling --jars 14 --jar quart",
    "plan": f"plan snap-beans --jars 9 {BEANS} --altitude 1650ft --start 08:00",
    "day-plan": "plan DAY --no-kitchen",
    "weeks-plan": "plan WEEKS --no-kitchen",
    "verdict": "judge BATCH",
    "steam": "steam --altitude 5000ft --psi 11",
    "season": "season SEASON",
    "uses": "uses acid-citric",
}
"""What the shell command is asked with ``--json``."""


def promises() -> list[str]:
    """Every promise in its line, sorted."""
    parts = (_functions, _types, _words, _tables, _frames, _commands, _schemas, _printed)
    return sorted(line for part in parts for line in part())


def changed(before: list[str], now: list[str]) -> str:
    """Say which promises are gone, which are new, and how the listing is renewed; blank where there is none."""
    gone, new = sorted(set(before) - set(now)), sorted(set(now) - set(before))
    if not gone and not new:
        return ""
    lines = [*(f"  gone: {line}" for line in gone), *(f"  new:  {line}" for line in new)]
    return (
        "what other programs may count on has changed:\n"
        + "\n".join(lines)
        + f'\nIf it was meant, see "What may change when" in DEVELOPERS.md, then renew the listing: {RENEW}\n'
    )


# the library


def _functions() -> Iterator[str]:
    for name, function in functions().items():
        yield f"function {name}{_signature(function)}"


def _signature(function: Any) -> str:
    return str(inspect.signature(function)).replace("'", "")


def _types() -> Iterator[str]:
    for name, cls in classes().items():
        bases = ", ".join(base.__name__ for base in cls.__bases__)
        yield f"type {name}({bases})"
        annotations = {key: kind for base in reversed(cls.__mro__) for key, kind in _annotated(base).items()}
        yield from (f"type {name}.{field}: {annotations[field]} ({at})" for at, field in enumerate(fields(cls), 1))
        for member, getter in members(cls):
            mark = " (property)" if not callable(getattr(cls, member)) else ""
            yield f"type {name}.{member}{_signature(getter)}{mark}"
        if issubclass(cls, Exception):
            yield f"type {name} is made from {_signature(cls.__init__)}"


def _annotated(cls: type) -> dict[str, str]:
    told = vars(cls).get("__annotations__", {})
    return {name: _kind(kind) for name, kind in told.items()}


def _kind(told: Any) -> str:
    if isinstance(told, typing.ForwardRef):
        return told.__forward_arg__
    if isinstance(told, str):
        return told
    told = getattr(told, "__origin__", told)
    return told.__name__ if isinstance(told, type) else str(told)


def _words() -> Iterator[str]:
    for name, value in public():
        yield from (f"word {name}: {word}" for word in typing.get_args(value))


def _tables() -> Iterator[str]:
    for table in stillroom.tables():
        if "readings" in table.path.parts:  # how the tables came about may be told otherwise
            continue
        yield f"table {table.name}: {table.path.relative_to(stillroom.data_path()).as_posix()}"
        for column in table.columns:
            yield f"table {table.name}.{column.name}: {column.type}{'' if column.required else ', may be blank'}"


def _frames() -> Iterator[str]:
    asked = pa.table({"food": ["snap beans"], "altitude_ft": [0.0]})
    for field in stillroom.find_many(asked).schema:
        if field.name not in asked.column_names:
            yield f"column of find_many {field.name}: {field.type}"


# the shell command


def _commands() -> Iterator[str]:
    for name in ("DONE", "FINDINGS", "BAD_INPUT", "NO_TESTED_SCHEDULE"):
        yield f"exit status {getattr(commands, name)}: {name}"
    for name in commands.SUMMARIES:
        parser = argparse.ArgumentParser(add_help=False)
        importlib.import_module(f"stillroom.commands.{name}").arguments(parser)
        for action in parser._actions:
            yield f"command {name} {'/'.join(action.option_strings) or action.dest}"


def _printed() -> Iterator[str]:
    with files.aside({}) as season:
        batch, day = str(ROOT / "shared/demo/beans.yaml"), str(ROOT / "shared/demo/day.yaml")
        _said(["judge", batch, "--save", season])
        weeks = str(ROOT / "shared/demo/weeks.yaml")
        for name, question in QUESTIONS.items():
            words = [
                {"BATCH": batch, "DAY": day, "WEEKS": weeks, "SEASON": season}.get(word, word)
                for word in question.split()
            ]
            status, text = _said([*words, "--json"])
            yield f"printed {name}: exit status {status} of {question} --json"
            found: dict[str, set[str]] = {}
            _look(json.loads(text), "", found)
            yield from (f"printed {name}: {key or '/'}: {' or '.join(sorted(kinds))}" for key, kinds in found.items())


def _said(words: list[str]) -> tuple[int, str]:
    with contextlib.redirect_stdout(io.StringIO()) as out, contextlib.redirect_stderr(io.StringIO()):
        return shell(words), out.getvalue()


def _look(value: Any, key: str, found: dict[str, set[str]]) -> None:
    """Collect the types that stand under each key; items of a list have the key of the list and ``[]``."""
    kinds = {dict: "object", list: "array", str: "string", bool: "boolean", int: "number", float: "number"}
    kind = "null" if value is None else kinds[type(value)]
    found.setdefault(key, set()).add(f'"{value}"' if key in ("/kind", "/version") else kind)
    if isinstance(value, dict):
        for name, part in value.items():
            _look(part, f"{key}/{name}", found)
    elif isinstance(value, list):
        for part in value:
            _look(part, f"{key}[]", found)


# JSON schemas


def _schemas() -> Iterator[str]:
    for path in sorted((ROOT / "schema").glob("*.json")):
        schema = json.loads(path.read_text(encoding="utf-8"))
        if "fields" not in schema:  # a table is told column by column
            yield from _declared(schema, f"document {path.stem}: ")
            for name, part in schema.get("$defs", {}).items():
                yield from _declared(part, f"document {path.stem}: {name}")


def _declared(schema: Any, at: str) -> Iterator[str]:
    if not isinstance(schema, dict):
        return
    yield f"{at}: {_shape(schema)}"
    for name, part in schema.get("properties", {}).items():
        asked = "" if name in schema.get("required", ()) else "?"
        yield from _declared(part, f"{at}/{name}{asked}")
    yield from _declared(schema.get("items"), f"{at}[]")
    yield from _declared(schema.get("additionalProperties"), f"{at}/*")
    for way in ("oneOf", "anyOf", "allOf"):
        for number, part in enumerate(schema.get(way, ()), 1):
            if set(part) - {"$ref", "type"}:
                yield from _declared(part, f"{at}({number})")


def _shape(schema: dict[str, Any]) -> str:
    if "$ref" in schema:
        return f"as {schema['$ref'].rpartition('/')[2]}"
    for way in ("oneOf", "anyOf"):
        if way in schema:
            return " or ".join(_shape(part) for part in schema[way])
    if "const" in schema:
        return json.dumps(schema["const"])
    if "enum" in schema:
        return " or ".join(map(json.dumps, schema["enum"]))
    kinds = schema.get("type", "anything")
    return kinds if isinstance(kinds, str) else " or ".join(kinds)


def main() -> None:
    files.replace(str(LISTING), "".join(f"{line}\n" for line in promises()).encode())


if __name__ == "__main__":
    main()
