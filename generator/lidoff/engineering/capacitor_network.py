"""Capacitors in series and in parallel."""

from collections.abc import Sequence

from lidoff.engineering._arguments import require_positive


def _require_capacitors(capacitances: Sequence[float]) -> None:
    if not capacitances:
        raise ValueError("capacitances: found none, expected at least one capacitor")
    require_positive(**{f"capacitances[{i}]": value for i, value in enumerate(capacitances)})


def parallel_capacitance(capacitances: Sequence[float]) -> float:
    r"""Capacitance of capacitors in parallel.

    Parameters
    ----------
    capacitances : Sequence[float]
        Capacitance of each one, at least one. [F]

    Returns
    -------
    float
        Capacitance between the common ends. [F]

    Raises
    ------
    ValueError
        There is no capacitor, or one is not a finite number above 0.

    Notes
    -----
    .. math::

        C = \sum C_i

    Valid for ideal capacitors. Capacitors behind a switch that connects them only at low mains voltage are not in
    parallel at high mains voltage; the caller leaves them out there.

    Examples
    --------
    >>> parallel_capacitance([33e-6, 47e-6])
    8.00e-05

    References
    ----------
    .. [1] Charge conservation; a law of circuit theory that needs no source.
    """
    _require_capacitors(capacitances)
    return sum(capacitances)


def series_capacitance(capacitances: Sequence[float]) -> float:
    r"""Capacitance of capacitors in series.

    Parameters
    ----------
    capacitances : Sequence[float]
        Capacitance of each one, at least one. [F]

    Returns
    -------
    float
        Capacitance between the outer ends. [F]

    Raises
    ------
    ValueError
        There is no capacitor, or one is not a finite number above 0.

    Notes
    -----
    .. math::

        C = \frac{1}{\sum \frac{1}{C_i}}

    Valid for ideal capacitors of equal charge. How the voltage divides in steady state follows from leakage and
    balancing resistors, not from this.

    Examples
    --------
    >>> series_capacitance([100e-6, 150e-6])
    6.00e-05

    References
    ----------
    .. [1] Charge conservation; a law of circuit theory that needs no source.
    """
    _require_capacitors(capacitances)
    return 1 / sum(1 / value for value in capacitances)
