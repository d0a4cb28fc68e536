"""Uncertainty against the package uncertainties, with and without correlation."""

from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import correlated_values_norm, ufloat

from lidoff.engineering.combined_uncertainty import (
    difference_uncertainty,
    mean_uncertainty,
    product_uncertainty,
    ratio_uncertainty,
)
from lidoff.engineering.uncertainty import accuracy_half_width, expanded_uncertainty, standard_uncertainty

VALUES, SHARES, CORRELATIONS = st.floats(0.1, 300.0), st.floats(1e-5, 0.05), st.floats(-0.99, 0.99)


@given(VALUES, SHARES, VALUES, SHARES, CORRELATIONS)
def test_two_correlated_values(first, share_1, second, share_2, correlation):
    u_1, u_2 = first * share_1, second * share_2
    a, b = correlated_values_norm([(first, u_1), (second, u_2)], [[1, correlation], [correlation, 1]])
    near = {"rel": 1e-6, "abs": 1e-9 * max(first, second)}
    assert product_uncertainty(first, u_1, second, u_2, correlation) == pytest.approx((a * b).std_dev, **near)
    assert ratio_uncertainty(first, u_1, second, u_2, correlation) == pytest.approx(
        (a / b).std_dev, rel=1e-6, abs=1e-7 * first / second
    )
    assert difference_uncertainty(u_1, u_2, correlation) == pytest.approx((a - b).std_dev, **near)


@given(VALUES, SHARES, VALUES, SHARES)
def test_two_independent_values(first, share_1, second, share_2):
    a, b = ufloat(first, first * share_1), ufloat(second, second * share_2)
    assert product_uncertainty(first, a.std_dev, second, b.std_dev) == pytest.approx((a * b).std_dev)
    assert ratio_uncertainty(first, a.std_dev, second, b.std_dev) == pytest.approx((a / b).std_dev)
    assert difference_uncertainty(a.std_dev, b.std_dev) == pytest.approx((a - b).std_dev)
    assert mean_uncertainty([a.std_dev, b.std_dev]) == pytest.approx(((a + b) / 2).std_dev)


def test_a_shared_gain_error_cancels_in_a_ratio():
    assert ratio_uncertainty(60.0, 0.6, 66.0, 0.66, correlation=1.0) == pytest.approx(0.0, abs=1e-9)
    assert ratio_uncertainty(60.0, 0.6, 66.0, 0.66, correlation=-1.0) == pytest.approx(2 * 0.01 * 60 / 66)


@given(st.lists(st.floats(0.0, 1.0), min_size=1, max_size=5), st.floats(0.0, 1.0))
def test_the_mean_of_correlated_values(uncertainties, correlation):
    covariance = sum(
        u * v * (1 if i == j else correlation) for i, u in enumerate(uncertainties) for j, v in enumerate(uncertainties)
    )
    assert mean_uncertainty(uncertainties, correlation) == pytest.approx(
        sqrt(covariance) / len(uncertainties), abs=1e-12
    )


def test_repeats_help_only_against_independent_errors():
    assert mean_uncertainty([0.2] * 4) == pytest.approx(0.1)
    assert mean_uncertainty([0.2] * 4, correlation=1.0) == pytest.approx(0.2)


def test_accuracy_statement():
    assert accuracy_half_width(100.0, 0.001) == pytest.approx(0.1)
    assert accuracy_half_width(-100.0, 0.001, digits=2, step=0.01) == pytest.approx(0.12)
    assert accuracy_half_width(0.0, 0.001, digits=3, step=0.01) == pytest.approx(0.03)


def test_standard_and_expanded():
    assert standard_uncertainty(sqrt(3)) == pytest.approx(1.0)
    assert expanded_uncertainty(0.3) == pytest.approx(0.6)
    assert expanded_uncertainty(0.3, coverage_factor=3.0) == pytest.approx(0.9)


@pytest.mark.parametrize(
    ("call", "text"),
    [
        (lambda: accuracy_half_width(1.0, -0.1), "share_of_reading: found -0.1"),
        (lambda: accuracy_half_width(1.0, 0.1, digits=-1), "digits: found -1"),
        (lambda: accuracy_half_width(1.0, 0.1, step=-1.0), "step: found -1.0"),
        (lambda: standard_uncertainty(-1.0), "half_width: found -1.0"),
        (lambda: expanded_uncertainty(-1.0), "uncertainty: found -1.0"),
        (lambda: expanded_uncertainty(1.0, 0.0), "coverage_factor: found 0.0"),
        (lambda: product_uncertainty(1.0, -0.1, 1.0, 0.1), "uncertainty 1: found -0.1"),
        (lambda: product_uncertainty(1.0, 0.1, 1.0, -0.1), "uncertainty 2: found -0.1"),
        (lambda: ratio_uncertainty(1.0, 0.1, 1.0, -0.1), "uncertainty 2: found -0.1"),
        (lambda: ratio_uncertainty(1.0, 0.1, 0.0, 0.1), "denominator: found 0"),
        (lambda: difference_uncertainty(-0.1, 0.1), "uncertainty 1: found -0.1"),
        (lambda: difference_uncertainty(0.1, 0.1, correlation=1.1), "correlation: found 1.1, expected -1 to 1"),
        (lambda: product_uncertainty(1.0, 0.1, 1.0, 0.1, correlation=-1.1), "correlation: found -1.1"),
        (lambda: mean_uncertainty([]), "uncertainties: found none"),
        (lambda: mean_uncertainty([0.1, -0.1]), r"uncertainties\[1\]: found -0.1"),
        (lambda: mean_uncertainty([0.1], correlation=-0.1), "correlation: found -0.1, expected 0 to 1"),
        (lambda: mean_uncertainty([0.1], correlation=1.1), "correlation: found 1.1, expected 0 to 1"),
    ],
)
def test_impossible_values_are_refused(call, text):
    with pytest.raises(ValueError, match=text):
        call()
