"""Turns ratios of a flyback transformer that the ratings of its switch and rectifier leave open."""

from dataclasses import dataclass
from math import inf

from lidoff.engineering._arguments import require_not_negative, require_positive


@dataclass(frozen=True, slots=True)
class TurnsRatioWindow:
    """Bounds of primary turns over secondary turns; a bound that was not asked for is None.

    Attributes
    ----------
    least_by_rectifier : float | None
        Lower bound from the reverse voltage of the output rectifier; infinite where that is not above the output
        voltage. [-]
    most_by_switch : float | None
        Upper bound from the voltage of the primary switch, 0 where the bus alone reaches it. [-]
    most_by_duty_cycle : float | None
        Upper bound from the largest duty cycle at the lowest bus voltage. [-]
    most_by_reflected_voltage : float | None
        Upper bound from a limit of the reflected voltage. [-]
    """

    least_by_rectifier: float | None
    most_by_switch: float | None
    most_by_duty_cycle: float | None
    most_by_reflected_voltage: float | None

    @property
    def lower(self) -> float:
        """Smallest turns ratio that is open, 0 where nothing bounds it. [-]"""
        return 0.0 if self.least_by_rectifier is None else self.least_by_rectifier

    @property
    def upper(self) -> float | None:
        """Largest turns ratio that is open, None where nothing bounds it. [-]"""
        bounds = (self.most_by_switch, self.most_by_duty_cycle, self.most_by_reflected_voltage)
        return min((bound for bound in bounds if bound is not None), default=None)

    @property
    def is_empty(self) -> bool:
        """Whether no turns ratio keeps all bounds. [-]"""
        return self.lower == inf or (self.upper is not None and self.upper < self.lower)


def turns_ratio_by_duty_cycle(
    bus_voltage: float, largest_duty_cycle: float, output_voltage: float, rectifier_drop: float = 0.0
) -> float:
    r"""Turns ratio of a flyback transformer at which the duty cycle reaches its largest value.

    Parameters
    ----------
    bus_voltage : float
        Lowest bus voltage. [V]
    largest_duty_cycle : float
        Duty cycle there, between 0 and 1. [-]
    output_voltage : float
        Highest output voltage. [V]
    rectifier_drop : float
        Forward drop of the output rectifier. [V]

    Returns
    -------
    float
        Primary turns over secondary turns. [-]

    Raises
    ------
    ValueError
        A voltage is not above 0, the drop is negative, or the duty cycle is not between 0 and 1.

    Notes
    -----
    .. math::

        n = \frac{D}{1 - D} \cdot \frac{V_{bus}}{V_o + V_F}

    Volt-second balance; valid in continuous mode and at its boundary.

    Examples
    --------
    >>> turns_ratio_by_duty_cycle(bus_voltage=126.1, largest_duty_cycle=0.28, output_voltage=5, rectifier_drop=0.7)
    8.60331

    References
    ----------
    .. [1] R. W. Erickson, D. Maksimović, *Fundamentals of Power Electronics*, 3rd edition, chapter 6 (from memory).
    """
    require_positive(bus_voltage=bus_voltage, output_voltage=output_voltage)
    require_not_negative(rectifier_drop=rectifier_drop)
    if not 0 < largest_duty_cycle < 1:
        raise ValueError(f"largest_duty_cycle: found {largest_duty_cycle}, expected a number between 0 and 1")
    return largest_duty_cycle / (1 - largest_duty_cycle) * bus_voltage / (output_voltage + rectifier_drop)


def turns_ratio_by_switch(
    bus_voltage: float,
    switch_voltage: float,
    output_voltage: float,
    rectifier_drop: float = 0.0,
    spike_ratio: float = 0.0,
) -> float:
    r"""Turns ratio of a flyback transformer at which the primary switch reaches a voltage.

    Parameters
    ----------
    bus_voltage : float
        Highest bus voltage. [V]
    switch_voltage : float
        Highest voltage allowed across the switch. [V]
    output_voltage : float
        Highest output voltage. [V]
    rectifier_drop : float
        Forward drop of the output rectifier. [V]
    spike_ratio : float
        Spike of the leakage inductance over the reflected voltage. [-]

    Returns
    -------
    float
        Primary turns over secondary turns, 0 where the bus alone reaches the voltage. [-]

    Raises
    ------
    ValueError
        A voltage is not above 0, or the drop or the spike ratio is negative.

    Notes
    -----
    .. math::

        n = \frac{V_{DS} - V_{bus}}{(1 + k) (V_o + V_F)}

    With :math:`k` the spike ratio, 0 for an active clamp. For a spike known in volts take it off the switch voltage
    instead.

    Examples
    --------
    >>> turns_ratio_by_switch(bus_voltage=373.352, switch_voltage=585, output_voltage=20, spike_ratio=0.5)
    7.05493

    References
    ----------
    .. [1] Derivation: `flyback.switch_stress` solved for the turns ratio.
    """
    require_positive(bus_voltage=bus_voltage, switch_voltage=switch_voltage, output_voltage=output_voltage)
    require_not_negative(rectifier_drop=rectifier_drop, spike_ratio=spike_ratio)
    return max(0.0, switch_voltage - bus_voltage) / ((1 + spike_ratio) * (output_voltage + rectifier_drop))


def turns_ratio_by_rectifier(bus_voltage: float, rectifier_voltage: float, output_voltage: float) -> float:
    r"""Turns ratio of a flyback transformer at which the output rectifier reaches a reverse voltage.

    Parameters
    ----------
    bus_voltage : float
        Highest bus voltage. [V]
    rectifier_voltage : float
        Highest reverse voltage allowed. [V]
    output_voltage : float
        Highest output voltage. [V]

    Returns
    -------
    float
        Primary turns over secondary turns, infinite where the reverse voltage is not above the output voltage. [-]

    Raises
    ------
    ValueError
        An argument is not a finite number above 0.

    Notes
    -----
    .. math::

        n = \frac{V_{bus}}{V_{SR} - V_o}

    For ringing take it off the reverse voltage.

    Examples
    --------
    >>> turns_ratio_by_rectifier(bus_voltage=373.352, rectifier_voltage=80, output_voltage=20)
    6.22253

    References
    ----------
    .. [1] Derivation: `flyback.rectifier_stress` solved for the turns ratio.
    """
    require_positive(bus_voltage=bus_voltage, rectifier_voltage=rectifier_voltage, output_voltage=output_voltage)
    if rectifier_voltage <= output_voltage:
        return inf
    return bus_voltage / (rectifier_voltage - output_voltage)


def turns_ratio_window(
    *,
    highest_bus_voltage: float,
    output_voltage: float,
    rectifier_drop: float = 0.0,
    rectifier_voltage: float | None = None,
    switch_voltage: float | None = None,
    spike_ratio: float = 0.0,
    lowest_bus_voltage: float | None = None,
    largest_duty_cycle: float | None = None,
    largest_reflected_voltage: float | None = None,
) -> TurnsRatioWindow:
    r"""Turns ratios of a flyback transformer that keep the ratings of its switch and rectifier.

    Parameters
    ----------
    highest_bus_voltage : float
        Highest bus voltage: crest of the highest mains voltage, or the bus of a power factor correction stage. [V]
    output_voltage : float
        Highest output voltage. [V]
    rectifier_drop : float
        Forward drop of the output rectifier. [V]
    rectifier_voltage : float | None
        Highest reverse voltage allowed at the output rectifier. [V]
    switch_voltage : float | None
        Highest voltage allowed across the primary switch. [V]
    spike_ratio : float
        Spike of the leakage inductance over the reflected voltage. [-]
    lowest_bus_voltage : float | None
        Lowest bus voltage, at which the largest duty cycle is reached. [V]
    largest_duty_cycle : float | None
        Largest duty cycle, between 0 and 1; bounds only together with the lowest bus voltage. [-]
    largest_reflected_voltage : float | None
        Largest reflected voltage. [V]

    Returns
    -------
    TurnsRatioWindow
        Each bound and the window between them, primary turns over secondary turns. [-]

    Raises
    ------
    ValueError
        A voltage is not above 0, the drop or the spike ratio is negative, or the duty cycle is not between 0 and 1.

    Notes
    -----
    .. math::

        \frac{V_{bus}}{V_{SR} - V_o} \le n \le \min \left( \frac{V_{DS} - V_{bus}}{(1 + k) (V_o + V_F)},
        \frac{D}{1 - D} \cdot \frac{V_{bus,min}}{V_o + V_F}, \frac{V_R}{V_o + V_F} \right)

    What is allowed is the caller's choice, such as a rating times a derating. An empty window says that the recorded
    parts and the assumptions (spike, derating, one flyback stage) do not go together, not which of them is wrong.

    Examples
    --------
    >>> window = turns_ratio_window(highest_bus_voltage=373.352, output_voltage=20, rectifier_voltage=80,
    ...                             switch_voltage=585, spike_ratio=0.5)
    >>> window.lower, window.upper, window.is_empty
    (6.2225, 7.0549, False)

    References
    ----------
    .. [1] Derivation: the stresses of `flyback` solved for the turns ratio.
    """
    require_positive(highest_bus_voltage=highest_bus_voltage, output_voltage=output_voltage)
    require_not_negative(rectifier_drop=rectifier_drop, spike_ratio=spike_ratio)
    least = by_switch = by_duty = by_reflected = None
    if rectifier_voltage is not None:
        least = turns_ratio_by_rectifier(highest_bus_voltage, rectifier_voltage, output_voltage)
    if switch_voltage is not None:
        by_switch = turns_ratio_by_switch(
            highest_bus_voltage, switch_voltage, output_voltage, rectifier_drop, spike_ratio
        )
    if lowest_bus_voltage is not None and largest_duty_cycle is not None:
        by_duty = turns_ratio_by_duty_cycle(lowest_bus_voltage, largest_duty_cycle, output_voltage, rectifier_drop)
    if largest_reflected_voltage is not None:
        require_positive(largest_reflected_voltage=largest_reflected_voltage)
        by_reflected = largest_reflected_voltage / (output_voltage + rectifier_drop)
    return TurnsRatioWindow(least, by_switch, by_duty, by_reflected)
