"""Series and parallel capacitors."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.engineering.capacitor_network import parallel_capacitance, series_capacitance

capacitances = st.lists(st.floats(1e-12, 1e-2), min_size=1, max_size=6)


@given(capacitances)
def test_parallel_is_at_least_the_largest_and_series_at_most_the_smallest(values):
    assert parallel_capacitance(values) >= max(values)
    assert series_capacitance(values) <= min(values) * (1 + 1e-12)


@given(st.floats(1e-12, 1e-2), st.integers(1, 8))
def test_equal_capacitors_multiply_or_divide(value, count):
    assert parallel_capacitance([value] * count) == pytest.approx(count * value)
    assert series_capacitance([value] * count) == pytest.approx(value / count)


@given(capacitances)
def test_series_is_parallel_of_the_reciprocals(values):
    assert series_capacitance(values) == pytest.approx(1 / parallel_capacitance([1 / value for value in values]))


@pytest.mark.parametrize("combine", [parallel_capacitance, series_capacitance])
@pytest.mark.parametrize(("values", "message"), [([], "found none"), ([1e-6, 0.0], r"capacitances\[1\]: found 0.0")])
def test_impossible_capacitors(combine, values, message):
    with pytest.raises(ValueError, match=message):
        combine(values)
