"""USB PD source power data objects: from a 32-bit word to what it offers, and back."""

from dataclasses import asdict
from functools import lru_cache

from lidoff.engineering.bit_fields import BitField, covered_bits, read_fields, write_fields
from lidoff.engineering.usb_pd_supplies import (
    BatterySupply,
    EprAdjustableSupply,
    FixedSupply,
    Kind,
    ProgrammableSupply,
    ReservedSupply,
    SourceObject,
    SprAdjustableSupply,
    Supply,
    VariableSupply,
)

FIXED, BATTERY, VARIABLE, AUGMENTED = range(4)  # bits 31 and 30
AUGMENTED_KINDS: tuple[Kind, ...] = ("pps", "epr-avs", "spr-avs", "reserved")  # bits 29 and 28

SUPPLY_TYPES: dict[Kind, type[Supply]] = {
    "fixed": FixedSupply,
    "battery": BatterySupply,
    "variable": VariableSupply,
    "pps": ProgrammableSupply,
    "spr-avs": SprAdjustableSupply,
    "epr-avs": EprAdjustableSupply,
    "reserved": ReservedSupply,
}

TYPE_BITS: dict[Kind, int] = {
    "fixed": FIXED << 30,
    "battery": BATTERY << 30,
    "variable": VARIABLE << 30,
    **{kind: AUGMENTED << 30 | code << 28 for code, kind in enumerate(AUGMENTED_KINDS)},
}
TYPE_MASKS: dict[Kind, int] = {kind: (0b1111 << 28 if kind in AUGMENTED_KINDS else 0b11 << 30) for kind in TYPE_BITS}

LAYOUTS: dict[Kind, tuple[BitField, ...]] = {
    "fixed": (
        BitField("dual_role_power", 29, 1),
        BitField("usb_suspend_supported", 28, 1),
        BitField("unconstrained_power", 27, 1),
        BitField("usb_communications", 26, 1),
        BitField("dual_role_data", 25, 1),
        BitField("unchunked_extended_messages", 24, 1),
        BitField("epr_capable", 23, 1),
        BitField("peak_current", 20, 2),
        BitField("voltage", 10, 10, steps=20),
        BitField("current", 0, 10, steps=100),
    ),
    "battery": (
        BitField("voltage_max", 20, 10, steps=20),
        BitField("voltage_min", 10, 10, steps=20),
        BitField("power", 0, 10, steps=4),
    ),
    "variable": (
        BitField("voltage_max", 20, 10, steps=20),
        BitField("voltage_min", 10, 10, steps=20),
        BitField("current", 0, 10, steps=100),
    ),
    "pps": (
        BitField("power_limited", 27, 1),
        BitField("voltage_max", 17, 8, steps=10),
        BitField("voltage_min", 8, 8, steps=10),
        BitField("current", 0, 7, steps=20),
    ),
    "epr-avs": (
        BitField("peak_current", 26, 2),
        BitField("voltage_max", 17, 9, steps=10),
        BitField("voltage_min", 8, 8, steps=10),
        BitField("power", 0, 8, steps=1),
    ),
    "spr-avs": (
        BitField("peak_current", 26, 2),
        BitField("current_to_15v", 10, 10, steps=100),
        BitField("current_to_20v", 0, 10, steps=100),
    ),
    "reserved": (BitField("content", 0, 28),),
}


def object_kind(word: int) -> Kind:
    """Kind of a source power data object.

    Parameters
    ----------
    word : int
        The object, 32 bits. [-]

    Returns
    -------
    str
        One of fixed, battery, variable, pps, spr-avs, epr-avs, reserved. [-]

    Raises
    ------
    ValueError
        The number does not fit 32 bits.

    Notes
    -----
    No equation: bits 31 and 30 are 00 fixed, 01 battery, 10 variable, 11 augmented; of an augmented object [2]_ bits 29
    and 28 are 00 PPS, 01 AVS of the extended range, 10 AVS of the standard range, 11 not defined. Some public headers
    swap 01 and 10 in one place or the other; the order here is that of the Linux kernel [1]_ and of two independent
    decoders.

    Examples
    --------
    >>> object_kind(0xC9A42164)
    'pps'

    References
    ----------
    .. [1] Linux kernel 6.1.187, include/linux/usb/pd.h, enum pd_pdo_type and enum pd_apdo_type.
    .. [2] USB Power Delivery Specification R3.2 (IEC 62680-1-2), clause 6.4.1.2, table 6.7 (from memory).
    """
    if not 0 <= word < 1 << 32:
        raise ValueError(f"found {word:#x}: expected a number of 32 bits, 0x00000000 to 0xFFFFFFFF")
    if word >> 30 == AUGMENTED:
        return AUGMENTED_KINDS[word >> 28 & 3]
    return ("fixed", "battery", "variable")[word >> 30]


def decode_source_object(word: int) -> SourceObject:
    r"""Decode a source power data object of any kind.

    Parameters
    ----------
    word : int
        The object, 32 bits; on the wire its lowest byte comes first. [-]

    Returns
    -------
    SourceObject
        Kind, content in SI units, the raw word and any reserved bit that is set. [-]

    Raises
    ------
    ValueError
        The number does not fit 32 bits.

    Notes
    -----
    .. math::

        x = \frac{1}{s} \left( \text{floor} \left( \frac{W}{2^b} \right) \text{ mod } 2^w \right)

    for a word W and a field of w bits above bit b with s steps in a unit. Steps: 50 mV and 10 mA (fixed, variable),
    50 mV and 250 mW (battery), 100 mV and 50 mA (PPS), 100 mV and 1 W (AVS, extended range), 10 mA (AVS, standard
    range) [1]_ [2]_. Every 32-bit number decodes; whether the values make sense is not judged here. A word of zero
    decodes as 0 V, 0 A; within a message of extended capabilities it marks an empty position.

    Examples
    --------
    >>> decode_source_object(0x0002D0DE).supply.current
    2.22
    >>> decode_source_object(0xC1A421BC).reserved_bits
    128

    References
    ----------
    .. [1] Linux kernel 6.1.187, include/linux/usb/pd.h, macros PDO_FIXED_*, PDO_BATT_*, PDO_VAR_*, PDO_PPS_APDO_*.
    .. [2] USB Power Delivery Specification R3.2 (IEC 62680-1-2), tables 6.9 and 6.11 to 6.15 (as transcribed in a
       public firmware header; the AVS layouts also in a Linux kernel patch of October 2025).
    """
    return _decoded(word)


@lru_cache(maxsize=4096)
def _decoded(word: int) -> SourceObject:
    """An object decoded once: chargers share most of theirs, and many checks look at the same one."""
    kind = object_kind(word)
    layout = LAYOUTS[kind]
    supply = SUPPLY_TYPES[kind](**read_fields(word, layout))
    return SourceObject(word, kind, supply, word & ~(TYPE_MASKS[kind] | covered_bits(layout)))


def encode_supply(supply: Supply, reserved_bits: int = 0) -> int:
    """Encode what a source offers as a power data object.

    Parameters
    ----------
    supply : Supply
        Content of the object in SI units. [-]
    reserved_bits : int, optional
        Reserved bits to set, as `decode_source_object` reports them. [-]

    Returns
    -------
    int
        The object, 32 bits. [-]

    Raises
    ------
    ValueError
        A number lies between two steps or does not fit its field, or a reserved bit is none.

    Notes
    -----
    No equation: the inverse of `decode_source_object`, exact for every 32-bit word.

    Examples
    --------
    >>> hex(encode_supply(FixedSupply(voltage=20.0, current=3.25)))
    '0x64145'

    References
    ----------
    .. [1] Linux kernel 6.1.187, include/linux/usb/pd.h, macros PDO_FIXED, PDO_BATT, PDO_VAR, PDO_PPS_APDO.
    """
    kind = next(kind for kind, supply_type in SUPPLY_TYPES.items() if isinstance(supply, supply_type))
    layout = LAYOUTS[kind]
    if reserved_bits & (TYPE_MASKS[kind] | covered_bits(layout)) or not 0 <= reserved_bits < 1 << 32:
        raise ValueError(f"found reserved bits {reserved_bits:#010x}: some of them have a meaning in a {kind} object")
    return TYPE_BITS[kind] | write_fields(asdict(supply), layout) | reserved_bits
