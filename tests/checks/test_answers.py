"""The check ``answers``: a row that the library would not answer, a row it lacks, and any other order are found."""

from __future__ import annotations

import pytest

from stillroom.desk.prepare import made_from_others
from stillroom.findings import checks

ANSWERS, NAMES = "schedules/answers.csv", "schedules/names.csv"


def _lines(package, file):
    return (package.root / file).read_text(encoding="utf-8").splitlines(keepends=True)


def _write(package, file, lines):
    (package.root / file).write_text("".join(lines), encoding="utf-8")


def _line(package, file, start):
    return next(at for at, line in enumerate(_lines(package, file)) if line.startswith(start))


BEANS = "snap-beans,,raw,quart,dial,,2000,1,tested,25,11,"


def test_the_tables_as_they_are_made_have_no_finding(package):  # the near miss of all that follow
    assert package.found("answers") == ()


@pytest.mark.parametrize(
    ("was", "written"),
    [
        (",25,11,", ",20,11,"),
        (",25,11,", ",25,10,"),
        (",,2000,", ",,4000,"),
        (",tested,", ",jar-not-tested,"),
        (",1,,,always", ",0.5,,,always"),
    ],
)
def test_a_cell_that_says_another_thing_is_found_at_its_line_and_the_row_is_missed(package, was, written):
    lines, at = _lines(package, ANSWERS), _line(package, ANSWERS, BEANS)
    assert was in lines[at]
    lines[at] = lines[at].replace(was, written, 1)
    _write(package, ANSWERS, lines)
    found = package.found("answers")
    assert [(one.file, one.line) for one in found] == [(ANSWERS, None), (ANSWERS, at + 1)]
    assert BEANS in found[0].wrong and "prepare" in found[0].mend


def test_a_row_too_many_a_row_lost_and_two_rows_swapped_are_found(package):
    lines, at = _lines(package, ANSWERS), _line(package, ANSWERS, BEANS)
    _write(package, ANSWERS, [*lines[:at], lines[at], *lines[at:]])
    assert len(package.found("answers")) == 1
    _write(package, ANSWERS, [*lines[:at], *lines[at + 1 :]])
    assert [one.line for one in package.found("answers")] == [None]
    _write(package, ANSWERS, [*lines[:at], lines[at + 1], lines[at], *lines[at + 2 :]])
    assert [one.wrong for one in package.found("answers")] == ["has its rows in another order, or other line ends"]


def test_a_name_added_leaves_the_table_of_names_behind_until_it_is_made_anew(package):
    package.add("schedules/aliases.csv", alias="string of beans", food="snap-beans")
    assert [(one.file, one.wrong) for one in package.found("answers")] == [
        (NAMES, 'lacks string of beans,snap-beans,,,,')
    ]  # fmt: skip
    assert made_from_others(str(package.root)) == (NAMES,)
    assert package.found("answers") == ()


def test_a_jar_rule_leaves_every_answer_it_makes_behind(package):
    package.add("shared/jar-rules.csv", jar="12-ounce", takes="pint", source="usda-2015", page="1-23", statement="x")
    found = package.found("answers")
    assert len(found) == 41 and "more rows" in found[0].wrong


def test_many_rows_are_told_by_their_number(package):
    _write(package, ANSWERS, _lines(package, ANSWERS)[:100])
    assert "differs in" in package.found("answers")[0].wrong


def test_a_package_that_cannot_be_asked_leaves_the_check_out(package):
    package.drop("shared/jars.csv", package.line("shared/jars.csv", id="pint"))
    report = checks.report(package.opened, [one for one in checks.every() if one.name == "answers"])
    assert not report.broken and not report.ok and "cannot be asked" in report.left_out[0]
