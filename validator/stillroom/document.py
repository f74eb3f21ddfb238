"""Document: a YAML file read plainly and held against its schema.

What YAML offers beyond plain values is refused: aliases (a small file can unfold into a huge one), tags, several
documents, a key written twice. Only whole numbers, decimals, true, false and null are more than text; a date stays the
text it is, and ``12:30`` is not seven hundred and fifty. Text that holds control characters is refused: it would reach
a terminal.
"""

from __future__ import annotations

import json
import os
import re
from collections.abc import Mapping
from typing import Any

import jsonschema

from stillroom import files, plain_yaml, screen
from stillroom.errors import BadInput
from stillroom.package import home
from stillroom.plain_yaml import NotPlain, Place

LARGEST = 64 * 1024
"""Largest file that is read, bytes."""
DEEPEST = 8
"""Deepest nesting; the records here need two."""
_WITH_LINES = ("note",)
"""Keys whose text may have several lines."""

_NOT_PLAIN = {
    "alias": "anchors and aliases are not read here: write the value out",
    "tag": "tags are not read here: write the plain value",
    "deep": f"nested deeper than {DEEPEST} levels",
    "twice": 'key "{:.40}" stands twice',
    "key": "a key must be plain text",
    "syntax": "{}: check the spelling of the YAML",
}


class _Plain(plain_yaml.Loader):  # type: ignore[misc]
    """YAML with fewer surprises: its own, shorter list of what is not text."""

    yaml_implicit_resolvers: dict[str, list[tuple[str, re.Pattern[str]]]] = {}  # noqa: RUF012  (as the base has it)


_Plain.add_implicit_resolver(
    "tag:yaml.org,2002:int", re.compile(r"[-+]?(?:0|[1-9][0-9]{0,14})\Z"), list("-+0123456789")
)
_Plain.add_implicit_resolver(
    "tag:yaml.org,2002:float", re.compile(r"[-+]?[0-9]{1,15}\.[0-9]{1,15}\Z"), list("-+0123456789")
)
_Plain.add_implicit_resolver("tag:yaml.org,2002:bool", re.compile(r"(?:true|false)\Z"), list("tf"))
_Plain.add_implicit_resolver("tag:yaml.org,2002:null", re.compile(r"(?:null|~|)\Z"), ["n", "~", ""])


def schema(name: str) -> dict[str, Any]:
    """Read a JSON schema of the package, like ``batch``."""
    with open(os.path.join(home(), "schema", f"{name}.json"), encoding="utf-8") as file:
        loaded: dict[str, Any] = json.load(file)
    return loaded


def read(path: str, against: str, what: str) -> dict[str, Any]:
    """Read a YAML file that holds one mapping.

    Parameters
    ----------
    path : str
        The file.
    against : str
        Name of its schema.
    what : str
        What the file is, for messages, like ``batch record``.

    Raises
    ------
    BadInput
        No such file, too large, not plain YAML, or not as the schema says; names file, line and key.
    """
    shown = screen.name(path)
    text = _text(path, shown, what)
    try:
        loaded, lines = plain_yaml.read(text, DEEPEST, _Plain)
    except NotPlain as error:
        if error.kind == "empty":
            raise BadInput(_no_mapping(shown, what)) from None
        told = _NOT_PLAIN[error.kind].format(screen.shown(error.said, 120))
        raise BadInput(f"{shown}:{error.line}: {told}") from None
    if not isinstance(loaded, dict):
        raise BadInput(_no_mapping(shown, what))
    _plain(loaded, (), lines, shown)
    _valid(loaded, schema(against), lines, shown)
    return loaded


def _text(path: str, shown: str, what: str) -> str:
    try:
        return files.read(path, LARGEST).decode("utf-8-sig")
    except files.Unread as error:
        if error.kind == files.LARGE:
            raise BadInput(f"{shown}: larger than {LARGEST // 1024} KiB: is it a {what}?") from None
        raise error.told(shown, what) from None
    except ValueError:
        raise BadInput(f"{shown}: is not UTF-8 text: is it a {what}?") from None


def _no_mapping(shown: str, what: str) -> str:
    return f'{shown}:1: is no {what}: write one "key: value" on each line'


def _plain(said: Any, at: Place, lines: Mapping[Place, int], shown: str) -> None:
    """Refuse text that would do more than be read on a terminal, before any message can hold it."""
    if isinstance(said, dict):
        for key, value in said.items():
            if not screen.is_plain(key):
                raise BadInput(f"{shown}:{lines.get((*at, key), 1)}: a key holds a control character: write it anew")
            _plain(value, (*at, key), lines, shown)
    elif isinstance(said, list):
        for number, value in enumerate(said):
            _plain(value, (*at, number), lines, shown)
    elif isinstance(said, str) and not screen.is_plain(said, lines=at[-1] in _WITH_LINES):
        key = screen.shown(".".join(map(str, at)))
        raise BadInput(f"{shown}:{lines.get(at, 1)}: {key} holds a control character or a line end: write it anew")


def _valid(loaded: dict[str, Any], rules: Mapping[str, Any], lines: Mapping[Place, int], shown: str) -> None:
    validator = jsonschema.Draft202012Validator(rules, format_checker=jsonschema.FormatChecker(["date"]))
    errors = sorted(validator.iter_errors(loaded), key=lambda error: lines.get(tuple(error.path), 0))
    if not errors:
        return
    error = errors[0]
    at = tuple(error.path)
    line, key = lines.get(at, 1), ".".join(map(str, at))
    if error.validator == "additionalProperties":
        accepted = ", ".join(error.schema["properties"])
        extra = next(name for name in error.instance if name not in error.schema["properties"])
        line = lines.get((*at, extra), line)
        raise BadInput(f'{shown}:{line}: key "{screen.shown(extra)}" is unknown: keys are {accepted}')
    if error.validator == "required":
        missing = next(name for name in error.validator_value if name not in error.instance)
        about = error.schema["properties"][missing]["description"]
        raise BadInput(f'{shown}:{line}: "{".".join(map(str, (*at, missing)))}" is missing: write the {about}')
    said = screen.shown(json.dumps(error.instance, ensure_ascii=False, default=str))
    raise BadInput(f"{shown}:{line}: {key} {said} does not fit: write the {error.schema.get('description', 'value')}")
