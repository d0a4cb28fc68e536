"""Rounding: once, half to even, with the digits that carry meaning."""

from decimal import ROUND_HALF_EVEN, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.engineering.rounding import round_places, round_significant


@pytest.mark.parametrize(
    ("value", "digits", "text"),
    [
        (14.068565, 3, "14.1"),
        (0.858516, 3, "0.859"),
        (15.015623756518659, 3, "15.0"),
        (65.0, 3, "65.0"),
        (99.96, 3, "100"),
        (2.675, 3, "2.68"),
        (2.665, 3, "2.66"),
        (2.5, 1, "2"),
        (3.5, 1, "4"),
        (-2.5, 1, "-2"),
        (1e-6, 2, "0.0000010"),
        (123456.0, 3, "123000"),
        (9.9996, 4, "10.00"),
        (0.30000000000000004, 14, "0.30000000000000"),
        (0.1 * 3 * 0.25, 1, "0.08"),
        (2.5 * 0.34, 1, "0.8"),  # 0.8500000000000001
        (0.0, 3, "0"),
        (-0.0, 3, "0"),
    ],
)
def test_significant_digits(value, digits, text):
    assert f"{round_significant(value, digits):f}" == text


@pytest.mark.parametrize(
    ("value", "places", "text"),
    [
        (87.725, 2, "87.72"),
        (87.735, 2, "87.74"),
        (0.4, 1, "0.4"),
        (65.0, 1, "65.0"),
        (0.5, 0, "0"),
        (1.5, 0, "2"),
        (-1.25, 1, "-1.2"),
        (1e-9, 12, "0.000000001000"),
    ],
)
def test_decimal_places(value, places, text):
    assert f"{round_places(value, places):f}" == text


@given(st.decimals(-(10**6), 10**6, places=4), st.integers(0, 3))
def test_a_tie_of_a_written_decimal_is_a_tie(number, places):
    """The double of 0.285 lies below it, that of 0.145 above; both are ties as they are written."""
    expected = number.quantize(Decimal(1).scaleb(-places), ROUND_HALF_EVEN)
    assert round_places(float(number), places) == expected


@given(st.floats(1e-9, 1e9), st.integers(1, 14))
def test_the_error_is_at_most_half_a_step(value, digits):
    rounded = round_significant(value, digits)
    assert len(rounded.as_tuple().digits) == digits
    assert abs(rounded - Decimal(value)) <= Decimal(10) ** rounded.as_tuple().exponent / 2 + Decimal(value) * Decimal(
        "1e-15"
    )


@pytest.mark.parametrize(
    ("call", "text"),
    [
        (lambda: round_significant(float("nan"), 3), "value: found nan"),
        (lambda: round_significant(float("inf"), 3), "value: found inf"),
        (lambda: round_significant(1.0, 0), "digits: found 0"),
        (lambda: round_significant(1.0, 15), "digits: found 15"),
        (lambda: round_places(float("nan"), 3), "value: found nan"),
        (lambda: round_places(1.0, -1), "places: found -1"),
        (lambda: round_places(1.0, 13), "places: found 13"),
    ],
)
def test_impossible_requests_are_refused(call, text):
    with pytest.raises(ValueError, match=text):
        call()
