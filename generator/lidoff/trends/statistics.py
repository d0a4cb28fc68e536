"""Which statistic a group is large enough for. Cases are platforms: one design in twelve shells is one case."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from lidoff.engineering.statistics_robust import quantile, wilson_interval
from lidoff.engineering.trend_line import TrendLine, theil_sen
from lidoff.trends.table import Share

if TYPE_CHECKING:
    import pandas as pd

LEAST_FOR_SHARE = 10
LEAST_FOR_INTERVAL = 5
# pairs grow with the square; beyond this many platforms evenly spaced ones stand for all
MOST_FOR_TREND = 600

Number = float | int | None


@dataclass(frozen=True, slots=True)
class Spread:
    """How values are spread; quartiles only from five values on."""

    count: int
    smallest: Number = None
    lower_quartile: Number = None
    median: Number = None
    upper_quartile: Number = None
    largest: Number = None


@dataclass(frozen=True, slots=True)
class Trend:
    """A trend over years, the number of platforms it rests on, and how many there are."""

    line: TrendLine
    platforms: int
    of_platforms: int

    @property
    def basis(self) -> str:
        """What it rests on, in words."""
        every = self.platforms == self.of_platforms
        return f"{self.platforms} platforms" if every else f"{self.platforms} of {self.of_platforms} platforms"


def share_of(count: int, total: int) -> Share | None:
    """The share of platforms with its interval; None where there are too few for one."""
    if total < LEAST_FOR_SHARE:
        return None
    interval = wilson_interval(count, total)
    return Share(count, total, interval.low, interval.high)


def spread_of(values: Sequence[float]) -> Spread:
    """Median and quartiles of type 7, and the extremes."""
    if not values:
        return Spread(0)
    has_quartiles = len(values) >= LEAST_FOR_INTERVAL
    return Spread(
        count=len(values),
        smallest=min(values),
        lower_quartile=quantile(values, 0.25) if has_quartiles else None,
        median=quantile(values, 0.5),
        upper_quartile=quantile(values, 0.75) if has_quartiles else None,
        largest=max(values),
    )


def trend_over_years(products: pd.DataFrame, column: str) -> Trend | None:
    """Theil-Sen line of a column against the year, a platform counted once at the medians of its products.

    None below five platforms or where all are of one year.
    """
    known = products[["platform", "year", column]].dropna()
    cases = known.astype({"year": "float64"}).groupby("platform", sort=True)[["year", column]].median()
    if len(cases) < LEAST_FOR_INTERVAL or cases["year"].nunique() < 2:
        return None
    used = cases.iloc[:: -(-len(cases) // MOST_FOR_TREND)]
    return Trend(theil_sen(used["year"].tolist(), used[column].tolist()), len(used), len(cases))
