"""A straight line through scattered points that a few outliers do not turn."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from math import sqrt

from lidoff.engineering._samples import require_finite, two_sided_z
from lidoff.engineering.statistics_robust import median


@dataclass(frozen=True, slots=True)
class TrendLine:
    """A straight line through points, with an interval for its slope.

    Attributes
    ----------
    slope : float
        Median of the slopes of all pairs. [-]
    intercept : float
        Value of the line at 0. [-]
    slope_low : float
        Lower end of the slope's interval. [-]
    slope_high : float
        Upper end of the slope's interval. [-]
    """

    slope: float
    intercept: float
    slope_low: float
    slope_high: float


def theil_sen(x: Sequence[float], y: Sequence[float], confidence: float = 0.95) -> TrendLine:
    r"""Trend line after Theil and Sen.

    Parameters
    ----------
    x : sequence of float
        Positions, such as years. [-]
    y : sequence of float
        Values at these positions. [-]
    confidence : float, optional
        Confidence level of the slope's interval as a ratio. [-]

    Returns
    -------
    TrendLine
        Slope with its interval, and intercept. [-]

    Raises
    ------
    ValueError
        The lengths differ, fewer than two positions are distinct, a number is not finite, or the level is out of range.

    Notes
    -----
    .. math::

        b = \text{median} \frac{y_j - y_i}{x_j - x_i}

    .. math::

        a = \text{median}(y) - b \cdot \text{median}(x)

    over all pairs with different x. The interval takes the slopes at the ranks (N ± z s)/2 of the N slopes, with the
    variance of Kendall's statistic, corrected for ties,

    .. math::

        s^2 = \frac{1}{18} \left( n (n - 1) (2 n + 5) - \sum t (t - 1) (2 t + 5) \right)

    over the groups of t equal values in x and in y. Show no trend below 5 points.

    Examples
    --------
    >>> line = theil_sen([1, 2, 2, 3, 5, 8], [1.1, 2.0, 2.4, 3.2, 4.4, 9.0])
    >>> round(line.slope, 6), round(line.intercept, 6)
    (1.075, 0.1125)

    References
    ----------
    .. [1] P. K. Sen, Estimates of the regression coefficient based on Kendall's tau, Journal of the American
       Statistical Association 63 (1968), pages 1379 to 1389 (from memory; equal to scipy.stats.theilslopes).
    """
    require_finite([*x, *y])
    if len(x) != len(y) or len(set(x)) < 2:
        raise ValueError(f"x, y: found {len(x)} and {len(y)} numbers, expected as many of each and two different x")
    pairs = combinations(zip(x, y, strict=True), 2)
    slopes = sorted((y2 - y1) / (x2 - x1) for (x1, y1), (x2, y2) in pairs if x1 != x2)
    slope = median(slopes)
    half = two_sided_z(confidence) * sqrt(_kendall_variance(x, y))
    upper = min(round((len(slopes) + half) / 2), len(slopes) - 1)
    lower = max(round((len(slopes) - half) / 2) - 1, 0)
    return TrendLine(slope, median(y) - slope * median(x), slopes[lower], slopes[upper])


def _kendall_variance(x: Sequence[float], y: Sequence[float]) -> float:
    """Variance of Kendall's statistic with a correction for ties; 0 where ties leave nothing."""
    n = len(x)
    groups = [values.count(value) for values in (list(x), list(y)) for value in set(values)]
    return max(0.0, (n * (n - 1) * (2 * n + 5) - sum(t * (t - 1) * (2 * t + 5) for t in groups)) / 18)
