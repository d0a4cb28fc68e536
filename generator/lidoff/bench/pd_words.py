"""USB PD words and messages as ordered facts: keys with the unit in the name, whole numbers without decimals."""

from collections.abc import Mapping
from dataclasses import fields

from lidoff.engineering.usb_pd_headers import MessageHeader
from lidoff.engineering.usb_pd_messages import Message
from lidoff.engineering.usb_pd_requests import decode_request, requested_position
from lidoff.engineering.usb_pd_supplies import FixedSupply, SourceObject

Facts = dict[str, object]

NUMBER_KEYS = {
    "voltage": "voltage_v",
    "voltage_min": "voltage_min_v",
    "voltage_max": "voltage_max_v",
    "current": "current_a",
    "current_max": "current_max_a",
    "current_to_15v": "current_to_15v_a",
    "current_to_20v": "current_to_20v_a",
    "power": "power_w",
    "power_max": "power_max_w",
}
"""Key of each number of an object or a request, in the order of showing."""
RAW_NUMBERS = ("content",)
REVISIONS = ("1.0", "2.0", "3.x", "reserved")


def object_facts(source_object: SourceObject, position: int | None = None) -> Facts:
    """Facts of a source power data object: word, kind, numbers, flags, and reserved bits where one is set.

    A fixed object also has its power, voltage times current; the other kinds have one only where the object holds it.
    """
    facts: Facts = {"word": hexadecimal(source_object.word), "kind": source_object.kind}
    if position is not None:
        facts["position"] = position
    supply = source_object.supply
    facts |= _numbers_and_flags(supply)
    if isinstance(supply, FixedSupply):
        facts = _with_power(facts, supply.voltage * supply.current)
    if source_object.reserved_bits:
        facts["reserved_bits"] = hexadecimal(source_object.reserved_bits)
    return facts


def request_facts(word: int, objects: Mapping[int, SourceObject]) -> Facts:
    """Facts of a request; its numbers can be read only with the kind of the object it asks for."""
    position = requested_position(word)
    facts: Facts = {"word": hexadecimal(word), "kind": "request", "position": position}
    requested = objects.get(position)
    if requested is None or requested.kind == "reserved":
        return facts | {"of": None}
    request = _numbers_and_flags(decode_request(word, requested.kind))
    return facts | {"of": requested.kind} | {key: value for key, value in request.items() if key != "position"}


def header_facts(header: MessageHeader, word: int, name: str | None) -> Facts:
    """Facts of a message header."""
    return {
        "word": hexadecimal(word, 4),
        "kind": "message",
        "message": name,
        "type_code": header.type_code,
        "extended": header.extended,
        "objects": header.object_count,
        "message_id": header.message_id,
        "power_role": "source" if header.from_source else "sink",
        "data_role": "dfp" if header.downstream_facing else "ufp",
        "revision": REVISIONS[header.revision_code],
    }


def message_facts(message: Message, word: int) -> Facts:
    """Facts of a message's headers and checksum; ``checksum_ok`` is None where the bytes end before the checksum."""
    facts = header_facts(message.header, word, message.name)
    second = message.extended_header
    if second:
        facts |= {
            "chunked": second.chunked,
            "chunk_number": second.chunk_number,
            "request_chunk": second.request_chunk,
            "data_size": second.data_size,
        }
    received = message.checksum_received
    return facts | {
        "checksum_received": None if received is None else hexadecimal(received),
        "checksum_expected": hexadecimal(message.checksum_expected),
        "checksum_ok": None if received is None else received == message.checksum_expected,
    }


def hexadecimal(word: int, digits: int = 8) -> str:
    """The word as a hexadecimal number of a fixed length."""
    return f"0x{word:0{digits}X}"


def plain_number(value: float) -> float | int:
    """The value to 0.1 mW, without decimals where there are none."""
    rounded = round(value, 4)
    return int(rounded) if rounded == int(rounded) else rounded


def _numbers_and_flags(content: object) -> Facts:
    values = {field.name: getattr(content, field.name) for field in fields(content) if field.name not in RAW_NUMBERS}
    numbers = {key: plain_number(values[name]) for name, key in NUMBER_KEYS.items() if name in values}
    others = {name: value for name, value in values.items() if name not in NUMBER_KEYS}
    return numbers | others


def _with_power(facts: Facts, power: float) -> Facts:
    """The facts with the power set behind the current."""
    ordered: Facts = {}
    for key, value in facts.items():
        ordered[key] = value
        if key == "current_a":
            ordered["power_w"] = plain_number(power)
    return ordered
