"""Fields of a binary word: where they lie, and how a flag, a code or a number in them is read and written."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class BitField:
    """A run of bits that holds one value.

    With ``steps`` the bits are a number in SI units. Without, they are a flag (one bit) or a code (several bits).

    Attributes
    ----------
    name : str
        Name of the value. [-]
    lowest_bit : int
        Position of the least significant bit, counted from 0. [-]
    width : int
        Number of bits. [-]
    steps : int
        Steps in one SI unit, 20 where the step is 50 mV; 0 for a flag or a code. [-]
    """

    name: str
    lowest_bit: int
    width: int
    steps: int = 0

    @property
    def mask(self) -> int:
        """The field's bits set, all others clear. [-]"""
        return ((1 << self.width) - 1) << self.lowest_bit


def covered_bits(fields: Iterable[BitField]) -> int:
    """Bits of a word that some field uses.

    Parameters
    ----------
    fields : iterable of BitField
        Fields of one word. [-]

    Returns
    -------
    int
        Mask with a one at each used bit. [-]

    Notes
    -----
    No equation: the masks of the fields are joined.

    Examples
    --------
    >>> hex(covered_bits([BitField("voltage", 10, 10, 20), BitField("current", 0, 10, 100)]))
    '0xfffff'

    References
    ----------
    .. [1] Common practice, no source.
    """
    mask = 0
    for field in fields:
        mask |= field.mask
    return mask


def read_fields(word: int, fields: Iterable[BitField]) -> dict[str, bool | int | float]:
    r"""Values of the fields of a word.

    Parameters
    ----------
    word : int
        The word. [-]
    fields : iterable of BitField
        Its fields. [-]

    Returns
    -------
    dict of str to bool, int or float
        A flag as bool, a code as int, a number as float in its SI unit. [-]

    Notes
    -----
    .. math::

        x = \frac{1}{s} \left( \text{floor} \left( \frac{W}{2^b} \right) \text{ mod } 2^w \right)

    for a word W and a field of w bits above bit b with s steps in a unit. Dividing by the whole number s gives the
    double nearest to the decimal value, which a product with 0.01 or 0.05 does not.

    Examples
    --------
    >>> read_fields(0x0002D0DE, [BitField("voltage", 10, 10, 20), BitField("current", 0, 10, 100)])
    {'voltage': 9.0, 'current': 2.22}

    References
    ----------
    .. [1] Common practice, no source.
    """
    values: dict[str, bool | int | float] = {}
    for field in fields:
        raw = (word & field.mask) >> field.lowest_bit
        if field.steps:
            values[field.name] = raw / field.steps
        else:
            values[field.name] = bool(raw) if field.width == 1 else raw
    return values


def write_fields(values: Mapping[str, bool | int | float], fields: Iterable[BitField]) -> int:
    """Word that holds the given values.

    Parameters
    ----------
    values : mapping of str to bool, int or float
        One value a field; numbers in their SI unit. [-]
    fields : iterable of BitField
        Fields of the word. [-]

    Returns
    -------
    int
        The word, zero outside the fields. [-]

    Raises
    ------
    ValueError
        A number lies between two steps, or a value does not fit its field.

    Notes
    -----
    No equation: the inverse of `read_fields`.

    Examples
    --------
    >>> fields = [BitField("voltage", 10, 10, 20), BitField("current", 0, 10, 100)]
    >>> hex(write_fields({"voltage": 9.0, "current": 2.22}, fields))
    '0x2d0de'

    References
    ----------
    .. [1] Common practice, no source.
    """
    word = 0
    for field in fields:
        value = values[field.name]
        raw = round(value * field.steps) if field.steps else int(value)
        if field.steps and abs(raw / field.steps - value) > 1e-9:
            raise ValueError(f"{field.name} is {value:g}: expected a multiple of {1 / field.steps:g}")
        if not 0 <= raw < 1 << field.width:
            largest = ((1 << field.width) - 1) / (field.steps or 1)
            raise ValueError(f"{field.name} is {value:g}: expected 0 to {largest:g}")
        word |= raw << field.lowest_bit
    return word
