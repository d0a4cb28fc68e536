"""E series against the package eseries 1.2.1, and reasoning about the nearest value."""

from decimal import Decimal
from math import log

import eseries
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.engineering.preferred_values import SERIES_SIZES, is_preferred, nearest_preferred, series_values

THEIRS = {
    3: eseries.E3,
    6: eseries.E6,
    12: eseries.E12,
    24: eseries.E24,
    48: eseries.E48,
    96: eseries.E96,
    192: eseries.E192,
}


@pytest.mark.parametrize("size", SERIES_SIZES)
def test_series_agree(size):
    theirs = [round(float(value) * (100 / eseries.series(THEIRS[size])[0])) for value in eseries.series(THEIRS[size])]
    assert list(series_values(size)) == theirs
    assert len(series_values(size)) == size


@pytest.mark.parametrize("size", SERIES_SIZES)
@pytest.mark.parametrize("power", [-12, -9, -6, 0, 3, 6])
def test_every_value_is_a_member_in_every_decade(size, power):
    for value in series_values(size):
        number = float(Decimal(value).scaleb(power))
        assert is_preferred(number, size)
        assert nearest_preferred(number, size) == number


@given(st.integers(100, 999), st.sampled_from(SERIES_SIZES))
def test_no_other_value_is_a_member(value, size):
    assert is_preferred(value / 100, size) == (value in series_values(size))


def test_products_with_powers_of_ten_are_members():
    """82 times 1e-6 is not the double of 8.2e-5."""
    assert is_preferred(82 * 1e-6, 12)
    assert is_preferred(3 * 1.1, 24)
    assert not is_preferred(8.2001e-5, 12)
    assert not is_preferred(4.705, 6)


def test_twelve_digits_of_a_number_count_and_the_thirteenth_does_not():
    assert not is_preferred(1.00000000001, 12)
    assert is_preferred(1.000000000001, 12)


@given(st.floats(1e-12, 1e7), st.sampled_from(SERIES_SIZES))
def test_the_nearest_value_is_within_half_a_step(value, size):
    nearest = nearest_preferred(value, size)
    assert is_preferred(nearest, size)
    decades = (10.0**power for power in range(-15, 10))
    members = [member / 100 * decade for decade in decades for member in series_values(size)]
    best = min(abs(log(member / value)) for member in members)
    assert abs(log(nearest / value)) == pytest.approx(best, abs=1e-9)


def test_nearness_is_a_ratio():
    """Between 10 and 22 the middle is 14.8 as a ratio, 16 as a difference."""
    assert nearest_preferred(14.8, 3) == 10.0
    assert nearest_preferred(14.9, 3) == 22.0
    assert nearest_preferred(999.0, 12) == 1000.0


@pytest.mark.parametrize(
    ("call", "text"),
    [
        (lambda: series_values(10), "size: found 10, expected one of 3, 6, 12, 24, 48, 96, 192"),
        (lambda: is_preferred(1.0, 5), "size: found 5"),
        (lambda: nearest_preferred(1.0, 5), "size: found 5"),
        (lambda: is_preferred(0.0, 6), "value: found 0.0"),
        (lambda: nearest_preferred(-1.0, 6), "value: found -1.0"),
    ],
)
def test_impossible_requests_are_refused(call, text):
    with pytest.raises(ValueError, match=text):
        call()
