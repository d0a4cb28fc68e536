"""Range of the mains voltage that a label stands for."""

from lidoff.engineering._arguments import require_not_negative, require_positive

NOMINAL_UP_TO = 240.0
NOMINAL_FROM = 277.0
"""No public supply has a nominal voltage between these two [V]; a label that prints one states a limit."""


def highest_mains_voltage(labelled: float, tolerance: float) -> float:
    r"""Highest mains voltage that a supply has to stand, from the highest voltage on its label.

    Parameters
    ----------
    labelled : float
        Highest labelled mains voltage, r.m.s. [V]
    tolerance : float
        Tolerance of the mains as a ratio, 0.1 for 10 %. [-]

    Returns
    -------
    float
        Highest mains voltage, r.m.s. [V]

    Raises
    ------
    ValueError
        The voltage is not above 0, or the tolerance is negative.

    Notes
    -----
    .. math::

        V_{high} = (1 + t) V_{label}

    A label between 240 V and 277 V, such as 264 V, names no nominal voltage of any public supply: it states the limit
    itself. It is taken as it is, but never below that of 240 V.

    Examples
    --------
    >>> round(highest_mains_voltage(240, 0.1), 6), round(highest_mains_voltage(264, 0.1), 6)
    (264.0, 264.0)

    References
    ----------
    .. [1] IEC 60038, tolerance of 10 % at the supply terminals (from memory).
    """
    require_positive(labelled=labelled)
    require_not_negative(tolerance=tolerance)
    if NOMINAL_UP_TO < labelled < NOMINAL_FROM:
        return max(float(labelled), (1 + tolerance) * NOMINAL_UP_TO)
    return (1 + tolerance) * labelled


def lowest_mains_voltage(labelled: float, tolerance: float) -> float:
    r"""Lowest mains voltage at which a supply has to work, from the lowest voltage on its label.

    Parameters
    ----------
    labelled : float
        Lowest labelled mains voltage, r.m.s. [V]
    tolerance : float
        Tolerance of the mains as a ratio, 0.1 for 10 %. [-]

    Returns
    -------
    float
        Lowest mains voltage, r.m.s. [V]

    Raises
    ------
    ValueError
        The voltage is not above 0, or the tolerance is negative.

    Notes
    -----
    .. math::

        V_{low} = (1 - t) V_{label}

    90 V for a label of 100 V.

    Examples
    --------
    >>> lowest_mains_voltage(100, 0.1)
    90.0

    References
    ----------
    .. [1] IEC 60038, tolerance of 10 % at the supply terminals (from memory).
    """
    require_positive(labelled=labelled)
    require_not_negative(tolerance=tolerance)
    return max(0.0, (1 - tolerance) * labelled)
