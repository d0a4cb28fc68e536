"""Size, volume, surface and density of a charger, and exact units for showing them."""

from decimal import Decimal
from fractions import Fraction
from math import pi
from types import MappingProxyType

from lidoff.engineering._arguments import require_positive

_INCH = Fraction(254, 10_000)
_OUNCE = Fraction("0.028349523125")
_CENTIMETRE = Fraction(1, 100)
_GRAM = Fraction(1, 1000)

UNITS = MappingProxyType(
    {
        "mm": Fraction(1, 1000),
        "cm²": _CENTIMETRE**2,
        "cm³": _CENTIMETRE**3,
        "g": _GRAM,
        "W/cm³": 1 / _CENTIMETRE**3,
        "W/g": 1 / _GRAM,
        "g/cm³": _GRAM / _CENTIMETRE**3,
        "mW/cm²": Fraction(1, 1000) / _CENTIMETRE**2,
        "in": _INCH,
        "in³": _INCH**3,
        "oz": _OUNCE,
        "W/in³": 1 / _INCH**3,
        "W/oz": 1 / _OUNCE,
    }
)
"""Each unit in SI units, exact."""


def in_unit(quantity: float, unit: str) -> float:
    r"""Number of a unit in a quantity.

    Parameters
    ----------
    quantity : float
        Quantity in SI units: metres, cubic metres, kilograms, watts per cubic metre and so on. [-]
    unit : str
        One of mm, cm², cm³, g, W/cm³, W/g, g/cm³, mW/cm², in, in³, oz, W/in³, W/oz. [-]

    Returns
    -------
    float
        The number, correctly rounded to a double. [-]

    Raises
    ------
    ValueError
        The unit is not in the list.

    Notes
    -----
    .. math::

        n = \frac{x}{u}

    The quantity is taken as the decimal number that it prints as; units and division are exact, so a double is rounded
    once. 1 in = 25.4 mm, 1 in³ = 16.387064 cm³ and 1 oz = 28.349523125 g by definition.

    Examples
    --------
    >>> in_unit(0.0254, "in"), in_unit(0.1, "mm")
    (1.0, 100.0)

    References
    ----------
    .. [1] International yard and pound agreement, 1959 (from memory).
    """
    if unit not in UNITS:
        raise ValueError(f"unit: found {unit}, expected one of {', '.join(UNITS)}")
    above, below = Decimal(repr(float(quantity))).as_integer_ratio()
    return above * UNITS[unit].denominator / (below * UNITS[unit].numerator)


def box_volume(length: float, width: float, height: float) -> float:
    r"""Volume of the box around a body.

    Parameters
    ----------
    length : float
        Length. [m]
    width : float
        Width. [m]
    height : float
        Height. [m]

    Returns
    -------
    float
        Volume. [m³]

    Raises
    ------
    ValueError
        A side is not a finite number above 0.

    Notes
    -----
    .. math::

        V = l w h

    The envelope of the body: prongs, plug and other protrusions are left out, and rounded edges are not taken off.
    State with a result whether it is for the cased product or the bare assembly.

    Examples
    --------
    >>> round(box_volume(0.052, 0.052, 0.028) * 1e6, 6)
    75.712

    References
    ----------
    .. [1] Geometry; the choice of the envelope is common practice, no source.
    """
    require_positive(length=length, width=width, height=height)
    return length * width * height


def cylinder_volume(diameter: float, height: float) -> float:
    r"""Volume of the cylinder around a body.

    Parameters
    ----------
    diameter : float
        Diameter. [m]
    height : float
        Height. [m]

    Returns
    -------
    float
        Volume. [m³]

    Raises
    ------
    ValueError
        A size is not a finite number above 0.

    Notes
    -----
    .. math::

        V = \frac{\pi}{4} d^2 h

    Examples
    --------
    >>> round(cylinder_volume(0.04, 0.05) * 1e6, 3)
    62.832

    References
    ----------
    .. [1] Geometry; the choice of the envelope is common practice, no source.
    """
    require_positive(diameter=diameter, height=height)
    return pi / 4 * diameter**2 * height


def box_surface(length: float, width: float, height: float) -> float:
    r"""Surface of the box around a body.

    Parameters
    ----------
    length : float
        Length. [m]
    width : float
        Width. [m]
    height : float
        Height. [m]

    Returns
    -------
    float
        All six faces, also those that a wall or table covers. [m²]

    Raises
    ------
    ValueError
        A side is not a finite number above 0.

    Notes
    -----
    .. math::

        A = 2 (l w + l h + w h)

    Examples
    --------
    >>> round(box_surface(0.052, 0.052, 0.028) * 1e4, 3)
    112.32

    References
    ----------
    .. [1] Geometry; the choice of the envelope is common practice, no source.
    """
    require_positive(length=length, width=width, height=height)
    return 2 * (length * width + length * height + width * height)


def cylinder_surface(diameter: float, height: float) -> float:
    r"""Surface of the cylinder around a body.

    Parameters
    ----------
    diameter : float
        Diameter. [m]
    height : float
        Height. [m]

    Returns
    -------
    float
        Mantle and both ends. [m²]

    Raises
    ------
    ValueError
        A size is not a finite number above 0.

    Notes
    -----
    .. math::

        A = \pi d h + \frac{\pi}{2} d^2

    Examples
    --------
    >>> round(cylinder_surface(0.04, 0.05) * 1e4, 3)
    87.965

    References
    ----------
    .. [1] Geometry; the choice of the envelope is common practice, no source.
    """
    require_positive(diameter=diameter, height=height)
    return pi * diameter * height + pi / 2 * diameter**2
