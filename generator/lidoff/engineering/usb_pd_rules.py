"""Which objects the USB PD power rules ask of a source of a given power, as data for checks.

The rules were read second-hand (public course material, open firmware, vendors' notes), not in the specification.
"""

from dataclasses import dataclass

from lidoff.engineering._arguments import require_positive

SPR_POWER = 100.0
EPR_POWER = 240.0
SPR_STEPS = ((0.0, 5.0), (15.0, 9.0), (27.0, 15.0), (45.0, 20.0))
EPR_STEPS = ((100.0, 28.0), (140.0, 36.0), (180.0, 48.0))
"""Voltages that a source offers, each with the power above which it does [W, V]."""


@dataclass(frozen=True, slots=True)
class FixedOffer:
    """A fixed voltage and its current.

    Attributes
    ----------
    voltage : float
        Voltage. [V]
    current : float
        Current, not rounded to the step of the field. [A]
    """

    voltage: float
    current: float


@dataclass(frozen=True, slots=True)
class VoltageRange:
    """A range of voltage.

    Attributes
    ----------
    minimum : float
        Lowest voltage. [V]
    maximum : float
        Highest voltage. [V]
    """

    minimum: float
    maximum: float


def required_fixed_offers(power: float) -> tuple[FixedOffer, ...]:
    r"""Fixed objects of the standard power range that a source of a given power has to offer.

    Parameters
    ----------
    power : float
        Rated PD power of the port, up to 240 W. [W]

    Returns
    -------
    tuple of FixedOffer
        Voltages and currents, lowest voltage first. [-]

    Raises
    ------
    ValueError
        The power is not above 0 and up to 240 W.

    Notes
    -----
    .. math::

        I = \frac{P}{V}

    at the highest voltage, 3 A at the others. Steps: 5 V always, 9 V above 15 W, 15 V above 27 W, 20 V above 45 W [1]_.
    A source above 100 W keeps the set of a 100 W source. 12 V is optional and never counts. More than 3 A is offered
    only over a cable marked for 5 A. The field has steps of 10 mA, so that P/V is met to within one step.

    Examples
    --------
    >>> required_fixed_offers(65.0)[-1]
    FixedOffer(voltage=20.0, current=3.25)

    References
    ----------
    .. [1] USB Power Delivery Specification R3.x, clause 10.2 (the bands as in the Renesas USB PD course, table 1, the
       function follows_power_rules() of the pd-buddy firmware and the ST USBPD headers).
    """
    _require_power(power)
    *lower, highest = (voltage for above, voltage in SPR_STEPS if power > above)
    return (*(FixedOffer(voltage, 3.0) for voltage in lower), FixedOffer(highest, min(power, SPR_POWER) / highest))


def required_epr_offers(power: float) -> tuple[FixedOffer, ...]:
    r"""Fixed objects of the extended power range that a source of a given power has to offer.

    Parameters
    ----------
    power : float
        Rated PD power of the port, up to 240 W. [W]

    Returns
    -------
    tuple of FixedOffer
        Voltages and currents, lowest voltage first; none up to 100 W. [-]

    Raises
    ------
    ValueError
        The power is not above 0 and up to 240 W.

    Notes
    -----
    .. math::

        I = \min\left( \frac{P}{V},\ 5\ \text{A} \right)

    Steps: 28 V above 100 W, 36 V above 140 W, 48 V above 180 W [1]_. That the lower steps are offered at 5 A is from
    memory.

    Examples
    --------
    >>> [(offer.voltage, round(offer.current, 3)) for offer in required_epr_offers(160.0)]
    [(28.0, 5.0), (36.0, 4.444)]

    References
    ----------
    .. [1] USB Power Delivery Specification R3.1, clause 10.2 (the steps as in public notes on revision 3.1; the 5 A
       at lower steps from memory).
    """
    _require_power(power)
    return tuple(FixedOffer(voltage, min(power / voltage, 5.0)) for above, voltage in EPR_STEPS if power > above)


def epr_avs_range(power: float) -> VoltageRange | None:
    """Range of the adjustable voltage supply that a source of the extended power range has to offer.

    Parameters
    ----------
    power : float
        Rated PD power of the port, up to 240 W. [W]

    Returns
    -------
    VoltageRange or None
        15 V to 28, 36 or 48 V; None up to 100 W. [V]

    Raises
    ------
    ValueError
        The power is not above 0 and up to 240 W.

    Notes
    -----
    No equation: bands above 100 W, 140 W and 180 W, each with its upper limit; the object carries the rated power.

    Examples
    --------
    >>> epr_avs_range(140.0)
    VoltageRange(minimum=15.0, maximum=28.0)

    References
    ----------
    .. [1] USB Power Delivery Specification R3.1, clause 10.2 (the bands as in a public note on revision 3.1,
       szsunda.com).
    """
    steps = required_epr_offers(power)
    return VoltageRange(15.0, steps[-1].voltage) if steps else None


def spr_avs_range(power: float) -> VoltageRange | None:
    """Range of the adjustable voltage supply in the standard power range.

    Parameters
    ----------
    power : float
        Rated PD power of the port, up to 240 W. [W]

    Returns
    -------
    VoltageRange or None
        9 V to 15 V or to 20 V; None up to 27 W. [V]

    Raises
    ------
    ValueError
        The power is not above 0 and up to 240 W.

    Notes
    -----
    No equation: from revision 3.2 on, above 27 W to 15 V, above 45 W to 20 V, with the currents of the fixed objects
    of 15 V and 20 V. Sources certified to an older revision do not have it. The bands are from memory and were not
    confirmed: a reason for a note at most.

    Examples
    --------
    >>> spr_avs_range(45.0)
    VoltageRange(minimum=9.0, maximum=15.0)

    References
    ----------
    .. [1] USB Power Delivery Specification R3.2, clause 10.2 (from memory).
    """
    _require_power(power)
    if power <= 27.0:
        return None
    return VoltageRange(9.0, 15.0 if power <= 45.0 else 20.0)


def _require_power(power: float) -> None:
    require_positive(power=power)
    if power > EPR_POWER:
        raise ValueError(f"power: found {power:g}, expected up to 240 W, the most that USB PD defines")
