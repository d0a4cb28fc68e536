"""The header of a USB PD message and the second header of a long one."""

import csv
from dataclasses import asdict, dataclass
from functools import cache
from importlib.resources import files

from lidoff.engineering.bit_fields import BitField, read_fields, write_fields

HEADER_FIELDS = (
    BitField("extended", 15, 1),
    BitField("object_count", 12, 3),
    BitField("message_id", 9, 3),
    BitField("from_source", 8, 1),
    BitField("revision_code", 6, 2),
    BitField("downstream_facing", 5, 1),
    BitField("type_code", 0, 5),
)
EXTENDED_HEADER_FIELDS = (
    BitField("chunked", 15, 1),
    BitField("chunk_number", 11, 4),
    BitField("request_chunk", 10, 1),
    BitField("data_size", 0, 9),
)


@dataclass(frozen=True, slots=True)
class MessageHeader:
    """The 16-bit header of a message between two ports.

    Attributes
    ----------
    extended : bool
        A second header follows. [-]
    object_count : int
        Number of 32-bit objects, 0 for a control message. [-]
    message_id : int
        Running number, 0 to 7. [-]
    from_source : bool
        The sender is the power source. [-]
    revision_code : int
        0 for revision 1.0, 1 for 2.0, 2 for 3.x. [-]
    downstream_facing : bool
        The sender is the downstream-facing port (data host). [-]
    type_code : int
        Type of the message; control, data and extended messages count apart. [-]
    """

    extended: bool
    object_count: int
    message_id: int
    from_source: bool
    revision_code: int
    downstream_facing: bool
    type_code: int


@dataclass(frozen=True, slots=True)
class ExtendedHeader:
    """The second 16-bit header, of an extended message.

    Attributes
    ----------
    chunked : bool
        The message comes in pieces of up to 26 bytes. [-]
    chunk_number : int
        Number of this piece, from 0. [-]
    request_chunk : bool
        This message asks for a piece and carries no data. [-]
    data_size : int
        Bytes of data in all pieces together. [-]
    """

    chunked: bool
    chunk_number: int
    request_chunk: bool
    data_size: int


def decode_message_header(word: int) -> MessageHeader:
    """Decode the header of a message.

    Parameters
    ----------
    word : int
        The header, 16 bits. [-]

    Returns
    -------
    MessageHeader
        Its fields. [-]

    Raises
    ------
    ValueError
        The number does not fit 16 bits.

    Notes
    -----
    No equation: bit fields, as set out in the constants of this module. Bits 8 and 5 mean something else in messages to
    and from a cable plug, which the header alone does not tell.

    Examples
    --------
    >>> decode_message_header(0x61A1).object_count
    6

    References
    ----------
    .. [1] Linux kernel 6.1.187, include/linux/usb/pd.h, macros PD_HEADER_*.
    """
    _require_16_bits(word)
    return MessageHeader(**read_fields(word, HEADER_FIELDS))


def encode_message_header(header: MessageHeader) -> int:
    """Encode the header of a message.

    Parameters
    ----------
    header : MessageHeader
        Its fields. [-]

    Returns
    -------
    int
        The header, 16 bits. [-]

    Raises
    ------
    ValueError
        A value does not fit its field.

    Notes
    -----
    No equation: the inverse of `decode_message_header`.

    Examples
    --------
    >>> hex(encode_message_header(MessageHeader(False, 6, 0, True, 2, True, 1)))
    '0x61a1'

    References
    ----------
    .. [1] Linux kernel 6.1.187, include/linux/usb/pd.h, macro PD_HEADER.
    """
    return write_fields(asdict(header), HEADER_FIELDS)


def decode_extended_header(word: int) -> ExtendedHeader:
    """Decode the second header of an extended message.

    Parameters
    ----------
    word : int
        The header, 16 bits. [-]

    Returns
    -------
    ExtendedHeader
        Its fields. [-]

    Raises
    ------
    ValueError
        The number does not fit 16 bits.

    Notes
    -----
    No equation: bit fields, as set out in the constants of this module; bit 9 is reserved and not read.

    Examples
    --------
    >>> decode_extended_header(0x802C)
    ExtendedHeader(chunked=True, chunk_number=0, request_chunk=False, data_size=44)

    References
    ----------
    .. [1] Linux kernel 6.1.187, include/linux/usb/pd.h, macros PD_EXT_HDR_*.
    """
    _require_16_bits(word)
    return ExtendedHeader(**read_fields(word, EXTENDED_HEADER_FIELDS))


def encode_extended_header(header: ExtendedHeader) -> int:
    """Encode the second header of an extended message.

    Parameters
    ----------
    header : ExtendedHeader
        Its fields. [-]

    Returns
    -------
    int
        The header, 16 bits. [-]

    Raises
    ------
    ValueError
        A value does not fit its field.

    Notes
    -----
    No equation: the inverse of `decode_extended_header`.

    Examples
    --------
    >>> hex(encode_extended_header(ExtendedHeader(True, 1, False, 44)))
    '0x882c'

    References
    ----------
    .. [1] Linux kernel 6.1.187, include/linux/usb/pd.h, macro PD_EXT_HDR.
    """
    return write_fields(asdict(header), EXTENDED_HEADER_FIELDS)


def message_name(header: MessageHeader) -> str | None:
    """Name of the message that a header announces.

    Parameters
    ----------
    header : MessageHeader
        The header. [-]

    Returns
    -------
    str or None
        Name as in the specification; None where no name is known for the code. [-]

    Notes
    -----
    No equation: a table. A message is extended by bit 15, else control without objects, else data.

    Examples
    --------
    >>> message_name(decode_message_header(0x61A1))
    'Source_Capabilities'

    References
    ----------
    .. [1] Linux kernel 6.1.187, include/linux/usb/pd.h, enums pd_ctrl_msg_type, pd_data_msg_type, pd_ext_msg_type.
    .. [2] usbpdparser 1.1.6, core.py, class msg_header, for the codes that the kernel header lacks.
    """
    group = "extended" if header.extended else "data" if header.object_count else "control"
    return _message_names().get((group, header.type_code))


@cache
def _message_names() -> dict[tuple[str, int], str]:
    with files(__package__).joinpath("usb_pd_message_types.csv").open(encoding="utf-8", newline="") as table:
        return {(row["group"], int(row["code"])): row["name"] for row in csv.DictReader(table)}


def _require_16_bits(word: int) -> None:
    if not 0 <= word < 1 << 16:
        raise ValueError(f"found {word:#x}: expected a number of 16 bits, 0x0000 to 0xFFFF")
