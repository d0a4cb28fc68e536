"""Boost power factor correction stage: ripple of its bus, hold-up time, voltage stress."""

from dataclasses import dataclass
from math import pi, sqrt

from lidoff.engineering._arguments import require_not_negative, require_positive


@dataclass(frozen=True, slots=True)
class BusRipple:
    """Ripple at twice the mains frequency on the bus of a power factor correction stage.

    Attributes
    ----------
    maximum : float
        Highest bus voltage. [V]
    minimum : float
        Lowest bus voltage. [V]
    mean : float
        Arithmetic mean of the bus voltage, which a slow control loop holds. [V]
    """

    maximum: float
    minimum: float
    mean: float

    @property
    def peak_to_peak(self) -> float:
        """Highest less lowest bus voltage. [V]"""
        return self.maximum - self.minimum


def _mean_of_root(high: float, low: float) -> float:
    """Mean of the root of a quantity that swings as a sine between two squares: 2/π · high · E(m), by Gauss's mean."""
    arithmetic, geometric, weight, series = high, low, 0.5, (high**2 + low**2) / 2
    while arithmetic - geometric > 1e-15 * arithmetic:
        half_difference = (arithmetic - geometric) / 2
        arithmetic, geometric = (arithmetic + geometric) / 2, sqrt(arithmetic * geometric)
        weight *= 2
        series -= weight * half_difference**2
    return series / arithmetic


def bus_ripple(power: float, capacitance: float, bus_voltage: float, mains_frequency: float) -> BusRipple | None:
    r"""Ripple of the bus that a power factor correction stage charges and a constant-power converter empties.

    Parameters
    ----------
    power : float
        Power that the converter takes from the bus: its output power over its own efficiency. [W]
    capacitance : float
        Capacitance of the bus. [F]
    bus_voltage : float
        Bus voltage, r.m.s.: the root of the mean of its square. [V]
    mains_frequency : float
        Mains frequency. [Hz]

    Returns
    -------
    BusRipple | None
        Highest, lowest and mean voltage [V]; None where the bus reaches zero, because there is no such operation.

    Raises
    ------
    ValueError
        The power is negative, or another argument is not above 0.

    Notes
    -----
    With a mains current in the shape of the mains voltage the stage delivers :math:`P (1 - \cos 2 \omega t)` while
    the converter takes :math:`P`, so that the square of the bus voltage swings as a sine:

    .. math::

        v^2 = V^2 - \frac{P}{\omega C} \sin 2 \omega t

    .. math::

        V_{max} = \sqrt{V^2 + \frac{P}{\omega C}}

    .. math::

        V_{min} = \sqrt{V^2 - \frac{P}{\omega C}}

    Exact for unity power factor, a lossless stage and constant power; ripple at the switching frequency is left out.
    The mean is the complete elliptic integral of the second kind; it lies below the r.m.s. value by hundredths of a
    volt. For small ripple the peak-to-peak value is near :math:`\frac{P}{\omega C V}`. Valid while
    :math:`P < \omega C V^2`.

    Examples
    --------
    >>> ripple = bus_ripple(power=100, capacitance=82e-6, bus_voltage=390, mains_frequency=50)
    >>> ripple.minimum, ripple.maximum, ripple.peak_to_peak
    (384.9911, 394.9453, 9.9542)

    References
    ----------
    .. [1] Derivation in the Notes; checked against numerical integration.
    """
    require_not_negative(power=power)
    require_positive(capacitance=capacitance, bus_voltage=bus_voltage, mains_frequency=mains_frequency)
    swing = power / (2 * pi * mains_frequency * capacitance)
    if swing >= bus_voltage**2:
        return None
    maximum, minimum = sqrt(bus_voltage**2 + swing), sqrt(bus_voltage**2 - swing)
    return BusRipple(maximum, minimum, _mean_of_root(maximum, minimum))


def hold_up_time(power: float, capacitance: float, start_voltage: float, end_voltage: float) -> float:
    r"""Time that a bus carries a constant-power converter after the mains has failed.

    Parameters
    ----------
    power : float
        Power that the converter takes from the bus: its output power over its own efficiency. [W]
    capacitance : float
        Capacitance of the bus. [F]
    start_voltage : float
        Bus voltage when the charging current ends. [V]
    end_voltage : float
        Lowest bus voltage at which the converter still works. [V]

    Returns
    -------
    float
        Time from the start to the end voltage. [s]

    Raises
    ------
    ValueError
        The power, the capacitance or the start voltage is not above 0, or the end voltage is negative or above the
        start voltage.

    Notes
    -----
    .. math::

        t = \frac{C (V_0^2 - V_{min}^2)}{2 P}

    Energy balance; exact for constant power and a lossless capacitor. The mains fails at the worst moment if the
    start voltage is the lowest voltage of the ripple.

    Examples
    --------
    >>> hold_up_time(power=100, capacitance=82e-6, start_voltage=390, end_voltage=320)
    0.020377

    References
    ----------
    .. [1] Derivation in the Notes (energy balance).
    """
    require_positive(power=power, capacitance=capacitance, start_voltage=start_voltage)
    require_not_negative(end_voltage=end_voltage)
    if end_voltage > start_voltage:
        raise ValueError(f"end_voltage: found {end_voltage}, expected at most the start voltage, {start_voltage}")
    return capacitance * (start_voltage**2 - end_voltage**2) / (2 * power)


def boost_stress(bus_voltage: float, mains_voltage: float) -> float:
    r"""Voltage that the switch and the rectifier of a boost stage block.

    Parameters
    ----------
    bus_voltage : float
        Highest bus voltage, ripple and overshoot included. [V]
    mains_voltage : float
        Highest mains voltage, r.m.s. [V]

    Returns
    -------
    float
        Blocking voltage of the switch, and of the rectifier, each. [V]

    Raises
    ------
    ValueError
        An argument is not a finite number above 0.

    Notes
    -----
    .. math::

        V = \max (V_{bus}, \sqrt{2} V_{mains})

    The rectifier joins switch and bus while the switch is open, the switch puts the bus across the rectifier while
    closed. A boost stage cannot hold its bus below the crest of the mains: above it the rectifier conducts directly.
    Ringing of stray inductance comes on top.

    Examples
    --------
    >>> boost_stress(bus_voltage=400, mains_voltage=264)
    400.0
    >>> boost_stress(bus_voltage=250, mains_voltage=264)
    373.352

    References
    ----------
    .. [1] Derivation in the Notes.
    """
    require_positive(bus_voltage=bus_voltage, mains_voltage=mains_voltage)
    return max(float(bus_voltage), sqrt(2) * mains_voltage)
