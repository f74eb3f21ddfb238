"""Lethality against arithmetic at constant temperature."""

from __future__ import annotations

import numpy as np
import pytest

from stillroom.run import lethality
from stillroom.run.log_times import MINUTE

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
