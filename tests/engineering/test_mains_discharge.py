"""Discharge through a resistor: time, residual voltage and resistance undo one another."""

from math import exp

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from lidoff.engineering.mains_discharge import (
    largest_bleed_resistance,
    longest_time_constant,
    residual_voltage,
    time_constant,
    time_to_voltage,
)

resistances = st.floats(1e3, 1e8)
capacitances = st.floats(1e-9, 1e-3)
voltages = st.floats(61, 600)


@given(resistances, capacitances, voltages, st.floats(1, 60))
def test_residual_voltage_undoes_the_time(resistance, capacitance, initial, final):
    time = time_to_voltage(resistance, capacitance, initial, final)
    assert residual_voltage(resistance, capacitance, initial, time) == pytest.approx(final, rel=1e-9)


@given(capacitances, voltages, st.floats(1, 60), st.floats(0.1, 100))
def test_the_largest_resistance_takes_just_the_time(capacitance, initial, final, time):
    resistance = largest_bleed_resistance(capacitance, initial, final, time)
    assert time_to_voltage(resistance, capacitance, initial, final) == pytest.approx(time, rel=1e-9)


def test_residual_voltage_equals_integration():
    run = solve_ivp(lambda t, v: [-v[0] / (1e6 * 330e-9)], (0, 1.0), [373.352], rtol=1e-10, atol=1e-12)
    assert residual_voltage(1e6, 330e-9, 373.352, 1.0) == pytest.approx(run.y[0][-1], rel=1e-8)


def test_one_time_constant_leaves_37_percent():
    assert residual_voltage(2e6, 330e-9, 100, time_constant(2e6, 330e-9)) == pytest.approx(100 * exp(-1))
    assert residual_voltage(2e6, 330e-9, 100, 0) == 100


def test_nothing_to_discharge():
    assert time_to_voltage(1e6, 82e-6, 60, 60) == 0
    assert time_to_voltage(1e6, 82e-6, 48, 60) == 0
    assert largest_bleed_resistance(330e-9, 60, 60, 2) is None
    assert largest_bleed_resistance(330e-9, 48, 60, 2) is None


def test_the_old_clause_starts_above_a_tenth_of_a_microfarad():
    assert longest_time_constant(0.1e-6) is None
    assert longest_time_constant(0.1e-6, industrial_plug=True) is None
    assert longest_time_constant(0.1001e-6) == 1
    assert longest_time_constant(0.11e-6, industrial_plug=True) == 10


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: time_constant(0, 1e-6), "resistance: found 0"),
        (lambda: time_constant(1e6, 0), "capacitance: found 0"),
        (lambda: longest_time_constant(0), "capacitance: found 0"),
        (lambda: residual_voltage(1e6, 1e-6, 0, 1), "initial_voltage: found 0"),
        (lambda: residual_voltage(1e6, 1e-6, 400, -1), "time: found -1"),
        (lambda: residual_voltage(-1, 1e-6, 400, 1), "resistance: found -1"),
        (lambda: time_to_voltage(1e6, 1e-6, 0, 60), "initial_voltage: found 0"),
        (lambda: time_to_voltage(1e6, 1e-6, 400, 0), "final_voltage: found 0"),
        (lambda: time_to_voltage(1e6, -1e-6, 400, 60), "capacitance: found -1e-06"),
        (lambda: largest_bleed_resistance(0, 400, 60, 2), "capacitance: found 0"),
        (lambda: largest_bleed_resistance(1e-6, 0, 60, 2), "initial_voltage: found 0"),
        (lambda: largest_bleed_resistance(1e-6, 400, 0, 2), "final_voltage: found 0"),
        (lambda: largest_bleed_resistance(1e-6, 400, 60, 0), "time: found 0"),
    ],
)
def test_impossible_arguments(call, message):
    with pytest.raises(ValueError, match=message):
        call()
