"""Flux density and turns undo one another."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.engineering.magnetics import (
    flux_swing,
    peak_flux_density,
    turns_for_flux_swing,
    turns_for_peak_flux_density,
)

inductances = st.floats(10e-6, 5e-3)
currents = st.floats(0.05, 20)
areas = st.floats(10e-6, 500e-6)
turns = st.floats(1, 200)


@given(inductances, currents, turns, areas)
def test_turns_for_a_peak_flux_density_give_it_back(inductance, current, count, area):
    density = peak_flux_density(inductance, current, count, area)
    assert turns_for_peak_flux_density(inductance, current, density, area) == pytest.approx(count)


@given(st.floats(1, 450), st.floats(1e-7, 1e-4), turns, areas)
def test_turns_for_a_flux_swing_give_it_back(voltage, duration, count, area):
    swing = flux_swing(voltage, duration, count, area)
    assert turns_for_flux_swing(voltage, duration, swing, area) == pytest.approx(count)


@given(inductances, currents, turns, areas, st.floats(50, 400))
def test_a_ramp_from_zero_swings_to_its_peak(inductance, current, count, area, voltage):
    duration = inductance * current / voltage
    peak = peak_flux_density(inductance, current, count, area)
    assert flux_swing(voltage, duration, count, area) == pytest.approx(peak)


def test_a_known_core():
    assert peak_flux_density(300e-6, 3, 30, 100e-6) == pytest.approx(0.3)
    assert flux_swing(300, 1e-6, 10, 100e-6) == pytest.approx(0.3)


@pytest.mark.parametrize("function", [peak_flux_density, turns_for_peak_flux_density, flux_swing, turns_for_flux_swing])
@pytest.mark.parametrize("place", range(4))
def test_impossible_arguments(function, place):
    arguments = [1.0, 1.0, 1.0, 1.0]
    arguments[place] = 0.0
    name = list(function.__annotations__)[place]
    with pytest.raises(ValueError, match=f"{name}: found 0.0, expected a finite number above 0"):
        function(*arguments)
