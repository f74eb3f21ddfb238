"""The options of the command: each file is written in its form, only over one of its own kind; slips cost nothing."""

from __future__ import annotations

from pathlib import Path

import pytest

from stillroom.commands.main import main


@pytest.mark.parametrize("end", ["html", "md", "pdf"])
def test_sheet_poster_and_quiz_are_written_and_replaced_but_never_over_another(
    end: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    names = {what: tmp_path / f"{what}.{end}" for what in ("sheet", "poster", "quiz")}
    asked = ["table", "snap beans; peaches", "--at", "1650 ft"]
    for _ in range(2):
        assert main([*asked, *(word for what, path in names.items() for word in (f"--{what}", str(path)))]) == 0
    out = capsys.readouterr().out
    assert out.count("written:") == 6 and "--seed 1 makes the same again" in out
    before = names["quiz"].read_bytes()
    assert main([*asked, "--sheet", str(names["quiz"])]) == 2
    (tmp_path / f"own.{end}").write_text("somebody's notes")
    assert main([*asked, "--sheet", str(tmp_path / f"own.{end}")]) == 2
    assert names["quiz"].read_bytes() == before
    assert (tmp_path / f"own.{end}").read_text() == "somebody's notes"
    assert capsys.readouterr().err.count("\n") == 2


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--seed", "3"], "--quiz"),
        (["--large"], "--sheet or --quiz"),
        (["--large", "--poster", "p.md"], "--sheet or --quiz"),
        (["--sheet", "class.txt"], ".html, .md or .pdf"),
        (["--sheet", "a.md", "--quiz", "./a.md"], "a file each"),
        (["--sheet", "a.md", "--json"], "leave --json"),
        (["--sheet", "a.md", "--as", "csv"], "leave --json"),
        (["--quiz", "a.md", "--seed", "x"], "whole number"),
        (["--sheet", "a.md", "--at", "1650"], "no unit"),
    ],
)
def test_a_slip_is_one_line_and_writes_nothing(
    words: list[str], told: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["table", "snap beans", *words]) == 2
    out, err = capsys.readouterr()
    assert out == "" and err.count("\n") == 1 and told in err
    assert list(tmp_path.iterdir()) == []


def test_what_cannot_be_written_is_told_and_the_rest_is_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    there = tmp_path / "none" / "a.md", tmp_path / "q.md"
    assert main(["table", "snap beans", "--sheet", str(there[0]), "--quiz", str(there[1])]) == 2
    out, err = capsys.readouterr()
    assert there[1].exists() and "Quiz written" in out and "cannot be written" in err


def test_a_withheld_food_gets_no_sheet(tmp_path: Path) -> None:
    assert main(["table", "snap beans; garlic", "--sheet", str(tmp_path / "a.md")]) == 3
    assert list(tmp_path.iterdir()) == []
