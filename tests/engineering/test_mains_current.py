"""Mains current in operation, at switch-on and through Y capacitors."""

from math import pi, sin, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.engineering.mains_current import (
    inrush_peak,
    inrush_square_integral,
    largest_y_capacitance,
    mains_current,
    touch_current_bound,
)


@given(st.floats(0, 300), st.floats(0.5, 1), st.floats(0.4, 1), st.floats(85, 270))
def test_power_comes_back_from_the_current(power, efficiency, power_factor, voltage):
    current = mains_current(power, efficiency, power_factor, voltage)
    assert current * voltage * power_factor * efficiency == pytest.approx(power)


def test_no_load_no_current_and_no_loss_the_plain_quotient():
    assert mains_current(0, 0.9, 0.55, 90) == 0
    assert mains_current(230, 1, 1, 230) == 1


def inrush_run(angle: float, voltage: float, resistance: float, capacitance: float) -> tuple[float, float]:
    """Peak and integral of the squared current into an empty capacitor, by small steps through 30 ms."""
    step, charge, peak, integral = 2e-6, 0.0, 0.0, 0.0
    for t in np.arange(0, 0.03, step):
        line = abs(sqrt(2) * voltage * sin(2 * pi * 50 * t + angle))
        current = max(0.0, (line - charge / capacitance) / resistance)
        charge += current * step
        integral += current**2 * step
        peak = max(peak, current)
    return peak, integral


@pytest.mark.parametrize("angle", [0.0, 0.4, 0.9, 1.2, pi / 2, 2.2])
@pytest.mark.parametrize("resistance", [5.0, 20.0])
def test_inrush_bounds_hold_at_every_angle(angle, resistance):
    peak, integral = inrush_run(angle, 264, resistance, 82e-6)
    assert peak <= inrush_peak(264, resistance) * 1.001
    assert integral <= inrush_square_integral(264, resistance, 82e-6) * 1.001


def test_inrush_bounds_are_reached_at_the_crest_with_a_small_capacitor():
    peak, integral = inrush_run(pi / 2, 264, 10.0, 4e-6)
    assert peak == pytest.approx(inrush_peak(264, 10), rel=0.001)
    assert integral == pytest.approx(inrush_square_integral(264, 10, 4e-6), rel=0.05)


def test_inrush_integral_is_the_crest_energy_over_the_resistance():
    assert inrush_square_integral(230, 10, 100e-6) == pytest.approx(100e-6 * (230 * sqrt(2)) ** 2 / 2 / 10)


def test_y_capacitors_in_series_share_and_in_parallel_add():
    one = touch_current_bound([[2.2e-9]], 264, 60)
    assert touch_current_bound([[2.2e-9, 2.2e-9]], 264, 60) == pytest.approx(one / 2)
    assert touch_current_bound([[2.2e-9], [2.2e-9]], 264, 60) == pytest.approx(one * 2)
    assert one == pytest.approx(264 / (1 / (2 * pi * 60 * 2.2e-9)))


@given(st.floats(1e-5, 1e-2), st.floats(85, 290), st.floats(47, 63))
def test_largest_capacitance_gives_just_the_current(current, voltage, frequency):
    capacitance = largest_y_capacitance(current, voltage, frequency)
    assert touch_current_bound([[capacitance]], voltage, frequency) == pytest.approx(current)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: mains_current(-1, 0.9, 0.5, 230), "output_power: found -1"),
        (lambda: mains_current(65, 0, 0.5, 230), "efficiency: found 0, expected a number above 0 and up to 1"),
        (lambda: mains_current(65, 92, 0.5, 230), "efficiency: found 92"),
        (lambda: mains_current(65, 0.9, 1.01, 230), "power_factor: found 1.01"),
        (lambda: mains_current(65, 0.9, float("nan"), 230), "power_factor: found nan"),
        (lambda: mains_current(65, 0.9, 0.5, 0), "mains_voltage: found 0"),
        (lambda: inrush_peak(230, 0), "resistance: found 0"),
        (lambda: inrush_peak(0, 1), "mains_voltage: found 0"),
        (lambda: inrush_square_integral(230, 0, 1e-6), "resistance: found 0"),
        (lambda: inrush_square_integral(230, 1, 0), "capacitance: found 0"),
        (lambda: touch_current_bound([], 230, 50), "capacitances: found none"),
        (lambda: touch_current_bound([[]], 230, 50), "capacitances: found none"),
        (lambda: touch_current_bound([[1e-9]], 0, 50), "mains_voltage: found 0"),
        (lambda: touch_current_bound([[1e-9]], 230, 0), "mains_frequency: found 0"),
        (lambda: largest_y_capacitance(0, 230, 50), "current: found 0"),
        (lambda: largest_y_capacitance(1e-4, 0, 50), "mains_voltage: found 0"),
        (lambda: largest_y_capacitance(1e-4, 230, 0), "mains_frequency: found 0"),
    ],
)
def test_impossible_arguments(call, message):
    with pytest.raises(ValueError, match=message):
        call()
