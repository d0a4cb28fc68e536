"""Bulk capacitor: crest, valley, energy and size, by reasoning at their limits."""

from math import inf, nan, pi, sin, sqrt

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from lidoff.engineering.bulk_capacitor import bus_valley, capacitance_per_power, peak_voltage, stored_energy

powers = st.floats(1, 300)
ratios = st.floats(0.8e-6, 6e-6)
voltages = st.floats(85, 290)
frequencies = st.floats(45, 66)


def test_highest_mains_is_264_not_240_volts():
    assert peak_voltage(264) == pytest.approx(373.352, abs=0.0005)
    assert peak_voltage(240) < 340


def test_two_drops_of_a_bridge_come_off_the_crest():
    assert peak_voltage(100) - peak_voltage(100, bridge_drop=1.7) == pytest.approx(1.7)


def test_any_drop_below_the_crest_leaves_a_bus():
    assert peak_voltage(1, bridge_drop=1.4) == pytest.approx(0.0142, abs=1e-4)


def test_no_load_leaves_the_bus_at_its_crest():
    valley = bus_valley(0, 82e-6, 115, 60)
    assert valley.valley_voltage == valley.peak_voltage == peak_voltage(115)
    assert valley.conduction_time == 0
    assert valley.turn_on_angle == valley.turn_off_angle == pi / 2


def test_a_huge_capacitor_leaves_no_ripple():
    valley = bus_valley(65, 1.0, 115, 60)
    assert valley.peak_voltage - valley.valley_voltage < 0.01
    assert 0 < valley.conduction_time < 1e-3


def test_drop_lowers_peak_and_valley():
    without, with_drop = bus_valley(30, 47e-6, 115, 60), bus_valley(30, 47e-6, 115, 60, bridge_drop=1.7)
    assert without.peak_voltage - with_drop.peak_voltage == pytest.approx(1.7)
    assert 1.7 < without.valley_voltage - with_drop.valley_voltage < 2.5


@pytest.mark.parametrize("microfarad_per_watt", [1.2, 1.3, 1.5, 1.8])
def test_small_capacitors_of_compact_chargers_have_a_valley_at_100_volts(microfarad_per_watt):
    valley = bus_valley(65 / 0.92, microfarad_per_watt * 1e-6 * 65, 100, 50)
    assert 50 < valley.valley_voltage < 115


def test_twice_the_power_and_frequency_is_the_same_wave():
    slow, fast = bus_valley(30, 47e-6, 115, 50), bus_valley(60, 47e-6, 115, 100)
    assert fast.valley_voltage == pytest.approx(slow.valley_voltage, rel=1e-12)
    assert fast.conduction_time == pytest.approx(slow.conduction_time / 2, rel=1e-12)


def test_no_end_of_conduction_where_the_capacitor_is_too_small_to_hold_any_charge():
    omega, peak = 2 * pi * 50, peak_voltage(230)
    assert bus_valley(65, 2 * 65 / (omega * peak**2), 230, 50) is None
    assert bus_valley(65, 1e-9, 230, 50) is None


@given(powers, ratios, voltages, frequencies, st.floats(0, 3))
def test_energy_between_turn_off_and_turn_on_is_what_the_load_took(power, ratio, voltage, frequency, drop):
    capacitance = ratio * power
    valley = bus_valley(power, capacitance, voltage, frequency, drop)
    assume(valley is not None)
    start = valley.peak_voltage * sin(valley.turn_off_angle)
    without_bridge = 0.5 / frequency - valley.conduction_time
    given_off = stored_energy(capacitance, start) - stored_energy(capacitance, valley.valley_voltage)
    assert given_off == pytest.approx(power * without_bridge, rel=1e-9)
    assert valley.valley_voltage == pytest.approx(valley.peak_voltage * sin(valley.turn_on_angle), rel=1e-12)
    assert 0 < valley.turn_on_angle < pi / 2 < valley.turn_off_angle < 3 * pi / 4


@given(powers, ratios, voltages, frequencies)
def test_bridge_current_ends_at_the_turn_off_angle(power, ratio, voltage, frequency):
    capacitance = ratio * power
    valley = bus_valley(power, capacitance, voltage, frequency)
    assume(valley is not None)
    half_charge = pi * frequency * capacitance * valley.peak_voltage**2
    assert half_charge * sin(2 * valley.turn_off_angle) == pytest.approx(-power, rel=1e-9)


@given(powers, ratios, voltages, frequencies)
def test_more_load_less_capacitance_or_less_mains_lowers_the_valley(power, ratio, voltage, frequency):
    base = bus_valley(power, ratio * power, voltage, frequency)
    assume(base is not None)
    for other in (
        bus_valley(power * 1.01, ratio * power, voltage, frequency),
        bus_valley(power, ratio * power / 1.01, voltage, frequency),
        bus_valley(power, ratio * power, voltage / 1.01, frequency),
        bus_valley(power, ratio * power, voltage, frequency / 1.01),
    ):
        assert other is None or other.valley_voltage < base.valley_voltage


@given(st.floats(1e-9, 1e-2), st.floats(0, 500))
def test_twice_the_voltage_is_four_times_the_energy(capacitance, voltage):
    assert stored_energy(capacitance, 2 * voltage) == pytest.approx(4 * stored_energy(capacitance, voltage))
    assert stored_energy(capacitance, -voltage) == stored_energy(capacitance, voltage)


def test_two_microfarad_a_watt():
    assert capacitance_per_power(130e-6, 65) == pytest.approx(2e-6)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ((-1, 82e-6, 90, 47), "power: found -1"),
        ((inf, 82e-6, 90, 47), "power: found inf"),
        ((65, 0, 90, 47), "capacitance: found 0, expected a finite number above 0"),
        ((65, 82e-6, 0, 47), "mains_voltage: found 0"),
        ((65, 82e-6, 90, nan), "mains_frequency: found nan"),
        ((65, 82e-6, 90, 47, -0.1), "bridge_drop: found -0.1, expected a finite number of 0 or more"),
        ((65, 82e-6, 1, 47, sqrt(2)), r"bridge_drop: found 1.41\d+, expected less than the crest .*, 1\.4142"),
    ],
)
def test_impossible_arguments_of_the_valley(arguments, message):
    with pytest.raises(ValueError, match=message):
        bus_valley(*arguments)


def test_impossible_arguments_of_the_rest():
    with pytest.raises(ValueError, match="capacitance: found -1e-06"):
        stored_energy(-1e-6, 400)
    with pytest.raises(ValueError, match="voltage: found inf"):
        stored_energy(1e-6, inf)
    with pytest.raises(ValueError, match="power: found 0"):
        capacitance_per_power(1e-6, 0)
    with pytest.raises(ValueError, match="capacitance: found 0"):
        capacitance_per_power(0, 65)
    with pytest.raises(ValueError, match="mains_voltage: found 0"):
        peak_voltage(0)
