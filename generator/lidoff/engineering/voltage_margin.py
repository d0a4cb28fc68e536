"""How far a voltage lies below the rating of a part."""

from collections.abc import Sequence

from lidoff.engineering._arguments import require_not_negative, require_positive


def voltage_margin(rating: float, voltage: float) -> float:
    r"""Share of a rated voltage that is left.

    Parameters
    ----------
    rating : float
        Rated voltage. [V]
    voltage : float
        Highest voltage that the part sees. [V]

    Returns
    -------
    float
        Margin over rating, below 0 where the voltage is above the rating. [-]

    Raises
    ------
    ValueError
        The rating is not above 0, or the voltage is negative.

    Notes
    -----
    .. math::

        m = 1 - \frac{V}{V_{rated}}

    A margin of a few percent is normal for a bulk capacitor of 400 V, at a crest of 373 V as well as behind a boost stage
    at 390 V.

    Examples
    --------
    >>> round(voltage_margin(400, 373.352), 4)
    0.0666

    References
    ----------
    .. [1] Common practice, no source.
    """
    require_positive(rating=rating)
    require_not_negative(voltage=voltage)
    return 1 - voltage / rating


def series_string_rating(ratings: Sequence[float]) -> float:
    r"""Rated voltage of equal capacitors in series.

    Parameters
    ----------
    ratings : sequence of float
        Rated voltage of each capacitor, at least one. [V]

    Returns
    -------
    float
        Voltage at which the weakest one reaches its rating. [V]

    Raises
    ------
    ValueError
        There is no capacitor, or a rating is not a finite number above 0.

    Notes
    -----
    .. math::

        V_{string} = n \min_i V_i

    Valid where the voltage divides evenly: equal capacitances, with balancing resistors or equal leakage. Where one
    capacitor leaks more than the others, they see more than their share.

    Examples
    --------
    >>> series_string_rating([200.0, 200.0])
    400.0

    References
    ----------
    .. [1] Common practice, no source.
    """
    if not ratings:
        raise ValueError("ratings: found none, expected at least one capacitor")
    require_positive(**{f"ratings[{i}]": value for i, value in enumerate(ratings)})
    return len(ratings) * min(ratings)
