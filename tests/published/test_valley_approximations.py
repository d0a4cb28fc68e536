"""Two application notes' approximations of the bus valley: what they print, and how far they are from the exact one.

Sources: Fairchild Semiconductor, AN-6094, Design Guideline for Flyback Charger Using FAN302HL/UL, rev. 1.0.0,
27 September 2012, page 6, step 2, equations 15, 17 and 18; Power Integrations, AN-17, June 1996, page 8, DC input
voltage parameters.
"""

from math import sqrt

import pytest

from lidoff.engineering.bulk_capacitor import bus_valley


def with_charging_duty(power: float, capacitance: float, mains: float, frequency: float, duty: float = 0.2) -> float:
    """AN-6094: the load draws on the capacitor for a fixed share of the half period."""
    return sqrt(2 * mains**2 - power * (1 - duty) / (capacitance * frequency))


def with_conduction_time(power: float, capacitance: float, mains: float, frequency: float, time: float) -> float:
    """AN-17: the load draws on the capacitor for the half period less an estimated conduction time."""
    return sqrt(2 * mains**2 - 2 * power * (1 / (2 * frequency) - time) / capacitance)


@pytest.mark.parametrize(("input_power", "printed"), [(8.22, 90), (7.07, 96), (2.46, 117)])
def test_an_6094_prints_its_approximation_in_whole_volts(input_power, printed):
    assert with_charging_duty(input_power, 2 * 6.8e-6, 90, 60) == pytest.approx(printed, abs=0.5)


def test_an_17_prints_its_approximation_in_whole_volts():
    assert with_conduction_time(15 / 0.8, 33e-6, 85, 60, 3.2e-3) == pytest.approx(93, abs=0.5)


@pytest.mark.parametrize(("input_power", "exact"), [(8.22, 93.21), (7.07, 97.82), (2.46, 116.60)])
def test_the_exact_valley_for_the_inputs_of_an_6094(input_power, exact):
    assert bus_valley(input_power, 2 * 6.8e-6, 90, 60).valley_voltage == pytest.approx(exact, abs=0.005)


def test_the_charging_duty_of_an_6094_is_right_where_the_bridge_conducts_that_long():
    valley = bus_valley(7.07, 2 * 6.8e-6, 90, 60)
    duty = valley.conduction_time * 2 * 60
    assert 0.2 < duty < 0.3
    assert with_charging_duty(7.07, 2 * 6.8e-6, 90, 60, duty) == pytest.approx(valley.valley_voltage, rel=0.01)


def test_an_17_overrates_the_valley_because_its_conduction_time_is_too_long():
    valley = bus_valley(15 / 0.8, 33e-6, 85, 60)
    assert valley.conduction_time < 3.2e-3
    assert valley.valley_voltage < 93 - 5
    mended = with_conduction_time(15 / 0.8, 33e-6, 85, 60, valley.conduction_time)
    assert mended == pytest.approx(valley.valley_voltage, rel=0.02)
