"""``stillroom check --against`` in a repository, as CI runs it."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

import stillroom

HOME = Path(__file__).resolve().parents[2]
BEANS = "snap-beans,,raw,quart,pressure,dial,0,2000,25,11,"


@pytest.fixture
def repository(tmp_path: Path) -> Path:
    for name in ("schedules", "shared", "schema"):
        shutil.copytree(HOME / name, tmp_path / name)
    shutil.copy(HOME / "datapackage.json", tmp_path)
    for words in (["init", "-q", "-b", "main"], ["add", "-A"], ["commit", "-q", "-m", "first"]):
        subprocess.run(["git", "-c", "user.name=a", "-c", "user.email=a@b.invalid", *words], cwd=tmp_path, check=True)
    return tmp_path


def command(repository: Path, *words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, "-m", "stillroom", *words], cwd=repository, capture_output=True, text=True)


def edit(repository: Path) -> None:
    file = repository / "schedules" / "vegetables.csv"
    file.write_text(file.read_text().replace(BEANS, BEANS.replace(",25,", ",24,")))


def test_an_unchanged_checkout_passes_against_its_own_commit(repository: Path) -> None:
    ran = command(repository, "check", "--against", "main")
    assert (ran.returncode, ran.stderr) == (0, "")
    assert "no findings" in ran.stdout


def test_a_weaker_cell_fails_in_one_line_of_the_gate(repository: Path) -> None:
    edit(repository)
    ran = command(repository, "check", "--against", "main")
    assert ran.returncode == 1
    (line,) = [line for line in ran.stdout.splitlines() if ": gate: " in line]
    assert line.startswith('schedules/vegetables.csv:218: gate: minutes "24" of snap-beans, raw, quart, dial')
    assert "was 25 in main" in line


def test_the_report_tells_that_the_gate_ran(repository: Path) -> None:
    report = stillroom.check(str(repository), against=str(HOME))
    assert "gate" in report.ran
    assert report.ok


def test_a_ref_that_is_not_there_is_bad_input_in_one_line(repository: Path) -> None:
    ran = command(repository, "check", "--against", "origin/main")
    assert ran.returncode == 2
    assert ran.stderr.count("\n") == 1
    assert "fetch the ref" in ran.stderr


def test_compare_tells_what_a_commit_and_the_checkout_differ_in(repository: Path) -> None:
    edit(repository)
    ran = command(repository, "compare", "main", "--changelog")
    assert ran.returncode == 0
    assert "- snap-beans, raw, quart, dial, 0 to 2,000 ft: minutes 25 -> 24 (usda-2015, 4-9)\n" in ran.stdout


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
