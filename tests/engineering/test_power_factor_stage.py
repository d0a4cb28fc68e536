"""Power factor correction stage: bus ripple against integration, hold-up time, stress."""

import random
from math import cos, inf, pi, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp
from scipy.special import ellipe

from lidoff.engineering.bulk_capacitor import stored_energy
from lidoff.engineering.power_factor_stage import boost_stress, bus_ripple, hold_up_time

DRAW = random.Random(20260310)
CASES = [  # W, F, V, Hz
    (DRAW.uniform(60, 260), DRAW.uniform(47e-6, 220e-6), DRAW.uniform(200, 420), DRAW.choice([47, 50, 60, 63]))
    for _ in range(12)
]


@pytest.mark.parametrize("case", CASES)
def test_ripple_equals_integration(case):
    power, capacitance, bus_voltage, frequency = case
    omega = 2 * pi * frequency

    def rate(t: float, v: list[float]) -> list[float]:
        delivered = power * (1 - cos(2 * omega * t))
        return [(delivered - power) / (capacitance * v[0])]

    run = solve_ivp(
        rate, (0, 0.5 / frequency), [bus_voltage], method="DOP853", rtol=1e-12, atol=1e-10, dense_output=True
    )
    found = bus_ripple(*case)
    assert run.sol(0.125 / frequency)[0] == pytest.approx(found.minimum, rel=1e-9)
    assert run.sol(0.375 / frequency)[0] == pytest.approx(found.maximum, rel=1e-9)
    mean = quad(lambda t: run.sol(t)[0], 0, 0.5 / frequency, epsrel=1e-10)[0] * 2 * frequency
    assert found.mean == pytest.approx(mean, rel=1e-8)


@given(st.floats(1, 500), st.floats(20e-6, 1e-3), st.floats(150, 450), st.floats(45, 66))
def test_mean_is_the_complete_elliptic_integral(power, capacitance, bus_voltage, frequency):
    found = bus_ripple(power, capacitance, bus_voltage, frequency)
    swing = power / (2 * pi * frequency * capacitance)
    if found is None:
        assert swing >= bus_voltage**2
        return
    exact = 2 / pi * found.maximum * ellipe(1 - (found.minimum / found.maximum) ** 2)
    assert found.mean == pytest.approx(exact, rel=1e-12)
    assert found.minimum <= found.mean <= bus_voltage <= found.maximum
    assert (found.maximum**2 + found.minimum**2) / 2 == pytest.approx(bus_voltage**2)
    assert found.maximum**2 - found.minimum**2 == pytest.approx(2 * swing, rel=1e-6)


def test_mean_of_a_bus_that_nearly_reaches_zero():
    swing = 390.0**2 * (1 - 1e-9)
    found = bus_ripple(swing, 1 / (2 * pi * 50), 390, 50)
    assert found.mean == pytest.approx(2 / pi * found.maximum, rel=1e-6)


def test_small_ripple_is_near_the_usual_approximation():
    found = bus_ripple(100, 82e-6, 390, 50)
    assert found.peak_to_peak == pytest.approx(100 / (2 * pi * 50 * 82e-6 * 390), rel=1e-4)
    assert 0 < 390 - found.mean < 0.05


def test_no_load_and_a_huge_capacitor_leave_no_ripple():
    idle = bus_ripple(0, 82e-6, 390, 50)
    assert idle.maximum == idle.minimum == idle.mean == 390
    assert bus_ripple(100, 10.0, 390, 50).peak_to_peak < 1e-3


def test_bus_that_reaches_zero_has_no_ripple():
    assert bus_ripple(100, 1e-6, 390, 50) is None
    assert bus_ripple(390.0**2, 1 / (2 * pi * 50), 390, 50) is None


@given(st.floats(1, 500), st.floats(10e-6, 1e-3), st.floats(100, 450), st.floats(0, 1))
def test_hold_up_uses_the_energy_between_the_two_voltages(power, capacitance, start, share):
    end = start * share
    taken = power * hold_up_time(power, capacitance, start, end)
    assert taken + stored_energy(capacitance, end) == pytest.approx(stored_energy(capacitance, start))


def test_no_hold_up_from_the_lowest_working_voltage():
    assert hold_up_time(100, 82e-6, 320, 320) == 0


def test_a_boost_stage_never_blocks_less_than_the_crest():
    assert boost_stress(395, 264) == 395
    assert boost_stress(300, 264) == pytest.approx(264 * sqrt(2))


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: bus_ripple(-1, 82e-6, 390, 50), "power: found -1"),
        (lambda: bus_ripple(100, 0, 390, 50), "capacitance: found 0"),
        (lambda: bus_ripple(100, 82e-6, inf, 50), "bus_voltage: found inf"),
        (lambda: bus_ripple(100, 82e-6, 390, -50), "mains_frequency: found -50"),
        (lambda: hold_up_time(0, 82e-6, 390, 320), "power: found 0"),
        (lambda: hold_up_time(100, -1, 390, 320), "capacitance: found -1"),
        (lambda: hold_up_time(100, 82e-6, 0, 0), "start_voltage: found 0"),
        (lambda: hold_up_time(100, 82e-6, 390, -1), "end_voltage: found -1"),
        (lambda: hold_up_time(100, 82e-6, 320, 390), "end_voltage: found 390, expected at most the start voltage, 320"),
        (lambda: boost_stress(0, 230), "bus_voltage: found 0"),
        (lambda: boost_stress(390, 0), "mains_voltage: found 0"),
    ],
)
def test_impossible_arguments(call, message):
    with pytest.raises(ValueError, match=message):
        call()
