"""Preferred values of resistors and capacitors: the E series."""

from decimal import Context, Decimal
from math import log10
from typing import Literal

from lidoff.engineering._arguments import require_positive

SeriesSize = Literal[3, 6, 12, 24, 48, 96, 192]
SERIES_SIZES: tuple[SeriesSize, ...] = (3, 6, 12, 24, 48, 96, 192)

_E24 = (
    100, 110, 120, 130, 150, 160, 180, 200, 220, 240, 270, 300,
    330, 360, 390, 430, 470, 510, 560, 620, 680, 750, 820, 910,
)  # fmt: skip
"""Tabulated: 270 to 470 and 820 are not what the rounded formula gives."""
_EXCEPTION = {919: 920}
"""The one value of E192 that departs from the rounded formula."""


def series_values(size: SeriesSize) -> tuple[int, ...]:
    r"""Values of an E series over one decade.

    Parameters
    ----------
    size : int
        Number of values in a decade: 3, 6, 12, 24, 48, 96 or 192. [-]

    Returns
    -------
    tuple of int
        Values from 100 to 999. [-]

    Raises
    ------
    ValueError
        There is no such series.

    Notes
    -----
    .. math::

        x_k = \text{round} \left( 100 \cdot 10^{k/n} \right)

    for k from 0 to n − 1 in E48, E96 and E192, with 920 instead of 919 in E192. E3 to E24 are tabulated and differ from
    the formula; E12, E6 and E3 take every second value of the series before.

    Examples
    --------
    >>> series_values(6)
    (100, 150, 220, 330, 470, 680)

    References
    ----------
    .. [1] IEC 60063:2015, tables of the E series (from memory; equal to the package eseries 1.2.1).
    """
    if size not in SERIES_SIZES:
        raise ValueError(f"size: found {size}, expected one of {', '.join(map(str, SERIES_SIZES))}")
    if size <= 24:
        return _E24[:: 24 // size]
    formula = (round(100 * 10 ** (k / size)) for k in range(size))
    return tuple(_EXCEPTION.get(value, value) for value in formula)


def is_preferred(value: float, size: SeriesSize) -> bool:
    """Whether a value belongs to an E series, in any decade.

    Parameters
    ----------
    value : float
        Resistance, capacitance or inductance in any unit of a power of ten. [-]
    size : int
        Number of values in a decade: 3, 6, 12, 24, 48, 96 or 192. [-]

    Returns
    -------
    bool
        True where the value is one of the series times a power of ten. [-]

    Raises
    ------
    ValueError
        The value is not a finite number above 0, or there is no such series.

    Notes
    -----
    No equation: the digits are compared, after reading the double at 12 significant digits.

    Examples
    --------
    >>> is_preferred(82e-6, 12), is_preferred(400.0, 24)
    (True, False)

    References
    ----------
    .. [1] IEC 60063:2015 (from memory).
    """
    require_positive(value=value)
    number = Context(prec=12).create_decimal(value)
    digits = number.scaleb(2 - number.adjusted())
    return digits in {Decimal(item) for item in series_values(size)}


def nearest_preferred(value: float, size: SeriesSize) -> float:
    r"""Value of an E series that is nearest in ratio.

    Parameters
    ----------
    value : float
        Resistance, capacitance or inductance in any unit of a power of ten. [-]
    size : int
        Number of values in a decade: 3, 6, 12, 24, 48, 96 or 192. [-]

    Returns
    -------
    float
        The nearest value; of two equally near ones the lower. [-]

    Raises
    ------
    ValueError
        The value is not a finite number above 0, or there is no such series.

    Notes
    -----
    .. math::

        \left| \ln \frac{x}{v} \right| = \min \left| \ln \frac{x_k}{v} \right|

    for the value v and the members x of the series. Nearness is taken as a ratio, since the steps of a series are
    ratios.

    Examples
    --------
    >>> nearest_preferred(84.0, 12), nearest_preferred(9.9e-9, 6)
    (82.0, 1e-08)

    References
    ----------
    .. [1] IEC 60063:2015 (from memory); nearness in ratio is common practice, no source.
    """
    require_positive(value=value)
    decade = Decimal(value).adjusted() - 2
    values = (*series_values(size), 1000)
    nearest = min(values, key=lambda item: abs(log10(item) + decade - log10(value)))
    return float(Decimal(nearest).scaleb(decade))
