"""Current from the mains: in operation, at switch-on, and to earth through Y capacitors."""

from collections.abc import Sequence
from math import pi

from lidoff.engineering._arguments import require_not_negative, require_positive, require_share
from lidoff.engineering.bulk_capacitor import peak_voltage
from lidoff.engineering.capacitor_network import parallel_capacitance, series_capacitance


def mains_current(output_power: float, efficiency: float, power_factor: float, mains_voltage: float) -> float:
    r"""Current that a supply draws from the mains.

    Parameters
    ----------
    output_power : float
        Output power. [W]
    efficiency : float
        Efficiency from mains to output, above 0 and up to 1. [-]
    power_factor : float
        True power factor, distortion included, above 0 and up to 1. [-]
    mains_voltage : float
        Mains voltage, r.m.s. [V]

    Returns
    -------
    float
        Mains current, r.m.s. [A]

    Raises
    ------
    ValueError
        The power is negative, the voltage is not above 0, or a share lies outside 0 to 1.

    Notes
    -----
    .. math::

        I = \frac{P_o}{\eta \lambda V}

    With :math:`\lambda` the power factor. Without power factor correction it is about 0.5 to 0.6 (from memory). The
    current on a label is a maximum at the lowest voltage; it gives no efficiency.

    Examples
    --------
    >>> mains_current(output_power=65, efficiency=0.9, power_factor=0.55, mains_voltage=90)
    1.4590

    References
    ----------
    .. [1] Definitions of power factor and efficiency; they need no source.
    """
    require_not_negative(output_power=output_power)
    require_positive(mains_voltage=mains_voltage)
    require_share(efficiency=efficiency, power_factor=power_factor)
    return output_power / (efficiency * power_factor * mains_voltage)


def inrush_peak(mains_voltage: float, resistance: float) -> float:
    r"""Largest current when a supply is plugged in with an empty bulk capacitor.

    Parameters
    ----------
    mains_voltage : float
        Mains voltage, r.m.s. [V]
    resistance : float
        Resistance of the whole path when cold, of the mains too. [Ω]

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

        I_{pk} = \frac{\sqrt{2} V}{R}

    Upper bound: plugged in at the crest, capacitor empty, no inductance, no rectifier drop. A thermistor that is
    still warm has a small part of its cold resistance.

    Examples
    --------
    >>> inrush_peak(mains_voltage=264, resistance=5)
    74.6705

    References
    ----------
    .. [1] Ohm's law; it needs no source.
    """
    require_positive(resistance=resistance)
    return peak_voltage(mains_voltage) / resistance


def inrush_square_integral(mains_voltage: float, resistance: float, capacitance: float) -> float:
    r"""Integral of the square of the inrush current, to be held against that of a fuse.

    Parameters
    ----------
    mains_voltage : float
        Mains voltage, r.m.s. [V]
    resistance : float
        Resistance of the whole path when cold, of the mains too. [Ω]
    capacitance : float
        Capacitance that is charged. [F]

    Returns
    -------
    float
        Integral of the current squared. [A²s]

    Raises
    ------
    ValueError
        An argument is not a finite number above 0.

    Notes
    -----
    .. math::

        I^2 t = \frac{C (\sqrt{2} V)^2}{2 R}

    The energy that a capacitor takes from a constant source of the crest voltage is lost in the resistance once over.
    Upper bound for any angle of plugging in: the charge comes at no more than the crest voltage. The resistance is
    constant here, while a thermistor warms up and a current goes on to supply the load.

    Examples
    --------
    >>> inrush_square_integral(mains_voltage=264, resistance=5, capacitance=82e-6)
    1.14302

    References
    ----------
    .. [1] Derivation in the Notes; checked against numerical integration at many angles of plugging in.
    """
    require_positive(resistance=resistance, capacitance=capacitance)
    return capacitance * peak_voltage(mains_voltage) ** 2 / (2 * resistance)


def touch_current_bound(branches: Sequence[Sequence[float]], mains_voltage: float, mains_frequency: float) -> float:
    r"""Upper bound of the current through the Y capacitors between the mains side and the output.

    Parameters
    ----------
    branches : Sequence[Sequence[float]]
        Capacitances of the Y capacitors: each inner sequence is in series, the outer one in parallel. [F]
    mains_voltage : float
        Mains voltage, r.m.s. [V]
    mains_frequency : float
        Mains frequency. [Hz]

    Returns
    -------
    float
        Upper bound of the current, r.m.s. [A]

    Raises
    ------
    ValueError
        There is no branch or an empty one, or a number is not a finite number above 0.

    Notes
    -----
    .. math::

        I = 2 \pi f C V

    An upper bound, not the touch current of the unit: the full mains voltage is put across the capacitors, while they
    usually end on a rectified rail and then pass about 0.5 to 0.7 of it (common practice, no published source). The
    body model of the measuring network, capacitance between transformer windings and current at higher frequencies
    are left out. Capacitors from line to protective earth are not to be counted here.

    Examples
    --------
    >>> touch_current_bound([[1e-9]], mains_voltage=264, mains_frequency=60) * 1e6
    99.526
    >>> touch_current_bound([[2.2e-9, 2.2e-9], [1e-9]], mains_voltage=264, mains_frequency=60) * 1e6
    209.004

    References
    ----------
    .. [1] Reactance of a linear capacitor; a law of circuit theory that needs no source.
    """
    require_positive(mains_voltage=mains_voltage, mains_frequency=mains_frequency)
    capacitance = parallel_capacitance([series_capacitance(branch) for branch in branches])
    return 2 * pi * mains_frequency * capacitance * mains_voltage


def largest_y_capacitance(current: float, mains_voltage: float, mains_frequency: float) -> float:
    r"""Capacitance at which the upper bound of the Y-capacitor current reaches a value.

    Parameters
    ----------
    current : float
        Current, r.m.s. [A]
    mains_voltage : float
        Mains voltage, r.m.s. [V]
    mains_frequency : float
        Mains frequency. [Hz]

    Returns
    -------
    float
        Capacitance between the mains side and the output. [F]

    Raises
    ------
    ValueError
        An argument is not a finite number above 0.

    Notes
    -----
    .. math::

        C = \frac{I}{2 \pi f V}

    More capacitance than this does not prove more current than that, because the bound is not the touch current.
    0.25 mA is the limit of IEC 60950-1 (1999) for class II equipment [1]_; 0.5 mA that of IEC 62368-1 for energy
    class ES1 (from memory).

    Examples
    --------
    >>> largest_y_capacitance(current=0.25e-3, mains_voltage=264, mains_frequency=60) * 1e9
    2.51192

    References
    ----------
    .. [1] IEC 60950-1:1999, table 5A, as quoted in a discussion among compliance engineers.
    """
    require_positive(current=current, mains_voltage=mains_voltage, mains_frequency=mains_frequency)
    return current / (2 * pi * mains_frequency * mains_voltage)
