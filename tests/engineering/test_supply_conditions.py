"""Conditions of the test procedures: mains and loads at their edges."""

import pytest

from lidoff.engineering.supply_conditions import adaptive_no_load_limit, load_matches, regulation_of_mains


@pytest.mark.parametrize(
    ("mains", "regulation"),
    [
        ((115, 60), "us-level-vi"), ((116.1, 60.5), "us-level-vi"), ((116.2, 60), None), ((115, 61), None),
        ((230, 50), "eu-2019-1782"), ((227.8, 49.6), "eu-2019-1782"), ((227, 50), None), ((230, 60), None), ((100, 50), None), ((0, 0), None),
    ],
)  # fmt: skip
def test_mains_within_one_percent(mains, regulation):
    assert regulation_of_mains(*mains) == regulation


def test_negative_mains_are_refused():
    with pytest.raises(ValueError, match="mains_voltage: found -1"):
        regulation_of_mains(-1, 50)


@pytest.mark.parametrize(
    ("current", "matches"), [(0.8125, True), (0.8775, True), (0.8785, False), (0.7475, True), (0.7465, False)]
)
def test_load_within_two_percent_of_the_nameplate_current(current, matches):
    # 2 % of 3.25 A is 0.065 A, at every load
    assert load_matches(current, 0.8125, 3.25) is matches


def test_a_load_of_3_a_is_none_of_2_a():
    assert not load_matches(3.0, 2.0, 2.0)
    with pytest.raises(ValueError, match="nameplate_current: found 0"):
        load_matches(1.0, 1.0, 0.0)


@pytest.mark.parametrize(("power", "limit"), [(20, 0.21), (250, 0.21), (250.1, None)])
def test_adaptive_supplies_in_the_eu(power, limit):
    assert adaptive_no_load_limit(power) == limit


def test_no_power_no_limit():
    with pytest.raises(ValueError, match="power: found 0"):
        adaptive_no_load_limit(0)
