"""Bulk capacitor behind a mains rectifier: crest and valley of its voltage, stored energy, size by power."""

from dataclasses import dataclass
from math import asin, pi, sin, sqrt

from lidoff.engineering._arguments import require_not_negative, require_positive


@dataclass(frozen=True, slots=True)
class BusValley:
    """Ripple of a rectified bus in steady state, one half cycle of the mains.

    Attributes
    ----------
    peak_voltage : float
        Highest bus voltage, at the crest of the mains. [V]
    valley_voltage : float
        Lowest bus voltage, where the bridge begins to conduct again. [V]
    conduction_time : float
        Time that the bridge conducts in each half cycle. [s]
    turn_on_angle : float
        Mains angle at which the bridge begins to conduct, counted from the zero crossing. [rad]
    turn_off_angle : float
        Mains angle at which the bridge stops conducting, counted from the same zero crossing. [rad]
    """

    peak_voltage: float
    valley_voltage: float
    conduction_time: float
    turn_on_angle: float
    turn_off_angle: float


def peak_voltage(mains_voltage: float, bridge_drop: float = 0.0) -> float:
    r"""Voltage to which the mains crest charges a bulk capacitor.

    Parameters
    ----------
    mains_voltage : float
        Mains voltage, r.m.s. [V]
    bridge_drop : float
        Forward drop of all rectifiers in the path together, two in a bridge. [V]

    Returns
    -------
    float
        Crest of the bus voltage. [V]

    Raises
    ------
    ValueError
        The mains voltage is not above 0, or the drop is negative or not below the crest.

    Notes
    -----
    .. math::

        V_{pk} = \sqrt{2} V_{mains} - V_{drop}

    Valid for a sine wave without source impedance. For stress take the highest mains voltage, which is the highest
    printed voltage plus its tolerance (264 V for 240 V and 10 %) [1]_. A boost stage holds the bus above this value.

    Examples
    --------
    >>> peak_voltage(264)
    373.352
    >>> peak_voltage(90, bridge_drop=1.7)
    125.579

    References
    ----------
    .. [1] Application note AN-6094, Design guideline for flyback charger, revision 1.0.0, 27 September 2012, step 2,
       equation 16, page 6: 373 V at 264 V.
    """
    require_positive(mains_voltage=mains_voltage)
    require_not_negative(bridge_drop=bridge_drop)
    crest = sqrt(2) * mains_voltage
    if bridge_drop >= crest:
        raise ValueError(f"bridge_drop: found {bridge_drop}, expected less than the crest of the mains, {crest}")
    return crest - bridge_drop


def _turn_on_angle(turn_off_angle: float, load_ratio: float) -> float | None:
    """Where the falling bus meets the rising mains again, by bisection; nowhere if the bus is empty before."""

    full = sin(turn_off_angle) ** 2

    def excess(angle: float) -> float:
        """Bus voltage squared above mains voltage squared, over the crest squared; falls as the angle grows."""
        return full - load_ratio * (pi + angle - turn_off_angle) - sin(angle) ** 2

    low, high = 0.0, pi / 2
    if excess(low) <= 0:
        return None
    while low < (middle := (low + high) / 2) < high:
        low, high = (middle, high) if excess(middle) >= 0 else (low, middle)
    return high


def bus_valley(
    power: float, capacitance: float, mains_voltage: float, mains_frequency: float, bridge_drop: float = 0.0
) -> BusValley | None:
    r"""Lowest voltage of a bulk capacitor that a bridge charges and a constant-power converter empties.

    Parameters
    ----------
    power : float
        Power that the converter takes from the bus: its output power over its own efficiency. [W]
    capacitance : float
        Capacitance of the bus. [F]
    mains_voltage : float
        Mains voltage, r.m.s. [V]
    mains_frequency : float
        Mains frequency. [Hz]
    bridge_drop : float
        Forward drop of all rectifiers in the path together, two in a bridge. [V]

    Returns
    -------
    BusValley | None
        Voltages [V], conduction time [s] and angles [rad]; None where the bus reaches zero or has no conduction end,
        because there is no such operation.

    Raises
    ------
    ValueError
        The power is negative, another argument is not above 0, or the drop is not below the crest.

    Notes
    -----
    The bridge stops conducting at the angle at which its current falls to zero, after the crest; from there the
    square of the bus voltage falls in a straight line until it meets the next half wave:

    .. math::

        \theta_1 = \frac{\pi}{2} + \frac{1}{2} \arcsin \frac{2 P}{\omega C V_{pk}^2}

    .. math::

        V_{pk}^2 \sin^2 \theta_1 - \frac{2 P (\pi + \theta_2 - \theta_1)}{\omega C} = V_{pk}^2 \sin^2 \theta_2

    .. math::

        V_{min} = V_{pk} \sin \theta_2

    This is the exact solution of an ideal model: sine wave, no source impedance or filter choke, ideal rectifiers,
    constant power. The second equation is solved by bisection to the last digit. It holds for
    :math:`2 P < \omega C V_{pk}^2` and while the bus stays above zero; a real converter stops earlier, at its
    brown-out level. Real source impedance lowers the crest and lengthens conduction. A forward drop is taken off the
    crest and so scales the whole half wave; taken off at every angle it would lower the valley by up to 0.25 V more
    in 70 V. Does not apply behind a power factor correction stage.

    Examples
    --------
    >>> valley = bus_valley(power=65, capacitance=82e-6, mains_voltage=90, mains_frequency=47)
    >>> valley.valley_voltage
    70.9911
    >>> valley.conduction_time
    0.0038874
    >>> print(bus_valley(power=65, capacitance=33e-6, mains_voltage=90, mains_frequency=47))
    None

    References
    ----------
    .. [1] Derivation in the Notes; checked against numerical integration of the ideal model and against a circuit
       simulator.
    """
    require_not_negative(power=power)
    require_positive(capacitance=capacitance, mains_frequency=mains_frequency)
    peak = peak_voltage(mains_voltage, bridge_drop)
    omega = 2 * pi * mains_frequency
    load_ratio = 2 * power / (omega * capacitance * peak**2)
    if load_ratio >= 1:
        return None
    turn_off = pi / 2 + asin(load_ratio) / 2
    turn_on = _turn_on_angle(turn_off, load_ratio)
    if turn_on is None:
        return None
    return BusValley(peak, peak * sin(turn_on), (turn_off - turn_on) / omega, turn_on, turn_off)


def stored_energy(capacitance: float, voltage: float) -> float:
    r"""Energy stored in a capacitor.

    Parameters
    ----------
    capacitance : float
        Capacitance. [F]
    voltage : float
        Voltage across it. [V]

    Returns
    -------
    float
        Stored energy. [J]

    Raises
    ------
    ValueError
        The capacitance is not above 0, or the voltage is not a finite number.

    Notes
    -----
    .. math::

        E = \frac{1}{2} C V^2

    Valid for a linear capacitor. The capacitance of an aluminium electrolytic capacitor is commonly within 20 % of
    the printed one (common practice, no published source).

    Examples
    --------
    >>> stored_energy(82e-6, 390)
    6.2361

    References
    ----------
    .. [1] Energy of a linear capacitor; a law of circuit theory that needs no source.
    """
    require_positive(capacitance=capacitance)
    require_not_negative(voltage=abs(voltage))
    return capacitance * voltage**2 / 2


def capacitance_per_power(capacitance: float, power: float) -> float:
    r"""Bulk capacitance for each watt.

    Parameters
    ----------
    capacitance : float
        Capacitance of the bus. [F]
    power : float
        Output or input power; the caller says which. [W]

    Returns
    -------
    float
        Capacitance over power; a millionth of it is one microfarad per watt. [F/W]

    Raises
    ------
    ValueError
        An argument is not a finite number above 0.

    Notes
    -----
    .. math::

        k = \frac{C}{P}

    A ratio, not a limit. A design guide names 2 to 3 µF for each watt of *input* power for the universal mains range
    and 1 µF for 195 V to 264 V [1]_. Compact chargers with 1.2 to 1.8 µF for each watt of *output* power are common
    (common practice, no published source).

    Examples
    --------
    >>> capacitance_per_power(82e-6, 65)
    1.2615e-06

    References
    ----------
    .. [1] Application note AN-6094, Design guideline for flyback charger, revision 1.0.0, 27 September 2012, step 2,
       page 6.
    """
    require_positive(capacitance=capacitance, power=power)
    return capacitance / power
