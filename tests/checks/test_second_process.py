"""The process that enforces the schemas beside the other checks: as strict as this one, and never needed."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

import stillroom
from stillroom.findings import checks, second_process
from stillroom.findings.opened import CheckedPackage

VEGETABLES = "schedules/vegetables.csv"


@pytest.fixture
def spoiled(package):
    package.edit(VEGETABLES, 2, minutes="three")
    package.edit(VEGETABLES, 3, food="celery", caption="C\u00e9leri \u2603")
    rows = package.read("schedules/foods.csv")
    package.write("schedules/foods.csv", [*rows, rows[-1]])
    return package


@pytest.fixture
def not_loaded(monkeypatch):
    """As in a fresh process, where nothing of the engines is loaded."""
    monkeypatch.setattr(second_process, "_LOADED", "no.such.library")


def _here(package):
    return checks.report(CheckedPackage(str(package.root)))


def test_it_finds_what_is_found_here(spoiled, not_loaded, monkeypatch):
    expected = _here(spoiled)
    monkeypatch.setattr("stillroom.findings.row_engine.enforce", lambda *_: pytest.fail("done here"))
    assert stillroom.check(str(spoiled.root)) == expected
    assert {"is no whole number", "is not in table foods"} <= {f.wrong for f in expected.findings}


@pytest.mark.parametrize("program", ["raise SystemExit(1)", "import sys; sys.stdin.buffer.read(); sys.exit(1)"])
def test_where_it_fails_the_work_is_done_here(spoiled, not_loaded, monkeypatch, program):
    monkeypatch.setattr(second_process, "_PROGRAM", program)
    assert stillroom.check(str(spoiled.root)) == _here(spoiled)


def test_where_there_are_no_processes_the_work_is_done_here(spoiled, not_loaded, monkeypatch):
    def refused(*_, **__):
        raise OSError("no processes here")

    monkeypatch.setattr(subprocess, "Popen", refused)
    assert stillroom.check(str(spoiled.root)) == _here(spoiled)


def test_it_is_not_started_where_the_engines_are_loaded_already(monkeypatch):
    monkeypatch.setitem(sys.modules, "frictionless", sys.modules[__name__])
    with second_process.started() as process:
        assert process is None


def test_it_is_ended_when_the_package_cannot_be_opened(not_loaded, monkeypatch):
    made = []

    class Kept(second_process.SecondProcess):
        def __init__(self):
            super().__init__()
            made.append(self)

    monkeypatch.setattr(second_process, "SecondProcess", Kept)
    with pytest.raises(stillroom.BadInput):
        stillroom.check("/no/such/folder")
    assert [one._process.poll() is not None for one in made] == [True]


def test_a_module_that_lies_in_the_package_is_not_run(package):
    for name in ("frictionless", "pandas", "pandera", "json", "stillroom"):
        package.put(f"{name}.py", f"open({str(package.root / 'ran')!r}, 'w').write({name!r})\n")
    source = str(Path(stillroom.__file__).parents[1])
    told = subprocess.run(
        [sys.executable, "-P", "-m", "stillroom", "check", "."],
        cwd=package.root, env={**os.environ, "PYTHONPATH": source}, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert told.stdout == "22 checks, no findings\n", told.stderr
    assert not (package.root / "ran").exists()
