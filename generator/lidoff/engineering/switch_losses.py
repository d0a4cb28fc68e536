"""Losses of a power transistor and its figure of merit."""

from lidoff.engineering._arguments import require_not_negative, require_positive


def conduction_loss(rms_current: float, resistance: float) -> float:
    r"""Power lost in the on-resistance of a switch.

    Parameters
    ----------
    rms_current : float
        Root mean square of the current over the whole period. [A]
    resistance : float
        On-resistance at the temperature of operation. [Ω]

    Returns
    -------
    float
        Power lost. [W]

    Raises
    ------
    ValueError
        An argument is negative.

    Notes
    -----
    .. math::

        P = I_{rms}^2 R_{DS(on)}

    On-resistance printed at 25 °C is too low: a hot silicon transistor has 1.6 to 2 times as much (common practice,
    no published source).

    Examples
    --------
    >>> conduction_loss(rms_current=0.228624, resistance=11)
    0.574958

    References
    ----------
    .. [1] Power in a resistance; a law of circuit theory that needs no source.
    """
    require_not_negative(rms_current=rms_current, resistance=resistance)
    return rms_current**2 * resistance


def crossover_loss(voltage: float, current: float, transition_time: float, switching_frequency: float) -> float:
    r"""Power lost while a switch changes state, voltage and current crossing in straight lines.

    Parameters
    ----------
    voltage : float
        Voltage across the open switch. [V]
    current : float
        Current through the closed switch. [A]
    transition_time : float
        Time of one transition. [s]
    switching_frequency : float
        Transitions of that kind in a second. [Hz]

    Returns
    -------
    float
        Power lost in that kind of transition. [W]

    Raises
    ------
    ValueError
        An argument is negative.

    Notes
    -----
    .. math::

        P = \frac{V I t f}{6}

    Current and voltage change together, each in a straight line over the same time. If the voltage rises fully before
    the current falls, as with an inductive load and a clamp, the loss is up to three times as much. Energy in
    capacitances is left out. Zero where the switch turns on at zero voltage or zero current.

    Examples
    --------
    >>> crossover_loss(voltage=650, current=0.447, transition_time=40e-9, switching_frequency=1 / 15e-6)
    0.129133

    References
    ----------
    .. [1] Derivation: integral of the product of two straight lines.
    """
    require_not_negative(
        voltage=voltage, current=current, transition_time=transition_time, switching_frequency=switching_frequency
    )
    return voltage * current * transition_time * switching_frequency / 6


def figure_of_merit(resistance: float, charge: float) -> float:
    r"""Product of a transistor's on-resistance and a charge of it.

    Parameters
    ----------
    resistance : float
        On-resistance. [Ω]
    charge : float
        Gate charge or output charge, in coulombs. [C]

    Returns
    -------
    float
        Figure of merit; 1e-9 of it is one ohm nanocoulomb. [Ω·C]

    Raises
    ------
    ValueError
        An argument is not a finite number above 0.

    Notes
    -----
    .. math::

        F = R_{DS(on)} Q

    Compares transistors of one voltage class only, and only where gate and drain voltage of the charge are the same.

    Examples
    --------
    >>> figure_of_merit(resistance=150e-3, charge=2.8e-9) * 1e9
    0.42

    References
    ----------
    .. [1] Common practice, no published source.
    """
    require_positive(resistance=resistance, charge=charge)
    return resistance * charge
