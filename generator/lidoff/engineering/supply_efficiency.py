"""Efficiency of external power supplies as the test procedures define it: points, loads and average."""

from collections.abc import Sequence
from dataclasses import dataclass

from lidoff.engineering._arguments import require_not_negative, require_positive

TEST_LOADS = (1.0, 0.75, 0.5, 0.25)


@dataclass(frozen=True, slots=True)
class OperatingPoint:
    """What follows from one measurement of a supply.

    Attributes
    ----------
    output_power : float
        Output power. [W]
    loss : float
        Power that becomes heat. [W]
    efficiency : float
        Output over input power. [-]
    """

    output_power: float
    loss: float
    efficiency: float


def operating_point(voltage: float, current: float, input_power: float) -> OperatingPoint:
    r"""Output power, loss and efficiency at one load.

    Parameters
    ----------
    voltage : float
        Output voltage, at the end of the supplied cord if there is one. [V]
    current : float
        Output current. [A]
    input_power : float
        Active power taken from the mains. [W]

    Returns
    -------
    OperatingPoint
        Output power, loss and efficiency. [-]

    Raises
    ------
    ValueError
        The input power is not above 0, or voltage or current is negative.

    Notes
    -----
    .. math::

        \eta = \frac{V I}{P_{in}}

    .. math::

        P_{loss} = P_{in} - V I

    Valid for steady output; an efficiency above 1 is returned as it comes, since only a fault of measurement explains
    it.

    Examples
    --------
    >>> point = operating_point(20.05, 0.81, 18.1)
    >>> round(point.efficiency, 4), round(point.loss, 4)
    (0.8973, 1.8595)

    References
    ----------
    .. [1] 10 CFR 430 subpart B, appendix Z, as amended by 87 FR 51221 (19 August 2022), section 6(a)(1).
    """
    require_not_negative(voltage=voltage, current=current)
    require_positive(input_power=input_power)
    output_power = voltage * current
    return OperatingPoint(output_power, input_power - output_power, output_power / input_power)


def average_efficiency(points: Sequence[tuple[float, float] | None]) -> float:
    r"""Average active-mode efficiency of the four loads.

    Parameters
    ----------
    points : sequence of (float, float) or None
        Output and input power at each of the loads 100, 75, 50 and 25 %; None where it cannot be sustained. [W]

    Returns
    -------
    float
        Mean of the efficiencies. [-]

    Raises
    ------
    ValueError
        There are not four loads, none could be sustained, or a power is not above 0.

    Notes
    -----
    .. math::

        \bar{\eta} = \frac{1}{n} \sum_{i=1}^{n} \frac{P_{out,i}}{P_{in,i}}

    over the n loads that the supply sustains. The ratio of the sums is another number and wrong here.

    Examples
    --------
    >>> round(average_efficiency([(65.0, 70.1), (48.75, 52.6), (32.5, 35.4), (16.25, 18.2)]), 6)
    0.916247

    References
    ----------
    .. [1] 10 CFR 430 subpart B, appendix Z, as amended by 87 FR 51221 (19 August 2022), section 6(a)(1)(v)(A).
    """
    if len(points) != len(TEST_LOADS):
        raise ValueError(f"points: found {len(points)}, expected the 4 loads of 100, 75, 50 and 25 %")
    sustained = [point for point in points if point is not None]
    if not sustained:
        raise ValueError("points: found none that the supply sustains, expected at least one")
    for output_power, input_power in sustained:
        require_positive(output_power=output_power, input_power=input_power)
    return sum(output_power / input_power for output_power, input_power in sustained) / len(sustained)


def derating_factor(power: float, ports: Sequence[tuple[float, float]]) -> float:
    r"""Factor by which the loads of several ports are lowered, so that the rated power is not exceeded.

    Parameters
    ----------
    power : float
        Nameplate output power of the whole supply. [W]
    ports : sequence of (float, float)
        Nameplate voltage and current of each port; a USB PD port at its lowest voltage counts with 2 A. [V]

    Returns
    -------
    float
        Factor, at most 1. [-]

    Raises
    ------
    ValueError
        There is no port, or a value is not above 0.

    Notes
    -----
    .. math::

        D = \min\left( 1,\ \frac{P}{\sum V_i I_i} \right)

    Every load is then its percentage of the nameplate current times D.

    Examples
    --------
    >>> round(derating_factor(65.0, [(20.0, 3.25), (20.0, 3.25), (5.0, 2.4)]), 6)
    0.457746

    References
    ----------
    .. [1] 10 CFR 430 subpart B, appendix Z, as amended by 87 FR 51221 (19 August 2022), section 6(b)(1)(iv).
    """
    require_positive(power=power)
    if not ports:
        raise ValueError("ports: found none, expected at least one")
    for voltage, current in ports:
        require_positive(voltage=voltage, current=current)
    return min(1.0, power / sum(voltage * current for voltage, current in ports))


def load_currents(nameplate_current: float, derating: float = 1.0) -> tuple[float, ...]:
    r"""Currents at which a supply is tested.

    Parameters
    ----------
    nameplate_current : float
        Nameplate current of the port at the tested voltage. [A]
    derating : float, optional
        Factor of `derating_factor`. [-]

    Returns
    -------
    tuple of float
        Currents at 100, 75, 50 and 25 %. [A]

    Raises
    ------
    ValueError
        An argument is not above 0.

    Notes
    -----
    .. math::

        I_k = k D I

    for k of 1, 0.75, 0.5 and 0.25. The same percentages give 2, 1.5, 1 and 0.5 A for a USB PD port at its lowest
    voltage, whose nameplate current counts as 2 A whatever its label says [1]_.

    Examples
    --------
    >>> load_currents(2.0)
    (2.0, 1.5, 1.0, 0.5)

    References
    ----------
    .. [1] 10 CFR 430 subpart B, appendix Z, as amended by 87 FR 51221 (19 August 2022), section 6(a)(1)(iii)(B).
    """
    require_positive(nameplate_current=nameplate_current, derating=derating)
    return tuple(share * derating * nameplate_current for share in TEST_LOADS)
