"""USB PD request data objects: what a sink asks for, which can only be read with the kind of the object it asks for."""

from dataclasses import asdict, dataclass

from lidoff.engineering.bit_fields import BitField, covered_bits, read_fields, write_fields
from lidoff.engineering.usb_pd_supplies import Kind


@dataclass(frozen=True, slots=True)
class CurrentRequest:
    """A request for a fixed or variable supply.

    Attributes
    ----------
    position : int
        Position of the object asked for. [-]
    giveback : bool
        The sink can lower its current when told so. [-]
    capability_mismatch : bool
        No object is enough for the sink. [-]
    usb_communications : bool
        The sink has USB data. [-]
    no_usb_suspend : bool
        The sink wants to draw current during USB suspend. [-]
    unchunked_extended_messages : bool
        Long messages may come in one piece. [-]
    epr_capable : bool
        The sink can work in the extended power range. [-]
    current : float
        Operating current. [A]
    current_max : float
        Largest current that the sink will ever draw here; the smallest where ``giveback`` is set. [A]
    """

    position: int
    giveback: bool
    capability_mismatch: bool
    usb_communications: bool
    no_usb_suspend: bool
    unchunked_extended_messages: bool
    epr_capable: bool
    current: float
    current_max: float


@dataclass(frozen=True, slots=True)
class PowerRequest:
    """A request for a battery.

    Attributes
    ----------
    position : int
        Position of the object asked for. [-]
    giveback : bool
        The sink can lower its power when told so. [-]
    capability_mismatch : bool
        No object is enough for the sink. [-]
    usb_communications : bool
        The sink has USB data. [-]
    no_usb_suspend : bool
        The sink wants to draw current during USB suspend. [-]
    unchunked_extended_messages : bool
        Long messages may come in one piece. [-]
    epr_capable : bool
        The sink can work in the extended power range. [-]
    power : float
        Operating power. [W]
    power_max : float
        Largest power that the sink will ever draw here; the smallest where ``giveback`` is set. [W]
    """

    position: int
    giveback: bool
    capability_mismatch: bool
    usb_communications: bool
    no_usb_suspend: bool
    unchunked_extended_messages: bool
    epr_capable: bool
    power: float
    power_max: float


@dataclass(frozen=True, slots=True)
class VoltageRequest:
    """A request for a programmable or adjustable supply.

    Attributes
    ----------
    position : int
        Position of the object asked for. [-]
    capability_mismatch : bool
        No object is enough for the sink. [-]
    usb_communications : bool
        The sink has USB data. [-]
    no_usb_suspend : bool
        The sink wants to draw current during USB suspend. [-]
    unchunked_extended_messages : bool
        Long messages may come in one piece. [-]
    epr_capable : bool
        The sink can work in the extended power range. [-]
    voltage : float
        Output voltage asked for. [V]
    current : float
        Operating current. [A]
    """

    position: int
    capability_mismatch: bool
    usb_communications: bool
    no_usb_suspend: bool
    unchunked_extended_messages: bool
    epr_capable: bool
    voltage: float
    current: float


Request = CurrentRequest | PowerRequest | VoltageRequest

_COMMON = (
    BitField("position", 28, 4),
    BitField("capability_mismatch", 26, 1),
    BitField("usb_communications", 25, 1),
    BitField("no_usb_suspend", 24, 1),
    BitField("unchunked_extended_messages", 23, 1),
    BitField("epr_capable", 22, 1),
)
_GIVEBACK = BitField("giveback", 27, 1)
_CURRENTS = (*_COMMON, _GIVEBACK, BitField("current", 10, 10, 100), BitField("current_max", 0, 10, 100))
_POWERS = (*_COMMON, _GIVEBACK, BitField("power", 10, 10, 4), BitField("power_max", 0, 10, 4))
_PROGRAMMABLE = (*_COMMON, BitField("voltage", 9, 12, 50), BitField("current", 0, 7, 20))
_ADJUSTABLE = (*_COMMON, BitField("voltage", 9, 12, 40), BitField("current", 0, 7, 20))

REQUEST_LAYOUTS: dict[Kind, tuple[type[Request], tuple[BitField, ...]]] = {
    "fixed": (CurrentRequest, _CURRENTS),
    "variable": (CurrentRequest, _CURRENTS),
    "battery": (PowerRequest, _POWERS),
    "pps": (VoltageRequest, _PROGRAMMABLE),
    "spr-avs": (VoltageRequest, _ADJUSTABLE),
    "epr-avs": (VoltageRequest, _ADJUSTABLE),
}


def requested_position(word: int) -> int:
    """Position of the object that a request asks for.

    Parameters
    ----------
    word : int
        The request data object, 32 bits. [-]

    Returns
    -------
    int
        Position, 0 to 15; 0 is not valid. [-]

    Raises
    ------
    ValueError
        The number does not fit 32 bits.

    Notes
    -----
    No equation: bits 31 to 28 from revision 3.1 on; up to revision 3.0 bit 31 was reserved, so both agree up to 7.

    Examples
    --------
    >>> requested_position(0x62036C3C)
    6

    References
    ----------
    .. [1] Linux kernel 6.1.187, include/linux/usb/pd.h, macro RDO_OBJ_POS_SHIFT (bits 30 to 28).
    .. [2] usbpdparser 1.1.6, core.py, class F_VRDO (bits 31 to 28).
    """
    if not 0 <= word < 1 << 32:
        raise ValueError(f"found {word:#x}: expected a number of 32 bits, 0x00000000 to 0xFFFFFFFF")
    return word >> 28


def decode_request(word: int, kind: Kind) -> Request:
    r"""Decode a request data object.

    Parameters
    ----------
    word : int
        The request data object, 32 bits. [-]
    kind : str
        Kind of the source power data object at the requested position. [-]

    Returns
    -------
    Request
        A `CurrentRequest` for fixed and variable, `PowerRequest` for battery, else `VoltageRequest`. [-]

    Raises
    ------
    ValueError
        The number does not fit 32 bits, or no request is defined for the kind.

    Notes
    -----
    .. math::

        x = \frac{1}{s} \left( \text{floor} \left( \frac{W}{2^b} \right) \text{ mod } 2^w \right)

    for a word W and a field of w bits above bit b with s steps in a unit. Steps: 10 mA (fixed, variable), 250 mW
    (battery), 20 mV and 50 mA (PPS), 25 mV and 50 mA (AVS, where the two lowest bits of the voltage are zero, so that
    steps are 100 mV). The voltage of a PPS request has 12 bits here, as in newer editions; older ones have 11, which
    already reach 40.94 V.

    Examples
    --------
    >>> decode_request(0x62036C3C, "pps").voltage
    8.76

    References
    ----------
    .. [1] Linux kernel 6.1.187, include/linux/usb/pd.h, macros RDO_*.
    .. [2] usbpdparser 1.1.6, core.py, classes PPS_RDO and AVS_RDO.
    """
    requested_position(word)
    if kind not in REQUEST_LAYOUTS:
        raise ValueError(f"found a request for the kind {kind}: expected one of {', '.join(REQUEST_LAYOUTS)}")
    request_type, layout = REQUEST_LAYOUTS[kind]
    return request_type(**read_fields(word, layout))


def encode_request(request: Request, kind: Kind, reserved_bits: int = 0) -> int:
    """Encode a request data object.

    Parameters
    ----------
    request : Request
        What the sink asks for. [-]
    kind : str
        Kind of the source power data object at the requested position. [-]
    reserved_bits : int, optional
        Bits without a meaning to set as well. [-]

    Returns
    -------
    int
        The request data object, 32 bits. [-]

    Raises
    ------
    ValueError
        The request does not belong to the kind, or a number lies between two steps or does not fit its field.

    Notes
    -----
    No equation: the inverse of `decode_request`.

    Examples
    --------
    >>> hex(encode_request(decode_request(0x22044D2C, "fixed"), "fixed"))
    '0x22044d2c'

    References
    ----------
    .. [1] Linux kernel 6.1.187, include/linux/usb/pd.h, macros RDO_FIXED, RDO_BATT and RDO_PROG.
    """
    request_type, layout = REQUEST_LAYOUTS.get(kind, (None, ()))
    if request_type is None or not isinstance(request, request_type):
        raise ValueError(f"found a {type(request).__name__} for the kind {kind}: expected another request or kind")
    if reserved_bits & covered_bits(layout) or not 0 <= reserved_bits < 1 << 32:
        raise ValueError(f"found reserved bits {reserved_bits:#010x}: some of them have a meaning in such a request")
    return write_fields(asdict(request), layout) | reserved_bits
