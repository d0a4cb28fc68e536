"""10,000 random words against two independent decoders, with each of their known faults named.

usbpdpy 0.4.0 and usbpdparser 1.1.6; a fault that a later version mends makes the test that names it fail.
"""

import random
import struct

import pytest
import usbpdparser
import usbpdpy
from usbpdparser.core import msg_header, verify_CRC

from lidoff.engineering.usb_pd_headers import MessageHeader, decode_message_header, encode_message_header, message_name
from lidoff.engineering.usb_pd_messages import decode_message, join_chunks, message_checksum, positioned_objects
from lidoff.engineering.usb_pd_objects import TYPE_BITS, TYPE_MASKS, decode_source_object
from lidoff.engineering.usb_pd_requests import decode_request

WORDS = 10_000
PER_MESSAGE = 7


def header(objects: int, type_code: int, extended: bool = False) -> bytes:
    return struct.pack("<H", encode_message_header(MessageHeader(extended, objects, 0, True, 2, True, type_code)))


def capabilities(words) -> bytes:
    return header(len(words), 1) + struct.pack(f"<{len(words)}I", *words)


def random_words(kinds=tuple(TYPE_BITS)) -> list[int]:
    chosen = random.Random(20260309)
    kinds_of_words = [chosen.choice(kinds) for _ in range(WORDS)]
    return [TYPE_BITS[kind] | chosen.getrandbits(32) & ~TYPE_MASKS[kind] & 0xFFFFFFFF for kind in kinds_of_words]


def in_messages(words: list[int]) -> list[list[int]]:
    return [words[i : i + PER_MESSAGE] for i in range(0, len(words), PER_MESSAGE)]


def by_usbpdpy(words: list[int]) -> list:
    return [found for few in in_messages(words) for found in usbpdpy.parse_pd_message(capabilities(few)).data_objects]


def by_usbpdparser(words: list[int]) -> list:
    messages = [usbpdparser.Parser().parse(sop="SOP", raw=capabilities(few)) for few in in_messages(words)]
    return [found for message in messages for found in message["Data Objects"].value()]


def volts(text: str) -> float:
    return float(text.rstrip("VAW"))


def test_usbpdpy_finds_the_same_numbers():
    kinds = {
        "FixedSupply": "fixed",
        "Battery": "battery",
        "VariableSupply": "variable",
        "PPS": "pps",
        "EPR_AVS": "epr-avs",
    }
    words = random_words()
    found = by_usbpdpy(words)
    assert len(found) == len(words)
    for word, theirs in zip(words, found, strict=True):
        ours = decode_source_object(word)
        supply = ours.supply
        assert theirs.raw == word
        if ours.kind in ("spr-avs", "reserved"):  # fault: SPR AVS is not told from the reserved kind
            assert theirs.pdo_type == "Unknown_Augmented"
            continue
        assert kinds[theirs.pdo_type] == ours.kind
        if ours.kind == "epr-avs":  # fault: no field of EPR AVS is read
            assert (theirs.min_voltage_v, theirs.max_voltage_v, theirs.max_power_w) == (None, None, None)
            continue
        # fault: numbers come as 32-bit floats (2.22 as 2.2200000286)
        pairs = [(theirs.max_current_a, getattr(supply, "current", None))]
        if ours.kind == "fixed":
            assert theirs.dual_role_power == supply.dual_role_power
            assert theirs.unconstrained_power == supply.unconstrained_power
            assert theirs.usb_communications_capable == supply.usb_communications
            pairs += [(theirs.voltage_v, supply.voltage), (theirs.max_power_w, supply.voltage * supply.current)]
        else:
            pairs += [(theirs.max_voltage_v, supply.voltage_max), (theirs.min_voltage_v, supply.voltage_min)]
        if ours.kind == "battery":
            pairs += [(theirs.max_power_w, supply.power)]
        for their_number, our_number in pairs:
            assert our_number == (None if their_number is None else pytest.approx(their_number, rel=2e-7, abs=1e-9))


PARSER_KEYS = {
    "fixed": {
        "Dual-Role Power": "dual_role_power",
        "USB Suspend Supported": "usb_suspend_supported",
        "Unconstrained Power": "unconstrained_power",
        "USB Communications Capable": "usb_communications",
        "Dual-Role Data": "dual_role_data",
        "Unchunked Extended Messages Supported": "unchunked_extended_messages",
        "EPR Capable": "epr_capable",
        "Peak Current": "peak_current",
        "Voltage": "voltage",
        "Maximum Current": "current",
    },
    "battery": {"Maximum Voltage": "voltage_max", "Minimum Voltage": "voltage_min", "Maximum Allowable Power": "power"},
    "variable": {"Maximum Voltage": "voltage_max", "Minimum Voltage": "voltage_min", "Maximum Current": "current"},
    "pps": {
        "PPS Power Limited": "power_limited",
        "Maximum Voltage": "voltage_max",
        "Minimum Voltage": "voltage_min",
        "Maximum Current": "current",
    },
    "epr-avs": {
        "Peak Current": "peak_current",
        "Maximum Voltage": "voltage_max",
        "Minimum Voltage": "voltage_min",
        "PDP": "power",
    },
    "spr-avs": {
        "Peak Current": "peak_current",
        "Maximum Current 15V": "current_to_15v",
        "Maximum Current 20V": "current_to_20v",
    },
}


def parser_value(theirs) -> bool | int | float:
    value = theirs.value()
    if isinstance(value, bool):
        return value
    return int(value, 2) if theirs.field() == "Peak Current" else volts(value)


def test_usbpdparser_finds_the_same_numbers_and_flags():
    words = random_words(tuple(PARSER_KEYS))
    for word, theirs in zip(words, by_usbpdparser(words), strict=True):
        ours = decode_source_object(word)
        keys = PARSER_KEYS[ours.kind]
        assert {key: parser_value(theirs[key]) for key in keys} == {
            key: getattr(ours.supply, keys[key]) for key in keys
        }
        reserved = [field for field in theirs.value() if field.field() == "Reserved"]
        assert bool(ours.reserved_bits) == any("1" in field.raw() for field in reserved)


def test_usbpdparser_stops_at_the_reserved_kind():
    """Named fault: the reserved kind raises inside, so that the whole message is given up as error data."""
    message = usbpdparser.Parser().parse(sop="SOP", raw=capabilities([0x0801912C, 0xF1234567]))
    assert message[1].field() == "Error Data"
    assert decode_source_object(0xF1234567).kind == "reserved"


def test_headers_agree_for_every_16_bit_word():
    # its header class by itself: of a message whose length does not match, usbpdparser gives up the header too
    revisions = {"Rev 1.0": 0, "Rev 2.0": 1, "Rev 3.x": 2, "Reserved": 3}
    for word in range(0, 1 << 16, 7):
        ours = decode_message_header(word)
        theirs = msg_header(f"{word:016b}", (0, 15), "SOP")
        assert theirs["Extended"].value() == ours.extended
        assert theirs["Number of Data Objects"].value() == ours.object_count
        assert theirs["MessageID"].value() == ours.message_id
        assert theirs["Port Power Role"].value() == ("Source" if ours.from_source else "Sink")
        assert revisions[theirs["Specification Revision"].value()] == ours.revision_code
        assert theirs["Port Data Role"].value() == ("DFP" if ours.downstream_facing else "UFP")
        assert theirs["Message Type"].value() == (message_name(ours) or "Reserved")


def test_usbpdpy_knows_the_same_message_names():
    for objects in (0, 1):
        for code in range(32):
            ours = message_name(MessageHeader(False, objects, 0, False, 2, False, code))
            theirs = usbpdpy.get_message_type_name(code, objects)
            assert theirs == (ours or f"{'Data' if objects else 'Control'}_Message_{code}")


ONE_OF_EACH = [0x0801912C, 0x4F01903C, 0x8F01912C, 0xC9A42164, 0xE804B1F4, 0xD2D096B4]
KINDS = ("fixed", "battery", "variable", "pps", "spr-avs", "epr-avs")
FLAG_KEYS = {
    "Object Position": "position",
    "Giveback": "giveback",
    "Capability Mismatch": "capability_mismatch",
    "USB Communications Capable": "usb_communications",
    "No USB Suspend": "no_usb_suspend",
    "Unchunked Extended Messages Supported": "unchunked_extended_messages",
    "EPR Capable": "epr_capable",
}
NUMBER_KEYS = {
    "Operating Current": "current",
    "Maximum Operating Current": "current_max",
    "Operating Power": "power",
    "Maximum Operating Power": "power_max",
    "Output Voltage": "voltage",
}


def test_usbpdparser_reads_the_same_requests():
    chosen = random.Random(20260310)
    parser = usbpdparser.Parser()
    source = parser.parse(sop="SOP", raw=capabilities(ONE_OF_EACH))
    for _ in range(3000):
        position = chosen.randint(1, len(KINDS))
        word = position << 28 | chosen.getrandbits(28)
        theirs = parser.parse(sop="SOP", raw=header(1, 2) + struct.pack("<I", word), last_pdo=source)["Data Objects"][0]
        ours = decode_request(word, KINDS[position - 1])
        for key, name in (FLAG_KEYS | NUMBER_KEYS).items():
            found = theirs[key]
            assert hasattr(ours, name) == (found is not None), key
            if found is not None:
                value = found.value()
                assert getattr(ours, name) == (volts(value) if isinstance(value, str) else value), key


def test_usbpdpy_cuts_request_numbers_to_whole_units():
    """Named fault: 2.75 A is read as 2 A and 8.76 V as 8 V, so only position and flags are compared."""
    source = usbpdpy.parse_pd_message(
        bytes.fromhex("a1612c9101082cd102002cc103002cb10400454106003c21dcc0")
    ).data_objects
    fixed, pps = (
        usbpdpy.parse_pd_message_with_state(header(1, 2) + struct.pack("<I", word), source).request_objects[0]
        for word in (0x22044D2C, 0x62036C3C)
    )
    assert (fixed.operating_current_a, decode_request(0x22044D2C, "fixed").current) == (2.0, 2.75)
    assert (pps.operating_voltage_v, decode_request(0x62036C3C, "pps").voltage) == (8.0, 8.76)
    assert (fixed.object_position, pps.object_position) == (2, 6)
    assert fixed.usb_communications_capable == decode_request(0x22044D2C, "fixed").usb_communications


def test_both_libraries_accept_our_checksum():
    chosen = random.Random(20260311)
    for objects in range(8):
        content = header(objects, 1) + chosen.randbytes(4 * objects)
        wire = content + struct.pack("<I", message_checksum(content))
        assert verify_CRC(list(wire))
        assert not verify_CRC(list(wire[:-1]) + [wire[-1] ^ 1])


def extended_capabilities() -> tuple[list[int], list[bytes]]:
    """Five objects of the standard range, two empty positions, then 28 V, 36 V and AVS, on the wire in two pieces."""
    words = [0x0881912C, 0x0002D12C, 0x0003C12C, 0x0004B12C, 0x000641F4, 0, 0, 0x0008C1F4, 0x000B41F4, 0xD2D096B4]
    data = struct.pack(f"<{len(words)}I", *words)
    pieces = []
    for number, start in enumerate(range(0, len(data), 26)):
        body = struct.pack("<H", 1 << 15 | number << 11 | len(data)) + data[start : start + 26]
        body += bytes(-len(body) % 4)
        pieces.append(header(len(body) // 4, 17, extended=True) + body)
    return words, pieces


def test_extended_capabilities_in_pieces():
    words, pieces = extended_capabilities()
    found = positioned_objects(join_chunks([decode_message(piece) for piece in pieces]))
    assert [(item.position, item.source_object.word) for item in found] == [
        (i, word) for i, word in enumerate(words, 1) if word
    ]

    decoder = usbpdpy.PdDecoder()
    first, last = (decoder.decode(piece) for piece in pieces)
    assert first is None
    assert [item.raw for item in last.data_objects] == words

    parser = usbpdparser.Parser()
    messages = [parser.parse(sop="SOP", raw=piece) for piece in pieces]
    whole = messages[-1]["Data Block"].value()
    assert [int(item.raw(), 2) for item in whole] == words
