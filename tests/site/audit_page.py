"""The audit of the page under node, beside the library: pasted tables and what they come to."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from types import MappingProxyType
from typing import Any, NamedTuple

import stillroom
from stillroom.foreign import forms
from stillroom.sheets import audit_document
from stillroom.site import audit_data, data
from tests.site.page import Document, Page

CELL = ("grid", "row", "column", "line", "text", "verdict", "published", "corrected", "struck")
NAME = "pasted table"
MOST = 200
"""Signs of a value that a failing test shows."""


class Pasted(NamedTuple):
    """A text, and what is said beside it: ``at``, ``canner``, ``pack``, ``jar``."""

    text: str
    said: Mapping[str, str] = MappingProxyType({})
    what: str = ""


def page(folder: Path, data_script: str, audit_script: str | None = None) -> Page:
    """The scripts of the page that audits, with the data of the published package or other ones."""
    more = audit_data.script(stillroom.shelf()) if audit_script is None else audit_script
    return Page(folder, data_script, {"audit_data.js": more, **data.page_scripts(data.AUDIT_ORDER)})


def by_library(pasted: Pasted) -> Document:
    """What the library makes of it: all but the hash, and what an older publication printed."""
    try:
        audit = stillroom.audit(forms.read_text(pasted.text, NAME), **pasted.said)
    except stillroom.NoTestedSchedule as refused:
        return {"kind": "refusal", "reason": refused.reason}
    except stillroom.BadInput as refused:
        return {"kind": "bad-input", "reason": str(refused)}
    found = audit_document.document(audit)
    del found["sha256"]
    for finding in found["findings"]:
        finding["history"] = None
    found["cells"] = [[getattr(cell, name) for name in CELL] for cell in audit.cells]
    return dict(json.loads(json.dumps(found)))


def _told(found: Document) -> Document:
    """What the page says, in the order in which the library has it."""
    if found["kind"] == "refusal":
        return {key: found[key] for key in ("kind", "reason")}
    if found["kind"] != "audit":
        return found
    assert found.pop("without") == ["sha256", "history"]
    return {**found, "cells": [[cell[name] for name in CELL] for cell in found["cells"]]}


def _apart(library: Any, page: Any, path: str = "") -> Iterator[str]:
    """Each place in which two documents differ."""
    if isinstance(library, dict) and isinstance(page, dict) and list(library) == list(page):
        for key in library:
            yield from _apart(library[key], page[key], f"{path}.{key}")
    elif isinstance(library, list) and isinstance(page, list) and len(library) == len(page):
        for at, (one, other) in enumerate(zip(library, page, strict=True)):
            yield from _apart(one, other, f"{path}[{at}]")
    elif library != page:
        yield f"{path}: {library!r:.{MOST}} / {page!r:.{MOST}}"


def differing(page: Page, tables: Sequence[Pasted]) -> list[tuple[str, str, list[str]]]:
    """Tables that the page audits otherwise than the library, with the first places that differ."""
    said = page.said([{"audit": one.text, "said": dict(one.said)} for one in tables])
    assert len(said) == len(tables) > 0
    pairs = zip(tables, said, strict=True)
    found = [(one, list(_apart(by_library(one), _told(told)))) for one, told in pairs]
    return [(one.what, one.text[:MOST], places[:4]) for one, places in found if places]
