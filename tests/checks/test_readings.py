from __future__ import annotations

import pytest

VEGETABLES = "schedules/vegetables.csv"
FIRST, SECOND = "schedules/readings/schedules-first.csv", "schedules/readings/schedules-second.csv"
LOST = "schedules/readings/lost-cells.csv"


def test_the_published_cells_are_those_of_both_readings(package):
    assert package.found("readings") == ()


@pytest.mark.parametrize(
    ("column", "value"),
    [
        ("minutes", "31"),
        ("pressure_psi", "10"),
        ("altitude_to_ft", "3000"),
        ("altitude_from_ft", "2002"),
        ("jar", "quart"),
        ("pack", "raw"),
        ("gauge", "weighted"),
        ("method", "boiling-water"),
        ("food", "okra"),
        ("form", "small"),
        ("source", "usda-1994"),
        ("page", "4-6"),
        ("caption", "Beets"),
        ("note", "as told"),
    ],
)
def test_every_cell_of_a_schedule_is_compared(package, column, value):
    line = package.line(VEGETABLES, food="asparagus", gauge="dial", altitude_from_ft="2001", pack="hot", jar="pint")
    package.edit(VEGETABLES, line, **{column: value})
    finding, *_ = package.found("readings")
    assert finding.file == VEGETABLES
    assert (finding.line, finding.column, finding.value) == (line, column, value)
    assert "in the readings (line" in finding.wrong and "page 4-5" in finding.mend


def test_a_row_too_many_and_a_row_too_few_are_found(package):
    dropped = package.drop(VEGETABLES, 2)
    (finding,) = package.found("readings")
    assert finding.line is None and "asparagus hot pint dial from 0 ft, 30 min (page 4-5) is missing" in finding.wrong
    dropped[0] = "celery"
    rows = package.read(VEGETABLES)
    rows.append([*dropped[:12], "Celery", ""])
    package.write(VEGETABLES, rows)
    assert any(
        f.line == len(rows) and "a row that the readings do not give" in f.wrong for f in package.found("readings")
    )


@pytest.mark.parametrize("file", [FIRST, SECOND])
@pytest.mark.parametrize(
    ("column", "value"), [("minutes", "99"), ("psi", "9"), ("note", "not recommended above 1,000 ft")]
)
def test_an_edit_of_one_reading_is_a_conflict_on_its_line(package, file, column, value):
    line = package.line(file, food="Asparagus", gauge="dial")
    package.edit(file, line, **{column: value})
    assert (file, line, "") in package.places("readings")


def test_an_edit_of_one_reading_and_the_schedule_alike_is_found(package):
    line = package.line(VEGETABLES, food="asparagus")
    package.edit(VEGETABLES, line, minutes="20")
    package.edit(FIRST, package.line(FIRST, food="Asparagus"), minutes="20")
    assert package.found("readings")


def test_a_lost_cell_must_be_on_record_with_what_was_kept(package):
    gone = package.line(LOST, caption="Rhubarb", altitude_from_ft="2001", jar="pint")
    package.edit(LOST, gone, kept="6")
    findings = package.found("readings")
    assert any(f.file == LOST and f.line == gone and "explains nothing" in f.wrong for f in findings)
    package.drop(LOST, gone)
    findings = package.found("readings")
    assert any(f.file == FIRST and "no" not in f.column and "psi in the second" in f.wrong for f in findings)


def test_a_record_of_a_cell_that_was_not_lost_is_found(package):
    row = dict(zip(package.read(LOST)[0], package.read(LOST)[1], strict=True))
    line = package.add(LOST, **{**row, "caption": "Asparagus", "guide": "4"})
    assert (LOST, line, "") in package.places("readings")


def test_a_near_miss_another_remark_of_a_reading_is_no_conflict(package):
    """The two readers took their own notes: these need not agree."""
    package.edit(FIRST, package.line(FIRST, food="Asparagus"), note="spears or pieces")
    assert package.found("readings") == ()


def test_a_whole_table_one_minute_longer_is_found_row_by_row(package):
    rows = package.read(VEGETABLES)
    for row in rows[1:]:
        row[8] = str(int(row[8]) + 1)
    package.write(VEGETABLES, rows)
    findings = package.found("readings")
    assert len([f for f in findings if f.column == "minutes"]) == len(rows) - 1
