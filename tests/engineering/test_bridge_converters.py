"""Converters with two primary switches: stresses from the voltages of each switching state."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.engineering.bridge_converters import (
    active_clamp_flyback_stress,
    asymmetric_half_bridge_duty_cycle,
    asymmetric_half_bridge_stress,
    llc_half_bridge_stress,
)
from lidoff.engineering.flyback import rectifier_stress, reflected_voltage, switch_stress

buses = st.floats(80, 450)
ratios = st.floats(1, 20)
outputs = st.floats(3.3, 48)


@given(buses, ratios, outputs, st.floats(0, 1), st.floats(0, 50))
def test_active_clamp_is_a_flyback_whose_spike_is_the_clamp_ripple(bus, ratio, output, drop, ripple):
    found = active_clamp_flyback_stress(bus, ratio, output, drop, ripple)
    assert found.switch_voltage == pytest.approx(switch_stress(bus, reflected_voltage(ratio, output, drop), ripple))
    assert found.rectifier_voltage == pytest.approx(rectifier_stress(bus, ratio, output))


def test_active_clamp_without_drop_and_ripple_is_the_plateau():
    assert active_clamp_flyback_stress(370, 6, 20).switch_voltage == 370 + 6 * 20


@given(buses, ratios, outputs)
def test_asymmetric_half_bridge_from_its_two_states(bus, ratio, output):
    duty = asymmetric_half_bridge_duty_cycle(bus, ratio, output)
    if duty is None:
        assert ratio * output >= bus
        return
    capacitor = duty * bus
    upper_on, lower_on = bus - capacitor, -capacitor
    assert upper_on * duty + lower_on * (1 - duty) == pytest.approx(0, abs=1e-9 * bus)
    assert -lower_on / ratio == pytest.approx(output)
    found = asymmetric_half_bridge_stress(bus, ratio)
    assert found.rectifier_voltage == pytest.approx(output + upper_on / ratio)
    assert found.switch_voltage == bus


def test_asymmetric_half_bridge_cannot_reach_its_bus():
    assert asymmetric_half_bridge_duty_cycle(400, 20, 20) is None
    assert asymmetric_half_bridge_duty_cycle(400, 8, 48) == pytest.approx(0.96)


@given(buses, outputs)
def test_llc_rectifiers_see_one_or_both_halves_of_the_secondary(bus, output):
    tapped, bridge = (llc_half_bridge_stress(bus, output, centre_tapped=tapped) for tapped in (True, False))
    assert tapped.rectifier_voltage == 2 * output
    assert bridge.rectifier_voltage == output
    assert tapped.switch_voltage == bridge.switch_voltage == bus


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: active_clamp_flyback_stress(0, 6, 20), "bus_voltage: found 0"),
        (lambda: active_clamp_flyback_stress(373, 0, 20), "turns_ratio: found 0"),
        (lambda: active_clamp_flyback_stress(373, 6, 0), "output_voltage: found 0"),
        (lambda: active_clamp_flyback_stress(373, 6, 20, -1), "rectifier_drop: found -1"),
        (lambda: active_clamp_flyback_stress(373, 6, 20, 0, -1), "clamp_ripple: found -1"),
        (lambda: asymmetric_half_bridge_duty_cycle(0, 8, 20), "bus_voltage: found 0"),
        (lambda: asymmetric_half_bridge_duty_cycle(400, 0, 20), "turns_ratio: found 0"),
        (lambda: asymmetric_half_bridge_duty_cycle(400, 8, 0), "output_voltage: found 0"),
        (lambda: asymmetric_half_bridge_stress(0, 8), "bus_voltage: found 0"),
        (lambda: asymmetric_half_bridge_stress(400, 0), "turns_ratio: found 0"),
        (lambda: llc_half_bridge_stress(0, 20, True), "bus_voltage: found 0"),
        (lambda: llc_half_bridge_stress(400, 0, True), "output_voltage: found 0"),
    ],
)
def test_impossible_arguments(call, message):
    with pytest.raises(ValueError, match=message):
        call()
