"""Where only a part of an optional group is installed, one line says what is missing, before anything else is said."""

from __future__ import annotations

import tomllib
from importlib.metadata import packages_distributions

import pytest

import stillroom
from stillroom import extras
from stillroom.commands.main import main
from tests.conftest import ROOT
from tests.repository import HOME


def test_a_check_with_a_library_missing_is_one_line_and_finds_nothing(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(extras, "CHECK", ("json", "library_that_is_not_there"))
    with pytest.raises(stillroom.StillroomError, match="needs library_that_is_not_there"):
        stillroom.check(str(HOME))
    assert main(["check", str(HOME)]) == 2
    out, err = capsys.readouterr()
    assert out == "" and err.count("\n") == 1 and "stillroom[check]" in err


def test_the_libraries_of_the_check_are_those_of_its_group() -> None:
    groups = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]["optional-dependencies"]
    wanted = {each.split(">")[0].lower() for name in ("check", "desk") for each in groups[name]} - {"stillroom[desk]"}
    wanted -= {"openpyxl", "jinja2"}  # workbooks of others and pages of reports: no check needs them
    wanted -= {"python-docx", "xlsxwriter"}  # handouts
    provided = packages_distributions()
    there = {name.lower() for module in extras.CHECK for name in provided[module]}
    assert wanted <= there
