"""Values as they were observed, turns ratio and price: functions without much to get wrong, and what they refuse."""

import pytest

from lidoff.engineering.observation import as_observed, largest_observed, temperature_rise, total_observed
from lidoff.engineering.price import price_per_power
from lidoff.engineering.windings import turns_ratio


def test_observed_values():
    assert as_observed(63.2) == 63.2
    assert largest_observed([-3, 0, -1]) == 0
    assert total_observed([45, 20]) == 65
    assert temperature_rise(20, 25) == -5


def test_turns_ratio_and_its_inverse():
    assert turns_ratio(24, 4) == 6
    assert turns_ratio(4, 24) == pytest.approx(1 / 6)


def test_price():
    assert price_per_power(39, 65) == pytest.approx(0.6)


@pytest.mark.parametrize(
    ("function", "arguments", "words"),
    [
        (as_observed, (float("nan"),), "values: found a number that is not finite"),
        (largest_observed, ([],), "values: found none"),
        (total_observed, ([1, float("inf")],), "values: found a number that is not finite"),
        (temperature_rise, (float("nan"), 25), "values: found a number that is not finite"),
        (turns_ratio, (24, 0), "secondary_turns: found 0"),
        (price_per_power, (0, 65), "amount: found 0"),
        (price_per_power, (39, 0), "power: found 0"),
    ],
)
def test_refusals(function, arguments, words):
    with pytest.raises(ValueError, match=words):
        function(*arguments)
