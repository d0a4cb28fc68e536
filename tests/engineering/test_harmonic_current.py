"""Harmonic current limits; the single values stand in published/harmonic_current.csv."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.engineering.harmonic_current import class_a_limit, class_d_limit, limits_apply

ORDERS = range(2, 41)


def test_class_a_has_a_limit_for_every_order_that_falls_with_it():
    odd, even = [class_a_limit(n) for n in ORDERS if n % 2], [class_a_limit(n) for n in ORDERS if n % 2 == 0]
    assert odd == sorted(odd, reverse=True)
    assert even == sorted(even, reverse=True)
    assert min(odd + even) > 0


@given(st.sampled_from([n for n in ORDERS if n % 2]), st.floats(1, 5000))
def test_class_d_grows_with_power_up_to_class_a(order, power):
    limit, cap = class_d_limit(order, power), class_a_limit(order)
    assert limit <= cap
    assert limit == cap or class_d_limit(order, 2 * power) == pytest.approx(min(2 * limit, cap))


@given(st.sampled_from(range(13, 41, 2)))
def test_class_d_above_order_11_is_the_same_power_over_order(order):
    assert class_d_limit(order, 100) * order == pytest.approx(0.385)


def test_even_orders_have_no_limit_in_class_d():
    assert [class_d_limit(n, 100) for n in ORDERS if n % 2 == 0] == [None] * 20


@pytest.mark.parametrize("order", [1, 41, 0, -3, 3.5])
def test_orders_outside_the_table(order):
    with pytest.raises(ValueError, match="order: found .*, expected a whole number from 2 to 40"):
        class_a_limit(order)
    with pytest.raises(ValueError, match="order: found .*, expected a whole number from 2 to 40"):
        class_d_limit(order, 100)


def test_impossible_power():
    with pytest.raises(ValueError, match="power: found 0"):
        class_d_limit(3, 0)
    with pytest.raises(ValueError, match="input_power: found -1"):
        limits_apply(-1)
