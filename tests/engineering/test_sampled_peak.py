"""The largest running median: spikes do not count, plateaus do."""

from statistics import median

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.engineering.sampled_peak import sampled_peak


def test_a_spike_narrower_than_half_the_window_does_not_count():
    values = [20.0] * 20
    values[9:11] = [95.0, 95.0]
    assert sampled_peak(values, 5) == 20
    values[11] = 95.0
    assert sampled_peak(values, 5) == 95


@given(st.lists(st.floats(0, 200), min_size=7, max_size=40), st.sampled_from([1, 3, 5, 7]))
def test_it_is_the_largest_of_the_medians(values, window):
    peak = sampled_peak(values, window)
    assert peak == max(median(values[i : i + window]) for i in range(len(values) - window + 1))
    assert peak <= max(values) and (window > 1 or peak == max(values))


@pytest.mark.parametrize(
    ("values", "window", "words"),
    [
        ([1.0] * 9, 4, "window: found 4, expected an odd number"),
        ([1.0] * 9, 0, "window: found 0"),
        ([1.0, 2.0], 3, "values: found 2, expected at least the 3"),
    ],
)
def test_refusals(values, window, words):
    with pytest.raises(ValueError, match=words):
        sampled_peak(values, window)
