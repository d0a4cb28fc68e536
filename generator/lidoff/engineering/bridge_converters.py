"""Voltage stress in converters with two primary switches: active-clamp and asymmetric half-bridge flyback, LLC."""

from dataclasses import dataclass

from lidoff.engineering._arguments import require_not_negative, require_positive
from lidoff.engineering.flyback import rectifier_stress, reflected_voltage


@dataclass(frozen=True, slots=True)
class ConverterStress:
    """Highest voltages across the parts of a converter with two primary switches.

    Attributes
    ----------
    switch_voltage : float
        Voltage across each open primary switch. [V]
    rectifier_voltage : float
        Reverse voltage of each output rectifier. [V]
    """

    switch_voltage: float
    rectifier_voltage: float


def active_clamp_flyback_stress(
    bus_voltage: float,
    turns_ratio: float,
    output_voltage: float,
    rectifier_drop: float = 0.0,
    clamp_ripple: float = 0.0,
) -> ConverterStress:
    r"""Voltage stress in a flyback converter with active clamp.

    Parameters
    ----------
    bus_voltage : float
        Highest bus voltage: crest of the highest mains voltage, or the bus of a power factor correction stage. [V]
    turns_ratio : float
        Primary turns over secondary turns. [-]
    output_voltage : float
        Highest output voltage. [V]
    rectifier_drop : float
        Forward drop of the output rectifier. [V]
    clamp_ripple : float
        Highest voltage of the clamp capacitor above the reflected voltage. [V]

    Returns
    -------
    ConverterStress
        Voltage of the main and the clamp switch each, and of the output rectifier. [V]

    Raises
    ------
    ValueError
        A voltage or the turns ratio is not above 0, or the drop or the ripple is negative.

    Notes
    -----
    .. math::

        V_{DS} = V_{bus} + n (V_o + V_F) + V_{ripple}

    .. math::

        V_{SR} = V_o + \frac{V_{bus}}{n}

    The clamp capacitor takes the leakage energy, so there is no spike beyond its own ripple.

    Examples
    --------
    >>> active_clamp_flyback_stress(bus_voltage=373.352, turns_ratio=6, output_voltage=20, clamp_ripple=10)
    ConverterStress(switch_voltage=503.352, rectifier_voltage=82.2253)

    References
    ----------
    .. [1] C. Basso, *Switch-Mode Power Supplies*, 2nd edition, chapter 7 (from memory).
    """
    require_not_negative(clamp_ripple=clamp_ripple)
    plateau = bus_voltage + reflected_voltage(turns_ratio, output_voltage, rectifier_drop)
    return ConverterStress(plateau + clamp_ripple, rectifier_stress(bus_voltage, turns_ratio, output_voltage))


def asymmetric_half_bridge_duty_cycle(bus_voltage: float, turns_ratio: float, output_voltage: float) -> float | None:
    r"""Duty cycle of the upper switch of an asymmetric half-bridge flyback converter.

    Parameters
    ----------
    bus_voltage : float
        Bus voltage. [V]
    turns_ratio : float
        Primary turns over secondary turns. [-]
    output_voltage : float
        Output voltage. [V]

    Returns
    -------
    float | None
        Duty cycle [-]; None where it would be 1 or more, because the converter cannot make that output voltage.

    Raises
    ------
    ValueError
        An argument is not a finite number above 0.

    Notes
    -----
    .. math::

        D = \frac{n V_o}{V_{bus}}

    Volt-second balance: the series capacitor carries :math:`D V_{bus}`, which the transformer passes to the output
    while the lower switch conducts. Resonance, dead time, leakage inductance and the rectifier's drop are left out.

    Examples
    --------
    >>> asymmetric_half_bridge_duty_cycle(bus_voltage=400, turns_ratio=8, output_voltage=20)
    0.4

    References
    ----------
    .. [1] Derivation in the Notes.
    """
    require_positive(bus_voltage=bus_voltage, turns_ratio=turns_ratio, output_voltage=output_voltage)
    duty_cycle = turns_ratio * output_voltage / bus_voltage
    return duty_cycle if duty_cycle < 1 else None


def asymmetric_half_bridge_stress(bus_voltage: float, turns_ratio: float) -> ConverterStress:
    r"""Voltage stress in an asymmetric half-bridge flyback converter.

    Parameters
    ----------
    bus_voltage : float
        Highest bus voltage: crest of the highest mains voltage, or the bus of a power factor correction stage. [V]
    turns_ratio : float
        Primary turns over secondary turns. [-]

    Returns
    -------
    ConverterStress
        Voltage of each primary switch and of the output rectifier. [V]

    Raises
    ------
    ValueError
        An argument is not a finite number above 0.

    Notes
    -----
    .. math::

        V_{DS} = V_{bus}

    .. math::

        V_{SR} = V_o + \frac{(1 - D) V_{bus}}{n} = \frac{V_{bus}}{n}

    With :math:`V_o = \frac{D V_{bus}}{n}` the rectifier's stress does not depend on the output voltage. Ringing comes
    on top.

    Examples
    --------
    >>> asymmetric_half_bridge_stress(bus_voltage=400, turns_ratio=8)
    ConverterStress(switch_voltage=400.0, rectifier_voltage=50.0)

    References
    ----------
    .. [1] Derivation in the Notes.
    """
    require_positive(bus_voltage=bus_voltage, turns_ratio=turns_ratio)
    return ConverterStress(float(bus_voltage), bus_voltage / turns_ratio)


def llc_half_bridge_stress(bus_voltage: float, output_voltage: float, centre_tapped: bool) -> ConverterStress:
    r"""Voltage stress in an LLC half-bridge converter.

    Parameters
    ----------
    bus_voltage : float
        Highest bus voltage. [V]
    output_voltage : float
        Highest output voltage. [V]
    centre_tapped : bool
        Whether the secondary is centre-tapped with two rectifiers; otherwise a full bridge of four. [-]

    Returns
    -------
    ConverterStress
        Voltage of each primary switch and of each output rectifier. [V]

    Raises
    ------
    ValueError
        A voltage is not a finite number above 0.

    Notes
    -----
    .. math::

        V_{DS} = V_{bus}

    .. math::

        V_{SR} = 2 V_o \text{ (centre-tapped)}

    .. math::

        V_{SR} = V_o \text{ (full bridge)}

    The half bridge clamps its switches to the bus, the output clamps the rectifiers. The drop of the conducting
    rectifier is left out; ringing comes on top.

    Examples
    --------
    >>> llc_half_bridge_stress(bus_voltage=400, output_voltage=20, centre_tapped=True)
    ConverterStress(switch_voltage=400.0, rectifier_voltage=40.0)

    References
    ----------
    .. [1] Derivation in the Notes.
    """
    require_positive(bus_voltage=bus_voltage, output_voltage=output_voltage)
    return ConverterStress(float(bus_voltage), float(2 * output_voltage if centre_tapped else output_voltage))
