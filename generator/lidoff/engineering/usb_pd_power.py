"""The power that a USB PD source advertises."""

from collections.abc import Sequence
from dataclasses import dataclass

from lidoff.engineering.usb_pd_objects import decode_source_object
from lidoff.engineering.usb_pd_supplies import FixedSupply


@dataclass(frozen=True, slots=True)
class FixedPower:
    """The strongest fixed object of a message.

    Attributes
    ----------
    power : float
        Voltage times current. [W]
    voltage : float
        Voltage of that object. [V]
    current : float
        Current of that object. [A]
    index : int
        Which of the words it is, counted from 0. [-]
    """

    power: float
    voltage: float
    current: float
    index: int


def largest_fixed_power(words: Sequence[int]) -> FixedPower | None:
    r"""Largest power among the fixed objects that a source advertises.

    Parameters
    ----------
    words : sequence of int
        Source power data objects of one message, 32 bits each. [-]

    Returns
    -------
    FixedPower or None
        Power, voltage and current of the strongest one; None where no fixed object offers any power. [-]

    Raises
    ------
    ValueError
        A number does not fit 32 bits.

    Notes
    -----
    .. math::

        P = \max_i V_i I_i

    over the fixed objects. Programmable and adjustable objects do not count: their voltage times their current may lie
    above what the source can give. A word of zero marks an empty position and offers nothing.

    Examples
    --------
    >>> largest_fixed_power([0x0801912C, 0x0002D12C])
    FixedPower(power=27.0, voltage=9.0, current=3.0, index=1)

    References
    ----------
    .. [1] Common practice, no source.
    """
    best = None
    for index, word in enumerate(words):
        supply = decode_source_object(word).supply
        if isinstance(supply, FixedSupply) and supply.voltage * supply.current > (best.power if best else 0.0):
            best = FixedPower(supply.voltage * supply.current, supply.voltage, supply.current, index)
    return best
