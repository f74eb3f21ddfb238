"""Second process: holds the tables against their schemas on another core, while this one does the other checks.

Frictionless and pandera take longer to load and to run than all else of a check. The process is started before
anything is loaded here; it loads them, takes the tables as JSON, and gives the findings as JSON. It is a new Python of
its own (no fork, so it is safe beside threads), with the search path of this one. Where it cannot be had or fails, the
caller does the work itself.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from stillroom.findings.breach import Work
    from stillroom.findings.finding import Finding

_PROGRAM = f"import json, sys; sys.path[:] = json.loads(sys.argv[1]); from {__name__} import main; main()"
"""Run with the search path of this process, and never with the folder it stands in, which may hold any file."""
_LOADED = "frictionless"
"""Library whose presence tells that the engines are loaded here, so that a second process would gain nothing."""


class SecondProcess:
    """A Python process that waits for tables."""

    def __init__(self) -> None:
        self._process = subprocess.Popen(
            [sys.executable, "-I", "-c", _PROGRAM, json.dumps([os.path.abspath(path) for path in sys.path])],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
        )
        self._said = b""
        self._talk: threading.Thread | None = None

    def give(self, work: Work, names: list[str]) -> None:
        """Give it its work, without waiting.

        Parameters
        ----------
        work : Work
            Tables for Frictionless.
        names : list of str
            Those of them that are for pandera too.
        """
        asked = json.dumps(_written(work, names)).encode()

        def talk() -> None:
            self._said, _ = self._process.communicate(asked)

        self._talk = threading.Thread(target=talk, daemon=True)
        self._talk.start()

    def findings(self) -> list[Finding] | None:
        """Wait for what it found; None where it was given nothing, or failed."""
        from stillroom.findings.finding import Finding

        if self._talk is None:
            return None
        self._talk.join()
        if self._process.returncode != 0:
            return None
        return [Finding(*found) for found in json.loads(self._said)]

    def close(self) -> None:
        """End it, whatever it does."""
        self._process.kill()
        if self._talk is not None:
            self._talk.join()
        self._process.communicate()


@contextmanager
def started() -> Iterator[SecondProcess | None]:
    """Start the process, where a second one gains time; None elsewhere."""
    process = None
    if _LOADED not in sys.modules and _cores() > 1 and sys.executable and not getattr(sys, "frozen", False):
        try:
            process = SecondProcess()
        except OSError:  # no processes here
            process = None
    try:
        yield process
    finally:
        if process is not None:
            process.close()


def _cores() -> int:
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _written(work: Work, names: list[str]) -> dict[str, Any]:
    """Write tables as JSON: of those for pandera all cells, of the others where they are."""
    schemas: dict[int, int] = {}
    texts: dict[int, dict[str, list[str]]] = {}
    kept: list[dict[str, Any]] = []
    tables: list[dict[str, Any]] = []
    for table in work.tables:
        number = schemas.setdefault(id(table.schema), len(schemas))
        if number == len(kept):
            kept.append(table.schema)
        cells: dict[str, Any] = {"lines": [], "codes": {}}
        if table.name in names:
            texts[number] = {name: table.texts[name] for name in table.columns}
            cells = {"lines": table.lines.tolist(), "codes": {n: c.tolist() for n, c in table.codes.items()}}
        tables.append({"name": table.name, "file": table.file, "schema": number, **cells})
    known = [{"resource": r, "column": c, "texts": list(found)} for (r, c), found in work.known.items()]
    return {
        "root": work.root, "schemas": kept, "texts": texts, "tables": tables, "known": known, "names": names,
    }  # fmt: skip


def _read(asked: dict[str, Any]) -> Work:
    import numpy as np

    from stillroom.findings.breach import Work
    from stillroom.findings.table import Table

    tables = [
        Table(
            one["name"],
            one["file"],
            asked["schemas"][one["schema"]],
            np.array(one["lines"], dtype=np.int64),
            {name: np.array(codes, dtype=np.int32) for name, codes in one["codes"].items()},
            asked["texts"].get(str(one["schema"]), {}),
        )
        for one in asked["tables"]
    ]
    known = {(one["resource"], one["column"]): tuple(one["texts"]) for one in asked["known"]}
    return Work(asked["root"], tuple(tables), known)


def main() -> None:
    """Load the engines, read tables from the standard input and write the findings to the standard output."""
    import gc
    import importlib
    from itertools import chain, islice

    sys.modules.setdefault("hypothesis", None)  # type: ignore[arg-type]  # pandera loads it where it is, for nothing here
    from stillroom.findings import column_engine, finding, row_engine

    for library in ("frictionless.resources", "pandera.pandas", "pandera.io.pandas_io", "stillroom.findings.opened"):
        importlib.import_module(library)
    gc.disable()  # the process ends soon, and its tables are few
    asked = json.load(sys.stdin.buffer)
    work = _read(asked)
    found = chain(row_engine.enforce(work), column_engine.enforce(work, asked["names"]))
    json.dump(list(islice(found, finding.MOST + 1)), sys.stdout)
    sys.stdout.flush()
