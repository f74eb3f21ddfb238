"""Schemas: documents held against a JSON schema of the package, and each misfit told with its line.

A record that a person writes is read here too: a small YAML file of plain values. Text in it that holds control
characters is refused: it would reach a terminal.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from stillroom import screen
from stillroom.errors import BadInput
from stillroom.package import documents, files
from stillroom.package.documents import NotPlain, Place
from stillroom.package.package import home

LARGEST = 64 * 1024
"""Largest record that is read, bytes."""
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


class Misfit(NamedTuple):
    """What of a document does not fit its schema.

    Attributes
    ----------
    line : int
        Of the place, or of the nearest one around it, from 1.
    place : tuple
        Keys and positions that lead to it.
    error : jsonschema.ValidationError
    """

    line: int
    place: Place
    error: Any


def schema(name: str) -> dict[str, Any]:
    """Read a JSON schema of the package, like ``batch``.

    Raises
    ------
    BadPackage
        It is missing or damaged.
    """
    shown = f"schema/{name}.json"
    loaded: dict[str, Any] = documents.read_json(documents.content(os.path.join(home(), shown), shown), shown)
    return loaded


def validator(rules: Mapping[str, Any], *formats: str) -> Any:
    """Make a validator of a schema, JSON Schema 2020-12, that holds text to these formats, like ``date``."""
    from jsonschema import Draft202012Validator, FormatChecker

    return Draft202012Validator(rules, format_checker=FormatChecker(formats) if formats else None)


def misfits(validator: Any, document: Any, lines: Mapping[Place, int]) -> Iterator[Misfit]:
    """Tell what of a document does not fit, in no order.

    Parameters
    ----------
    validator : jsonschema validator
        See :func:`validator`.
    document : object
    lines : mapping of tuple to int
        Line of each place, as :func:`stillroom.package.documents.plain_yaml` gives them.
    """
    for error in validator.iter_errors(document):
        place = tuple(error.absolute_path)
        line = next((lines[place[:n]] for n in range(len(place), -1, -1) if place[:n] in lines), 1)
        yield Misfit(line, place, error)


# records of a person


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
    content = text(path, shown, what)
    try:
        loaded, lines = documents.plain_yaml(content, DEEPEST, few_types=True)
    except NotPlain as error:
        if error.kind == "empty":
            raise BadInput(_no_mapping(shown, what)) from None
        told = _NOT_PLAIN[error.kind].format(screen.shown(error.said, 120))
        raise BadInput(f"{shown}:{error.line}: {told}") from None
    if not isinstance(loaded, dict):
        raise BadInput(_no_mapping(shown, what))
    _plain(loaded, (), lines, shown)
    found = list(misfits(validator(schema(against), "date"), loaded, lines))
    if found:
        raise BadInput(f"{shown}:{_told(min(found, key=lambda misfit: misfit.line), lines)}")
    return loaded


def text(path: str, shown: str, what: str) -> str:
    """Read the text of a file that a person writes.

    Parameters
    ----------
    path : str
    shown, what : str
        Name of the file and what it is, for messages.

    Raises
    ------
    BadInput
        No such file, no ordinary one, too large, or not UTF-8.
    """
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


def _told(misfit: Misfit, lines: Mapping[Place, int]) -> str:
    """Say what does not fit and what to write, after the line."""
    error, at, line = misfit.error, misfit.place, misfit.line
    if error.validator == "additionalProperties":
        accepted = ", ".join(error.schema["properties"])
        extra = next(name for name in error.instance if name not in error.schema["properties"])
        return f'{lines.get((*at, extra), line)}: key "{screen.shown(extra)}" is unknown: keys are {accepted}'
    if error.validator == "required":
        missing = next(name for name in error.validator_value if name not in error.instance)
        about = error.schema["properties"][missing]["description"]
        return f'{line}: "{".".join(map(str, (*at, missing)))}" is missing: write the {about}'
    said = screen.shown(json.dumps(error.instance, ensure_ascii=False, default=str))
    key = ".".join(map(str, at))
    return f"{line}: {key} {said} does not fit: write the {error.schema.get('description', 'value')}"
