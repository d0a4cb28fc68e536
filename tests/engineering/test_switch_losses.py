"""Losses of a transistor and its figure of merit."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from lidoff.engineering.switch_losses import conduction_loss, crossover_loss, figure_of_merit


@given(st.floats(0, 450), st.floats(0, 20), st.floats(1e-9, 1e-6), st.floats(10e3, 1e6))
def test_crossover_loss_equals_integration(voltage, current, time, frequency):
    energy = time * quad(lambda x: voltage * x * current * (1 - x), 0, 1)[0]
    assert crossover_loss(voltage, current, time, frequency) == pytest.approx(energy * frequency)


def test_twice_the_current_is_four_times_the_conduction_loss():
    assert conduction_loss(2, 0.3) == pytest.approx(4 * conduction_loss(1, 0.3)) == pytest.approx(1.2)
    assert conduction_loss(0, 0.3) == conduction_loss(1, 0) == 0


def test_soft_switching_loses_nothing_in_the_crossing():
    assert crossover_loss(0, 1, 1e-8, 1e5) == crossover_loss(400, 0, 1e-8, 1e5) == 0


def test_figure_of_merit_is_a_product():
    assert figure_of_merit(150e-3, 2.8e-9) == pytest.approx(0.42e-9)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: conduction_loss(-1, 0.1), "rms_current: found -1"),
        (lambda: conduction_loss(1, -0.1), "resistance: found -0.1"),
        (lambda: crossover_loss(-1, 1, 1, 1), "voltage: found -1"),
        (lambda: crossover_loss(1, -1, 1, 1), "current: found -1"),
        (lambda: crossover_loss(1, 1, -1, 1), "transition_time: found -1"),
        (lambda: crossover_loss(1, 1, 1, -1), "switching_frequency: found -1"),
        (lambda: figure_of_merit(0, 1e-9), "resistance: found 0"),
        (lambda: figure_of_merit(0.1, 0), "charge: found 0"),
    ],
)
def test_impossible_arguments(call, message):
    with pytest.raises(ValueError, match=message):
        call()
