from __future__ import annotations

import pytest

from stillroom.findings import checks
from stillroom.findings.opened import CheckedPackage

VEGETABLES, FRUIT, TOMATOES = "schedules/vegetables.csv", "schedules/fruit.csv", "schedules/tomatoes.csv"
DIAL = {"food": "asparagus", "pack": "hot", "jar": "pint", "gauge": "dial"}
BERRIES = {"food": "apples-sliced", "jar": "pint"}


def test_the_published_bands_pass(published):
    assert published.found("bands") == ()


@pytest.mark.parametrize(
    ("column", "old", "new"),
    [
        ("pressure_psi", "12", "11"),
        ("pressure_psi", "12", "13"),
        ("minutes", "30", "29"),
        ("altitude_to_ft", "4000", "4500"),
        ("altitude_from_ft", "2001", "2501"),
        ("pressure_psi", "12", ""),
    ],
)
def test_a_slip_in_one_band_is_found_at_its_cell(package, column, old, new):
    line = package.line(VEGETABLES, **DIAL, altitude_from_ft="2001")
    assert package.read(VEGETABLES)[line - 1][package.read(VEGETABLES)[0].index(column)] == old
    package.edit(VEGETABLES, line, **{column: new})
    assert (VEGETABLES, line, column) in package.places("bands")


def test_a_missing_band_names_the_hole(package):
    line = package.line(VEGETABLES, **DIAL, altitude_from_ft="4001")
    package.drop(VEGETABLES, line)
    (finding,) = package.found("bands")
    assert finding.file == VEGETABLES and "no row for 4001-6000 ft" in finding.wrong
    assert "0-2000, 2001-4000, 4001-6000, 6001-8000" in finding.published


def test_a_band_printed_twice_is_found(package):
    line = package.line(VEGETABLES, **DIAL, altitude_from_ft="4001")
    package.add(VEGETABLES, **dict(zip(package.read(VEGETABLES)[0], package.read(VEGETABLES)[line - 1], strict=True)))
    assert any(file == VEGETABLES for file, _, _ in package.places("bands"))


def test_boiling_water_times_that_leave_every_published_rise_are_found(package):
    line = package.line(FRUIT, **BERRIES, altitude_from_ft="1001")
    package.edit(FRUIT, line, minutes="30")
    (finding,) = package.found("bands")
    assert (finding.line, finding.column, finding.value) == (line, "minutes", "30")
    assert finding.published.startswith("published times rise by 0/5/10/15 or 0/5/5/10 min")


def test_a_pressure_in_boiling_water_and_a_missing_gauge_are_found(package):
    line = package.line(FRUIT, **BERRIES, altitude_from_ft="1001")
    package.edit(FRUIT, line, pressure_psi="5")
    other = package.line(VEGETABLES, **DIAL, altitude_from_ft="0")
    package.edit(VEGETABLES, other, gauge="")
    places = package.places("bands")
    assert (FRUIT, line, "pressure_psi") in places and (VEGETABLES, other, "gauge") in places


def test_recommending_what_the_table_does_not_is_found(package):
    minutes, *rest = package.drop("schedules/not-recommended.csv", 2)[8:]
    row = [*package.read("schedules/not-recommended.csv")[0][:0], "tomato-juice", "", "hot", "pint", "pressure"]
    for pressure in ("", "15"):
        rows = package.read(TOMATOES)
        package.write(TOMATOES, [*rows, [*row, "weighted", "1001", "", minutes, pressure, *rest]])
        assert TOMATOES in {finding.file for finding in package.found("bands")}
        package.write(TOMATOES, rows)


@pytest.mark.parametrize("shift", [1, -1, 5])
@pytest.mark.parametrize("column", ["pressure_psi", "altitude_from_ft", "altitude_to_ft"])
def test_a_whole_table_shifted_by_a_constant_is_found(package, column, shift):
    rows = package.read(VEGETABLES)
    at = rows[0].index(column)
    for row in rows[1:]:
        row[at] = str(int(row[at]) + shift) if row[at] else ""
    package.write(VEGETABLES, rows)
    assert package.found("bands")


def test_a_near_miss_another_published_pattern_is_no_finding(package):
    """A food moved whole from 11-14 to 6-9 psi stays in a published pattern: other checks judge that."""
    rows = package.read(VEGETABLES)
    psi = rows[0].index("pressure_psi")
    for row in rows[1:]:
        if row[0] == "asparagus":
            row[psi] = str(int(row[psi]) - 5)
    package.write(VEGETABLES, rows)
    assert package.found("bands") == ()


def test_an_edited_set_of_bands_is_found(package):
    package.edit("shared/altitude-bands.csv", 3, altitude_to_ft="3500")
    findings = package.found("bands")
    assert any(finding.file == "shared/altitude-bands.csv" for finding in findings)


def test_bands_of_a_package_without_rows_pass(package):
    for group in ("fruit", "tomatoes", "vegetables", "meats-seafood", "pickles", "spreads"):
        package.write(f"schedules/{group}.csv", package.read(f"schedules/{group}.csv")[:1])
    report = checks.report(CheckedPackage(str(package.root)))
    assert not report.broken
