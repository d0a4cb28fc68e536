"""Voltages of a flyback converter: reflected voltage, stress of switch and rectifier, duty cycle."""

from lidoff.engineering._arguments import require_not_negative, require_positive


def reflected_voltage(turns_ratio: float, output_voltage: float, rectifier_drop: float = 0.0) -> float:
    r"""Output voltage of a flyback converter as seen at the primary winding.

    Parameters
    ----------
    turns_ratio : float
        Primary turns over secondary turns. [-]
    output_voltage : float
        Voltage at the secondary winding's output. [V]
    rectifier_drop : float
        Forward drop of the output rectifier. [V]

    Returns
    -------
    float
        Reflected voltage. [V]

    Raises
    ------
    ValueError
        The turns ratio or the output voltage is not above 0, or the drop is negative.

    Notes
    -----
    .. math::

        V_R = n (V_o + V_F)

    Valid while the secondary conducts, without leakage inductance. The highest output voltage counts for stress:
    21 V, not 20 V, where an adjustable supply goes to 21 V.

    Examples
    --------
    >>> reflected_voltage(turns_ratio=6, output_voltage=20, rectifier_drop=0.5)
    123.0

    References
    ----------
    .. [1] R. W. Erickson, D. Maksimović, *Fundamentals of Power Electronics*, 3rd edition, chapter 6 (from memory).
    """
    require_positive(turns_ratio=turns_ratio, output_voltage=output_voltage)
    require_not_negative(rectifier_drop=rectifier_drop)
    return turns_ratio * (output_voltage + rectifier_drop)


def switch_stress(bus_voltage: float, reflected_voltage: float, spike: float = 0.0) -> float:
    r"""Voltage across the open primary switch of a flyback converter.

    Parameters
    ----------
    bus_voltage : float
        Highest bus voltage: crest of the highest mains voltage, or the bus of a power factor correction stage. [V]
    reflected_voltage : float
        Reflected output voltage. [V]
    spike : float
        Part above the plateau that leakage inductance adds, as clamped. [V]

    Returns
    -------
    float
        Highest voltage across the switch. [V]

    Raises
    ------
    ValueError
        The bus or the reflected voltage is not above 0, or the spike is negative.

    Notes
    -----
    .. math::

        V_{DS} = V_{bus} + V_R + V_{spike}

    Without a spike this is the plateau only, a lower bound. The spike depends on leakage inductance and clamp; half
    the reflected voltage is a usual design assumption [1]_, so state it wherever it is used. For two switches with an
    active clamp see `bridge_converters`.

    Examples
    --------
    >>> switch_stress(bus_voltage=373.352, reflected_voltage=123, spike=61.5)
    557.852

    References
    ----------
    .. [1] Application report SLVAFK6 on flyback design: spike about half the reflected voltage.
    """
    require_positive(bus_voltage=bus_voltage, reflected_voltage=reflected_voltage)
    require_not_negative(spike=spike)
    return bus_voltage + reflected_voltage + spike


def rectifier_stress(bus_voltage: float, turns_ratio: float, output_voltage: float, spike: float = 0.0) -> float:
    r"""Reverse voltage of the output rectifier, diode or transistor, of a flyback converter.

    Parameters
    ----------
    bus_voltage : float
        Highest bus voltage: crest of the highest mains voltage, or the bus of a power factor correction stage. [V]
    turns_ratio : float
        Primary turns over secondary turns. [-]
    output_voltage : float
        Highest voltage at that output. [V]
    spike : float
        Ringing above the plateau. [V]

    Returns
    -------
    float
        Highest reverse voltage. [V]

    Raises
    ------
    ValueError
        A voltage or the turns ratio is not above 0, or the spike is negative.

    Notes
    -----
    .. math::

        V_{SR} = V_o + \frac{V_{bus}}{n} + V_{spike}

    Valid while the primary switch conducts. Without a spike this is the plateau only, a lower bound; ringing adds to
    it.

    Examples
    --------
    >>> rectifier_stress(bus_voltage=373.352, turns_ratio=6, output_voltage=20)
    82.2253

    References
    ----------
    .. [1] R. W. Erickson, D. Maksimović, *Fundamentals of Power Electronics*, 3rd edition, chapter 6 (from memory).
    """
    require_positive(bus_voltage=bus_voltage, turns_ratio=turns_ratio, output_voltage=output_voltage)
    require_not_negative(spike=spike)
    return output_voltage + bus_voltage / turns_ratio + spike


def duty_cycle(bus_voltage: float, reflected_voltage: float) -> float:
    r"""Share of the period in which the switch of a flyback converter conducts.

    Parameters
    ----------
    bus_voltage : float
        Bus voltage at that moment. [V]
    reflected_voltage : float
        Reflected output voltage. [V]

    Returns
    -------
    float
        Duty cycle. [-]

    Raises
    ------
    ValueError
        An argument is not a finite number above 0.

    Notes
    -----
    .. math::

        D = \frac{V_R}{V_{bus} + V_R}

    Volt-second balance of the transformer; valid in continuous mode and at its boundary. In discontinuous mode, and
    while a quasi-resonant converter waits for a valley, the duty cycle is smaller. The drop of the switch is left
    out.

    Examples
    --------
    >>> duty_cycle(bus_voltage=126.1, reflected_voltage=49.0389)
    0.2800

    References
    ----------
    .. [1] R. W. Erickson, D. Maksimović, *Fundamentals of Power Electronics*, 3rd edition, chapter 6 (from memory).
    """
    require_positive(bus_voltage=bus_voltage, reflected_voltage=reflected_voltage)
    return reflected_voltage / (bus_voltage + reflected_voltage)
