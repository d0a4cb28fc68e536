"""How the test procedure sees a supply: its class, and whether it is a USB PD supply in the sense of that procedure."""

from collections.abc import Sequence

from lidoff.engineering._arguments import require_positive
from lidoff.engineering.supply_limits import PowerClass

USB_PD_LOW_VOLTAGE_CURRENT = 2.0
"""Current [A] that a USB PD port counts with at its lowest voltage, whatever its label says."""
_MOST_CURRENT = {9.0: 3.0, 15.0: 3.0, 20.0: 5.0}


def power_class(voltage: float, current: float, simultaneous_voltages: bool = False) -> PowerClass:
    """Class that decides which row of the limits holds, for supplies with a direct-voltage output.

    Parameters
    ----------
    voltage : float
        Nameplate output voltage of the tested setting. [V]
    current : float
        Nameplate output current of that setting. [A]
    simultaneous_voltages : bool, optional
        The supply has several outputs that give different voltages at the same time. [-]

    Returns
    -------
    str
        basic, low-voltage or multiple-voltage. [-]

    Raises
    ------
    ValueError
        Voltage or current is not above 0.

    Notes
    -----
    No equation: low-voltage below 6 V with at least 0.55 A, else basic. The limit is one of volts, not of watts.
    Several ports with the same voltage are one voltage. A supply that changes its voltage is tested at its highest
    and its lowest one, each with the class of that voltage: the 20 V setting of a USB PD charger is basic, its 5 V
    setting low-voltage.

    Examples
    --------
    >>> power_class(20.0, 3.25), power_class(5.0, 2.0)
    ('basic', 'low-voltage')

    References
    ----------
    .. [1] 10 CFR 430.2, definitions of basic-voltage and low-voltage external power supply (as quoted in
       sustainability.stackexchange.com, question 10535, and by electronicproducts.com, 2013).
    .. [2] European Commission, frequently asked questions on external power supplies, for multiple-voltage.
    """
    require_positive(voltage=voltage, current=current)
    if simultaneous_voltages:
        return "multiple-voltage"
    return "low-voltage" if voltage < 6.0 and current >= 0.55 else "basic"


def usb_pd_low_voltage_power(voltage: float, ports: int) -> float:
    r"""Nameplate power of USB PD ports at their lowest voltage, as the US test procedure sets it.

    Parameters
    ----------
    voltage : float
        Lowest output voltage. [V]
    ports : int
        Number of USB PD ports. [-]

    Returns
    -------
    float
        Power. [W]

    Raises
    ------
    ValueError
        Voltage or number of ports is not above 0.

    Notes
    -----
    .. math::

        P = n \cdot V \cdot 2\ \text{A}

    Examples
    --------
    >>> usb_pd_low_voltage_power(5.0, 1)
    10.0

    References
    ----------
    .. [1] 10 CFR 430 subpart B, appendix Z, as amended by 87 FR 51221 (19 August 2022), section 6(a)(1)(iii)(B).
    """
    require_positive(voltage=voltage, ports=ports)
    return ports * voltage * USB_PD_LOW_VOLTAGE_CURRENT


def is_usb_pd_supply(offers: Sequence[tuple[float, float]]) -> bool:
    """Whether a port's fixed voltages fit the US definition of a USB PD supply.

    Parameters
    ----------
    offers : sequence of (float, float)
        Voltage and current of each fixed offer. [V]

    Returns
    -------
    bool
        True where the definition fits, so that the loads of 2, 1.5, 1 and 0.5 A hold at the lowest voltage. [-]

    Raises
    ------
    ValueError
        There is no offer, or a value is not above 0.

    Notes
    -----
    No equation: 3.3 V to 20 V, at least 3 A at the lowest voltage, at most 3 A at 9 V and 15 V and 5 A at 20 V. Read
    to the letter, a port with 28 V or with more than 3 A at 9 V or 15 V is outside, and the general rule for supplies
    that change their voltage holds: 100, 75, 50 and 25 % of the nameplate current at both ends.

    Examples
    --------
    >>> is_usb_pd_supply([(5.0, 3.0), (9.0, 3.0), (20.0, 3.25)]), is_usb_pd_supply([(5.0, 3.0), (28.0, 5.0)])
    (True, False)

    References
    ----------
    .. [1] 10 CFR 430 subpart B, appendix Z, as amended by 87 FR 51221 (19 August 2022), section 2, definition of USB PD
       external power supply.
    """
    if not offers:
        raise ValueError("offers: found none, expected at least one fixed voltage")
    for voltage, current in offers:
        require_positive(voltage=voltage, current=current)
    voltages = [voltage for voltage, _ in offers]
    in_range = min(voltages) >= 3.3 and max(voltages) <= 20.0
    enough = max(current for voltage, current in offers if voltage == min(voltages)) >= 3.0
    return in_range and enough and all(current <= _MOST_CURRENT.get(voltage, current) for voltage, current in offers)
