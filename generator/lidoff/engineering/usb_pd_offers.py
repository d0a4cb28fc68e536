"""Whether a single USB PD offer fits a rated power, a required current and a cable."""

from lidoff.engineering._arguments import require_not_negative, require_positive

CURRENT_STEP = 0.01
"""Step of the current field of a fixed object [A]: rated power over voltage is rounded to it, up or down."""
ROUNDING_ERROR = 1e-9
"""Far below any step, far above the error of a double."""


def meets_current(offered: float, required: float) -> bool:
    r"""Whether an offered current is what a rule asks for, allowing for the step of the field.

    Parameters
    ----------
    offered : float
        Current in the object. [A]
    required : float
        Current of the rule, not rounded. [A]

    Returns
    -------
    bool
        True where at most one step is missing. [-]

    Raises
    ------
    ValueError
        A current is negative.

    Notes
    -----
    .. math::

        I \ge I_{required} - 10\ \text{mA}

    A 20 W source has 2.222 A at 9 V to give; objects with 2.22 A and with 2.23 A both exist.

    Examples
    --------
    >>> meets_current(2.22, 20 / 9), meets_current(2.2, 20 / 9)
    (True, False)

    References
    ----------
    .. [1] Linux kernel 6.1.187, include/linux/usb/pd.h, macro PDO_FIXED_CURR (steps of 10 mA); the allowance is common
       practice, no source.
    """
    require_not_negative(offered=offered, required=required)
    return offered >= required - CURRENT_STEP - ROUNDING_ERROR


def exceeds_power(voltage: float, current: float, power: float) -> bool:
    r"""Whether an offer is above the rated power by more than the step of its current field.

    Parameters
    ----------
    voltage : float
        Voltage of the offer; of a PPS object the nominal one. [V]
    current : float
        Current of the offer. [A]
    power : float
        Rated power. [W]

    Returns
    -------
    bool
        True where the current is more than one step above rated power over voltage. [-]

    Raises
    ------
    ValueError
        Voltage or power is not above 0, or the current is negative.

    Notes
    -----
    .. math::

        I > \frac{P}{V} + 10\ \text{mA}

    Examples
    --------
    >>> exceeds_power(9.0, 2.23, 20.0), exceeds_power(9.0, 2.25, 20.0)
    (False, True)

    References
    ----------
    .. [1] Linux kernel 6.1.187, include/linux/usb/pd.h, macro PDO_FIXED_CURR (steps of 10 mA); the allowance is common
       practice, no source.
    """
    require_positive(voltage=voltage, power=power)
    require_not_negative(current=current)
    return current > power / voltage + CURRENT_STEP + ROUNDING_ERROR


def cable_needed(voltage: float, current: float) -> str:
    """Cable that an offer needs.

    Parameters
    ----------
    voltage : float
        Highest voltage of the offer. [V]
    current : float
        Largest current of the offer. [A]

    Returns
    -------
    str
        ``any``, ``emarked-5a`` above 3 A, ``epr-5a`` above 20 V (21 V for PPS). [-]

    Raises
    ------
    ValueError
        The voltage is not above 0, or the current is negative.

    Notes
    -----
    No equation: any cable carries 3 A; more asks for one with a marker for 5 A; the extended power range for one marked
    for 50 V and 5 A. PPS of the standard range goes up to 21 V.

    Examples
    --------
    >>> cable_needed(20.0, 3.25)
    'emarked-5a'

    References
    ----------
    .. [1] USB Type-C Cable and Connector Specification R2.1, clause 3.11 (as quoted by a public article,
       cnx-software.com).
    """
    require_positive(voltage=voltage)
    require_not_negative(current=current)
    if voltage > 21.0:
        return "epr-5a"
    return "emarked-5a" if current > 3.0 else "any"
