"""The power rules: what holds at and beside every band limit."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.engineering.usb_pd_offers import cable_needed, exceeds_power, meets_current
from lidoff.engineering.usb_pd_pps import nominal_pps_voltage, pps_current_at, pps_ranges, required_pps_offers
from lidoff.engineering.usb_pd_rules import (
    VoltageRange,
    epr_avs_range,
    required_epr_offers,
    required_fixed_offers,
    spr_avs_range,
)

POWERS = st.floats(0.5, 240.0)


def voltages(power: float) -> list[float]:
    return [offer.voltage for offer in required_fixed_offers(power)]


@pytest.mark.parametrize(
    ("at", "voltage"),
    [(15.0, 9.0), (27.0, 15.0), (45.0, 20.0)],
)
def test_a_voltage_comes_in_just_above_its_band_limit(at, voltage):
    assert voltage not in voltages(at)
    assert voltages(at + 0.01)[-1] == voltage


@pytest.mark.parametrize(("at", "voltage"), [(100.0, 28.0), (140.0, 36.0), (180.0, 48.0)])
def test_an_extended_voltage_comes_in_just_above_its_band_limit(at, voltage):
    assert voltage not in [offer.voltage for offer in required_epr_offers(at)]
    assert required_epr_offers(at + 0.01)[-1].voltage == voltage
    assert epr_avs_range(at + 0.01) == VoltageRange(15.0, voltage)


def test_the_least_power_has_5_v():
    assert voltages(0.001) == [5.0]


def test_up_to_100_w_there_is_no_extended_range():
    assert required_epr_offers(100.0) == ()
    assert epr_avs_range(100.0) is None


@given(POWERS)
def test_fixed_offers_give_the_rated_power_and_never_more(power):
    offers = required_fixed_offers(power)
    assert voltages(power) == sorted(voltages(power))
    assert 12.0 not in voltages(power)
    assert all(offer.voltage * offer.current <= power + 1e-9 for offer in offers)
    assert all(offer.current <= (5.0 if offer.voltage == 20.0 else 3.0) for offer in offers)
    assert offers[-1].voltage * offers[-1].current == pytest.approx(min(power, 100.0))
    assert all(offer.current == 3.0 for offer in offers[:-1])


@given(st.floats(100.1, 240.0))
def test_a_source_of_the_extended_range_keeps_the_set_of_100_w(power):
    assert required_fixed_offers(power) == required_fixed_offers(100.0)
    extended = required_epr_offers(power)
    assert extended[-1].voltage * extended[-1].current == pytest.approx(power)
    assert all(offer.current == 5.0 for offer in extended[:-1])


@pytest.mark.parametrize(
    ("power", "expected"),
    [(27.0, None), (27.01, VoltageRange(9.0, 15.0)), (45.0, VoltageRange(9.0, 15.0)), (45.01, VoltageRange(9.0, 20.0)),
     (240.0, VoltageRange(9.0, 20.0))],
)  # fmt: skip
def test_adjustable_range_of_the_standard_range(power, expected):
    assert spr_avs_range(power) == expected


@pytest.mark.parametrize("rule", [required_fixed_offers, required_epr_offers, epr_avs_range, spr_avs_range])
@pytest.mark.parametrize(("power", "text"), [(0.0, "above 0"), (-5.0, "above 0"), (240.1, "up to 240 W")])
def test_a_power_outside_usb_pd_is_refused(rule, power, text):
    with pytest.raises(ValueError, match=f"power: found .*{text}"):
        rule(power)


def test_the_highest_power_is_accepted():
    assert required_epr_offers(240.0)[-1].current == 5.0


@pytest.mark.parametrize(
    ("offered", "required", "expected"),
    [
        (2.22, 20 / 9, True),
        (2.23, 20 / 9, True),
        (2.21, 20 / 9, False),
        (3.0, 3.0, True),
        (2.99, 3.0, True),
        (2.98, 3.0, False),
        (2.98995, 3.0, False),
    ],
)
def test_an_offered_current_may_miss_one_step(offered, required, expected):
    assert meets_current(offered, required) is expected


@pytest.mark.parametrize(
    ("voltage", "current", "power", "expected"),
    [
        (9.0, 2.22, 20.0, False),
        (9.0, 2.23, 20.0, False),
        (9.0, 2.24, 20.0, True),
        (5.0, 3.0, 15.0, False),
        (5.0, 3.01, 15.0, False),
        (5.0, 3.02, 15.0, True),
        (5.0, 3.01005, 15.0, True),
    ],
)
def test_an_offer_may_exceed_the_power_by_one_step(voltage, current, power, expected):
    assert exceeds_power(voltage, current, power) is expected


@given(POWERS)
def test_every_required_offer_passes_both_checks_when_rounded_either_way(power):
    for offer in (*required_fixed_offers(power), *required_epr_offers(power)):
        down = int(offer.current * 100) / 100
        for rounded in (down, down + 0.01):
            assert meets_current(rounded, offer.current)
            assert not exceeds_power(offer.voltage, rounded, power)


@pytest.mark.parametrize(
    ("voltage", "current", "cable"),
    [
        (5.0, 3.0, "any"),
        (20.0, 3.0, "any"),
        (20.0, 3.01, "emarked-5a"),
        (21.0, 5.0, "emarked-5a"),
        (21.0, 3.0, "any"),
        (21.1, 3.0, "epr-5a"),
        (28.0, 3.0, "epr-5a"),
        (48.0, 5.0, "epr-5a"),
    ],
)
def test_cable(voltage, current, cable):
    assert cable_needed(voltage, current) == cable


@pytest.mark.parametrize(
    ("call", "text"),
    [
        (lambda: meets_current(-1.0, 3.0), "offered: found -1.0"),
        (lambda: meets_current(3.0, -1.0), "required: found -1.0"),
        (lambda: exceeds_power(0.0, 3.0, 15.0), "voltage: found 0.0"),
        (lambda: exceeds_power(5.0, -3.0, 15.0), "current: found -3.0"),
        (lambda: exceeds_power(5.0, 3.0, 0.0), "power: found 0.0"),
        (lambda: cable_needed(0.0, 3.0), "voltage: found 0.0"),
        (lambda: cable_needed(5.0, -3.0), "current: found -3.0"),
        (lambda: nominal_pps_voltage(0.0), "voltage_max: found 0.0"),
        (lambda: required_pps_offers(100.1), "power: found 100.1, expected up to 100 W"),
        (lambda: required_pps_offers(0.0), "power: found 0.0"),
        (lambda: pps_current_at(0.0, 3.0, 45.0, True), "voltage: found 0.0"),
        (lambda: pps_current_at(5.0, -3.0, 45.0, True), "current: found -3.0"),
        (lambda: pps_current_at(5.0, 3.0, 0.0, False), "power: found 0.0"),
    ],
)
def test_impossible_values_are_refused(call, text):
    with pytest.raises(ValueError, match=text):
        call()


def test_lowest_voltages_of_pps_by_edition():
    """3.3 V in the table of the MediaTek adapter driver, 3.0 V in pd-buddy, 5.0 V in a firmware comment of 2025."""
    assert {item.minima for item in pps_ranges()} == {(3.0, 3.3, 5.0)}


@pytest.mark.parametrize(
    ("voltage_max", "nominal"), [(11.04, 9.0), (10.96, 9.0), (11.06, None), (11.0502, None), (10.0, None), (20.0, None)]
)
def test_a_pps_range_is_named_only_at_its_own_end(voltage_max, nominal):
    assert nominal_pps_voltage(voltage_max) == nominal


@pytest.mark.parametrize(
    ("power", "optional"),
    [(26.9, False), (27.0, True), (44.9, False), (45.0, True), (59.9, False), (60.0, True)],
)
def test_the_lower_pps_range_becomes_optional(power, optional):
    lower, highest = required_pps_offers(power)
    assert (lower.optional, highest.optional) == (optional, False)
    assert lower.current == 3.0


@pytest.mark.parametrize(
    ("power", "ranges"),
    [(15.0, [5.0]), (15.1, [5.0, 9.0]), (27.1, [9.0, 15.0]), (45.1, [15.0, 20.0]), (100.0, [15.0, 20.0])],
)
def test_pps_ranges_by_power(power, ranges):
    offers = required_pps_offers(power)
    assert [offer.nominal_voltage for offer in offers] == ranges
    assert offers[-1].nominal_voltage * offers[-1].current == pytest.approx(power)


def test_a_limited_pps_current_follows_the_power():
    assert pps_current_at(11.0, 3.0, 30.0, True) == pytest.approx(30 / 11)
    assert pps_current_at(10.0, 3.0, 30.0, True) == 3.0
    assert pps_current_at(5.0, 3.0, 30.0, True) == 3.0
    assert pps_current_at(11.0, 3.0, 30.0, False) == 3.0
