"""The page under node: its scripts with the data of the published package, asked beside the library."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import Any

import stillroom
from stillroom.sheets import documents
from stillroom.site import data
from tests.node import NODE

ASKING = Path(__file__).with_name("asking.js")
PARTS = ("food", "pack", "jar", "altitude", "canner", "form")
Document = dict[str, Any]
Question = dict[str, "str | None"]


class Page:
    """Scripts in a folder, and what they say; one process of node for each list of questions."""

    def __init__(self, folder: Path, data_script: str, more: dict[str, str] | None = None) -> None:
        self.scripts = {"data.js": data_script, **data.page_scripts(), **(more or {})}
        for name, text in self.scripts.items():
            (folder / name).write_text(text, encoding="utf-8")
        self._command = [str(NODE), str(ASKING), *(str(folder / name) for name in self.scripts)]

    def said(self, lines: Iterable[Any]) -> list[Any]:
        """What the page makes of each line."""
        text = "".join(f"{json.dumps(line)}\n" for line in lines)
        run = subprocess.run(self._command, input=text, capture_output=True, encoding="utf-8", check=True)
        return [json.loads(line) for line in run.stdout.split("\n") if line]

    def called(self, name: str, values: Sequence[Sequence[Any]]) -> list[Any]:
        """What a function of the page gives for each list of values."""
        found = self.said([{"call": name, "with": values}])[0]
        assert isinstance(found, list), found
        return found

    def differing(
        self, questions: Sequence[Question], find: Callable[..., stillroom.Answer] = stillroom.find
    ) -> list[tuple[Question, str]]:
        """Questions that the page answers otherwise than the library, with the keys that differ."""
        said = self.said(questions)
        assert len(said) == len(questions) > 0
        return [
            (asked, found)
            for asked, page in zip(questions, said, strict=True)
            if (found := _apart(by_library(asked, find), page))
        ]


def by_library(asked: Question, find: Callable[..., stillroom.Answer] = stillroom.find) -> Document:
    """What ``stillroom find --json`` says, as a program reads it."""
    try:
        found = documents.answer(find(**asked))
    except (stillroom.SayWhich, stillroom.NoTestedSchedule) as error:
        found = error.to_dict()
    except stillroom.BadInput as error:
        found = {"kind": "bad-input", "reason": str(error)}
    return dict(json.loads(json.dumps(found)))


def _apart(library: Document, page: Document) -> str:
    keys = [key for key in (*library, *page) if library.get(key) != page.get(key) or (key in library) != (key in page)]
    return "; ".join(f"{key}: {library.get(key)!r:.200} / {page.get(key)!r:.200}" for key in dict.fromkeys(keys))
