"""Primary current of a flyback converter, by mode of operation."""

from dataclasses import dataclass
from math import sqrt

from lidoff.engineering._arguments import require_positive, require_share


@dataclass(frozen=True, slots=True)
class CurrentRamp:
    """Current in a switch while it conducts: a straight line.

    Attributes
    ----------
    start : float
        Current when the switch turns on. [A]
    end : float
        Current when the switch turns off. [A]
    """

    start: float
    end: float


def boundary_peak_current(power: float, bus_voltage: float, duty_cycle: float) -> float:
    r"""Peak primary current of a flyback converter at the boundary between continuous and discontinuous mode.

    Parameters
    ----------
    power : float
        Power that the converter takes from the bus: its output power over its own efficiency. [W]
    bus_voltage : float
        Bus voltage. [V]
    duty_cycle : float
        Duty cycle at that bus voltage, above 0 and up to 1. [-]

    Returns
    -------
    float
        Peak current. [A]

    Raises
    ------
    ValueError
        The power or the voltage is not above 0, or the duty cycle is not above 0 and up to 1.

    Notes
    -----
    .. math::

        I_{pk} = \frac{2 P}{V_{bus} D}

    A triangle whose mean over the period is the mean bus current. A quasi-resonant converter waits for a valley in
    addition; its peak is higher by the ratio of the whole period to the period without the wait.

    Examples
    --------
    >>> boundary_peak_current(power=72, bus_voltage=100, duty_cycle=0.5)
    2.88

    References
    ----------
    .. [1] Derivation in the Notes (mean of a triangle).
    """
    require_positive(power=power, bus_voltage=bus_voltage)
    require_share(duty_cycle=duty_cycle)
    return 2 * power / (bus_voltage * duty_cycle)


def discontinuous_peak_current(power: float, inductance: float, switching_frequency: float) -> float:
    r"""Peak primary current of a flyback converter in discontinuous mode.

    Parameters
    ----------
    power : float
        Power that the converter takes from the bus: its output power over its own efficiency. [W]
    inductance : float
        Primary inductance. [H]
    switching_frequency : float
        Switching frequency. [Hz]

    Returns
    -------
    float
        Peak current. [A]

    Raises
    ------
    ValueError
        An argument is not a finite number above 0.

    Notes
    -----
    .. math::

        I_{pk} = \sqrt{\frac{2 P}{L f}}

    Each period the inductance stores the energy that the converter takes in it. Valid in discontinuous mode and at
    its boundary.

    Examples
    --------
    >>> discontinuous_peak_current(power=20, inductance=400e-6, switching_frequency=100e3)
    1.0

    References
    ----------
    .. [1] Derivation in the Notes (energy balance of a period).
    """
    require_positive(power=power, inductance=inductance, switching_frequency=switching_frequency)
    return sqrt(2 * power / (inductance * switching_frequency))


def continuous_current(
    power: float, bus_voltage: float, duty_cycle: float, inductance: float, switching_frequency: float
) -> CurrentRamp | None:
    r"""Primary current of a flyback converter in continuous mode while its switch conducts.

    Parameters
    ----------
    power : float
        Power that the converter takes from the bus: its output power over its own efficiency. [W]
    bus_voltage : float
        Bus voltage. [V]
    duty_cycle : float
        Duty cycle at that bus voltage, above 0 and up to 1. [-]
    inductance : float
        Primary inductance. [H]
    switching_frequency : float
        Switching frequency. [Hz]

    Returns
    -------
    CurrentRamp | None
        Current at turn-on and turn-off [A]; None where it would start below zero, because the mode is then
        discontinuous.

    Raises
    ------
    ValueError
        An argument is not above 0, or the duty cycle is above 1.

    Notes
    -----
    .. math::

        I_{mid} = \frac{P}{V_{bus} D}

    .. math::

        \Delta I = \frac{V_{bus} D}{L f}

    The ramp runs from half the rise below the middle value to half the rise above. The drop of the switch is left out.

    Examples
    --------
    >>> continuous_current(power=18.75, bus_voltage=120, duty_cycle=0.49, inductance=3.8e-3, switching_frequency=60e3)
    CurrentRamp(start=0.1899, end=0.4478)

    References
    ----------
    .. [1] R. W. Erickson, D. Maksimović, *Fundamentals of Power Electronics*, 3rd edition, chapter 6 (from memory).
    """
    require_positive(power=power, bus_voltage=bus_voltage)
    require_positive(inductance=inductance, switching_frequency=switching_frequency)
    require_share(duty_cycle=duty_cycle)
    middle = power / (bus_voltage * duty_cycle)
    half_rise = bus_voltage * duty_cycle / (inductance * switching_frequency) / 2
    return CurrentRamp(middle - half_rise, middle + half_rise) if half_rise <= middle else None


def primary_inductance(
    power: float, bus_voltage: float, duty_cycle: float, switching_frequency: float, ripple_ratio: float
) -> float:
    r"""Primary inductance of a flyback transformer that gives a ratio of current ripple.

    Parameters
    ----------
    power : float
        Power that the converter takes from the bus: its output power over its own efficiency. [W]
    bus_voltage : float
        Lowest bus voltage. [V]
    duty_cycle : float
        Duty cycle there, above 0 and up to 1. [-]
    switching_frequency : float
        Switching frequency. [Hz]
    ripple_ratio : float
        Rise of the current while the switch conducts over the middle value, 2 at the boundary of continuous mode. [-]

    Returns
    -------
    float
        Primary inductance. [H]

    Raises
    ------
    ValueError
        An argument is not above 0, or the duty cycle is above 1.

    Notes
    -----
    .. math::

        L = \frac{(V_{bus} D)^2}{f K P}

    With :math:`K` the ripple ratio. Valid in continuous mode and at its boundary.

    Examples
    --------
    >>> primary_inductance(power=18.75, bus_voltage=120, duty_cycle=0.49, switching_frequency=60e3, ripple_ratio=0.8)
    0.0038416

    References
    ----------
    .. [1] Derivation: `continuous_current` solved for the inductance.
    """
    require_positive(power=power, bus_voltage=bus_voltage)
    require_positive(switching_frequency=switching_frequency, ripple_ratio=ripple_ratio)
    require_share(duty_cycle=duty_cycle)
    return (bus_voltage * duty_cycle) ** 2 / (switching_frequency * ripple_ratio * power)
