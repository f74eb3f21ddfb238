"""What a release holds: sizes and hashes of all files, the same bytes each time, and all that an install needs.

Source: Data Resource 2.0 (``bytes``, ``hash``); PEP 561 (``py.typed``); reproducible-builds.org (SOURCE_DATE_EPOCH).
"""

from __future__ import annotations

import hashlib
import json
import os
import subprocess
import sys
import zipfile
from pathlib import Path
from typing import Any

import pytest

from stillroom.desk.documents_compared import document_changes
from stillroom.findings.opened import CheckedPackage
from stillroom.package.released import released
from tests.conftest import ROOT


def _resources(descriptor: bytes) -> dict[str, dict[str, Any]]:
    return {one["name"]: one for one in json.loads(descriptor)["resources"]}


def _built(out: Path, kind: str, source: Path = ROOT) -> Path:
    words = [sys.executable, "-m", "hatchling", "build", "-t", kind, "-d", str(out)]
    subprocess.run(words, cwd=source, check=True, capture_output=True, env={**os.environ, "SOURCE_DATE_EPOCH": "1"})
    (built,) = out.iterdir()
    return built


def test_every_resource_of_a_release_tells_its_size_and_its_hash() -> None:
    descriptor = released(str(ROOT))
    for name, resource in _resources(descriptor).items():
        content = (ROOT / resource["path"]).read_bytes()
        assert resource["bytes"] == len(content), name
        assert resource["hash"] == f"sha256:{hashlib.sha256(content).hexdigest()}", name
    working = _resources((ROOT / "datapackage.json").read_bytes())
    assert {name for name, one in working.items() if "hash" not in one} >= {"fruit", "answers"}
    assert not any("bytes" in one for one in working.values())


def test_a_file_that_nobody_reviewed_is_not_released(copy: Path) -> None:
    path = copy / "shared/jars.csv"
    path.write_bytes(path.read_bytes() + b"\n")
    with pytest.raises(ValueError, match=r"shared/jars\.csv is not as it was when it was last reviewed"):
        released(str(copy))


def test_a_release_has_no_findings_of_its_own_and_is_no_change_of_the_data(copy: Path) -> None:
    from stillroom.findings.checks import hash as check

    working = (copy / "datapackage.json").read_bytes()
    (copy / "datapackage.json").write_bytes(released(str(copy)))
    assert list(check.check(CheckedPackage(str(copy)))) == []
    for old, new in ((working, released(str(copy))), (released(str(copy)), working)):
        assert list(document_changes("datapackage.json", old, new)) == []
    (copy / "schedules/answers.csv").write_bytes(b"food\n")
    assert [finding.file for finding in check.check(CheckedPackage(str(copy)))] == ["schedules/answers.csv"]


def test_two_builds_are_equal_and_one_from_the_source_distribution_installs(tmp_path: Path) -> None:
    pytest.importorskip("hatchling")
    wheel = _built(tmp_path / "one", "wheel")
    assert wheel.read_bytes() == _built(tmp_path / "two", "wheel").read_bytes()
    with zipfile.ZipFile(wheel) as held:
        names = set(held.namelist())
        assert {"stillroom/py.typed", "stillroom/data/schema/answer.json"} <= names
        assert held.read("stillroom/data/datapackage.json") == released(str(ROOT))
    source = _built(tmp_path / "source", "sdist")
    assert source.read_bytes() == _built(tmp_path / "again", "sdist").read_bytes()
    words = [sys.executable, "-m", "pip", "install", "--quiet", "--no-deps", "--no-build-isolation", "--no-compile"]
    subprocess.run([*words, "--target", str(tmp_path / "site"), str(source)], check=True, capture_output=True)
    asked = ["green beans", "--pack", "raw", "--jar", "quart", "--altitude", "1650 ft", "--canner", "dial"]
    said = subprocess.run(
        [sys.executable, "-m", "stillroom", "find", *asked], cwd=tmp_path, check=True, capture_output=True, text=True,
        env={**os.environ, "PYTHONPATH": str(tmp_path / "site")},
    )  # fmt: skip
    assert "25 minutes" in said.stdout  # page 4-9: snap and Italian beans, raw pack, quarts
    told = json.loads((tmp_path / "site/stillroom/data/datapackage.json").read_bytes())
    assert told == json.loads(released(str(ROOT)))
