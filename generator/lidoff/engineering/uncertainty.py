"""Uncertainty of measured values from the accuracy statements of instruments, after the GUM (JCGM 100)."""

from math import sqrt

from lidoff.engineering._arguments import require_not_negative, require_positive


def accuracy_half_width(reading: float, share_of_reading: float, digits: float = 0.0, step: float = 0.0) -> float:
    r"""Half-width of the interval that an accuracy statement promises.

    Parameters
    ----------
    reading : float
        Reading, in the unit of ``step``. [-]
    share_of_reading : float
        Share of the reading as a ratio, 0.0005 for 0.05 %. [-]
    digits : float, optional
        Number of least significant digits. [-]
    step : float, optional
        Value of the least significant digit. [-]

    Returns
    -------
    float
        Half-width, in the unit of the reading. [-]

    Raises
    ------
    ValueError
        Share, digits or step is negative.

    Notes
    -----
    .. math::

        a = r |x| + n s

    The statement holds within the calibration period and the temperature range of the instrument.

    Examples
    --------
    >>> round(accuracy_half_width(20.0312, 0.0005, 2, 0.0001), 7)
    0.0102156

    References
    ----------
    .. [1] JCGM 100:2008, clause 4.3.7; the form of accuracy statements is common practice, no source.
    """
    require_not_negative(share_of_reading=share_of_reading, digits=digits, step=step)
    return share_of_reading * abs(reading) + digits * step


def standard_uncertainty(half_width: float) -> float:
    r"""Standard uncertainty of a value that lies anywhere within an interval.

    Parameters
    ----------
    half_width : float
        Half-width of the interval. [-]

    Returns
    -------
    float
        Standard uncertainty, in the unit of the half-width. [-]

    Raises
    ------
    ValueError
        The half-width is negative.

    Notes
    -----
    .. math::

        u = \frac{a}{\sqrt{3}}

    for a rectangular distribution, which is the choice where only limits are known.

    Examples
    --------
    >>> round(standard_uncertainty(0.0102156), 8)
    0.00589798

    References
    ----------
    .. [1] JCGM 100:2008, clause 4.3.7, equation (7).
    """
    require_not_negative(half_width=half_width)
    return half_width / sqrt(3)


def expanded_uncertainty(uncertainty: float, coverage_factor: float = 2.0) -> float:
    r"""Expanded uncertainty.

    Parameters
    ----------
    uncertainty : float
        Standard uncertainty. [-]
    coverage_factor : float, optional
        Coverage factor; 2 for about 95 %. [-]

    Returns
    -------
    float
        Expanded uncertainty, in the same unit. [-]

    Raises
    ------
    ValueError
        The uncertainty is negative, or the factor is not above 0.

    Notes
    -----
    .. math::

        U = k u

    Examples
    --------
    >>> expanded_uncertainty(0.0015)
    0.003

    References
    ----------
    .. [1] JCGM 100:2008, clause 6.2.1, equation (18).
    """
    require_not_negative(uncertainty=uncertainty)
    require_positive(coverage_factor=coverage_factor)
    return coverage_factor * uncertainty
