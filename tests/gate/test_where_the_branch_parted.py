"""``--against`` a git ref holds an edit against the commit where the branch parted, from wherever in the repository."""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path

import pytest

from stillroom.commands.main import main
from tests.repository import copied

MAIN_BEANS = "snap-beans,,raw,quart,pressure,dial,0,2000,25,11,"
TABLE = "schedules/vegetables.csv"


def git(folder: Path, *words: str) -> str:
    command = ["git", "-c", "user.name=a", "-c", "user.email=a@b.invalid", "-c", "protocol.file.allow=always", *words]
    return subprocess.run(command, cwd=folder, check=True, capture_output=True, text=True).stdout.strip()


@pytest.fixture
def outer(tmp_path: Path, pristine: Path, narrow: object) -> Path:
    """Give a repository whose package stands in the folder data; main has raised a time since the branch parted."""
    root = tmp_path / "outer"
    copied(root / "data", source=pristine)
    for words in (["init", "-q", "-b", "main"], ["add", "-A"], ["commit", "-q", "-m", "first"], ["branch", "work"]):
        git(root, *words)
    minutes(root, "25", "30")
    git(root, "commit", "-q", "-a", "-m", "main gained safer minutes")
    git(root, "checkout", "-q", "work")
    return root


def minutes(root: Path, old: str, new: str) -> None:
    file = root / "data" / TABLE
    row = MAIN_BEANS.replace(",25,", f",{old},")
    assert row in file.read_text()
    file.write_text(file.read_text().replace(row, row.replace(f",{old},", f",{new},")))


def gate_lines(out: str) -> list[str]:
    return [line for line in out.splitlines() if ": gate: " in line]


def test_a_branch_behind_main_is_not_blamed_for_what_main_gained(
    outer: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(outer / "data")
    assert main(["check", "--against", "main"]) == 0
    assert gate_lines(capsys.readouterr().out) == []


def test_its_own_edit_in_the_working_tree_is_found_and_the_commit_is_named(
    outer: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    minutes(outer, "25", "24")
    monkeypatch.chdir(outer / "data")
    assert main(["check", "--against", "main"]) == 1
    _, line = gate_lines(capsys.readouterr().out)
    assert f"was 25 in main (where HEAD parted from it, commit {git(outer, 'rev-parse', 'work')[:12]})" in line


def test_a_folder_of_the_package_does_for_the_package_and_says_so(
    outer: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    minutes(outer, "25", "24")
    monkeypatch.chdir(outer / "data" / "schedules")
    assert main(["check", ".", "--against", "HEAD"]) == 1
    told = capsys.readouterr()
    assert told.err == f"stillroom: the package is {outer / 'data'}, above this folder\n"
    assert len(gate_lines(told.out)) == 2
    assert main(["compare", "HEAD"]) == 0
    assert "minutes" in capsys.readouterr().out


def test_a_package_above_the_repository_is_somebody_elses(
    outer: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    own = outer / "data" / "own"
    own.mkdir()
    git(own, "init", "-q")
    monkeypatch.chdir(own)
    assert main(["check"]) == 2
    assert "no datapackage.json" in capsys.readouterr().err


def test_annotations_and_sarif_name_files_from_the_top_of_the_repository(
    outer: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    minutes(outer, "25", "24")
    monkeypatch.chdir(outer)
    assert main(["check", "data", "--format", "github"]) == 1
    lines = capsys.readouterr().out.splitlines()
    assert lines
    assert all(line.startswith("::error file=data/schedules/") for line in lines)
    assert main(["check", "data", "--format", "sarif"]) == 1
    results = json.loads(capsys.readouterr().out)["runs"][0]["results"]
    found = {one["locations"][0]["physicalLocation"]["artifactLocation"]["uri"] for one in results}
    assert f"data/{TABLE}" in found
    assert all((outer / uri).is_file() for uri in found)
    assert main(["check", "data"]) == 1
    assert capsys.readouterr().out.startswith("schedules/"), "text names files from the package"


def test_a_missing_ref_still_tells_what_the_checks_found(
    outer: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    minutes(outer, "25", "24")
    monkeypatch.chdir(outer / "data")
    assert main(["check", "--against", "origin/main"]) == 2
    told = capsys.readouterr()
    assert f"{TABLE}:218: readings: minutes" in told.out
    assert told.err.count("\n") == 1
    assert "fetch the ref" in told.err
    assert main(["check", "--against", "origin/main", "--format", "json"]) == 2
    document = json.loads(capsys.readouterr().out)
    assert not document["ok"]
    assert "fetch the ref" in document["broken"][0]


def test_a_shallow_clone_is_told_to_fetch_more_and_the_checks_are_printed(
    outer: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    git(outer, "commit", "-q", "--allow-empty", "-m", "on the branch")
    clone = tmp_path / "clone"
    git(tmp_path, "clone", "-q", "--depth=1", "--no-single-branch", "--branch=work", outer.as_uri(), str(clone))
    monkeypatch.chdir(clone / "data")
    assert main(["check", "--against", "origin/main"]) == 2
    told = capsys.readouterr()
    assert "checks, no findings" in told.out
    assert "fetch more history" in told.err
    git(clone, "fetch", "-q", "--unshallow")
    assert main(["check", "--against", "origin/main"]) == 0


def test_histories_without_a_common_commit_are_no_shallow_clone(
    outer: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    git(outer, "checkout", "-q", "--orphan", "other")
    git(outer, "commit", "-q", "-m", "another history")
    monkeypatch.chdir(outer / "data")
    assert main(["check", "--against", "main"]) == 2
    assert "no commit in common: name a ref of the same history" in capsys.readouterr().err


def test_the_hooks_run_when_files_are_only_deleted_and_in_a_folder_of_the_repository(
    outer: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    import yaml

    hooks = yaml.safe_load((Path(__file__).resolve().parents[2] / ".pre-commit-hooks.yaml").read_text())
    assert [hook["always_run"] for hook in hooks] == [True, True]
    assert [hook["pass_filenames"] for hook in hooks] == [False, False]
    monkeypatch.chdir(outer)
    for hook in hooks:
        assert main([*hook["entry"].split()[1:], "data"]) == 0, "the hook runner adds args to the entry"
    shutil.rmtree(outer / "data" / "schedules" / "recipes")
    for hook in hooks:
        assert main([*hook["entry"].split()[1:], "data"]) == 1
        assert "recipe figs" in capsys.readouterr().out
