"""Flux density and turns of inductors and transformers."""

from lidoff.engineering._arguments import require_positive


def peak_flux_density(inductance: float, peak_current: float, turns: float, core_area: float) -> float:
    r"""Peak flux density in the core of an inductor or a flyback transformer.

    Parameters
    ----------
    inductance : float
        Inductance of the winding. [H]
    peak_current : float
        Peak current in that winding. [A]
    turns : float
        Turns of that winding. [-]
    core_area : float
        Effective cross-section of the core. [m²]

    Returns
    -------
    float
        Peak flux density. [T]

    Raises
    ------
    ValueError
        An argument is not a finite number above 0.

    Notes
    -----
    .. math::

        B_{pk} = \frac{L I_{pk}}{N A_e}

    Valid below saturation, with all current in one winding at the peak. Fringing at the gap and a centre post that is
    narrower than the effective area make the flux density locally higher.

    Examples
    --------
    >>> peak_flux_density(inductance=310e-6, peak_current=2.9, turns=24, core_area=110e-6)
    0.340530

    References
    ----------
    .. [1] Definition of inductance by linked flux; a law of circuit theory that needs no source.
    """
    require_positive(inductance=inductance, peak_current=peak_current, turns=turns, core_area=core_area)
    return inductance * peak_current / (turns * core_area)


def turns_for_peak_flux_density(inductance: float, peak_current: float, flux_density: float, core_area: float) -> float:
    r"""Smallest number of turns that keeps the peak flux density of a core at a value.

    Parameters
    ----------
    inductance : float
        Inductance of the winding. [H]
    peak_current : float
        Peak current in that winding. [A]
    flux_density : float
        Peak flux density allowed. [T]
    core_area : float
        Effective cross-section of the core. [m²]

    Returns
    -------
    float
        Number of turns, not rounded. [-]

    Raises
    ------
    ValueError
        An argument is not a finite number above 0.

    Notes
    -----
    .. math::

        N = \frac{L I_{pk}}{B_{pk} A_e}

    Valid below saturation.

    Examples
    --------
    >>> turns_for_peak_flux_density(inductance=310e-6, peak_current=2.9, flux_density=0.3, core_area=110e-6)
    27.2424

    References
    ----------
    .. [1] Derivation: `peak_flux_density` solved for the turns.
    """
    require_positive(inductance=inductance, peak_current=peak_current, flux_density=flux_density, core_area=core_area)
    return inductance * peak_current / (flux_density * core_area)


def flux_swing(voltage: float, duration: float, turns: float, core_area: float) -> float:
    r"""Change of flux density while a constant voltage lies across a winding.

    Parameters
    ----------
    voltage : float
        Voltage across the winding. [V]
    duration : float
        Time that it lies there. [s]
    turns : float
        Turns of that winding. [-]
    core_area : float
        Effective cross-section of the core. [m²]

    Returns
    -------
    float
        Change of flux density from one end of that time to the other. [T]

    Raises
    ------
    ValueError
        An argument is not a finite number above 0.

    Notes
    -----
    .. math::

        \Delta B = \frac{V t}{N A_e}

    Faraday's law; winding resistance and leakage are left out. Peak to peak: a core driven both ways has half of it
    as its peak.

    Examples
    --------
    >>> flux_swing(voltage=100, duration=5e-6, turns=24, core_area=110e-6)
    0.189394

    References
    ----------
    .. [1] Faraday's law of induction; it needs no source.
    """
    require_positive(voltage=voltage, duration=duration, turns=turns, core_area=core_area)
    return voltage * duration / (turns * core_area)


def turns_for_flux_swing(voltage: float, duration: float, flux_swing: float, core_area: float) -> float:
    r"""Smallest number of turns that keeps the change of flux density at a value.

    Parameters
    ----------
    voltage : float
        Voltage across the winding. [V]
    duration : float
        Time that it lies there, half the longest period in a half bridge. [s]
    flux_swing : float
        Change of flux density allowed, from peak to peak. [T]
    core_area : float
        Effective cross-section of the core. [m²]

    Returns
    -------
    float
        Number of turns, not rounded. [-]

    Raises
    ------
    ValueError
        An argument is not a finite number above 0.

    Notes
    -----
    .. math::

        N = \frac{V t}{\Delta B A_e}

    For an LLC converter the voltage is the output voltage times the turns ratio.

    Examples
    --------
    >>> turns_for_flux_swing(voltage=16.5 * 12.1, duration=1 / (2 * 30e3), flux_swing=0.62, core_area=161e-6)
    33.3350

    References
    ----------
    .. [1] Derivation: `flux_swing` solved for the turns.
    """
    require_positive(voltage=voltage, duration=duration, flux_swing=flux_swing, core_area=core_area)
    return voltage * duration / (flux_swing * core_area)
