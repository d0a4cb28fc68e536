"""Headers, whole messages, pieces and requests: reasoning, round trips and refusals."""

import struct
import zlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.engineering.usb_pd_headers import (
    ExtendedHeader,
    MessageHeader,
    decode_extended_header,
    decode_message_header,
    encode_extended_header,
    encode_message_header,
    message_name,
)
from lidoff.engineering.usb_pd_messages import decode_message, join_chunks, message_checksum, positioned_objects
from lidoff.engineering.usb_pd_requests import (
    REQUEST_LAYOUTS,
    CurrentRequest,
    VoltageRequest,
    decode_request,
    encode_request,
    requested_position,
)

# README of usbpdpy 0.4.0, Quick start; the checksum was computed with zlib and accepted by usbpdparser's verify_CRC
CAPTURE = bytes.fromhex("a1612c9101082cd102002cc103002cb10400454106003c21dcc0")
CAPTURE_CHECKSUM = 0x19B1FB90


@given(st.integers(0, 2**16 - 1))
def test_header_comes_back(word):
    assert encode_message_header(decode_message_header(word)) == word


@given(st.integers(0, 2**16 - 1))
def test_extended_header_comes_back_but_for_its_reserved_bit(word):
    assert encode_extended_header(decode_extended_header(word)) == word & ~(1 << 9)


@pytest.mark.parametrize("decode", [decode_message_header, decode_extended_header])
@pytest.mark.parametrize("word", [-1, 1 << 16])
def test_a_header_of_more_than_16_bits_is_refused(decode, word):
    with pytest.raises(ValueError, match="expected a number of 16 bits"):
        decode(word)


def test_a_header_value_that_does_not_fit_is_refused():
    with pytest.raises(ValueError, match="object_count is 8: expected 0 to 7"):
        encode_message_header(MessageHeader(False, 8, 0, True, 2, True, 1))
    with pytest.raises(ValueError, match="data_size is 512: expected 0 to 511"):
        encode_extended_header(ExtendedHeader(True, 0, False, 512))


def test_the_same_code_means_three_messages():
    names = [
        message_name(MessageHeader(extended, count, 0, True, 2, True, 1))
        for extended, count in ((False, 0), (False, 1), (True, 0))
    ]
    assert names == ["GoodCRC", "Source_Capabilities", "Source_Capabilities_Extended"]
    assert message_name(MessageHeader(False, 0, 0, True, 2, True, 31)) is None


def test_the_capture_with_and_without_checksum():
    bare = decode_message(CAPTURE)
    whole = decode_message(CAPTURE + CAPTURE_CHECKSUM.to_bytes(4, "little"))
    assert (bare.checksum_received, bare.checksum_expected) == (None, CAPTURE_CHECKSUM)
    assert (whole.checksum_received, whole.checksum_expected) == (CAPTURE_CHECKSUM, CAPTURE_CHECKSUM)
    assert bare.data == whole.data == CAPTURE[2:]
    assert bare.name == "Source_Capabilities"
    offers = [item.source_object.supply for item in positioned_objects(bare.data)]
    assert [offer.voltage for offer in offers[:5]] == [5.0, 9.0, 12.0, 15.0, 20.0]
    assert [offer.current for offer in offers] == [3.0, 3.0, 3.0, 3.0, 3.25, 3.0]


def test_known_checksums():
    """Both by zlib; the residue over message and checksum is the constant of CRC-32."""
    assert message_checksum(CAPTURE) == CAPTURE_CHECKSUM
    assert message_checksum(bytes.fromhex("a161")) == 0xCC70CE99
    assert message_checksum(bytes.fromhex("4100")) == 0xA8BB6CBB


@given(st.binary(max_size=32))
def test_the_residue_of_message_and_checksum_is_constant(content):
    # 0xC704DD7B in the register, as the USB PD specification writes it; inverted and mirrored it is 0x2144DF1C
    mirrored = zlib.crc32(content + message_checksum(content).to_bytes(4, "little"))
    assert int(f"{mirrored ^ 0xFFFFFFFF:032b}"[::-1], 2) == 0xC704DD7B


def test_a_wrong_checksum_is_told_and_not_refused():
    message = decode_message(bytes.fromhex("4100bb6cbba9"))
    assert message.checksum_received == 0xA9BB6CBB
    assert message.checksum_expected == 0xA8BB6CBB


@pytest.mark.parametrize(
    ("content", "text"),
    [
        ("", "found nothing: expected a message, whose header alone has 2 bytes"),
        ("a1", "found a1: expected a message, whose header alone has 2 bytes"),
        ("a161", "found 2 bytes: expected 26 bytes, or 30 with the checksum, since the header announces 6 objects"),
        ("4100bb6cbb", "found 5 bytes: expected 2 bytes, or 6 with the checksum, since the header announces 0 objects"),
        ("b1a1", "found 2 bytes: expected an extended message, whose two headers have 4"),
        ("b1a1048000", "found 5 bytes: expected 10 bytes, or 14 with the checksum"),
        ("b1810800", "found 4 bytes: expected 12 bytes, or 16 with the checksum"),
    ],
)
def test_a_length_that_does_not_match_is_refused(content, text):
    with pytest.raises(ValueError, match=text):
        decode_message(bytes.fromhex(content))


def piece(data: bytes, number: int, size: int, type_code: int = 17, request: bool = False) -> bytes:
    second = encode_extended_header(ExtendedHeader(True, number, request, size))
    body = struct.pack("<H", second) + data
    body += bytes(-len(body) % 4)
    return (
        struct.pack("<H", encode_message_header(MessageHeader(True, len(body) // 4, 0, True, 2, True, type_code)))
        + body
    )


def pieces_of(data: bytes) -> list:
    starts = range(0, max(len(data), 1), 26)
    return [decode_message(piece(data[start : start + 26], i, len(data))) for i, start in enumerate(starts)]


@given(st.binary(max_size=260))
def test_data_comes_back_from_its_pieces(data):
    assert join_chunks(pieces_of(data)) == data


def test_a_long_message_in_one_piece():
    header = encode_message_header(MessageHeader(True, 0, 0, True, 2, True, 17))
    data = bytes(range(40))
    content = struct.pack("<HH", header, encode_extended_header(ExtendedHeader(False, 0, False, 40))) + data
    whole = decode_message(content)
    assert whole.data == data
    assert whole.checksum_received is None
    assert decode_message(content + bytes(4)).checksum_received == 0
    assert join_chunks([whole]) == data


def test_a_request_for_a_piece_carries_no_data():
    message = decode_message(piece(b"", 1, 0, request=True))
    assert message.data == b""
    assert message.extended_header.request_chunk


@pytest.mark.parametrize(
    ("choose", "text"),
    [
        (lambda parts: [], "expected the pieces of one extended message"),
        (lambda parts: [decode_message(CAPTURE)], "found a message without a second header"),
        (lambda parts: parts[1:], r"found the pieces \[1, 2\]: expected all of them in order, from 0"),
        (lambda parts: [parts[0], parts[2], parts[1]], r"found the pieces \[0, 2, 1\]"),
        (lambda parts: parts[:2], "found 52 bytes of data in 2 pieces: expected 60"),
        (
            lambda parts: [*parts[:2], decode_message(piece(bytes(8), 2, 60, type_code=18))],
            "expected one type and one data size",
        ),
        (lambda parts: [*parts[:2], decode_message(piece(bytes(8), 2, 61))], "expected one type and one data size"),
    ],
)
def test_pieces_that_do_not_belong_together_are_refused(choose, text):
    with pytest.raises(ValueError, match=text):
        join_chunks(choose(pieces_of(bytes(60))))


def test_empty_positions_are_left_out_and_the_extended_range_starts_at_eight():
    words = [0x0801912C, 0, 0, 0, 0, 0, 0, 0x0008C1F4]
    found = positioned_objects(struct.pack("<8I", *words))
    assert [(item.position, item.source_object.supply.voltage) for item in found] == [(1, 5.0), (8, 28.0)]


def test_bytes_that_are_no_whole_objects_are_refused():
    with pytest.raises(ValueError, match="found 6 bytes: expected objects of 4 bytes each"):
        positioned_objects(bytes(6))


@pytest.mark.parametrize("kind", REQUEST_LAYOUTS)
@given(word=st.integers(0, 2**32 - 1))
def test_request_comes_back(kind, word):
    used = 0
    for field in REQUEST_LAYOUTS[kind][1]:
        assert not used & field.mask
        used |= field.mask
    assert encode_request(decode_request(word, kind), kind, word & ~used) == word


def test_a_request_is_encoded_without_reserved_bits_unless_asked():
    assert encode_request(decode_request(0x22044D2C, "fixed"), "fixed") == 0x22044D2C


def test_positions_reach_into_the_extended_range():
    assert requested_position(0x80000000) == 8
    assert decode_request(0xF0000000, "fixed").position == 15


def test_voltages_of_programmable_and_adjustable_requests():
    """20 mV steps for PPS, 25 mV for AVS (usbpdparser 1.1.6); a voltage of 12 bits reaches from bit 9 to bit 20."""
    word = 1 << 28 | 0xFFF << 9 | 0x7F
    assert decode_request(word, "pps") == VoltageRequest(1, False, False, False, False, False, 81.9, 6.35)
    assert decode_request(word, "epr-avs") == VoltageRequest(1, False, False, False, False, False, 102.375, 6.35)
    assert decode_request(word, "spr-avs") == decode_request(word, "epr-avs")
    assert decode_request(word | 1 << 21 | 1 << 7 | 1 << 8, "pps") == decode_request(word, "pps")


def test_wrong_requests_are_refused():
    fixed = decode_request(0x22044D2C, "fixed")
    assert isinstance(fixed, CurrentRequest)
    with pytest.raises(
        ValueError, match="found a request for the kind reserved: expected one of fixed, variable, battery"
    ):
        decode_request(0, "reserved")
    with pytest.raises(ValueError, match="found a CurrentRequest for the kind pps"):
        encode_request(fixed, "pps")
    with pytest.raises(ValueError, match="found a CurrentRequest for the kind reserved"):
        encode_request(fixed, "reserved")
    with pytest.raises(ValueError, match="found reserved bits 0x00000001: some of them have a meaning"):
        encode_request(fixed, "fixed", 1)
    with pytest.raises(ValueError, match="found reserved bits 0x100000000"):
        encode_request(fixed, "fixed", 1 << 32)
    for word in (-1, 1 << 32):
        with pytest.raises(ValueError, match="expected a number of 32 bits"):
            decode_request(word, "fixed")
