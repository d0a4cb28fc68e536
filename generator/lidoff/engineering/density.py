"""Power and mass set against the size of a charger."""

from lidoff.engineering._arguments import require_not_negative, require_positive


def power_density(power: float, volume: float) -> float:
    r"""Power in relation to volume.

    Parameters
    ----------
    power : float
        Rated output power. [W]
    volume : float
        Volume of the body or of the bare assembly. [m³]

    Returns
    -------
    float
        Power density. [W/m³]

    Raises
    ------
    ValueError
        An argument is not a finite number above 0.

    Notes
    -----
    .. math::

        p_V = \frac{P}{V}

    Published figures are seldom comparable: some count the case and some do not, and the prongs are left out or not.

    Examples
    --------
    >>> round(power_density(65.0, 75.712e-6) / 1e6, 6)
    0.858516

    References
    ----------
    .. [1] Common practice, no source.
    """
    require_positive(power=power, volume=volume)
    return power / volume


def specific_power(power: float, mass: float) -> float:
    r"""Power in relation to mass.

    Parameters
    ----------
    power : float
        Rated output power. [W]
    mass : float
        Mass of the charger without cables. [kg]

    Returns
    -------
    float
        Specific power. [W/kg]

    Raises
    ------
    ValueError
        An argument is not a finite number above 0.

    Notes
    -----
    .. math::

        p = \frac{P}{m}

    Examples
    --------
    >>> round(specific_power(65.0, 0.118) / 1e3, 6)
    0.550847

    References
    ----------
    .. [1] Common practice, no source.
    """
    require_positive(power=power, mass=mass)
    return power / mass


def mean_density(mass: float, volume: float) -> float:
    r"""Mass in relation to the volume of the envelope.

    Parameters
    ----------
    mass : float
        Mass of the charger without cables. [kg]
    volume : float
        Volume of the body. [m³]

    Returns
    -------
    float
        Mean density. [kg/m³]

    Raises
    ------
    ValueError
        An argument is not a finite number above 0.

    Notes
    -----
    .. math::

        d = \frac{m}{V}

    Examples
    --------
    >>> round(mean_density(0.112, 70e-6))
    1600

    References
    ----------
    .. [1] Definition of density.
    """
    require_positive(mass=mass, volume=volume)
    return mass / volume


def heat_flux(loss: float, surface: float) -> float:
    r"""Heat that leaves a body, in relation to its surface.

    Parameters
    ----------
    loss : float
        Power that becomes heat. [W]
    surface : float
        Surface of the body. [m²]

    Returns
    -------
    float
        Mean heat flux. [W/m²]

    Raises
    ------
    ValueError
        The loss is negative, or the surface is not above 0.

    Notes
    -----
    .. math::

        q = \frac{P_{loss}}{A}

    A mean over the whole envelope: the wall, the prongs and the cable carry part of the heat, and hot spots are above
    it.

    Examples
    --------
    >>> round(heat_flux(5.0, 112.32e-4), 1)
    445.2

    References
    ----------
    .. [1] Definition of heat flux.
    """
    require_not_negative(loss=loss)
    require_positive(surface=surface)
    return loss / surface
