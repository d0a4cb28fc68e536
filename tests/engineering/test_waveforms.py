"""Current waveforms against numerical integration of the waveform itself."""

from math import sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from lidoff.engineering.waveforms import output_capacitor_current, output_ripple_voltage, trapezoid_rms, triangle_rms

currents = st.floats(0, 50)
duties = st.floats(0.05, 1)


@given(currents, currents, duties)
def test_trapezoid_equals_integration(start, end, duty):
    square = quad(lambda t: (start + (end - start) * t / duty) ** 2, 0, duty)[0]
    assert trapezoid_rms(start, end, duty) == pytest.approx(sqrt(square), rel=1e-9, abs=1e-12)


@given(currents, duties)
def test_a_triangle_is_the_same_rising_or_falling(peak, duty):
    square = quad(lambda t: (peak * t / duty) ** 2, 0, duty)[0]
    assert triangle_rms(peak, duty) == pytest.approx(sqrt(square), rel=1e-9, abs=1e-12)
    assert triangle_rms(peak, duty) == trapezoid_rms(peak, 0, duty)


def test_a_constant_current_is_its_own_rms():
    assert trapezoid_rms(3, 3, 1) == pytest.approx(3)
    assert trapezoid_rms(3, 3, 0.25) == pytest.approx(1.5)


def secondary(peak: float, duty: float, count: int = 200_000) -> np.ndarray:
    """One period of a rectifier's falling triangle."""
    t = (np.arange(count) + 0.5) / count
    return np.where(t < duty, peak * (1 - t / duty), 0.0)


@pytest.mark.parametrize("duty", [0.3, 0.5, 0.8])
def test_capacitor_carries_all_but_the_mean(duty):
    wave = secondary(13.0, duty)
    found = output_capacitor_current(triangle_rms(13.0, duty), 13.0 * duty / 2)
    assert found == pytest.approx(np.sqrt(np.mean((wave - wave.mean()) ** 2)), rel=1e-5)


def test_a_steady_current_leaves_the_capacitor_none():
    assert output_capacitor_current(3.25, 3.25) == 0
    assert output_capacitor_current(3.25, 0) == 3.25


@pytest.mark.parametrize("duty", [0.3, 0.5, 0.8])
def test_ripple_estimate_is_low_by_the_stated_part_for_a_triangle(duty):
    wave = secondary(13.0, duty)
    charge = np.cumsum(wave - wave.mean()) / wave.size
    ohms, mean = 1 / (100e3 * 680e-6), 13.0 * duty / 2
    exact = (charge.max() - min(charge.min(), 0.0)) * ohms
    assert exact == pytest.approx(mean * (1 - duty / 2) ** 2 * ohms, rel=1e-4)
    missing = mean * duty**2 / 4 * ohms
    assert output_ripple_voltage(mean, duty, 100e3, 680e-6) == pytest.approx(exact - missing, rel=1e-4)


def test_ripple_by_its_parts():
    assert output_ripple_voltage(3, 0.4, 100e3, 600e-6) == pytest.approx(3 * 0.6 * 10e-6 / 600e-6)
    resistive = output_ripple_voltage(3, 0.4, 100e3, 600e-6, 12, 5e-3) - output_ripple_voltage(3, 0.4, 100e3, 600e-6)
    assert resistive == pytest.approx(60e-3)
    assert output_ripple_voltage(3, 1, 100e3, 600e-6) == 0
    assert output_ripple_voltage(3, 1, 100e3, 600e-6, secondary_peak=12) == 0
    assert output_ripple_voltage(3, 1, 100e3, 600e-6, series_resistance=5e-3) == 0
    assert output_ripple_voltage(0, 0.4, 100e3, 600e-6) == 0
    assert output_ripple_voltage(3, 0.4, 100e3, 1.0) < 1e-4


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: triangle_rms(-1, 0.5), "end: found -1"),
        (lambda: triangle_rms(1, 1.1), "duty_cycle: found 1.1, expected a number above 0 and up to 1"),
        (lambda: trapezoid_rms(-1, 1, 0.5), "start: found -1"),
        (lambda: trapezoid_rms(1, 1, 0), "duty_cycle: found 0"),
        (lambda: output_capacitor_current(-1, 0), "secondary_rms: found -1"),
        (lambda: output_capacitor_current(1, -1), "output_current: found -1"),
        (lambda: output_capacitor_current(3, 5), "output_current: found 5, expected at most the r.m.s. value, 3"),
        (lambda: output_ripple_voltage(-1, 0.5, 1e5, 1e-3), "output_current: found -1"),
        (lambda: output_ripple_voltage(1, 0, 1e5, 1e-3), "secondary_duty_cycle: found 0"),
        (lambda: output_ripple_voltage(1, 0.5, 0, 1e-3), "switching_frequency: found 0"),
        (lambda: output_ripple_voltage(1, 0.5, 1e5, 0), "capacitance: found 0"),
        (lambda: output_ripple_voltage(1, 0.5, 1e5, 1e-3, -1), "secondary_peak: found -1"),
        (lambda: output_ripple_voltage(1, 0.5, 1e5, 1e-3, 1, -1), "series_resistance: found -1"),
    ],
)
def test_impossible_arguments(call, message):
    with pytest.raises(ValueError, match=message):
        call()
