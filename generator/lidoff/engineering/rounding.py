"""Rounding for show: once, half to even, in decimal."""

from decimal import ROUND_HALF_EVEN, Context, Decimal
from functools import cache
from math import isfinite

_AS_WRITTEN = Context(prec=15, rounding=ROUND_HALF_EVEN)


def round_significant(value: float, digits: int) -> Decimal:
    r"""Round to a number of significant digits.

    Parameters
    ----------
    value : float
        Number to round, in full precision, never one that was rounded before. [-]
    digits : int
        Significant digits of the result, 1 to 14. [-]

    Returns
    -------
    Decimal
        The rounded number; trailing zeros that carry meaning stay. [-]

    Raises
    ------
    ValueError
        The value is not finite, or the number of digits is out of range.

    Notes
    -----
    .. math::

        y = 10^{e} \cdot \text{round} \left( \frac{x}{10^{e}} \right)

    .. math::

        e = \text{floor} \left( \log_{10} |x| \right) - n + 1

    for n digits, where a tie goes to the even digit. The double is first read at 15 significant digits, which every
    double holds, so that 2.675 is a tie and the binary error of a chain of products does not decide it.

    Examples
    --------
    >>> round_significant(14.068565, 3), round_significant(2.675, 3), round_significant(0.857, 1)
    (Decimal('14.1'), Decimal('2.68'), Decimal('0.9'))

    References
    ----------
    .. [1] IEEE 754-2019, clause 4.3.1, roundTiesToEven (from memory).
    """
    if not isfinite(value):
        raise ValueError(f"value: found {value}, expected a finite number")
    if not 1 <= digits <= 14:
        raise ValueError(f"digits: found {digits}, expected 1 to 14")
    rounded = _context(digits).create_decimal(_AS_WRITTEN.create_decimal(value))
    if not rounded:
        return Decimal(0)
    return rounded.quantize(_power_of_ten(rounded.adjusted() - digits + 1))


def round_places(value: float, places: int) -> Decimal:
    r"""Round to a number of decimal places.

    Parameters
    ----------
    value : float
        Number to round, in full precision, never one that was rounded before. [-]
    places : int
        Digits after the decimal point, 0 to 12. [-]

    Returns
    -------
    Decimal
        The rounded number with exactly that many decimals. [-]

    Raises
    ------
    ValueError
        The value is not finite, or the number of places is out of range.

    Notes
    -----
    .. math::

        y = 10^{-n} \cdot \text{round} \left( 10^{n} x \right)

    for n places, where a tie goes to the even digit; the double is read as in `round_significant`.

    Examples
    --------
    >>> round_places(87.725, 2), round_places(0.4, 1)
    (Decimal('87.72'), Decimal('0.4'))

    References
    ----------
    .. [1] IEEE 754-2019, clause 4.3.1, roundTiesToEven (from memory).
    """
    if not isfinite(value):
        raise ValueError(f"value: found {value}, expected a finite number")
    if not 0 <= places <= 12:
        raise ValueError(f"places: found {places}, expected 0 to 12")
    return _AS_WRITTEN.create_decimal(value).quantize(_power_of_ten(-places), ROUND_HALF_EVEN)


@cache
def _context(digits: int) -> Context:
    return Context(prec=digits, rounding=ROUND_HALF_EVEN)


@cache
def _power_of_ten(exponent: int) -> Decimal:
    return Decimal(1).scaleb(exponent)
