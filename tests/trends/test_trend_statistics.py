"""Shares, spreads and trends, held against statsmodels, numpy and scipy; and the sizes below which there are none."""

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import theilslopes
from statsmodels.stats.proportion import proportion_confint

from lidoff.trends.statistics import MOST_FOR_TREND, share_of, spread_of, trend_over_years

VALUES = st.lists(st.floats(-1e3, 1e3), min_size=5, max_size=40)


@given(total=st.integers(10, 5000), part=st.floats(0, 1))
def test_the_interval_of_a_share_is_wilsons(total: int, part: float) -> None:
    count = round(total * part)
    share = share_of(count, total)
    low, high = proportion_confint(count, total, method="wilson")
    assert (share.low, share.high) == pytest.approx((max(low, 0.0), min(high, 1.0)), abs=1e-12)
    assert share.low <= share.fraction <= share.high


def test_no_share_below_ten() -> None:
    assert share_of(3, 9) is None
    assert share_of(3, 10) is not None


@given(values=VALUES)
def test_quartiles_are_those_of_numpy(values: list[float]) -> None:
    spread = spread_of(values)
    found = (spread.smallest, spread.lower_quartile, spread.median, spread.upper_quartile, spread.largest)
    assert found == pytest.approx(tuple(np.quantile(values, (0, 0.25, 0.5, 0.75, 1))), abs=1e-9)


def test_no_quartiles_below_five_and_nothing_of_nothing() -> None:
    four = spread_of([1.0, 2.0, 3.0, 4.0])
    assert (four.count, four.median, four.lower_quartile, four.upper_quartile) == (4, 2.5, None, None)
    assert spread_of([1.0, 2.0, 3.0, 4.0, 5.0]).lower_quartile == 2.0
    assert spread_of([]).median is None


def products(years: list[int], values: list[float], platforms: list[str] | None = None) -> pd.DataFrame:
    return pd.DataFrame(
        {
            "platform": platforms or [f"p{place:05}" for place in range(len(years))],
            "year": pd.Series(years, dtype="Int64"),
            "value": values,
        }
    )


@given(values=st.lists(st.floats(-1e3, 1e3), min_size=5, max_size=40, unique=True), data=st.data())
def test_the_trend_is_that_of_scipy(values: list[float], data: st.DataObject) -> None:
    years = data.draw(
        st.lists(st.integers(2015, 2026), min_size=len(values), max_size=len(values)).filter(
            lambda years: len(set(years)) > 1
        )
    )
    trend = trend_over_years(products(years, values), "value")
    reference = theilslopes(values, years)
    assert trend.line.slope == pytest.approx(reference.slope, abs=1e-9)
    assert (trend.line.slope_low, trend.line.slope_high) == pytest.approx(
        (reference.low_slope, reference.high_slope), abs=1e-9
    )


def test_twelve_shells_of_one_platform_are_one_case_of_a_trend() -> None:
    years, values = [2020, 2021, 2022, 2023, 2024, 2024], [1.0, 1.1, 1.2, 1.3, 1.4, 9.0]
    alone = trend_over_years(products(years[:5], values[:5]), "value")
    doubled = products([*years[:5], 2020, 2020], [*values[:5], 1.0, 1.0], ["a", "b", "c", "d", "e", "a", "a"])
    assert trend_over_years(doubled, "value") == alone
    assert alone.line.slope == pytest.approx(0.1)
    assert alone.basis == "5 platforms"


def test_a_platform_stands_at_the_medians_of_its_products() -> None:
    alone = trend_over_years(products([2020, 2021, 2022, 2023, 2024], [1.0, 1.1, 1.2, 1.3, 1.4]), "value")
    spread = products(
        [2020, 2021, 2022, 2023, 2020, 2028, 2024],
        [1.0, 1.1, 1.2, 1.3, 9.0, 0.0, 1.4],
        ["a", "b", "c", "d", "e", "e", "e"],
    )
    assert trend_over_years(spread, "value") == alone


def test_no_trend_below_five_platforms_or_within_one_year() -> None:
    assert trend_over_years(products([2020, 2021, 2022, 2023], [1.0, 2.0, 3.0, 4.0]), "value") is None
    assert trend_over_years(products([2020] * 6, [1.0, 2.0, 3.0, 4.0, 5.0, 6.0]), "value") is None


def test_of_very_many_platforms_evenly_spaced_ones_are_taken_and_it_says_so() -> None:
    count = 3 * MOST_FOR_TREND
    trend = trend_over_years(
        products([2015 + place % 10 for place in range(count)], [0.1 * (place % 10) for place in range(count)]), "value"
    )
    assert trend.platforms <= MOST_FOR_TREND
    assert trend.basis == f"{trend.platforms} of {count} platforms"
    assert trend.line.slope == pytest.approx(0.1)
