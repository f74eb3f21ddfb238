"""Reading a package that means harm: one line each, nothing opened outside, nothing written."""

from __future__ import annotations

import csv
import json
import os

import pytest

import stillroom
from stillroom.errors import BadInput
from stillroom.findings.opened import CheckedPackage
from stillroom.package.lines import bounded
from tests.conftest import ROOT

FRUIT = "schedules/fruit.csv"


def _descriptor(package, **changes):
    descriptor = json.loads(package.bytes("datapackage.json"))
    descriptor["resources"][0].update(changes)
    package.put("datapackage.json", json.dumps(descriptor))


@pytest.mark.parametrize(
    ("path", "says"),
    [
        ("/etc/hostname", "is absolute"),
        ("~/x.csv", "is absolute"),
        ("../out.csv", "leads through .."),
        ("schedules/../../out.csv", "leads through .."),
        ("schedules//fruit.csv", "leads through .."),
        ("https://example.org/fruit.csv", "is a URL"),
        ("file:///etc/hostname", "is a URL"),
        ("C:\\fruit.csv", "no plain"),
        ("C:fruit.csv", "a drive"),
        ("", "no plain"),
        ("schedules/fruit.csv\n", "no plain"),
        ("a\0b", "no plain"),
    ],
)
@pytest.mark.parametrize("key", ["path", "schema"])
def test_paths_that_lead_out_are_never_opened(package, monkeypatch, key, path, says):
    _descriptor(package, **{key: path})
    opened = []
    real = os.open
    monkeypatch.setattr(os, "open", lambda name, *rest, **more: opened.append(str(name)) or real(name, *rest, **more))
    problems = CheckedPackage(str(package.root)).problems
    assert any(problem.file == "datapackage.json" and says in problem.wrong for problem in problems)
    assert all(name.startswith(str(package.root)) and ".." not in name for name in opened)
    assert all("\n" not in str(problem) and "\0" not in str(problem) for problem in problems)


@pytest.mark.parametrize("path", [["schedules/fruit.csv"], 7, None, {"a": 1}])
def test_paths_that_are_no_text_are_findings(package, path):
    _descriptor(package, path=path)
    assert any("needs one path" in problem.wrong for problem in CheckedPackage(str(package.root)).problems)


def test_links_are_followed_inside_the_package_only(package, tmp_path_factory):
    outside = tmp_path_factory.mktemp("outside") / "fruit.csv"
    outside.write_text("secret")
    (package.root / FRUIT).rename(package.root / "schedules" / "kept.csv")
    os.symlink(outside, package.root / FRUIT)
    report = stillroom.check(str(package.root))
    assert any("leads out of the package by a link" in finding.wrong for finding in report.findings)
    assert "secret" not in str(report)


@pytest.mark.parametrize("target", ["directory", "fifo", "dangling"])
def test_what_is_no_file_is_one_line(package, target):
    path = package.root / FRUIT
    path.unlink()
    if target == "directory":
        path.mkdir()
    elif target == "fifo":
        os.mkfifo(path)
    else:
        os.symlink(package.root / "gone.csv", path)
    (finding,) = [f for f in CheckedPackage(str(package.root)).problems if f.file == FRUIT]
    assert finding.wrong in ("is no ordinary file", "is missing")


def test_a_file_over_the_bound_is_not_read(package):
    with open(package.root / FRUIT, "r+b") as file:
        file.truncate(600 * 1024 * 1024)
    (finding,) = [f for f in CheckedPackage(str(package.root)).problems if f.file == FRUIT]
    assert finding.wrong == "has 629,145,600 bytes; at most 536,870,912 are read"


def test_one_endless_line_and_one_endless_cell_stop(package):
    package.put(FRUIT, b"x" * 3_000_000)
    assert any("a line of a megabyte or more" in f.wrong for f in CheckedPackage(str(package.root)).problems)
    package.put(FRUIT, package.bytes("schedules/pickles.csv") + b'"' + b"x\n" * 200_000)
    assert any("is no CSV: a cell or line of over" in f.wrong for f in CheckedPackage(str(package.root)).problems)


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "is no JSON"),
        (b"{", "is no JSON"),
        (b"[]", "is not a JSON object"),
        (b'{"a": 1, "a": 2}', 'key "a" stands twice'),
        (b"\xff\xfe{", "is not UTF-8"),
        (b"[" * 100_000, "nested too deeply"),
        (b"{}", "has no list of resources"),
        (b'{"resources": [1, null, {"name": 3}]}', "a resource without a name"),
    ],
)
def test_a_descriptor_that_cannot_be_read_is_one_line(package, data, says):
    package.put("datapackage.json", data)
    report = stillroom.check(str(package.root))
    assert not report.ok and not report.broken
    assert any(finding.file == "datapackage.json" and says in finding.wrong for finding in report.findings)


def test_a_dialect_that_would_be_read_otherwise_is_a_finding(package):
    _descriptor(package, encoding="utf-16")
    assert any("comma-separated UTF-8" in problem.wrong for problem in CheckedPackage(str(package.root)).problems)


def test_a_folder_that_is_no_package_is_bad_input(tmp_path):
    with pytest.raises(BadInput, match=r"holds no datapackage\.json"):
        CheckedPackage(str(tmp_path))
    with pytest.raises(BadInput, match="is no folder"):
        CheckedPackage(str(tmp_path / "gone"))


def test_checking_writes_nothing(package):
    def state():
        return {p: (p.stat().st_mtime_ns, p.stat().st_size) for p in sorted(package.root.rglob("*"))}

    before = state()
    stillroom.check(str(package.root))
    assert state() == before


def test_reading_a_package_leaves_the_limit_of_the_csv_reader_as_it_is(monkeypatch: pytest.MonkeyPatch) -> None:
    def never(*limit: int) -> int:
        raise AssertionError(f"the limit of the whole process was touched: {limit}")

    monkeypatch.setattr(csv, "field_size_limit", never)
    package = CheckedPackage(str(ROOT))
    assert package.problems == []


@pytest.mark.parametrize(
    ("lines", "whole"),
    [
        (["a,b\n", "1,2\n"], True),
        (['"a\n', 'b",1\n'] * 50, True),
        (['"a""b",1\n'] * 50, True),
        (["x" * 51 + "\n"], False),
        (['"a\n', *["b\n"] * 30, '"\n'], False),
        (['"a\n', *["b\n"] * 10, 'c"\n'] * 5, True),
    ],
)
def test_lines_are_passed_on_up_to_one_that_is_too_long(lines: list[str], whole: bool) -> None:
    passed = bounded(lines, 50)
    if whole:
        assert list(passed) == lines
    else:
        with pytest.raises(csv.Error, match="over 50 characters"):
            list(passed)
