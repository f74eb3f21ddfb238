"""``stillroom check --against`` in a repository, as CI runs it."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

import stillroom
from stillroom.commands.main import main
from tests.repository import copied

BEANS = "snap-beans,,raw,quart,pressure,dial,0,2000,25,11,"


def git(folder: Path, *words: str) -> None:
    subprocess.run(["git", "-c", "user.name=a", "-c", "user.email=a@b.invalid", *words], cwd=folder, check=True)


@pytest.fixture(scope="module")
def committed(tmp_path_factory: pytest.TempPathFactory, pristine: Path) -> Path:
    """Give a repository with one commit, whose folder .git is copied and never written to."""
    folder = copied(tmp_path_factory.mktemp("committed"), source=pristine)
    for words in (["init", "-q", "-b", "main"], ["add", "-A"], ["commit", "-q", "-m", "first"]):
        git(folder, *words)
    return folder


@pytest.fixture
def repository(copy: Path, committed: Path, narrow: object, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Stand in a checkout of that commit."""
    shutil.copytree(committed / ".git", copy / ".git")
    monkeypatch.chdir(copy)
    return copy


def edit(repository: Path) -> None:
    file = repository / "schedules" / "vegetables.csv"
    file.write_text(file.read_text().replace(BEANS, BEANS.replace(",25,", ",24,")))


def test_an_unchanged_checkout_passes_against_its_own_commit(
    repository: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["check", "--against", "main"]) == 0
    told = capsys.readouterr()
    assert "no findings" in told.out
    assert told.err == ""


def test_a_weaker_cell_fails_and_its_answers_are_told_first(repository: Path) -> None:
    """In a process of its own, as CI runs it."""
    edit(repository)
    command = [sys.executable, "-m", "stillroom", "check", "--against", "main"]
    ran = subprocess.run(command, capture_output=True, text=True)
    assert ran.returncode == 1
    assert ran.stdout.startswith("Answers: 2 weakened (2 of low-acid food).\nNames: the same.\nsnap-beans (low-acid): ")
    answers, cell = (line for line in ran.stdout.splitlines() if ": gate: " in line)
    assert answers.startswith("schedules/answers.csv: gate: snap-beans (low-acid): 2 answers weakened, first: ")
    assert cell.startswith('schedules/vegetables.csv:218: gate: minutes "24" of snap-beans, raw, quart, dial')
    assert "was 25 in main" in cell


def test_the_report_tells_that_the_gate_ran(repository: Path, pristine: Path) -> None:
    report = stillroom.check(str(repository), against=str(pristine))
    assert "gate" in report.ran
    assert report.ok


def test_a_ref_that_is_not_there_is_bad_input_in_one_line(repository: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "--against", "origin/main"]) == 2
    told = capsys.readouterr().err
    assert told.count("\n") == 1
    assert "fetch the ref" in told


def test_compare_tells_what_a_commit_and_the_checkout_differ_in(
    repository: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    edit(repository)
    assert main(["compare", "main", "--changelog"]) == 0
    told = capsys.readouterr().out
    assert "- snap-beans, raw, quart, dial, 0 to 2,000 ft: minutes 25 -> 24 (usda-2015, 4-9)\n" in told


def test_import_and_find_stay_light() -> None:
    """Neither loads what only the gate needs."""
    script = (
        "import sys, stillroom; stillroom.find('snap beans', pack='raw', jar='quart', altitude='1650 ft',"
        " canner='dial');"
        "heavy = ('subprocess', 'zipfile', 'stillroom.desk.comparison', 'stillroom.desk.gate');"
        "print([m for m in heavy if m in sys.modules])"
    )
    ran = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, env={**os.environ})
    assert ran.stdout == "[]\n"
