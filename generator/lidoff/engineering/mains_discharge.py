"""Discharge of a capacitor through a resistor after the mains has gone."""

from math import exp, log

from lidoff.engineering._arguments import require_not_negative, require_positive

SMALLEST_TIMED_CAPACITANCE = 0.1e-6
"""Capacitance up to which IEC 60950-1 clause 2.1.1.7 asks for no discharge. [F]"""


def time_constant(resistance: float, capacitance: float) -> float:
    r"""Time constant of a resistor across a capacitor.

    Parameters
    ----------
    resistance : float
        Resistance of the path, all parts of it together. [Ω]
    capacitance : float
        Capacitance. [F]

    Returns
    -------
    float
        Time in which the voltage falls to 37 %. [s]

    Raises
    ------
    ValueError
        An argument is not a finite number above 0.

    Notes
    -----
    .. math::

        \tau = R C

    Nominal values, an intact path and nothing else connected.

    Examples
    --------
    >>> time_constant(resistance=2e6, capacitance=330e-9)
    0.66

    References
    ----------
    .. [1] Discharge of a linear capacitor; a law of circuit theory that needs no source.
    """
    require_positive(resistance=resistance, capacitance=capacitance)
    return resistance * capacitance


def longest_time_constant(capacitance: float, industrial_plug: bool = False) -> float | None:
    r"""Longest time constant of an X capacitor's discharge in IEC 60950-1.

    Parameters
    ----------
    capacitance : float
        Capacitance across the mains. [F]
    industrial_plug : bool
        Whether the equipment is pluggable type B, with an industrial plug, instead of type A. [-]

    Returns
    -------
    float | None
        Longest time constant [s]; None up to 0.1 µF, where the clause asks for none.

    Raises
    ------
    ValueError
        The capacitance is not a finite number above 0.

    Notes
    -----
    .. math::

        \tau \le 1 \text{ s}

    For capacitance above 0.1 µF: 1 s with an ordinary plug (pluggable type A), 10 s with an industrial one (type B).
    IEC 62368-1 has replaced this by a voltage measured 2 s after disconnection.

    Examples
    --------
    >>> longest_time_constant(330e-9)
    1.0
    >>> print(longest_time_constant(100e-9))
    None

    References
    ----------
    .. [1] IEC 60950-1, Safety of information technology equipment, clause 2.1.1.7.
    """
    require_positive(capacitance=capacitance)
    if capacitance <= SMALLEST_TIMED_CAPACITANCE:
        return None
    return 10.0 if industrial_plug else 1.0


def residual_voltage(resistance: float, capacitance: float, initial_voltage: float, time: float) -> float:
    r"""Voltage left on a capacitor after a time of discharge through a resistor.

    Parameters
    ----------
    resistance : float
        Resistance of the path, all parts of it together. [Ω]
    capacitance : float
        Capacitance. [F]
    initial_voltage : float
        Voltage at the start. [V]
    time : float
        Time since the start. [s]

    Returns
    -------
    float
        Voltage after that time. [V]

    Raises
    ------
    ValueError
        The resistance, the capacitance or the voltage is not above 0, or the time is negative.

    Notes
    -----
    .. math::

        v = V_0 \exp \left( - \frac{t}{R C} \right)

    Nominal values and an intact path. A computed voltage tells nobody that a capacitor is empty: a path may be
    broken, or a controller that discharges it may have stopped. Dielectric absorption can bring some voltage back.

    Examples
    --------
    >>> residual_voltage(resistance=1e6, capacitance=330e-9, initial_voltage=373.352, time=1.0)
    18.0333

    References
    ----------
    .. [1] Discharge of a linear capacitor; a law of circuit theory that needs no source.
    """
    require_positive(initial_voltage=initial_voltage)
    require_not_negative(time=time)
    return initial_voltage * exp(-time / time_constant(resistance, capacitance))


def time_to_voltage(resistance: float, capacitance: float, initial_voltage: float, final_voltage: float) -> float:
    r"""Time in which a resistor discharges a capacitor to a voltage.

    Parameters
    ----------
    resistance : float
        Resistance of the path, all parts of it together. [Ω]
    capacitance : float
        Capacitance. [F]
    initial_voltage : float
        Voltage at the start. [V]
    final_voltage : float
        Voltage at the end, for example 60 V. [V]

    Returns
    -------
    float
        Time from the initial to the final voltage, 0 where it starts no higher. [s]

    Raises
    ------
    ValueError
        An argument is not a finite number above 0.

    Notes
    -----
    .. math::

        t = R C \ln \frac{V_0}{V}

    Nominal values and an intact path. Not a waiting time for anyone: it describes a design and does not prove a unit
    dead. A capacitor behind a blown fuse or a stopped controller can hold its charge for hours.

    Examples
    --------
    >>> time_to_voltage(resistance=1e6, capacitance=82e-6, initial_voltage=390, final_voltage=60)
    153.4878

    References
    ----------
    .. [1] Discharge of a linear capacitor; a law of circuit theory that needs no source.
    """
    require_positive(initial_voltage=initial_voltage, final_voltage=final_voltage)
    return time_constant(resistance, capacitance) * log(max(initial_voltage, final_voltage) / final_voltage)


def largest_bleed_resistance(
    capacitance: float, initial_voltage: float, final_voltage: float, time: float
) -> float | None:
    r"""Largest resistance that discharges a capacitor to a voltage within a time.

    Parameters
    ----------
    capacitance : float
        Capacitance. [F]
    initial_voltage : float
        Voltage at the start, for an X capacitor the crest of the highest mains voltage. [V]
    final_voltage : float
        Voltage at the end. [V]
    time : float
        Time allowed. [s]

    Returns
    -------
    float | None
        Largest resistance [Ω]; None where the discharge starts no higher than the final voltage and any resistance
        will do.

    Raises
    ------
    ValueError
        An argument is not a finite number above 0.

    Notes
    -----
    .. math::

        R = \frac{t}{C \ln \frac{V_0}{V}}

    For an X capacitor IEC 62368-1 measures 2 s after disconnection [1]_. The voltage allowed then depends on the
    capacitance; 60 V is the value for large ones (from memory), smaller ones may keep more. Tolerances are for the
    caller.

    Examples
    --------
    >>> largest_bleed_resistance(capacitance=330e-9, initial_voltage=373.352, final_voltage=60, time=2)
    3315108.8

    References
    ----------
    .. [1] IEC 62368-1, Audio/video, information and communication technology equipment, clause 5.5.2.2, seen in the
       form of a test report.
    """
    require_positive(capacitance=capacitance, initial_voltage=initial_voltage, final_voltage=final_voltage, time=time)
    if initial_voltage <= final_voltage:
        return None
    return time / (capacitance * log(initial_voltage / final_voltage))
