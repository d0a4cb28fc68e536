"""Primary current of a flyback converter: power and modes agree with one another."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.engineering.flyback_current import (
    boundary_peak_current,
    continuous_current,
    discontinuous_peak_current,
    primary_inductance,
)

powers = st.floats(1, 300)
buses = st.floats(70, 450)
duties = st.floats(0.05, 0.9)
frequencies = st.floats(30e3, 500e3)


@given(powers, buses, duties)
def test_mean_of_the_boundary_triangle_carries_the_power(power, bus, duty):
    assert boundary_peak_current(power, bus, duty) / 2 * duty * bus == pytest.approx(power)


@given(powers, st.floats(50e-6, 2e-3), frequencies)
def test_energy_of_each_discontinuous_period_carries_the_power(power, inductance, frequency):
    peak = discontinuous_peak_current(power, inductance, frequency)
    assert inductance * peak**2 / 2 * frequency == pytest.approx(power)


@given(powers, buses, duties, frequencies, st.floats(0.1, 1.99))
def test_inductance_for_a_ripple_ratio_gives_that_ripple(power, bus, duty, frequency, ripple_ratio):
    inductance = primary_inductance(power, bus, duty, frequency, ripple_ratio)
    ramp = continuous_current(power, bus, duty, inductance, frequency)
    middle = (ramp.start + ramp.end) / 2
    assert middle * duty * bus == pytest.approx(power)
    assert (ramp.end - ramp.start) / middle == pytest.approx(ripple_ratio)
    assert inductance * (ramp.end - ramp.start) * frequency == pytest.approx(bus * duty)


@given(powers, buses, duties, frequencies)
def test_all_modes_meet_at_the_boundary(power, bus, duty, frequency):
    inductance = primary_inductance(power, bus, duty, frequency, 2)
    peak = boundary_peak_current(power, bus, duty)
    assert discontinuous_peak_current(power, inductance, frequency) == pytest.approx(peak)
    ramp = continuous_current(power, bus, duty, inductance * 1.000001, frequency)
    assert ramp.start == pytest.approx(0, abs=1e-5 * peak)
    assert ramp.end == pytest.approx(peak, rel=1e-5)
    assert continuous_current(power, bus, duty, inductance * 0.999999, frequency) is None


def test_the_boundary_itself_is_continuous():
    assert continuous_current(100, 100, 0.5, 125e-6, 100e3).start == 0


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: boundary_peak_current(0, 100, 0.5), "power: found 0"),
        (lambda: boundary_peak_current(65, 0, 0.5), "bus_voltage: found 0"),
        (lambda: boundary_peak_current(65, 100, 1.5), "duty_cycle: found 1.5, expected a number above 0 and up to 1"),
        (lambda: discontinuous_peak_current(0, 1e-3, 1e5), "power: found 0"),
        (lambda: discontinuous_peak_current(65, 0, 1e5), "inductance: found 0"),
        (lambda: discontinuous_peak_current(65, 1e-3, 0), "switching_frequency: found 0"),
        (lambda: continuous_current(0, 100, 0.5, 1e-3, 1e5), "power: found 0"),
        (lambda: continuous_current(65, 0, 0.5, 1e-3, 1e5), "bus_voltage: found 0"),
        (lambda: continuous_current(65, 100, 0, 1e-3, 1e5), "duty_cycle: found 0"),
        (lambda: continuous_current(65, 100, 0.5, 0, 1e5), "inductance: found 0"),
        (lambda: continuous_current(65, 100, 0.5, 1e-3, 0), "switching_frequency: found 0"),
        (lambda: primary_inductance(0, 100, 0.5, 1e5, 1), "power: found 0"),
        (lambda: primary_inductance(65, 0, 0.5, 1e5, 1), "bus_voltage: found 0"),
        (lambda: primary_inductance(65, 100, 2, 1e5, 1), "duty_cycle: found 2"),
        (lambda: primary_inductance(65, 100, 0.5, 0, 1), "switching_frequency: found 0"),
        (lambda: primary_inductance(65, 100, 0.5, 1e5, 0), "ripple_ratio: found 0"),
    ],
)
def test_impossible_arguments(call, message):
    with pytest.raises(ValueError, match=message):
        call()
