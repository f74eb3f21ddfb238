"""The commands ``stillroom check`` and ``stillroom tidy`` as a CI log sees them."""

from __future__ import annotations

import json

import pytest

from stillroom.commands.main import main
from stillroom.findings import checks
from tests.conftest import ROOT


def _run(capsys, *words):
    status = main(list(words))
    told = capsys.readouterr()
    return status, told.out, told.err


def test_a_sound_package_ends_with_0(package, capsys):
    status, out, err = _run(capsys, "check", str(package.root))
    assert (status, err) == (0, "") and out == f"{len(checks.every())} checks, no findings\n"


def test_findings_end_with_1_and_all_are_told(package, capsys):
    package.edit("schedules/vegetables.csv", 2, minutes="20")
    package.edit("schedules/acid.csv", 2, quantity="1")
    status, out, err = _run(capsys, "check", str(package.root))
    assert (status, err) == (1, "")
    assert "schedules/acid.csv:2: acid: quantity" in out and "schedules/vegetables.csv:2: readings: minutes" in out
    assert out.splitlines()[-1].endswith(" findings")


def test_a_folder_that_is_no_package_ends_with_2(tmp_path, capsys):
    status, out, err = _run(capsys, "check", str(tmp_path))
    assert (status, out) == (2, "")
    assert err == f"stillroom: {tmp_path} holds no datapackage.json: give the folder of a data package\n"


def test_a_folder_without_a_package_is_told_what_to_do_and_never_passes_for_the_installed_data(
    tmp_path, monkeypatch, capsys
):
    monkeypatch.chdir(tmp_path)
    for words in (("check",), ("check", "."), ("compare", str(tmp_path))):
        status, out, err = _run(capsys, *words)
        assert (status, out) == (2, "") and err.count("\n") == 1
        assert "no datapackage.json in this folder" in err and "--installed" in err


def test_the_installed_data_are_checked_when_they_are_asked_for(tmp_path, monkeypatch, capsys, narrow):
    monkeypatch.chdir(tmp_path)
    assert _run(capsys, "check", "--installed")[0] == 0
    assert _run(capsys, "compare", str(ROOT), "--installed")[0] == 0


@pytest.mark.parametrize("words", [("check", "."), ("compare", ".", ".")])
def test_two_packages_at_once_are_bad_input(words, capsys):
    status, _, err = _run(capsys, *words, "--installed")
    assert status == 2 and "leave one of them out" in err


def test_a_broken_check_ends_with_2_and_findings_are_told_all_the_same(package, capsys, monkeypatch):
    def breaks(package):
        raise ZeroDivisionError("by nothing")

    broken = (*checks.every(), checks.Check("breaks", "Breaks.", "", breaks))
    monkeypatch.setattr(checks, "every", lambda: broken)
    package.edit("schedules/vegetables.csv", 2, minutes="20")
    status, out, err = _run(capsys, "check", str(package.root))
    assert status == 2 and "vegetables.csv:2" in out
    assert err == "stillroom: check breaks broke, a fault of the check: ZeroDivisionError: by nothing\n"


def test_the_list_has_one_sentence_for_each_check(capsys):
    status, out, _ = _run(capsys, "check", "--list")
    assert status == 0 and len(out.splitlines()) == len(checks.every())
    assert all(line.endswith(".") for line in out.splitlines())


@pytest.mark.parametrize("kind", ["json", "sarif"])
def test_programs_get_json(package, capsys, kind):
    status, out, _ = _run(capsys, "check", str(package.root), "--format", kind)
    assert status == 0 and isinstance(json.loads(out), dict)


def test_a_near_miss_an_unknown_format_is_bad_input(package, capsys):
    with pytest.raises(SystemExit) as stopped:
        main(["check", str(package.root), "--format", "xml"])
    assert stopped.value.code == 2
