"""Ranges and currents of the programmable power supply (PPS) of USB PD."""

from dataclasses import dataclass

from lidoff.engineering._arguments import require_not_negative, require_positive
from lidoff.engineering.usb_pd_rules import SPR_POWER


@dataclass(frozen=True, slots=True)
class PpsRange:
    """A range that PPS objects come in.

    Attributes
    ----------
    nominal_voltage : float
        Voltage that the range is named after and its power counted at. [V]
    minima : tuple of float
        Lowest voltages in use: early 3.0 editions, later ones, revision 3.2. [V]
    maximum : float
        Highest voltage. [V]
    """

    nominal_voltage: float
    minima: tuple[float, ...]
    maximum: float


@dataclass(frozen=True, slots=True)
class PpsOffer:
    """A PPS range that goes with a rated power.

    Attributes
    ----------
    nominal_voltage : float
        Voltage that the range is named after. [V]
    current : float
        Smallest current of the object, not rounded to the step of the field. [A]
    optional : bool
        The object may be left out even where PPS is offered. [-]
    """

    nominal_voltage: float
    current: float
    optional: bool


_RANGES = tuple(
    PpsRange(nominal, (3.0, 3.3, 5.0), maximum)
    for nominal, maximum in ((5.0, 5.9), (9.0, 11.0), (15.0, 16.0), (20.0, 21.0))
)


def pps_ranges() -> tuple[PpsRange, ...]:
    """Ranges that PPS objects come in.

    Returns
    -------
    tuple of PpsRange
        The ranges named 5, 9, 15 and 20 V. [V]

    Notes
    -----
    No equation: a table. The lowest voltage depends on the edition: 3.3 V in most sources, 3.0 V in early ones, 5.0 V
    in a comment on revision 3.2. One public header ends the 20 V range at 20 V; the others at 21 V.

    Examples
    --------
    >>> [(item.nominal_voltage, item.maximum) for item in pps_ranges()]
    [(5.0, 5.9), (9.0, 11.0), (15.0, 16.0), (20.0, 21.0)]

    References
    ----------
    .. [1] USB Power Delivery Specification R3.x, clause 10.2 (the ranges as in the table apdo_pps_tbl of the MediaTek
       adapter driver; 3.0 V as in pd-buddy).
    """
    return _RANGES


def nominal_pps_voltage(voltage_max: float) -> float | None:
    """Voltage that a PPS object is named after.

    Parameters
    ----------
    voltage_max : float
        Highest voltage of the object. [V]

    Returns
    -------
    float or None
        5, 9, 15 or 20 V; None where no range ends at that voltage. [V]

    Raises
    ------
    ValueError
        The voltage is not above 0.

    Notes
    -----
    No equation: a table, see `pps_ranges`.

    Examples
    --------
    >>> nominal_pps_voltage(11.0)
    9.0

    References
    ----------
    .. [1] USB Power Delivery Specification R3.x, clause 10.2 (the ranges as in the table apdo_pps_tbl of the MediaTek
       adapter driver).
    """
    require_positive(voltage_max=voltage_max)
    named = (item.nominal_voltage for item in pps_ranges() if abs(item.maximum - voltage_max) < 0.05)
    return next(named, None)


def required_pps_offers(power: float) -> tuple[PpsOffer, ...]:
    r"""PPS objects, with their smallest currents, that go with a rated power once a source offers PPS at all.

    Parameters
    ----------
    power : float
        Rated PD power of the port in the standard power range, up to 100 W. [W]

    Returns
    -------
    tuple of PpsOffer
        Ranges, lowest voltage first. [-]

    Raises
    ------
    ValueError
        The power is not above 0 and up to 100 W.

    Notes
    -----
    .. math::

        I = \frac{P}{V_{nominal}}

    in the highest range, 3 A in the lower one. Up to 15 W the 5 V range; up to 27 W those of 5 and 9 V; up to 45 W 9
    and 15 V; above that 15 and 20 V. The lower range is optional once the higher one gives 3 A, at 27 W, 45 W and from
    60 W on [1]_.

    Examples
    --------
    >>> [(offer.nominal_voltage, offer.current, offer.optional) for offer in required_pps_offers(45.0)]
    [(9.0, 3.0, True), (15.0, 3.0, False)]

    References
    ----------
    .. [1] USB Power Delivery Specification R3.0, clause 10.2.3 (the rules as in the function follows_power_rules() of
       the pd-buddy firmware).
    """
    require_positive(power=power)
    if power > SPR_POWER:
        raise ValueError(f"power: found {power:g}, expected up to 100 W, the most of the standard power range")
    bands = ((15.0, (5.0,)), (27.0, (5.0, 9.0)), (45.0, (9.0, 15.0)), (SPR_POWER, (15.0, 20.0)))
    *lower, highest = next(voltages for up_to, voltages in bands if power <= up_to)
    current = power / highest
    return (*(PpsOffer(voltage, 3.0, current >= 3.0) for voltage in lower), PpsOffer(highest, current, False))


def pps_current_at(voltage: float, current: float, power: float, power_limited: bool) -> float:
    r"""Current that a PPS object gives at a voltage.

    Parameters
    ----------
    voltage : float
        Output voltage. [V]
    current : float
        Largest current of the object. [A]
    power : float
        Rated PD power of the port. [W]
    power_limited : bool
        The object says that its power is limited. [-]

    Returns
    -------
    float
        Current available. [A]

    Raises
    ------
    ValueError
        Voltage or power is not above 0, or the current is negative.

    Notes
    -----
    .. math::

        I(V) = \min\left( I_{max},\ \frac{P}{V} \right)

    where the power is limited, else the largest current at every voltage.

    Examples
    --------
    >>> pps_current_at(20.0, 5.0, 65.0, True), pps_current_at(20.0, 5.0, 65.0, False)
    (3.25, 5.0)

    References
    ----------
    .. [1] USB Power Delivery Specification R3.x, clause 6.4.1 (PPS power limited bit; from memory).
    """
    require_positive(voltage=voltage, power=power)
    require_not_negative(current=current)
    return min(current, power / voltage) if power_limited else current
