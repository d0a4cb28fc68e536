"""Intervals, quantiles, outliers, trends and sampled energy against scipy, statsmodels and numpy."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy import stats
from statsmodels.stats.proportion import proportion_confint

from lidoff.engineering.sampled_energy import sampled_energy
from lidoff.engineering.statistics_robust import median, quantile, robust_z, wilson_interval
from lidoff.engineering.trend_line import theil_sen

NUMBERS = st.floats(-1000.0, 1000.0).map(lambda value: round(value, 3))
LISTS = st.lists(NUMBERS, min_size=1, max_size=30)
COUNTS = st.integers(1, 300).flatmap(lambda total: st.tuples(st.integers(0, total), st.just(total)))


@given(COUNTS, st.sampled_from([0.8, 0.9, 0.95, 0.99]))
def test_wilson_interval_agrees_with_statsmodels(counts, confidence):
    found = wilson_interval(*counts, confidence)
    low, high = proportion_confint(*counts, alpha=1 - confidence, method="wilson")
    assert (found.low, found.high) == pytest.approx((low, high), abs=1e-12)
    assert 0 <= found.low <= counts[0] / counts[1] <= found.high <= 1


def test_nothing_and_all_are_exact_ends():
    assert wilson_interval(0, 7).low == 0.0
    assert wilson_interval(7, 7).high == 1.0


@given(LISTS, st.floats(0.0, 1.0))
def test_quantile_agrees_with_numpy(values, share):
    assert quantile(values, share) == pytest.approx(float(np.quantile(values, share)), abs=1e-9)


@given(LISTS)
def test_median_agrees_with_numpy(values):
    assert median(values) == pytest.approx(float(np.median(values)), abs=1e-9)
    assert quantile(values, 0.0) == min(values)
    assert quantile(values, 1.0) == max(values)


@given(LISTS)
def test_robust_z_agrees_with_scipy(values):
    scale = float(stats.median_abs_deviation(values, scale="normal"))
    found = robust_z(values)
    if scale == 0:
        assert found is None
    else:
        assert list(found) == pytest.approx([(value - float(np.median(values))) / scale for value in values], abs=1e-9)


def test_robust_z_is_not_moved_by_one_wild_value():
    assert robust_z([1.0, 2.0, 3.0, 4.0, 5.0])[:4] == robust_z([1.0, 2.0, 3.0, 4.0, 5000.0])[:4]


@pytest.mark.filterwarnings("ignore:invalid value encountered in sqrt:RuntimeWarning")
@given(
    st.lists(st.tuples(st.integers(2015, 2030), NUMBERS), min_size=3, max_size=20),
    st.sampled_from([0.8, 0.95]),
)
def test_trend_agrees_with_scipy(points, confidence):
    x, y = [float(year) for year, _ in points], [value for _, value in points]
    assume(len(set(x)) > 1)
    theirs = stats.theilslopes(y, x, alpha=confidence, method="separate")
    ours = theil_sen(x, y, confidence)
    assert ours.slope == pytest.approx(theirs.slope, abs=1e-9)
    assert ours.intercept == pytest.approx(theirs.intercept, abs=1e-6)
    if not np.isnan(theirs.low_slope):  # scipy gives nan where ties leave no variance
        assert (ours.slope_low, ours.slope_high) == pytest.approx((theirs.low_slope, theirs.high_slope), abs=1e-9)


def test_the_interval_is_one_of_95_percent_unless_asked():
    x, y = list(range(12)), [3, 1, 4, 1, 5, 9, 2, 6, 5, 3, 5, 8]
    assert theil_sen(x, y) == theil_sen(x, y, 0.95) != theil_sen(x, y, 0.9599)


def test_a_straight_line_is_found_exactly():
    line = theil_sen([0, 1, 2, 3, 4], [1, 3, 5, 7, 9])
    assert (line.slope, line.intercept, line.slope_low, line.slope_high) == (2, 1, 2, 2)


def test_ties_that_leave_no_variance_give_the_middle_slope():
    line = theil_sen([1, 1, 2, 2], [5, 5, 5, 5])
    assert (line.slope, line.slope_low, line.slope_high) == (0, 0, 0)


TIMES = st.lists(st.integers(1, 50), min_size=1, max_size=30).map(lambda steps: list(np.cumsum([0, *steps]).tolist()))


@given(TIMES, st.data())
def test_energy_agrees_with_numpy_where_nothing_is_missing(times, data):
    powers = data.draw(st.lists(st.floats(0.0, 240.0), min_size=len(times), max_size=len(times)))
    found = sampled_energy(times, powers, gap_factor=1e6)
    assert found.energy == pytest.approx(float(np.trapezoid(powers, times)), abs=1e-6)
    assert (found.gap_time, found.gaps) == (0.0, 0)


def test_a_gap_is_left_out_and_told():
    times = [0, 1, 2, 3, 63, 64]
    found = sampled_energy(times, [10.0] * 6)
    assert (found.energy, found.gap_time, found.gaps) == (40.0, 60.0, 1)
    assert sampled_energy(times, [10.0] * 6, gap_factor=60).gaps == 0
    assert sampled_energy(times, [10.0] * 6, gap_factor=59.9).gaps == 1


def test_an_interval_of_just_five_medians_is_no_gap():
    assert sampled_energy([0, 1, 2, 7], [1.0] * 4).gaps == 0
    assert sampled_energy([0, 1, 2, 7.01], [1.0] * 4).gaps == 1


def test_gaps_go_by_the_pace_of_the_log():
    assert sampled_energy([0, 10, 20, 69], [1.0] * 4).gaps == 0
    assert sampled_energy([0, 10, 20, 71], [1.0] * 4).gaps == 1


@given(TIMES, st.floats(0.1, 240.0))
def test_energy_and_gaps_cover_the_whole_log(times, power):
    found = sampled_energy(times, [power] * len(times), gap_factor=2.0)
    assert found.energy / power + found.gap_time == pytest.approx(times[-1] - times[0])


@pytest.mark.parametrize(
    ("call", "text"),
    [
        (lambda: wilson_interval(1, 0), "count, total: found 1 of 0"),
        (lambda: wilson_interval(0, 0), "count, total: found 0 of 0"),
        (lambda: wilson_interval(-1, 5), "count, total: found -1 of 5"),
        (lambda: wilson_interval(6, 5), "count, total: found 6 of 5"),
        (lambda: wilson_interval(1, 5, 1.0), "confidence: found 1.0"),
        (lambda: wilson_interval(1, 5, 0.0), "confidence: found 0.0"),
        (lambda: quantile([], 0.5), r"values: found \[\]"),
        (lambda: quantile([1.0, float("nan")], 0.5), r"values: found \[1.0, nan\]"),
        (lambda: quantile([1.0], 1.1), "share: found 1.1"),
        (lambda: quantile([1.0], -0.1), "share: found -0.1"),
        (lambda: median([]), r"values: found \[\]"),
        (lambda: robust_z([]), r"values: found \[\]"),
        (lambda: theil_sen([1, 2], [1]), "x, y: found 2 and 1 numbers"),
        (lambda: theil_sen([1, 1], [1, 2]), "two different x"),
        (lambda: theil_sen([], []), r"values: found \[\]"),
        (lambda: theil_sen([1, 2], [3, float("inf")]), r"values: found \[1, 2, 3, inf\]"),
        (lambda: theil_sen([1, float("nan")], [3, 4]), r"values: found \[1, nan, 3, 4\]"),
        (lambda: theil_sen([1, 2], [1, 2], 1.5), "confidence: found 1.5"),
        (lambda: sampled_energy([0, 1], [1.0]), "times, powers: found 2 and 1 numbers"),
        (lambda: sampled_energy([0], [1.0]), "times, powers: found 1 and 1 numbers"),
        (lambda: sampled_energy([0, 1, 1], [1.0] * 3), r"times\[2\]: found 1 after 1, expected rising times"),
        (lambda: sampled_energy([0, 2, 1], [1.0] * 3), r"times\[2\]: found 1 after 2, expected rising times"),
        (lambda: sampled_energy([0, float("nan")], [1.0, 1.0]), "a number that is not finite"),
        (lambda: sampled_energy([0, 1], [1.0, float("inf")]), "a number that is not finite"),
        (lambda: sampled_energy([0, 1], [1.0, 1.0], 0.0), "gap_factor: found 0.0"),
    ],
)
def test_impossible_values_are_refused(call, text):
    with pytest.raises(ValueError, match=text):
        call()
