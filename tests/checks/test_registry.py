"""The checks themselves: each documented, each tested, and none able to hide that it broke."""

from __future__ import annotations

from pathlib import Path

import pytest

import stillroom
from stillroom.findings import checks
from stillroom.findings.finding import Finding
from stillroom.findings.opened import CheckedPackage

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
NAMES = [check.name for check in checks.every()]


@pytest.mark.parametrize("check", checks.every(), ids=NAMES)
def test_each_check_has_its_page_with_the_same_headings(check):
    assert check.summary.endswith(".") and len(check.summary) < 110 and "\n" not in check.summary
    lines = check.page.splitlines()
    headings = [lines[i - 1] for i, line in enumerate(lines) if line and set(line) == {"-"}]
    assert headings == ["What it does", "Why it matters", "Example", "Source"]
    example = check.page.split("Example\n-------\n")[1].split("\n\n")[0]
    assert f": {check.name}: " in example, "the example is a line of the report"


@pytest.mark.parametrize("name", NAMES)
def test_each_check_has_a_test_beside_it(name):
    text = (HERE / f"test_{name}.py").read_text()
    assert text.count("def test_") >= 2 and "near" in text, "a hit, and a near miss"


def test_there_is_no_test_of_a_check_that_is_gone():
    others = {"registry", "wrong_edits", "report", "command", "tidy", "reading", "second_process"}
    assert {path.stem[5:] for path in HERE.glob("test_*.py")} == set(NAMES) | others


def test_the_package_as_published_has_no_finding():
    report = stillroom.check(str(ROOT))
    assert report.findings == () and report.ok
    assert report.ran == tuple(NAMES)


def test_a_check_that_breaks_is_an_error_and_the_others_still_run():
    def breaks(package):
        yield Finding("breaks", "a.csv", 1, "", "", "never counted")
        raise KeyError("gone")

    broken = checks.Check("breaks", "Breaks.", "", breaks)
    form = next(check for check in checks.every() if check.name == "form")
    report = checks.report(CheckedPackage(str(ROOT)), [broken, form])
    assert report.findings == () and report.ran == ("form",) and not report.ok
    assert report.broken == ("check breaks broke, a fault of the check: KeyError: 'gone'",)


def test_a_flood_of_findings_is_cut_and_says_so():
    flood = checks.Check(
        "flood", "Floods.", "", lambda package: (Finding("flood", "a.csv", n, "", "", "wet") for n in range(10**9))
    )
    report = checks.report(CheckedPackage(str(ROOT)), [flood])
    assert len(report.findings) == 1001
    assert "over 1,000 findings; the rest are not listed" in {finding.wrong for finding in report.findings}


def test_pages_of_checks_are_told_without_loading_them() -> None:
    assert checks.documented() == tuple((one.name, one.summary, one.page) for one in checks.every())
