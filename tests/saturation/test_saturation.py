"""Steam and air against their published tables, and against libraries that the package itself does not use."""

from __future__ import annotations

import subprocess
import sys

import numpy as np
import pytest

from stillroom.answers import saturation
from stillroom.answers.pressure import KPA_IN_PSI

PSI = [0, 5, 6, 9, 10, 11, 14, 15, 30]
ALTITUDES = [0, 1000, 1650, 2000, 4000, 6000, 8000, 10000, 30000]


@pytest.mark.parametrize(("megapascal", "kelvin"), [(0.1, 372.755919), (1.0, 453.035632)])
def test_steam_agrees_with_the_verification_values_of_the_formulation(megapascal, kelvin):
    # IAPWS-IF97 (2007), table 36
    gauge_psi = megapascal * 1000 / float(KPA_IN_PSI) - saturation.outside_psi(0)
    found = saturation.steam_of_each_F(np.array([gauge_psi]), 0.0)[0]
    assert found == pytest.approx(kelvin * 1.8 - 459.67, abs=0.003)


@pytest.mark.parametrize(("feet", "pascals"), [(0, 101_325), (1000 / 0.3048, 89_876), (3000 / 0.3048, 70_121)])
def test_air_agrees_with_the_standard_atmosphere(feet, pascals):
    # U.S. Standard Atmosphere, 1976, table I, geometric altitude 0, 1,000 and 3,000 m
    assert saturation.outside_psi(feet) * float(KPA_IN_PSI) * 1000 == pytest.approx(pascals, rel=2e-4)


def test_ten_and_a_half_psi_at_sea_level_are_240_degrees():
    # page 1-19 gives 240 degF for 10.5 psi; the steam tables are half a degree above it
    assert saturation.steam_of_each_F(np.array([10.5]), 0.0)[0] == pytest.approx(240, abs=0.5)


def test_taking_readings_to_a_thousandth_of_a_psi_costs_less_than_two_thousandths_of_a_degree():
    fine = np.linspace(0, 16, 4001) + 0.0005 - 1e-9
    import seuif97

    outside = saturation.outside_psi(1650.0)
    exact = np.array([seuif97.px2t((p + outside) * float(KPA_IN_PSI) / 1000, 1.0) * 1.8 + 32 for p in fine])
    assert np.abs(saturation.steam_of_each_F(fine, 1650.0) - exact).max() < 0.002


@pytest.mark.parametrize("altitude_ft", ALTITUDES)
@pytest.mark.parametrize("psi", PSI)
def test_steam_agrees_with_iapws_and_ambiance(psi, altitude_ft):
    from ambiance import Atmosphere
    from iapws.iapws97 import _TSat_P

    air = float(Atmosphere(altitude_ft * 0.3048).pressure[0])
    kelvin = _TSat_P((air + psi * 6894.757293168) / 1e6)
    assert saturation.steam_F(psi, altitude_ft) == pytest.approx((kelvin - 273.15) * 1.8 + 32, abs=0.001)


@pytest.mark.parametrize("altitude_ft", ALTITUDES)
@pytest.mark.parametrize("psi", PSI)
def test_steam_agrees_with_chemicals(psi, altitude_ft):
    from chemicals.vapor_pressure import Tsat_IAPWS
    from fluids.atmosphere import ATMOSPHERE_1976
    from fluids.constants import foot
    from fluids.constants import psi as pascals
    from fluids.core import K2F

    kelvin = Tsat_IAPWS(ATMOSPHERE_1976(altitude_ft * foot).P + psi * pascals)
    assert saturation.steam_F(psi, altitude_ft) == pytest.approx(K2F(kelvin), abs=0.0005)


def test_a_hundredth_of_a_psi_more_is_hotter_and_a_hundred_feet_more_is_cooler():
    assert saturation.steam_F(11.01, 1650) > saturation.steam_F(11, 1650) > saturation.steam_F(11, 1750)


def test_one_reading_and_many_say_the_same():
    many = saturation.steam_of_each_F(np.array(PSI, dtype=float), 1650.0)
    assert many.tolist() == pytest.approx([saturation.steam_F(psi, 1650.0) for psi in PSI], abs=1e-9)
    assert saturation.steam_of_each_F(np.array([]), 1650.0).tolist() == []


def test_numpy_is_not_loaded_before_it_is_needed():
    said = f"import sys, {saturation.__name__}; print('numpy' in sys.modules)"
    told = subprocess.run([sys.executable, "-c", said], capture_output=True, text=True, check=True)
    assert told.stdout == "False\n"
