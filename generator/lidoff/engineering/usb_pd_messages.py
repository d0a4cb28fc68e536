"""USB PD messages as bytes in the order of the wire: length, checksum, pieces, and the objects with their positions."""

from collections.abc import Sequence
from dataclasses import dataclass
from struct import iter_unpack
from zlib import crc32

from lidoff.engineering.usb_pd_headers import (
    ExtendedHeader,
    MessageHeader,
    decode_extended_header,
    decode_message_header,
    message_name,
)
from lidoff.engineering.usb_pd_objects import decode_source_object
from lidoff.engineering.usb_pd_supplies import SourceObject

CHUNK_BYTES = 26


@dataclass(frozen=True, slots=True)
class Message:
    """One message of the wire, or one piece of a long one.

    Attributes
    ----------
    header : MessageHeader
        The header. [-]
    extended_header : ExtendedHeader or None
        The second header, of an extended message. [-]
    name : str or None
        Name of the message; None where no name is known for the code. [-]
    data : bytes
        What follows the headers, without padding and checksum. [-]
    checksum_received : int or None
        The checksum at the end; None where the bytes end before it. [-]
    checksum_expected : int
        The checksum of the bytes before it. [-]
    """

    header: MessageHeader
    extended_header: ExtendedHeader | None
    name: str | None
    data: bytes
    checksum_received: int | None
    checksum_expected: int


@dataclass(frozen=True, slots=True)
class PositionedObject:
    """A source power data object and the position by which a sink asks for it.

    Attributes
    ----------
    position : int
        Position, from 1; 8 and above are of the extended power range. [-]
    source_object : SourceObject
        The object. [-]
    """

    position: int
    source_object: SourceObject


def message_checksum(content: bytes) -> int:
    r"""Checksum of a message.

    Parameters
    ----------
    content : bytes
        Headers and data in the order of the wire, without the checksum. [-]

    Returns
    -------
    int
        CRC-32; on the wire its lowest byte comes first. [-]

    Notes
    -----
    .. math::

        R(x) = x^{32} M(x) \text{ mod } G(x)

    with the generator 0x04C11DB7, the register preset to ones, bits in the order of the wire and the remainder
    inverted: the CRC-32 of the common compression formats [1]_.

    Examples
    --------
    >>> hex(message_checksum(bytes.fromhex("4100")))
    '0xa8bb6cbb'

    References
    ----------
    .. [1] libsigrokdecode 0.5.3, decoder usb_power_delivery, function compute_crc32.
    .. [2] USB Power Delivery Specification R3.x, clause 5.6.2 (from memory).
    """
    return crc32(content)


def decode_message(content: bytes) -> Message:
    """Take the bytes of one message apart.

    Parameters
    ----------
    content : bytes
        The message from its header on, in the order of the wire, with or without the checksum. [-]

    Returns
    -------
    Message
        Headers, data and checksums; a wrong checksum is told, not refused. [-]

    Raises
    ------
    ValueError
        The number of bytes is not what the headers announce.

    Notes
    -----
    No equation: 2 bytes of header, 4 bytes for each object counted there, 4 bytes of checksum. In an extended message
    the first 2 bytes after the header are the second header, which counts as part of the objects; a piece holds at
    most 26 bytes of data and is padded to whole objects. A long message in one piece counts no objects, and its
    length follows from the data size (from memory [2]_).

    Examples
    --------
    >>> decode_message(bytes.fromhex("4100bb6cbba8")).name
    'GoodCRC'

    References
    ----------
    .. [1] Linux kernel 6.1.187, include/linux/usb/pd.h, structs pd_message and pd_chunked_ext_message_data.
    .. [2] USB Power Delivery Specification R3.x, clause 6.2 (from memory).
    """
    if len(content) < 2:
        raise ValueError(f"found {content.hex() or 'nothing'}: expected a message, whose header alone has 2 bytes")
    header = decode_message_header(int.from_bytes(content[:2], "little"))
    if header.extended and len(content) < 4:
        raise ValueError(f"found {len(content)} bytes: expected an extended message, whose two headers have 4")
    second = decode_extended_header(int.from_bytes(content[2:4], "little")) if header.extended else None
    length = 2 + 4 * header.object_count
    if second and not header.object_count:
        length = 4 + second.data_size
    if len(content) not in (length, length + 4):
        raise ValueError(
            f"found {len(content)} bytes: expected {length} bytes, or {length + 4} with the checksum, "
            f"since the header announces {header.object_count} objects"
        )
    data = _chunk_data(content[4:length], second) if second else content[2:length]
    received = int.from_bytes(content[length:], "little") if len(content) > length else None
    return Message(header, second, message_name(header), data, received, message_checksum(content[:length]))


def join_chunks(pieces: Sequence[Message]) -> bytes:
    """Data of a long message that came in pieces.

    Parameters
    ----------
    pieces : sequence of Message
        All pieces in order; messages that only ask for a piece are left out. [-]

    Returns
    -------
    bytes
        The data of the whole message. [-]

    Raises
    ------
    ValueError
        A piece is missing, out of order or of another message, or the pieces hold less than announced.

    Notes
    -----
    No equation: the pieces are numbered from 0 and joined.

    Examples
    --------
    >>> piece = decode_message(bytes.fromhex("b1a1 0480 2c910108 0000"))
    >>> join_chunks([piece]).hex()
    '2c910108'

    References
    ----------
    .. [1] Linux kernel 6.1.187, include/linux/usb/pd.h, macros PD_EXT_HDR_* and PD_EXT_MAX_CHUNK_DATA.
    """
    found = [(piece.header.type_code, piece.extended_header) for piece in pieces]
    if not found or any(second is None for _, second in found):
        raise ValueError("found a message without a second header: expected the pieces of one extended message")
    numbers = [second.chunk_number for _, second in found]
    if numbers != list(range(len(pieces))):
        raise ValueError(f"found the pieces {numbers}: expected all of them in order, from 0")
    if len({(code, second.data_size) for code, second in found}) > 1:
        raise ValueError("found pieces of different messages: expected one type and one data size")
    data = b"".join(piece.data for piece in pieces)
    expected = found[0][1].data_size
    if len(data) != expected:
        raise ValueError(f"found {len(data)} bytes of data in {len(pieces)} pieces: expected {expected}")
    return data


def positioned_objects(data: bytes) -> tuple[PositionedObject, ...]:
    """Source power data objects of a capabilities message.

    Parameters
    ----------
    data : bytes
        The objects in the order of the wire, 4 bytes each. [-]

    Returns
    -------
    tuple of PositionedObject
        The objects with their positions; empty positions are left out. [-]

    Raises
    ------
    ValueError
        The bytes are not whole objects.

    Notes
    -----
    No equation: positions count from 1. Extended capabilities hold the objects of the standard range first; the
    positions up to 7 that these do not fill are zero, so that the extended range starts at position 8.

    Examples
    --------
    >>> [item.position for item in positioned_objects(bytes.fromhex("2c910108 00000000 2cd10200"))]
    [1, 3]

    References
    ----------
    .. [1] USB Power Delivery Specification R3.1 and later, message EPR_Source_Capabilities (as used by usbpdparser
       1.1.6).
    """
    if len(data) % 4:
        raise ValueError(f"found {len(data)} bytes: expected objects of 4 bytes each")
    words = (word for (word,) in iter_unpack("<I", data))
    return tuple(PositionedObject(i, decode_source_object(word)) for i, word in enumerate(words, 1) if word)


def _chunk_data(body: bytes, second: ExtendedHeader) -> bytes:
    """The data of one piece, without padding."""
    if second.request_chunk:
        return b""
    if not second.chunked:
        return body[: second.data_size]
    left = second.data_size - CHUNK_BYTES * second.chunk_number
    return body[: max(0, min(CHUNK_BYTES, left))]
