"""Price set against power."""

from lidoff.engineering._arguments import require_positive


def price_per_power(amount: float, power: float) -> float:
    r"""Price for each watt of rated output.

    Parameters
    ----------
    amount : float
        Price paid, in the currency of the price. [-]
    power : float
        Rated output power. [W]

    Returns
    -------
    float
        Price of one watt, in the same currency. [-]

    Raises
    ------
    ValueError
        An argument is not a finite number above 0.

    Notes
    -----
    .. math::

        k = \frac{K}{P}

    One purchase on one day. Prices in several currencies are not compared: no rate of exchange is assumed.

    Examples
    --------
    >>> price_per_power(39, 65)
    0.6

    References
    ----------
    .. [1] Common practice, no source.
    """
    require_positive(amount=amount, power=power)
    return amount / power
