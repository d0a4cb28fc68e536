"""Margin to a rated voltage, alone and in a series string."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.engineering.voltage_margin import series_string_rating, voltage_margin


@pytest.mark.parametrize(
    ("rating", "voltage", "margin"), [(400, 0, 1), (400, 400, 0), (400, 300, 0.25), (400, 500, -0.25)]
)
def test_limits(rating, voltage, margin):
    assert voltage_margin(rating, voltage) == pytest.approx(margin)


@given(st.floats(1, 1000), st.floats(0, 2000))
def test_the_margin_leads_back_to_the_voltage(rating, voltage):
    assert rating * (1 - voltage_margin(rating, voltage)) == pytest.approx(voltage, abs=1e-9)


def test_the_weakest_capacitor_decides():
    assert series_string_rating([250]) == 250
    assert series_string_rating([250, 200, 250]) == 600


def test_refusals():
    with pytest.raises(ValueError, match="rating: found 0"):
        voltage_margin(0, 100)
    with pytest.raises(ValueError, match="voltage: found -1"):
        voltage_margin(400, -1)
    with pytest.raises(ValueError, match="ratings: found none"):
        series_string_rating([])
    with pytest.raises(ValueError, match=r"ratings\[1\]: found 0"):
        series_string_rating([200, 0])
