"""Flyback voltages and the window of turns ratios: bounds and stresses undo one another."""

from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.engineering.bulk_capacitor import peak_voltage
from lidoff.engineering.flyback import duty_cycle, rectifier_stress, reflected_voltage, switch_stress
from lidoff.engineering.turns_ratio import (
    TurnsRatioWindow,
    turns_ratio_by_duty_cycle,
    turns_ratio_by_rectifier,
    turns_ratio_by_switch,
    turns_ratio_window,
)

buses = st.floats(80, 450)
outputs = st.floats(3.3, 48)
drops = st.floats(0, 1)
ratios = st.floats(0.5, 30)
spikes = st.floats(0, 1)


def test_21_volts_reflect_more_than_20():
    assert reflected_voltage(6, 21, 0.5) - reflected_voltage(6, 20, 0.5) == pytest.approx(6)
    assert reflected_voltage(6, 20) == 120


def test_switch_stress_at_264_volts_is_not_that_at_240():
    at_264, at_240 = (switch_stress(peak_voltage(mains), 120, 60) for mains in (264, 240))
    assert at_264 - at_240 == pytest.approx(24 * 2**0.5)
    assert switch_stress(373, 120) == 493


def test_a_boost_stage_raises_both_stresses():
    crest = peak_voltage(264)
    assert switch_stress(400, 120) - switch_stress(crest, 120) == pytest.approx(400 - crest)
    assert rectifier_stress(400, 6, 20) - rectifier_stress(crest, 6, 20) == pytest.approx((400 - crest) / 6)
    assert rectifier_stress(400, 6, 20, spike=15) - rectifier_stress(400, 6, 20) == pytest.approx(15)


@given(buses, ratios, outputs, drops)
def test_volt_seconds_balance_over_a_period(bus, ratio, output, drop):
    reflected = reflected_voltage(ratio, output, drop)
    duty = duty_cycle(bus, reflected)
    assert 0 < duty < 1
    assert bus * duty == pytest.approx(reflected * (1 - duty))


@given(buses, outputs, drops, st.floats(0.05, 0.95))
def test_ratio_by_duty_cycle_gives_that_duty_cycle(bus, output, drop, duty):
    ratio = turns_ratio_by_duty_cycle(bus, duty, output, drop)
    assert duty_cycle(bus, reflected_voltage(ratio, output, drop)) == pytest.approx(duty)


@given(buses, outputs, drops, spikes, st.floats(1.01, 3))
def test_ratio_by_switch_gives_that_stress(bus, output, drop, spike_ratio, margin):
    reflected = reflected_voltage(turns_ratio_by_switch(bus, bus * margin, output, drop, spike_ratio), output, drop)
    assert switch_stress(bus, reflected, spike_ratio * reflected) == pytest.approx(bus * margin)


@given(buses, outputs, st.floats(1.01, 20))
def test_ratio_by_rectifier_gives_that_stress(bus, output, margin):
    ratio = turns_ratio_by_rectifier(bus, output * margin, output)
    assert rectifier_stress(bus, ratio, output) == pytest.approx(output * margin)


@given(buses, outputs, drops, spikes, st.floats(1.05, 3), st.floats(1.5, 8))
def test_inside_the_window_no_rating_is_passed_and_outside_one_is(
    bus, output, drop, spike_ratio, switch_margin, rectifier_margin
):
    switch_voltage, rectifier_voltage = bus * switch_margin, output * rectifier_margin
    window = turns_ratio_window(
        highest_bus_voltage=bus,
        output_voltage=output,
        rectifier_drop=drop,
        rectifier_voltage=rectifier_voltage,
        switch_voltage=switch_voltage,
        spike_ratio=spike_ratio,
    )

    def fits(ratio: float) -> bool:
        reflected = reflected_voltage(ratio, output, drop)
        switch_fits = switch_stress(bus, reflected, spike_ratio * reflected) <= switch_voltage
        return switch_fits and rectifier_stress(bus, ratio, output) <= rectifier_voltage

    assert fits(window.lower * 1.0001) != window.is_empty or window.upper == pytest.approx(window.lower, rel=1e-3)
    assert not fits(window.lower * 0.999)
    assert not fits(window.upper * 1.001)


def test_each_bound_stands_where_it_belongs():
    window = turns_ratio_window(
        highest_bus_voltage=373,
        output_voltage=20,
        rectifier_drop=0.5,
        rectifier_voltage=100,
        switch_voltage=600,
        spike_ratio=0.5,
        lowest_bus_voltage=80,
        largest_duty_cycle=0.5,
        largest_reflected_voltage=135,
    )
    assert window.least_by_rectifier == pytest.approx(373 / 80)
    assert window.most_by_switch == pytest.approx(227 / 1.5 / 20.5)
    assert window.most_by_duty_cycle == pytest.approx(80 / 20.5)
    assert window.most_by_reflected_voltage == pytest.approx(135 / 20.5)
    assert (window.lower, window.upper) == (window.least_by_rectifier, window.most_by_duty_cycle)
    assert window.is_empty


def test_a_common_gallium_nitride_design_has_a_window():
    window = turns_ratio_window(
        highest_bus_voltage=peak_voltage(264),
        output_voltage=21,
        rectifier_voltage=120 * 0.9,
        switch_voltage=650,
        spike_ratio=0.5,
    )
    assert not window.is_empty
    assert window.lower < 6 < window.upper


def test_what_was_not_asked_for_bounds_nothing():
    window = turns_ratio_window(highest_bus_voltage=373, output_voltage=20)
    assert window == TurnsRatioWindow(None, None, None, None)
    assert (window.lower, window.upper, window.is_empty) == (0, None, False)
    only_one = turns_ratio_window(highest_bus_voltage=373, output_voltage=20, lowest_bus_voltage=80)
    assert only_one.most_by_duty_cycle is None
    only_other = turns_ratio_window(highest_bus_voltage=373, output_voltage=20, largest_duty_cycle=0.5)
    assert only_other.most_by_duty_cycle is None
    only_lower = turns_ratio_window(highest_bus_voltage=373, output_voltage=20, rectifier_voltage=100)
    assert (only_lower.upper, only_lower.is_empty) == (None, False)


def test_ratings_that_no_ratio_can_keep_are_an_empty_window_not_a_fault():
    weak_rectifier = turns_ratio_window(highest_bus_voltage=373, output_voltage=20, rectifier_voltage=20)
    assert weak_rectifier.lower == inf
    assert weak_rectifier.is_empty
    for voltage in (373, 200):
        weak_switch = turns_ratio_window(
            highest_bus_voltage=373, output_voltage=20, rectifier_voltage=100, switch_voltage=voltage
        )
        assert weak_switch.upper == 0
        assert weak_switch.is_empty


def test_drop_and_spike_are_nothing_unless_stated():
    assert turns_ratio_by_duty_cycle(100, 0.5, 20) == 100 / 20
    assert turns_ratio_by_switch(380, 600, 20) == 220 / 20
    window = turns_ratio_window(
        highest_bus_voltage=380, output_voltage=20, switch_voltage=600, largest_reflected_voltage=130
    )
    assert (window.most_by_switch, window.most_by_reflected_voltage) == (220 / 20, 130 / 20)


def test_a_window_of_one_ratio_is_not_empty():
    assert not TurnsRatioWindow(6.0, 6.0, None, None).is_empty
    assert TurnsRatioWindow(6.0, 5.999, None, None).is_empty


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: reflected_voltage(0, 20), "turns_ratio: found 0"),
        (lambda: reflected_voltage(6, 0), "output_voltage: found 0"),
        (lambda: reflected_voltage(6, 20, -0.1), "rectifier_drop: found -0.1"),
        (lambda: switch_stress(0, 120), "bus_voltage: found 0"),
        (lambda: switch_stress(373, 0), "reflected_voltage: found 0"),
        (lambda: switch_stress(373, 120, -1), "spike: found -1"),
        (lambda: rectifier_stress(0, 6, 20), "bus_voltage: found 0"),
        (lambda: rectifier_stress(373, 0, 20), "turns_ratio: found 0"),
        (lambda: rectifier_stress(373, 6, 0), "output_voltage: found 0"),
        (lambda: rectifier_stress(373, 6, 20, -1), "spike: found -1"),
        (lambda: duty_cycle(0, 120), "bus_voltage: found 0"),
        (lambda: duty_cycle(120, 0), "reflected_voltage: found 0"),
        (lambda: turns_ratio_by_duty_cycle(0, 0.5, 20), "bus_voltage: found 0"),
        (lambda: turns_ratio_by_duty_cycle(100, 0.5, 0), "output_voltage: found 0"),
        (lambda: turns_ratio_by_duty_cycle(100, 0.5, 20, -1), "rectifier_drop: found -1"),
        (lambda: turns_ratio_by_duty_cycle(100, 1, 20), "largest_duty_cycle: found 1, expected a number between 0 and"),
        (lambda: turns_ratio_by_duty_cycle(100, 0, 20), "largest_duty_cycle: found 0"),
        (lambda: turns_ratio_by_switch(0, 600, 20), "bus_voltage: found 0"),
        (lambda: turns_ratio_by_switch(373, 0, 20), "switch_voltage: found 0"),
        (lambda: turns_ratio_by_switch(373, 600, 0), "output_voltage: found 0"),
        (lambda: turns_ratio_by_switch(373, 600, 20, -1), "rectifier_drop: found -1"),
        (lambda: turns_ratio_by_switch(373, 600, 20, 0, -1), "spike_ratio: found -1"),
        (lambda: turns_ratio_by_rectifier(0, 100, 20), "bus_voltage: found 0"),
        (lambda: turns_ratio_by_rectifier(373, 0, 20), "rectifier_voltage: found 0"),
        (lambda: turns_ratio_by_rectifier(373, 100, 0), "output_voltage: found 0"),
        (lambda: turns_ratio_window(highest_bus_voltage=0, output_voltage=20), "highest_bus_voltage: found 0"),
        (lambda: turns_ratio_window(highest_bus_voltage=373, output_voltage=0), "output_voltage: found 0"),
        (lambda: turns_ratio_window(highest_bus_voltage=373, output_voltage=20, rectifier_drop=-1), "drop: found -1"),
        (lambda: turns_ratio_window(highest_bus_voltage=373, output_voltage=20, spike_ratio=-1), "ratio: found -1"),
        (
            lambda: turns_ratio_window(highest_bus_voltage=373, output_voltage=20, largest_reflected_voltage=0),
            "largest_reflected_voltage: found 0",
        ),
    ],
)
def test_impossible_arguments(call, message):
    with pytest.raises(ValueError, match=message):
        call()
