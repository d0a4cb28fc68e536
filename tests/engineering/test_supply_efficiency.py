"""Efficiency points, averages, loads and classes: reasoning and refusals."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.engineering.supply_class import is_usb_pd_supply, power_class, usb_pd_low_voltage_power
from lidoff.engineering.supply_efficiency import average_efficiency, derating_factor, load_currents, operating_point

POINTS = [(65.0, 70.1), (48.75, 52.6), (32.5, 35.4), (16.25, 18.2)]
POWERS = st.floats(0.1, 300.0)


@given(POWERS, st.floats(0.01, 10.0), st.floats(1.0, 5.0))
def test_output_and_loss_make_the_input(voltage, current, ratio):
    point = operating_point(voltage, current, voltage * current * ratio)
    assert point.output_power + point.loss == pytest.approx(voltage * current * ratio)
    assert point.efficiency == pytest.approx(1 / ratio)


def test_no_load_has_efficiency_0_and_loses_everything():
    point = operating_point(5.0, 0.0, 0.03)
    assert (point.output_power, point.loss, point.efficiency) == (0.0, 0.03, 0.0)


def test_more_output_than_input_is_returned_as_it_comes():
    assert operating_point(5.0, 3.0, 10.0).efficiency == 1.5


def test_the_average_is_the_mean_of_the_ratios_and_not_the_ratio_of_the_sums():
    ratio_of_sums = sum(output for output, _ in POINTS) / sum(power for _, power in POINTS)
    assert ratio_of_sums == pytest.approx(0.921724334, abs=1e-9)
    assert average_efficiency(POINTS) == pytest.approx(0.916247278, abs=1e-9)


def test_a_load_that_cannot_be_sustained_is_left_out():
    assert average_efficiency([None, *POINTS[1:]]) == pytest.approx(sum(a / b for a, b in POINTS[1:]) / 3)
    assert average_efficiency([None, None, None, (9.0, 10.0)]) == 0.9


@given(st.lists(st.tuples(POWERS, POWERS), min_size=4, max_size=4), st.randoms())
def test_the_average_lies_within_its_points_in_any_order(points, shuffler):
    average = average_efficiency(points)
    ratios = [output / power for output, power in points]
    assert min(ratios) * (1 - 1e-12) <= average <= max(ratios) * (1 + 1e-12)
    shuffler.shuffle(points)
    assert average_efficiency(points) == pytest.approx(average)


def test_ports_within_the_rated_power_are_not_derated():
    assert derating_factor(65.0, [(20.0, 3.25)]) == 1.0
    assert derating_factor(65.0, [(5.0, 2.0), (5.0, 2.4)]) == 1.0


def test_derated_loads_add_up_to_the_rated_power():
    ports = [(20.0, 3.25), (20.0, 3.25), (5.0, 2.4)]
    factor = derating_factor(65.0, ports)
    assert sum(voltage * load_currents(current, factor)[0] for voltage, current in ports) == pytest.approx(65.0)


def test_loads():
    assert load_currents(3.25) == (3.25, 2.4375, 1.625, 0.8125)
    assert load_currents(3.25, 0.5) == (1.625, 1.21875, 0.8125, 0.40625)


@pytest.mark.parametrize(
    ("voltage", "current", "simultaneous", "expected"),
    [
        (5.0, 2.0, False, "low-voltage"),
        (5.99, 0.55, False, "low-voltage"),
        (6.0, 2.0, False, "basic"),
        (5.0, 0.549, False, "basic"),
        (20.0, 3.25, False, "basic"),
        (5.0, 2.0, True, "multiple-voltage"),
        (12.0, 0.4, False, "basic"),  # 4.8 W: the class goes by volts, not by watts
    ],
)
def test_class(voltage, current, simultaneous, expected):
    assert power_class(voltage, current, simultaneous) == expected


def test_low_voltage_power_counts_2_a_a_port():
    assert usb_pd_low_voltage_power(5.0, 3) == 30.0


@pytest.mark.parametrize(
    ("offers", "expected"),
    [
        ([(5.0, 3.0), (9.0, 3.0), (15.0, 3.0), (20.0, 5.0)], True),
        ([(5.0, 3.0), (9.0, 2.22)], True),
        ([(5.0, 3.0), (12.0, 4.0)], True),
        ([(3.3, 3.0)], True),
        ([(3.2, 3.0)], False),
        ([(5.0, 2.4), (9.0, 2.0)], False),
        ([(5.0, 3.0), (9.0, 3.01)], False),
        ([(5.0, 3.0), (15.0, 3.01)], False),
        ([(5.0, 3.0), (20.0, 5.01)], False),
        ([(5.0, 3.0), (28.0, 5.0)], False),
        ([(5.0, 3.0), (20.1, 3.0)], False),
        ([(9.0, 2.0), (5.0, 3.0)], True),
    ],
)
def test_us_definition_of_a_usb_pd_supply(offers, expected):
    assert is_usb_pd_supply(offers) is expected


@pytest.mark.parametrize(
    ("call", "text"),
    [
        (lambda: operating_point(-5.0, 1.0, 6.0), "voltage: found -5.0"),
        (lambda: operating_point(5.0, -1.0, 6.0), "current: found -1.0"),
        (lambda: operating_point(5.0, 1.0, 0.0), "input_power: found 0.0"),
        (lambda: average_efficiency(POINTS[:3]), "points: found 3, expected the 4 loads"),
        (lambda: average_efficiency([None] * 4), "points: found none that the supply sustains"),
        (lambda: average_efficiency([(0.0, 1.0), *POINTS[1:]]), "output_power: found 0.0"),
        (lambda: average_efficiency([(1.0, 0.0), *POINTS[1:]]), "input_power: found 0.0"),
        (lambda: derating_factor(0.0, [(5.0, 3.0)]), "power: found 0.0"),
        (lambda: derating_factor(65.0, []), "ports: found none"),
        (lambda: derating_factor(65.0, [(0.0, 3.0)]), "voltage: found 0.0"),
        (lambda: derating_factor(65.0, [(5.0, 0.0)]), "current: found 0.0"),
        (lambda: load_currents(0.0), "nameplate_current: found 0.0"),
        (lambda: load_currents(1.0, 0.0), "derating: found 0.0"),
        (lambda: power_class(0.0, 1.0), "voltage: found 0.0"),
        (lambda: power_class(5.0, 0.0), "current: found 0.0"),
        (lambda: usb_pd_low_voltage_power(5.0, 0), "ports: found 0"),
        (lambda: usb_pd_low_voltage_power(0.0, 1), "voltage: found 0.0"),
        (lambda: is_usb_pd_supply([]), "offers: found none"),
        (lambda: is_usb_pd_supply([(0.0, 3.0)]), "voltage: found 0.0"),
        (lambda: is_usb_pd_supply([(5.0, 0.0)]), "current: found 0.0"),
    ],
)
def test_impossible_values_are_refused(call, text):
    with pytest.raises(ValueError, match=text):
        call()
