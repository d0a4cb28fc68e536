"""Conditions of the test procedures for external power supplies: mains, load and the limit for adaptive supplies."""

from math import isclose

from lidoff.engineering._arguments import require_not_negative, require_positive
from lidoff.engineering.supply_limits import Regulation

ADAPTIVE_EU_NO_LOAD_POWER = 0.21
"""No-load limit [W] that the EU applies to a supply that changes its voltage, at any power up to 250 W."""
LARGEST_EU_POWER = 250.0
_MAINS = {"us-level-vi": (115.0, 60.0), "eu-2019-1782": (230.0, 50.0)}
_MAINS_TOLERANCE = 0.01
_LOAD_TOLERANCE = 0.02


def regulation_of_mains(mains_voltage: float, mains_frequency: float) -> Regulation | None:
    """Document whose test procedure uses these mains.

    Parameters
    ----------
    mains_voltage : float
        Mains voltage, r.m.s. [V]
    mains_frequency : float
        Mains frequency. [Hz]

    Returns
    -------
    str or None
        us-level-vi at 115 V 60 Hz, eu-2019-1782 at 230 V 50 Hz, each within 1 %; None elsewhere. [-]

    Raises
    ------
    ValueError
        An argument is negative.

    Notes
    -----
    No equation: the US procedure asks for 115 V and 60 Hz, each within 1 % [1]_; that the EU uses 230 V and 50 Hz with
    the same tolerance is from memory.

    Examples
    --------
    >>> regulation_of_mains(115.4, 60), regulation_of_mains(100, 50)
    ('us-level-vi', None)

    References
    ----------
    .. [1] 10 CFR 430 subpart B, appendix Z, as amended by 87 FR 51221 (19 August 2022), test conditions.
    """
    require_not_negative(mains_voltage=mains_voltage, mains_frequency=mains_frequency)
    for regulation, (voltage, frequency) in _MAINS.items():
        near = isclose(mains_voltage, voltage, rel_tol=_MAINS_TOLERANCE)
        if near and isclose(mains_frequency, frequency, rel_tol=_MAINS_TOLERANCE):
            return regulation
    return None


def load_matches(current: float, wanted: float, nameplate_current: float) -> bool:
    r"""Whether a load is the one that the test procedure asks for.

    Parameters
    ----------
    current : float
        Current that was drawn. [A]
    wanted : float
        Current that the procedure asks for at this load. [A]
    nameplate_current : float
        Current that 100 % stands for. [A]

    Returns
    -------
    bool
        True within the tolerance. [-]

    Raises
    ------
    ValueError
        The nameplate current is not above 0, or another current is negative.

    Notes
    -----
    .. math::

        \left| I - I_k \right| \le 0.02 \, I_{nameplate}

    The tolerance of 2 % of the nameplate current is from memory; for several voltages at once the procedure asks for
    0.5 % [1]_.

    Examples
    --------
    >>> load_matches(0.81, 0.8125, 3.25), load_matches(0.70, 0.8125, 3.25)
    (True, False)
    >>> load_matches(0.75, 0.5, 2.0)
    False

    References
    ----------
    .. [1] 10 CFR 430 subpart B, appendix Z, as amended by 87 FR 51221 (19 August 2022), table of loading conditions.
    """
    require_not_negative(current=current, wanted=wanted)
    require_positive(nameplate_current=nameplate_current)
    return abs(current - wanted) <= _LOAD_TOLERANCE * nameplate_current + 1e-9


def adaptive_no_load_limit(power: float) -> float | None:
    """No-load limit that the EU applies to a supply that changes its output voltage.

    Parameters
    ----------
    power : float
        Nameplate output power. [W]

    Returns
    -------
    float or None
        0.21 W; None above 250 W, where the regulation ends. [W]

    Raises
    ------
    ValueError
        The power is not a finite number above 0.

    Notes
    -----
    No equation: the published answers accept the US test method for such supplies and then apply 0.21 W.

    Examples
    --------
    >>> adaptive_no_load_limit(45.0)
    0.21

    References
    ----------
    .. [1] European Commission, frequently asked questions on Regulation (EU) 2019/1782,
       energy-efficient-products.ec.europa.eu.
    """
    require_positive(power=power)
    return ADAPTIVE_EU_NO_LOAD_POWER if power <= LARGEST_EU_POWER else None
