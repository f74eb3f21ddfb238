from __future__ import annotations

import pytest

from stillroom.checks.physics import steam_F

VEGETABLES = "schedules/vegetables.csv"


def test_the_published_pressures_reach_their_floors(published):
    assert published.found("physics") == ()


@pytest.mark.parametrize(("pressure_MPa", "kelvin"), [(0.1, 372.755919), (1, 453.035632), (10, 584.149488)])
def test_saturation_temperatures_are_those_of_the_release(pressure_MPa, kelvin):  # noqa: N803
    """IAPWS R7-97(2012), table 36."""
    from chemicals.vapor_pressure import Tsat_IAPWS

    assert Tsat_IAPWS(pressure_MPa * 1e6) == pytest.approx(kelvin, abs=5e-7)


@pytest.mark.parametrize(("metres", "pascal"), [(0, 101325), (1000, 89876), (2000, 79501), (3000, 70121)])
def test_air_pressures_are_those_of_the_standard_atmosphere(metres, pascal):
    """U.S. Standard Atmosphere, 1976, geometric altitude."""
    from fluids.atmosphere import ATMOSPHERE_1976

    assert pytest.approx(pascal, abs=0.6) == ATMOSPHERE_1976(metres).P


def test_steam_at_10_5_psi_is_240_degF_at_sea_level():  # noqa: N802
    """USDA Complete Guide to Home Canning, 2015, page 1-19."""
    assert steam_F(10.5, 0) == pytest.approx(240, abs=0.5)


@pytest.mark.parametrize("altitude_ft", [0, 1000, 2000, 4000, 6000, 8000, 10000])
@pytest.mark.parametrize("psi", [5, 6, 9, 10, 11, 14, 15])
def test_steam_agrees_with_a_second_pair_of_libraries(psi, altitude_ft):
    from ambiance import Atmosphere
    from iapws.iapws97 import _TSat_P

    air = float(Atmosphere(altitude_ft * 0.3048).pressure[0])
    kelvin = _TSat_P((air + psi * 6894.757293168) / 1e6)
    assert steam_F(psi, altitude_ft) == pytest.approx((kelvin - 273.15) * 1.8 + 32, abs=0.001)


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
