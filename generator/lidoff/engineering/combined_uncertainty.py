"""Uncertainty of products, ratios, differences and means, after the GUM (JCGM 100)."""

from collections.abc import Sequence
from math import sqrt

from lidoff.engineering._arguments import require_not_negative


def product_uncertainty(
    first: float, u_first: float, second: float, u_second: float, correlation: float = 0.0
) -> float:
    r"""Standard uncertainty of a product, such as voltage times current.

    Parameters
    ----------
    first : float
        First factor. [-]
    u_first : float
        Its standard uncertainty. [-]
    second : float
        Second factor. [-]
    u_second : float
        Its standard uncertainty. [-]
    correlation : float, optional
        Correlation coefficient of the two, -1 to 1. [-]

    Returns
    -------
    float
        Standard uncertainty of the product, in its unit. [-]

    Raises
    ------
    ValueError
        An uncertainty is negative, or the correlation is out of range.

    Notes
    -----
    .. math::

        u^2 = x_2^2 u_1^2 + x_1^2 u_2^2 + 2 x_1 x_2 u_1 u_2 r

    First-order, for uncertainties that are small beside the values.

    Examples
    --------
    >>> round(product_uncertainty(20.0, 0.006, 3.25, 0.002), 6)
    0.0445

    References
    ----------
    .. [1] JCGM 100:2008, clause 5.1.2, equation (10), and clause 5.2.2, equation (16).
    """
    return _combined(second * u_first, first * u_second, correlation, u_first, u_second)


def ratio_uncertainty(
    numerator: float, u_numerator: float, denominator: float, u_denominator: float, correlation: float = 0.0
) -> float:
    r"""Standard uncertainty of a ratio, such as an efficiency.

    Parameters
    ----------
    numerator : float
        Value above the line. [-]
    u_numerator : float
        Its standard uncertainty. [-]
    denominator : float
        Value below the line, not 0. [-]
    u_denominator : float
        Its standard uncertainty. [-]
    correlation : float, optional
        Correlation coefficient of the two, -1 to 1; above 0 where one instrument measures both. [-]

    Returns
    -------
    float
        Standard uncertainty of the ratio. [-]

    Raises
    ------
    ValueError
        The denominator is 0, an uncertainty is negative, or the correlation is out of range.

    Notes
    -----
    .. math::

        u^2 = \frac{u_1^2}{x_2^2} + \frac{x_1^2 u_2^2}{x_2^4} - 2 \frac{x_1 u_1 u_2 r}{x_2^3}

    Gain errors of one instrument that measures both cancel in part; with a correlation of 0 they do not.

    Examples
    --------
    >>> round(ratio_uncertainty(65.04330952, 0.04527251575, 70.12, 0.1), 8)
    0.00147202

    References
    ----------
    .. [1] JCGM 100:2008, clause 5.1.2, equation (10), and clause 5.2.2, equation (16).
    """
    if denominator == 0:
        raise ValueError("denominator: found 0, expected another number")
    by_numerator = u_numerator / denominator
    by_denominator = -numerator * u_denominator / denominator**2
    return _combined(by_numerator, by_denominator, correlation, u_numerator, u_denominator)


def difference_uncertainty(u_first: float, u_second: float, correlation: float = 0.0) -> float:
    r"""Standard uncertainty of a difference, such as the loss between input and output.

    Parameters
    ----------
    u_first : float
        Standard uncertainty of the first value. [-]
    u_second : float
        Standard uncertainty of the second value. [-]
    correlation : float, optional
        Correlation coefficient of the two, -1 to 1. [-]

    Returns
    -------
    float
        Standard uncertainty of the difference. [-]

    Raises
    ------
    ValueError
        An uncertainty is negative, or the correlation is out of range.

    Notes
    -----
    .. math::

        u^2 = u_1^2 + u_2^2 - 2 u_1 u_2 r

    Examples
    --------
    >>> difference_uncertainty(0.03, 0.04)
    0.05

    References
    ----------
    .. [1] JCGM 100:2008, clause 5.1.2, equation (10), and clause 5.2.2, equation (16).
    """
    return _combined(u_first, -u_second, correlation, u_first, u_second)


def mean_uncertainty(uncertainties: Sequence[float], correlation: float = 0.0) -> float:
    r"""Standard uncertainty of the mean of several values.

    Parameters
    ----------
    uncertainties : sequence of float
        Standard uncertainty of each value. [-]
    correlation : float, optional
        Correlation coefficient of every pair, 0 to 1; 1 where one instrument's error moves all of them alike. [-]

    Returns
    -------
    float
        Standard uncertainty of the mean. [-]

    Raises
    ------
    ValueError
        There is no value, an uncertainty is negative, or the correlation is out of range.

    Notes
    -----
    .. math::

        u^2 = \frac{1}{n^2} \left( (1 - r) \sum u_i^2 + r \left( \sum u_i \right)^2 \right)

    Examples
    --------
    >>> mean_uncertainty([0.002, 0.002, 0.002, 0.002]), mean_uncertainty([0.001, 0.003], correlation=1.0)
    (0.001, 0.002)

    References
    ----------
    .. [1] JCGM 100:2008, clause 5.2.2, equation (16).
    """
    if not uncertainties:
        raise ValueError("uncertainties: found none, expected at least one")
    if not 0 <= correlation <= 1:
        raise ValueError(f"correlation: found {correlation}, expected 0 to 1")
    require_not_negative(**{f"uncertainties[{i}]": value for i, value in enumerate(uncertainties)})
    squares = sum(value**2 for value in uncertainties)
    return sqrt((1 - correlation) * squares + correlation * sum(uncertainties) ** 2) / len(uncertainties)


def _combined(first: float, second: float, correlation: float, u_first: float, u_second: float) -> float:
    """Root of the sum of squares with the covariance term."""
    require_not_negative(**{"uncertainty 1": u_first, "uncertainty 2": u_second})
    if not -1 <= correlation <= 1:
        raise ValueError(f"correlation: found {correlation}, expected -1 to 1")
    return sqrt(max(0.0, first**2 + second**2 + 2 * correlation * first * second))
