"""Limits of mains harmonic current: classes A and D, and the power from which they apply."""

from lidoff.engineering._arguments import require_positive

THRESHOLD_POWER = 75.0
"""Rated input power up to which no limits apply, lighting excepted. From memory of IEC 61000-3-2 clause 7. [W]"""

_CLASS_A_ODD = {3: 2.30, 5: 1.14, 7: 0.77, 9: 0.40, 11: 0.33, 13: 0.21}  # A
_CLASS_A_EVEN = {2: 1.08, 4: 0.43, 6: 0.30}  # A
_CLASS_D = {3: 3.4e-3, 5: 1.9e-3, 7: 1.0e-3, 9: 0.5e-3, 11: 0.35e-3}  # A for each watt


def _require_order(order: int) -> None:
    if order not in range(2, 41):
        raise ValueError(f"order: found {order}, expected a whole number from 2 to 40")


def class_a_limit(order: int) -> float:
    r"""Limit of one harmonic of the mains current, class A.

    Parameters
    ----------
    order : int
        Order of the harmonic, 2 to 40. [-]

    Returns
    -------
    float
        Largest current of that harmonic, r.m.s. [A]

    Raises
    ------
    ValueError
        The order is not a whole number from 2 to 40.

    Notes
    -----
    Odd orders 3, 5, 7, 9, 11, 13: 2.30, 1.14, 0.77, 0.40, 0.33, 0.21 A. Even orders 2, 4, 6: 1.08, 0.43, 0.30 A.
    Above these:

    .. math::

        I_{odd} = 0.15 \cdot \frac{15}{n}

    .. math::

        I_{even} = 0.23 \cdot \frac{8}{n}

    For equipment up to 16 A for each phase on public mains of 220 V and more [1]_. A charger that is not a computer or
    television supply belongs to class A.

    Examples
    --------
    >>> class_a_limit(5), class_a_limit(21), class_a_limit(40)
    (1.14, 0.10714, 0.046)

    References
    ----------
    .. [1] IEC 61000-3-2, table of limits for class A equipment, seen as reproduced in a laboratory's test report;
       edition not stated there.
    """
    _require_order(order)
    if order % 2:
        return _CLASS_A_ODD.get(order, 0.15 * 15 / order)
    return _CLASS_A_EVEN.get(order, 0.23 * 8 / order)


def class_d_limit(order: int, power: float) -> float | None:
    r"""Limit of one harmonic of the mains current, class D.

    Parameters
    ----------
    order : int
        Order of the harmonic, 2 to 40. [-]
    power : float
        Rated input power. [W]

    Returns
    -------
    float | None
        Largest current of that harmonic, r.m.s. [A]; None for an even order, which class D leaves without limit.

    Raises
    ------
    ValueError
        The order is not a whole number from 2 to 40, or the power is not a finite number above 0.

    Notes
    -----
    Orders 3, 5, 7, 9, 11: 3.4, 1.9, 1.0, 0.5, 0.35 mA for each watt. Above these:

    .. math::

        I = \frac{3.85 \cdot 10^{-3} P}{n}

    Never more than the limit of class A. Class D is for computers, monitors and television sets of 75 W to 600 W
    [1]_; the range is not checked here.

    Examples
    --------
    >>> class_d_limit(3, 500), class_d_limit(3, 700)
    (1.7, 2.3)
    >>> class_d_limit(39, 100)
    0.0098718

    References
    ----------
    .. [1] IEC 61000-3-2, table of limits for class D equipment, seen as reproduced in a laboratory's test report;
       edition not stated there.
    """
    _require_order(order)
    require_positive(power=power)
    if order % 2 == 0:
        return None
    return min(class_a_limit(order), _CLASS_D.get(order, 3.85e-3 / order) * power)


def limits_apply(input_power: float) -> bool:
    r"""Whether the limits of harmonic current apply to equipment of a rated input power.

    Parameters
    ----------
    input_power : float
        Rated input power. [W]

    Returns
    -------
    bool
        True above 75 W. [-]

    Raises
    ------
    ValueError
        The power is not a finite number above 0.

    Notes
    -----
    .. math::

        P > 75 \text{ W}

    Holds for other equipment than lighting. Above it a supply without power factor correction may still keep the
    limits of class A, so this says nothing on whether a unit does.

    Examples
    --------
    >>> limits_apply(75), limits_apply(76)
    (False, True)

    References
    ----------
    .. [1] IEC 61000-3-2, clause 7 (from memory).
    """
    require_positive(input_power=input_power)
    return input_power > THRESHOLD_POWER
