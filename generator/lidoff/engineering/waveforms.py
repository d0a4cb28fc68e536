"""Current waveforms of a switched converter: r.m.s. values, ripple of the output capacitor."""

from math import sqrt

from lidoff.engineering._arguments import require_not_negative, require_positive, require_share


def triangle_rms(peak: float, duty_cycle: float) -> float:
    r"""Root mean square of a current that rises from zero in a straight line for a part of the period.

    Parameters
    ----------
    peak : float
        Peak current. [A]
    duty_cycle : float
        Share of the period in which the current flows, above 0 and up to 1. [-]

    Returns
    -------
    float
        Root mean square over the whole period. [A]

    Raises
    ------
    ValueError
        The peak is negative, or the duty cycle is not above 0 and up to 1.

    Notes
    -----
    .. math::

        I_{rms} = I_{pk} \sqrt{\frac{D}{3}}

    The same for a current that falls to zero. Exact for straight lines and zero current in the rest of the period.

    Examples
    --------
    >>> triangle_rms(peak=2.5, duty_cycle=0.45)
    0.968246

    References
    ----------
    .. [1] Application note AN-23, step 19.
    """
    return trapezoid_rms(0.0, peak, duty_cycle)


def trapezoid_rms(start: float, end: float, duty_cycle: float) -> float:
    r"""Root mean square of a current that runs in a straight line for a part of the period.

    Parameters
    ----------
    start : float
        Current at the start of the line. [A]
    end : float
        Current at the end of the line. [A]
    duty_cycle : float
        Share of the period in which the current flows, above 0 and up to 1. [-]

    Returns
    -------
    float
        Root mean square over the whole period. [A]

    Raises
    ------
    ValueError
        A current is negative, or the duty cycle is not above 0 and up to 1.

    Notes
    -----
    .. math::

        I_{rms} = \sqrt{\frac{D (I_a^2 + I_a I_b + I_b^2)}{3}}

    Exact for a straight line and zero current in the rest of the period.

    Examples
    --------
    >>> trapezoid_rms(start=0.189, end=0.447, duty_cycle=0.49)
    0.228624

    References
    ----------
    .. [1] Derivation: integral of the square of a straight line.
    """
    require_not_negative(start=start, end=end)
    require_share(duty_cycle=duty_cycle)
    return sqrt(duty_cycle * (start**2 + start * end + end**2) / 3)


def output_capacitor_current(secondary_rms: float, output_current: float) -> float:
    r"""Ripple current of the output capacitor behind a rectifier.

    Parameters
    ----------
    secondary_rms : float
        Root mean square of the rectifier's current. [A]
    output_current : float
        Output current, its mean. [A]

    Returns
    -------
    float
        Root mean square of the capacitor's current. [A]

    Raises
    ------
    ValueError
        A current is negative, or the output current is above the r.m.s. of the rectifier's current, of which it is
        the mean.

    Notes
    -----
    .. math::

        I_C = \sqrt{I_{s,rms}^2 - I_o^2}

    Exact where the capacitors before the load carry all the alternating part; with a filter inductor behind them they
    do.

    Examples
    --------
    >>> output_capacitor_current(secondary_rms=5.0, output_current=3.0)
    4.0

    References
    ----------
    .. [1] Application note AN-16, Flyback design methodology, June 1996, step 27.
    """
    require_not_negative(secondary_rms=secondary_rms, output_current=output_current)
    if output_current > secondary_rms:
        raise ValueError(f"output_current: found {output_current}, expected at most the r.m.s. value, {secondary_rms}")
    return sqrt(secondary_rms**2 - output_current**2)


def output_ripple_voltage(
    output_current: float,
    secondary_duty_cycle: float,
    switching_frequency: float,
    capacitance: float,
    secondary_peak: float = 0.0,
    series_resistance: float = 0.0,
) -> float:
    r"""Ripple voltage at the output capacitor of a flyback converter, peak to peak.

    Parameters
    ----------
    output_current : float
        Output current. [A]
    secondary_duty_cycle : float
        Share of the period in which the rectifier conducts, above 0 and up to 1. [-]
    switching_frequency : float
        Switching frequency. [Hz]
    capacitance : float
        Output capacitance. [F]
    secondary_peak : float
        Peak current of the rectifier. [A]
    series_resistance : float
        Equivalent series resistance of the capacitor. [Ω]

    Returns
    -------
    float
        Ripple voltage, peak to peak. [V]

    Raises
    ------
    ValueError
        A current or the series resistance is negative, the frequency or the capacitance is not above 0, or the duty
        cycle is not above 0 and up to 1.

    Notes
    -----
    .. math::

        \Delta V = \frac{I_o (1 - D_2)}{f C} + I_{pk} R_{ESR}

    An estimate. The first term counts the charge drawn while the rectifier blocks; a triangular current falls below
    the output current before it ends, so that the charge is really
    :math:`I_o \left( 1 - \frac{D_2}{2} \right)^2 \frac{1}{f}`. The second term adds the step at the resistance as if
    both came at the same moment. Switching spikes are left out.

    Examples
    --------
    >>> output_ripple_voltage(output_current=3.25, secondary_duty_cycle=0.5, switching_frequency=100e3,
    ...                       capacitance=680e-6, secondary_peak=13, series_resistance=8e-3)
    0.127897

    References
    ----------
    .. [1] Common practice, no published source.
    """
    require_not_negative(
        output_current=output_current, secondary_peak=secondary_peak, series_resistance=series_resistance
    )
    require_positive(switching_frequency=switching_frequency, capacitance=capacitance)
    require_share(secondary_duty_cycle=secondary_duty_cycle)
    drawn = output_current * (1 - secondary_duty_cycle) / switching_frequency
    return drawn / capacitance + secondary_peak * series_resistance
