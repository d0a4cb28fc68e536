"""Largest value of a sampled quantity, with single outliers left out."""

from collections.abc import Sequence

from lidoff.engineering.statistics_robust import median


def sampled_peak(values: Sequence[float], window: int = 5) -> float:
    r"""Largest running median of sampled values.

    Parameters
    ----------
    values : sequence of float
        Samples in the order of time, at least as many as the window. [-]
    window : int, optional
        Number of neighbouring samples whose median counts, odd. [-]

    Returns
    -------
    float
        The largest running median, in the unit of the values. [-]

    Raises
    ------
    ValueError
        The window is even or below 1, there are fewer samples than that, or a value is not finite.

    Notes
    -----
    .. math::

        y = \max_i m_i

    with the median of each full window of 2k + 1 neighbouring samples. A spike of at most k samples does not count, a
    plateau of k + 1 samples does. The width of the window is common practice and depends on the logger.

    Examples
    --------
    >>> sampled_peak([0.0, 20.0, 20.0, 95.0, 20.0, 21.0, 20.0], window=3)
    21.0

    References
    ----------
    .. [1] Common practice, no source.
    """
    if window < 1 or window % 2 == 0:
        raise ValueError(f"window: found {window}, expected an odd number of samples")
    if len(values) < window:
        raise ValueError(f"values: found {len(values)}, expected at least the {window} of the window")
    return max(median(values[start : start + window]) for start in range(len(values) - window + 1))
