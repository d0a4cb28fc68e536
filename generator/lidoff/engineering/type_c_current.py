"""Current that a USB port promises without USB PD: Type-C pull-ups and the dedicated charging port of BC 1.2."""

from dataclasses import dataclass

from lidoff.engineering._arguments import require_not_negative, require_positive


@dataclass(frozen=True, slots=True)
class CurrentAdvert:
    """One of the currents that a Type-C source can promise on its CC line.

    Attributes
    ----------
    name : str
        default, 1.5a or 3a. [-]
    pull_up_to_5v : float
        Pull-up resistance to 5 V. [Ω]
    pull_up_to_3v3 : float
        Pull-up resistance to 3.3 V. [Ω]
    source_current : float
        Current of a source that pulls up instead of a resistor. [A]
    source_current_tolerance : float
        Its tolerance as a ratio. [-]
    current : float
        Current promised; the default is 0.5 A on USB 2 and 0.9 A on USB 3. [A]
    power : float
        Power at 5 V. [W]
    sink_threshold : float
        Voltage across the sink's pull-down above which it may take the promise as made. [V]
    """

    name: str
    pull_up_to_5v: float
    pull_up_to_3v3: float
    source_current: float
    source_current_tolerance: float
    current: float
    power: float
    sink_threshold: float


def current_adverts() -> tuple[CurrentAdvert, ...]:
    """Currents that a Type-C source can promise on its CC line.

    Returns
    -------
    tuple of CurrentAdvert
        Smallest first. [-]

    Notes
    -----
    No equation: a table. VBUS stays cold until a sink's pull-down is seen.

    Examples
    --------
    >>> [(advert.name, advert.current) for advert in current_adverts()]
    [('default', 0.5), ('1.5a', 1.5), ('3a', 3.0)]

    References
    ----------
    .. [1] USB Type-C Cable and Connector Specification, source termination table (values as in forum.digikey.com, topic
       7016, and a page on cables of chromium.org).
    """
    return (
        CurrentAdvert("default", 56e3, 36e3, 80e-6, 0.20, 0.5, 2.5, 0.20),
        CurrentAdvert("1.5a", 22e3, 12e3, 180e-6, 0.08, 1.5, 7.5, 0.66),
        CurrentAdvert("3a", 10e3, 4.7e3, 330e-6, 0.08, 3.0, 15.0, 1.23),
    )


def pull_down_voltage(pull_up: float, pull_down: float = 5100.0, supply_voltage: float = 5.0) -> float:
    r"""Voltage across a sink's pull-down on the CC line.

    Parameters
    ----------
    pull_up : float
        Pull-up resistance of the source. [Ω]
    pull_down : float, optional
        Pull-down resistance of the sink. [Ω]
    supply_voltage : float, optional
        Voltage that the pull-up goes to. [V]

    Returns
    -------
    float
        Voltage on the CC line. [V]

    Raises
    ------
    ValueError
        An argument is not a finite number above 0.

    Notes
    -----
    .. math::

        V_{CC} = V \frac{R_d}{R_p + R_d}

    Valid for resistors of nominal value and no voltage drop between the grounds.

    Examples
    --------
    >>> round(pull_down_voltage(10e3), 6)
    1.688742

    References
    ----------
    .. [1] Voltage divider; a law of circuit theory that needs no source.
    """
    require_positive(pull_up=pull_up, pull_down=pull_down, supply_voltage=supply_voltage)
    return supply_voltage * pull_down / (pull_up + pull_down)


def advert_of_voltage(voltage: float) -> CurrentAdvert | None:
    """Current that a sink reads from the voltage across its pull-down.

    Parameters
    ----------
    voltage : float
        Voltage across the pull-down. [V]

    Returns
    -------
    CurrentAdvert or None
        The promise; None below the lowest threshold. [-]

    Raises
    ------
    ValueError
        The voltage is negative.

    Notes
    -----
    No equation: the highest threshold that the voltage reaches, of 0.20, 0.66 and 1.23 V.

    Examples
    --------
    >>> advert_of_voltage(0.94).current
    1.5

    References
    ----------
    .. [1] USB Type-C Cable and Connector Specification, sink thresholds (values as in forum.digikey.com, topic 7016).
    """
    require_not_negative(voltage=voltage)
    return next((advert for advert in reversed(current_adverts()) if voltage >= advert.sink_threshold), None)


@dataclass(frozen=True, slots=True)
class DedicatedChargingPort:
    """What BC 1.2 asks of a port that only charges.

    Attributes
    ----------
    data_short_resistance : float
        Largest resistance between D+ and D−. [Ω]
    current_min : float
        The port must not limit the current below this. [A]
    current_max : float
        Most that a sink may draw. [A]
    voltage : float
        Nominal voltage. [V]
    voltage_min : float
        Lowest voltage. [V]
    voltage_max : float
        Highest voltage. [V]
    """

    data_short_resistance: float
    current_min: float
    current_max: float
    voltage: float
    voltage_min: float
    voltage_max: float


def dedicated_charging_port() -> DedicatedChargingPort:
    """What BC 1.2 asks of a dedicated charging port.

    Returns
    -------
    DedicatedChargingPort
        Resistance, currents and voltages. [-]

    Notes
    -----
    No equation: a table. The voltage limits are those of BC 1.2; Type-C widens the upper one to 5.5 V. Dividers on D+
    and D− that promise 2.4 A are proprietary and not part of BC 1.2.

    Examples
    --------
    >>> port = dedicated_charging_port()
    >>> port.voltage * port.current_max
    7.5

    References
    ----------
    .. [1] Battery Charging Specification 1.2, dedicated charging port (values seen second-hand).
    """
    return DedicatedChargingPort(200.0, 0.5, 1.5, 5.0, 4.75, 5.25)
