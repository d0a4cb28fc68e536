"""Statistics that small and uneven collections can bear: intervals, quantiles and outliers."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor, sqrt
from statistics import NormalDist

from lidoff.engineering._samples import require_finite, two_sided_z

MAD_PER_SIGMA = 1 / NormalDist().inv_cdf(0.75)
"""Factor 1.4826 that makes the median absolute deviation of normal data equal to its standard deviation."""


@dataclass(frozen=True, slots=True)
class Interval:
    """A confidence interval.

    Attributes
    ----------
    low : float
        Lower end. [-]
    high : float
        Upper end. [-]
    """

    low: float
    high: float


def wilson_interval(count: int, total: int, confidence: float = 0.95) -> Interval:
    r"""Confidence interval of a share.

    Parameters
    ----------
    count : int
        Number of cases counted. [-]
    total : int
        Number of cases in all. [-]
    confidence : float, optional
        Confidence level as a ratio. [-]

    Returns
    -------
    Interval
        Interval of the share as a ratio, within 0 and 1. [-]

    Raises
    ------
    ValueError
        The total is not above 0, the count is not within it, or the level is not between 0 and 1.

    Notes
    -----
    .. math::

        \frac{p + \frac{z^2}{2 n} \text{ ± } z \sqrt{\frac{p (1 - p)}{n} + \frac{z^2}{4 n^2}}}{1 + \frac{z^2}{n}}

    Valid for independent cases drawn at random; a collection of chargers is neither, and one platform in twelve
    shells is one case. Show no interval below 5 cases.

    Examples
    --------
    >>> interval = wilson_interval(3, 10)
    >>> round(interval.low, 6), round(interval.high, 6)
    (0.107791, 0.603222)

    References
    ----------
    .. [1] E. B. Wilson, Probable inference, the law of succession, and statistical inference, Journal of the American
       Statistical Association 22 (1927), pages 209 to 212 (from memory; equal to statsmodels 0.15).
    """
    if total <= 0 or not 0 <= count <= total:
        raise ValueError(f"count, total: found {count} of {total}, expected a count within a total above 0")
    z = two_sided_z(confidence)
    share = count / total
    middle = share + z**2 / (2 * total)
    half = z * sqrt(share * (1 - share) / total + z**2 / (4 * total**2))
    scale = 1 + z**2 / total
    low = 0.0 if count == 0 else (middle - half) / scale
    high = 1.0 if count == total else (middle + half) / scale
    return Interval(low, high)


def quantile(values: Sequence[float], share: float) -> float:
    r"""Quantile of type 7, the default of most statistics software.

    Parameters
    ----------
    values : sequence of float
        Values in any order. [-]
    share : float
        Share of the values below, 0 to 1. [-]

    Returns
    -------
    float
        The quantile, in the unit of the values. [-]

    Raises
    ------
    ValueError
        There is no value, one is not finite, or the share is not within 0 and 1.

    Notes
    -----
    .. math::

        Q = x_k + (h - k) \left( x_{k+1} - x_k \right)

    .. math::

        h = (n - 1) q + 1

    for the sorted values x, counted from 1; k is h without its decimals.

    Examples
    --------
    >>> quantile([4.1, 5.2, 5.0, 6.3, 7.7, 3.9, 8.8, 5.5], 0.25)
    4.775

    References
    ----------
    .. [1] R. J. Hyndman and Y. Fan, Sample quantiles in statistical packages, The American Statistician 50 (1996),
       type 7 (from memory; equal to numpy).
    """
    require_finite(values)
    if not 0 <= share <= 1:
        raise ValueError(f"share: found {share}, expected 0 to 1")
    ordered = sorted(values)
    position = (len(ordered) - 1) * share
    lower = floor(position)
    upper = ceil(position)
    return ordered[lower] + (position - lower) * (ordered[upper] - ordered[lower])


def median(values: Sequence[float]) -> float:
    r"""Middle value.

    Parameters
    ----------
    values : sequence of float
        Values in any order. [-]

    Returns
    -------
    float
        The median, in the unit of the values. [-]

    Raises
    ------
    ValueError
        There is no value, or one is not finite.

    Notes
    -----
    .. math::

        m = Q(0.5)

    Examples
    --------
    >>> median([3.0, 1.0, 2.0, 10.0])
    2.5

    References
    ----------
    .. [1] The middle value of a sorted list; a definition that needs no source.
    """
    return quantile(values, 0.5)


def robust_z(values: Sequence[float]) -> tuple[float, ...] | None:
    r"""How far each value lies from the middle, in robust standard deviations.

    Parameters
    ----------
    values : sequence of float
        Values in any order. [-]

    Returns
    -------
    tuple of float or None
        Distance of each value; None where more than half of the values are equal, so that the scale is 0. [-]

    Raises
    ------
    ValueError
        There is no value, or one is not finite.

    Notes
    -----
    .. math::

        z_i = \frac{x_i - m}{1.4826 \cdot \text{median} |x_i - m|}

    with the median m. A large distance is a reason to look, not a fault; in small groups it means little.

    Examples
    --------
    >>> [round(z, 4) for z in robust_z([1.0, 2.0, 3.0, 4.0, 10.0])]
    [-1.349, -0.6745, 0.0, 0.6745, 4.7214]

    References
    ----------
    .. [1] B. Iglewicz and D. C. Hoaglin, How to detect and handle outliers, ASQC, 1993 (from memory).
    """
    middle = median(values)
    scale = MAD_PER_SIGMA * median([abs(value - middle) for value in values])
    return tuple((value - middle) / scale for value in values) if scale else None
