from __future__ import annotations

import pytest

VEGETABLES = "schedules/vegetables.csv"


def test_the_published_pressures_reach_their_floors(published):
    assert published.found("physics") == ()


def test_one_psi_less_is_found_at_its_cell(package):
    line = package.line(VEGETABLES, food="asparagus", gauge="dial", altitude_from_ft="2001")
    package.edit(VEGETABLES, line, pressure_psi="11")
    (finding,) = package.found("physics")
    assert (finding.file, finding.line, finding.column, finding.value) == (VEGETABLES, line, "pressure_psi", "11")
    assert finding.wrong.startswith("gives steam of 23") and "4,000 ft" in finding.wrong and "238" in finding.published


def test_a_band_drawn_too_wide_is_found(package):
    line = package.line(VEGETABLES, food="asparagus", gauge="dial", altitude_from_ft="2001")
    package.edit(VEGETABLES, line, altitude_to_ft="8000")
    assert package.places("physics") == [(VEGETABLES, line, "pressure_psi")]


def test_an_open_band_is_looked_at_10000_ft(package):
    line = package.line(VEGETABLES, food="asparagus", gauge="weighted", altitude_from_ft="1001")
    package.edit(VEGETABLES, line, pressure_psi="13")
    (finding,) = package.found("physics")
    assert finding.line == line and "10,000 ft" in finding.wrong


def test_a_near_miss_more_pressure_is_no_finding(package):
    line = package.line(VEGETABLES, food="asparagus", gauge="dial", altitude_from_ft="2001")
    package.edit(VEGETABLES, line, pressure_psi="13")
    assert package.found("physics") == ()


def test_the_low_patterns_have_their_own_floor(package):
    """Fruit takes 6 to 9 psi on a dial: cooler steam is published for it, and one psi less is still found."""
    file = "schedules/fruit.csv"
    line = package.line(file, gauge="dial", altitude_from_ft="6001", pressure_psi="9")
    package.edit(file, line, pressure_psi="8")
    (finding,) = package.found("physics")
    assert finding.line == line and "225" in finding.published


@pytest.mark.parametrize("psi", ["999999999", "3500", "0.1", "-3"])
def test_a_pressure_beyond_all_steam_tables_breaks_nothing(package, psi):
    line = package.line(VEGETABLES, food="asparagus", gauge="dial", altitude_from_ft="2001")
    package.edit(VEGETABLES, line, pressure_psi=psi)
    assert package.places("physics") == ([(VEGETABLES, line, "pressure_psi")] if psi == "0.1" else [])
