"""Power that a converter takes to give its output power."""

from lidoff.engineering._arguments import require_not_negative, require_share


def input_power(output_power: float, efficiency: float) -> float:
    r"""Power that a converter takes for its output power.

    Parameters
    ----------
    output_power : float
        Output power. [W]
    efficiency : float
        Efficiency, above 0 and up to 1. [-]

    Returns
    -------
    float
        Power taken. [W]

    Raises
    ------
    ValueError
        The output power is negative, or the efficiency lies outside 0 to 1.

    Notes
    -----
    .. math::

        P = \frac{P_o}{\eta}

    With the efficiency of the whole supply in place of the converter's own, the loss of filter and bridge is counted twice:
    the power from the bus comes out too high by one to two percent (from memory).

    Examples
    --------
    >>> round(input_power(65, 0.9), 3)
    72.222

    References
    ----------
    .. [1] Definition of efficiency; it needs no source.
    """
    require_not_negative(output_power=output_power)
    require_share(efficiency=efficiency)
    return output_power / efficiency
