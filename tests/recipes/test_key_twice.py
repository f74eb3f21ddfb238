"""A recipe with one key twice: a reader of YAML keeps the last and drops the first, which may be the acid. All refuse.

YAML 1.2.2, section 3.2.1.1: the keys of a mapping are unique.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

import stillroom
from stillroom.recipes import printed
from tests.conftest import ROOT
from tests.trials import THOROUGH

FILE = "schedules/recipes/figs.yaml"


@pytest.fixture
def package(tmp_path: Path) -> Path:
    for name in ("schedules", "shared", "schema"):
        shutil.copytree(ROOT / name, tmp_path / name)
    shutil.copy(ROOT / "datapackage.json", tmp_path)
    return tmp_path


def _library(package: Path) -> str:
    with pytest.raises(stillroom.BadPackage) as refused:
        printed.read(str(package), "figs")
    return str(refused.value)


def _check(package: Path) -> str:
    report = stillroom.check(str(package))
    return "\n".join(str(finding) for finding in report.findings if finding.check == "recipes")


def _compare(package: Path) -> str:
    with pytest.raises(stillroom.BadPackage) as refused:
        stillroom.compare(str(ROOT), str(package))
    return str(refused.value)


def _gate(package: Path) -> str:
    return "\n".join(map(str, stillroom.check(str(ROOT), against=str(package)).findings))


READERS = [_library, _check, _compare, _gate]


@pytest.mark.parametrize("reader", READERS)
def test_every_reader_refuses_it_and_names_the_line_and_the_key(package: Path, reader: Callable[[Path], str]) -> None:
    text = (package / FILE).read_text(encoding="utf-8")
    line = text.count("\n") + 1
    (package / FILE).write_text(f"{text}title: Other figs\n", encoding="utf-8")
    said = reader(package)
    assert f"{FILE}:{line}:" in said and '"title"' in said and "twice" in said


@pytest.mark.parametrize("reader", READERS if THOROUGH else (_library, _compare))
def test_every_reader_refuses_it_deep_inside(package: Path, reader: Callable[[Path], str]) -> None:
    text = (package / FILE).read_text(encoding="utf-8")
    changed = text.replace("quantity: 1,", "quantity: 1, quantity: 2,", 1)
    assert changed != text
    (package / FILE).write_text(changed, encoding="utf-8")
    assert '"quantity"' in reader(package)


def test_a_near_miss_the_same_key_in_two_mappings_is_read(package: Path) -> None:
    entry = printed.read(str(package), "figs")
    assert len([step["text"] for step in entry["steps"]]) > 1
    assert _check(package) == ""
    assert stillroom.compare(str(ROOT), str(package)).changes == ()
