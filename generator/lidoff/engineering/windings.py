"""Windings of a transformer."""

from lidoff.engineering._arguments import require_positive


def turns_ratio(primary_turns: float, secondary_turns: float) -> float:
    r"""Turns ratio of a transformer.

    Parameters
    ----------
    primary_turns : float
        Turns of the whole primary winding. [-]
    secondary_turns : float
        Turns of the secondary winding that feeds the output; half of a centre-tapped one. [-]

    Returns
    -------
    float
        Primary turns over secondary turns. [-]

    Raises
    ------
    ValueError
        A number of turns is not a finite number above 0.

    Notes
    -----
    .. math::

        n = \frac{N_p}{N_s}

    Primary over secondary throughout; some documents print the inverse.

    Examples
    --------
    >>> turns_ratio(24, 4)
    6.0

    References
    ----------
    .. [1] Definition of the turns ratio; it needs no source.
    """
    require_positive(primary_turns=primary_turns, secondary_turns=secondary_turns)
    return primary_turns / secondary_turns
