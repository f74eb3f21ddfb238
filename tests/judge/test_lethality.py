"""Lethality against arithmetic at constant temperature, and steam and air against their published tables."""

from __future__ import annotations

import numpy as np
import pytest

from stillroom import lethality
from stillroom.log_times import MINUTE
from stillroom.pressure import KPA_IN_PSI

GAP = 10 * MINUTE


def constant(degrees, minutes):
    time_us = np.arange(minutes + 1, dtype=np.int64) * MINUTE
    return lethality.F0_min(time_us, np.full(minutes + 1, float(degrees)), GAP)


def test_a_minute_at_the_reference_is_a_minute():
    assert constant(250, 3) == pytest.approx(3.0, abs=1e-12)


@pytest.mark.parametrize(("degrees", "factor"), [(240, 10 ** (-10 / 18)), (232, 0.1), (268, 10.0), (214, 0.01)])
def test_one_z_up_or_down_is_a_factor_of_ten(degrees, factor):
    assert constant(degrees, 20) == pytest.approx(20 * factor)


def test_the_classic_twelve_log_figure_is_reached_after_two_and_a_half_minutes_at_250():
    """Twelve decimal reductions at D250 = 0.21 min: F0 2.52 min (Stumbo, Thermobacteriology in Food Processing, 2nd
    edition, 1973, from memory; the same 12 x 0.21 = 2.5 min in A. A. Teixeira, Principles of Thermal Processing,
    lecture, University of Florida)."""
    twelve_logs = 12 * 0.21
    assert twelve_logs == pytest.approx(2.52)
    time_us = np.array([0, round(twelve_logs * MINUTE)], dtype=np.int64)
    assert lethality.F0_min(time_us, np.array([250.0, 250.0]), GAP) == pytest.approx(2.52)
    assert lethality.F0_min(time_us, np.array([240.0, 240.0]), GAP) == pytest.approx(2.52 * 0.27826, rel=1e-4)


def test_a_steady_rise_is_the_trapezoid_of_its_ends():
    time_us = np.array([0, 2 * MINUTE], dtype=np.int64)
    assert lethality.F0_min(time_us, np.array([232.0, 250.0]), GAP) == pytest.approx(2 * (0.1 + 1) / 2)


def test_a_silence_counts_nothing_and_a_shorter_one_counts():
    rate = np.array([250.0, 250.0])
    assert lethality.F0_min(np.array([0, 11 * MINUTE], dtype=np.int64), rate, GAP) == 0
    assert lethality.F0_min(np.array([0, 10 * MINUTE], dtype=np.int64), rate, GAP) == pytest.approx(10)


@pytest.mark.parametrize(("megapascal", "kelvin"), [(0.1, 372.755919), (1.0, 453.035632)])
def test_steam_agrees_with_the_verification_values_of_the_formulation(megapascal, kelvin):
    # IAPWS-IF97 (2007), table 36
    gauge_psi = megapascal * 1000 / float(KPA_IN_PSI) - lethality.outside_psi(0)
    found = lethality.steam_F(np.array([gauge_psi]), 0.0)[0]
    assert found == pytest.approx(kelvin * 1.8 - 459.67, abs=0.003)


@pytest.mark.parametrize(("feet", "pascals"), [(0, 101_325), (1000 / 0.3048, 89_876), (3000 / 0.3048, 70_121)])
def test_air_agrees_with_the_standard_atmosphere(feet, pascals):
    # U.S. Standard Atmosphere, 1976, table I, geometric altitude 0, 1,000 and 3,000 m
    assert lethality.outside_psi(feet) * float(KPA_IN_PSI) * 1000 == pytest.approx(pascals, rel=2e-4)


def test_ten_and_a_half_psi_at_sea_level_are_240_degrees():
    # page 1-19 gives 240 degF for 10.5 psi; the steam tables are half a degree above it
    assert lethality.steam_F(np.array([10.5]), 0.0)[0] == pytest.approx(240, abs=0.5)


def test_taking_readings_to_a_thousandth_of_a_psi_costs_less_than_two_thousandths_of_a_degree():
    fine = np.linspace(0, 16, 4001) + 0.0005 - 1e-9
    import seuif97

    outside = lethality.outside_psi(1650.0)
    exact = np.array([seuif97.px2t((p + outside) * float(KPA_IN_PSI) / 1000, 1.0) * 1.8 + 32 for p in fine])
    assert np.abs(lethality.steam_F(fine, 1650.0) - exact).max() < 0.002


def test_lethality_is_counted_from_the_weight_on(judged):
    hold = [(m, 11) for m in range(28, 49)]
    with_air = judged([(0, 11), (5, 11), (10, 0), (12, 0, "vent-start"), (22, 0, "weight-on"), *hold, (49, 0)])
    without = judged([(12, 0, "vent-start"), (22, 0, "weight-on"), *hold, (49, 0)])
    assert with_air.lethality_F0_min == pytest.approx(without.lethality_F0_min)
    assert without.lethality_F0_min > 5


def test_lethality_never_changes_a_verdict(judged):
    hot = [(12, 0, "vent-start"), (22, 0, "weight-on"), *[(m, 15) for m in range(25, 44)], (45, 0)]
    found = judged(hot)
    assert found.verdict == "short" and found.lethality_F0_min > 2.52
