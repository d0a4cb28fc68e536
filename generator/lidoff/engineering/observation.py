"""Values that are taken as they were observed: extremes of repeated observations and rise above the surroundings."""

from collections.abc import Sequence
from math import isfinite


def largest_observed(values: Sequence[float]) -> float:
    r"""Largest of the values that were observed.

    Parameters
    ----------
    values : sequence of float
        Observed values, at least one. [-]

    Returns
    -------
    float
        The largest, in the unit of the values. [-]

    Raises
    ------
    ValueError
        There is no value, or one is not finite.

    Notes
    -----
    .. math::

        y = \max_i x_i

    Nothing is extrapolated: what was not tried may be larger.

    Examples
    --------
    >>> largest_observed([0.0, 850.0, 420.0])
    850.0

    References
    ----------
    .. [1] Common practice, no source.
    """
    _require_values(values)
    return max(values)


def as_observed(value: float) -> float:
    """A value as it was observed.

    Parameters
    ----------
    value : float
        Observed value. [-]

    Returns
    -------
    float
        The same value, in its unit. [-]

    Raises
    ------
    ValueError
        The value is not finite.

    Notes
    -----
    No equation: nothing is computed.

    Examples
    --------
    >>> as_observed(63.2)
    63.2

    References
    ----------
    .. [1] Common practice, no source.
    """
    _require_values((value,))
    return value


def total_observed(values: Sequence[float]) -> float:
    r"""Sum of values that were observed at the same time.

    Parameters
    ----------
    values : sequence of float
        Observed values, at least one. [-]

    Returns
    -------
    float
        The sum, in the unit of the values. [-]

    Raises
    ------
    ValueError
        There is no value, or one is not finite.

    Notes
    -----
    .. math::

        y = \sum_i x_i

    Examples
    --------
    >>> total_observed([45.0, 20.0])
    65.0

    References
    ----------
    .. [1] Common practice, no source.
    """
    _require_values(values)
    return sum(values, 0.0)


def temperature_rise(surface: float, ambient: float) -> float:
    r"""Temperature of a surface above that of the air.

    Parameters
    ----------
    surface : float
        Temperature of the surface. [°C]
    ambient : float
        Temperature of the air. [°C]

    Returns
    -------
    float
        Rise, negative where the surface is colder. [K]

    Raises
    ------
    ValueError
        A temperature is not finite.

    Notes
    -----
    .. math::

        \Delta T = T_{surface} - T_{ambient}

    Valid for the mounting, load and time of that run. Limits of touch temperature are stated for their own ambient; a rise
    does not carry over to another one exactly, because radiation and convection are not linear.

    Examples
    --------
    >>> temperature_rise(71.0, 25.0)
    46.0

    References
    ----------
    .. [1] Common practice, no source.
    """
    _require_values((surface, ambient))
    return surface - ambient


def _require_values(values: Sequence[float]) -> None:
    if not values:
        raise ValueError("values: found none, expected at least one")
    if not all(isfinite(value) for value in values):
        raise ValueError("values: found a number that is not finite, expected finite numbers")
