from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

import pytest
import yaml

import stillroom
from stillroom.run.judgement import Judgement

# Snap beans, raw pack, pints, dial gauge, up to 2,000 ft: 20 minutes at 11 psi (page 4-9).
BEANS: dict[str, Any] = {
    "food": "snap-beans",
    "pack": "raw",
    "jar": "pint",
    "jars": 18,
    "altitude": "1650 ft",
    "canner": "dial",
    "gauge": {"reads_high_by": "0 psi", "tested": "2026-06-01"},
    "run": "run.csv",
    "date": "2026-08-15",
}

Row = tuple[Any, ...]
_folders = itertools.count()


@pytest.fixture(scope="session")
def write(tmp_path_factory: pytest.TempPathFactory) -> Callable[..., Path]:
    """Write a batch record and its log; give the path of the record. A key set to None is left out of the record."""
    home = tmp_path_factory.mktemp("runs")

    def written(log: str | bytes, **changes: Any) -> Path:
        folder = home / str(next(_folders))
        folder.mkdir()
        record = {key: value for key, value in {**BEANS, **changes}.items() if value is not None}
        (folder / "batch.yaml").write_text(yaml.safe_dump(record, sort_keys=False), encoding="utf-8")
        (folder / "run.csv").write_bytes(log if isinstance(log, bytes) else log.encode())
        return folder / "batch.yaml"

    return written


@pytest.fixture(scope="session")
def judged(write: Callable[..., Path]) -> Callable[..., Judgement]:
    """Judge rows of (minute, psi[, event])."""

    def of(rows: Iterable[Row], **changes: Any) -> Judgement:
        lines = [",".join("" if cell is None else str(cell) for cell in (*row, "", "")[:3]) for row in rows]
        return stillroom.judge(str(write("\n".join(["minute,gauge_psi,event", *lines]) + "\n", **changes)))

    return of
